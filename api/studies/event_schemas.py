"""What the events of a study's stream carry."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from api.http.wire import Wire
from api.studies.schemas import Progress
from optimizer.domain.layout import Layout
from optimizer.domain.study import Status


class ProgressEvent(Progress):
    """Data of the event `progress`."""


class StateEvent(Wire):
    """Data of the event `state`: the study waits, or an attempt at it has begun."""

    state: Literal["queued", "running"]
    attempt: int | None = Field(default=None, description="Number of the attempt, from 1 on.")
    again: bool | None = Field(
        default=None, description="Whether it waits again, its worker being gone."
    )


class LayoutEvent(Wire):
    """Data of the event `layout`: a layout as it was found."""

    rank: int
    layout: Layout


class EndEvent(Wire):
    """Data of the event `end`, the last one."""

    state: Literal["done"]
    status: Status

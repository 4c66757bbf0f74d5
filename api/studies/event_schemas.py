"""What the events of a study's stream carry."""

from __future__ import annotations

from datetime import datetime
from typing import Literal, Self

from pydantic import Field

from api.http.wire import Moment, Wire
from api.studies.schemas import Progress, address
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
    """Data of the event `layout`: a layout as it was found. One with the status `provisional` has
    passed the checker, and a later event of the same rank may bring a better one in its place."""

    rank: int
    layout: Layout


class EndEvent(Wire):
    """Data of the event `end`, the last one."""

    state: Literal["done"]
    status: Status


class StreamAddress(Wire):
    """Where a browser follows a study."""

    href: str = Field(description="Address of the events, with a token where keys are set.")
    expires_at: Moment | None = Field(
        description="Until when the stream can be opened there; null for as long as you like."
    )

    @classmethod
    def of(cls, study_id: str, issued: tuple[str, datetime] | None) -> Self:
        """The address of a study's events, with the token issued for it."""
        here = f"{address(study_id)}/events"
        if issued is None:
            return cls(href=here, expires_at=None)
        token, end = issued
        return cls(href=f"{here}?token={token}", expires_at=end)

"""Pins of a brief that cannot be kept where they are: refused before a study is made."""

from __future__ import annotations

import asyncio

from api.http.errors import InvalidBodyError, ServiceError
from api.state import State
from api.studies.acceptance import AcceptedBrief
from api.studies.calculations import calculated
from optimizer.errors import Fault

LONGEST_S = 8.0
"""Longest wait for the answer."""


async def require_pins(state: State, taken: AcceptedBrief) -> None:
    """InvalidBodyError with a fault for each pin that cannot stand in its place.

    Where that cannot be found out just now the study's own run will say it.
    """
    if taken.brief.unpinned() is taken.brief:
        return
    asked = calculated(state, "pins", brief=taken.brief.model_dump(mode="json"))
    try:
        found = (await asyncio.wait_for(asked, LONGEST_S)).value
    except (ServiceError, TimeoutError):
        return
    if found:
        raise InvalidBodyError("invalid_brief", [Fault(**fault) for fault in found])

"""Whether a brief is taken: the service's limits first, then every rule of briefs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from api.http.errors import InvalidBodyError
from api.settings import Settings
from optimizer.briefs.reader import read_brief
from optimizer.domain.brief import Brief
from optimizer.domain.study import Warned
from optimizer.errors import BriefError, Fault
from optimizer.units import plain_number


@dataclass(frozen=True, slots=True)
class AcceptedBrief:
    """A brief that a study can be made of, with its warnings."""

    brief: Brief
    warnings: tuple[Warned, ...]


@dataclass(frozen=True, slots=True)
class Limit:
    """The most of something that this service takes in a brief."""

    pointer: str
    code: str
    most: float
    what: str


def limits_of(settings: Settings) -> tuple[Limit, ...]:
    """The service's limits on a brief."""
    return (
        Limit("/room/walls", "too_many_walls", settings.max_walls, "walls"),
        Limit("/needs/items", "too_many_items", settings.max_items, "kinds of item"),
        Limit(
            "/options/alternatives", "too_many_alternatives", settings.max_alternatives, "layouts"
        ),
        Limit(
            "/options/time_limit_s",
            "time_limit_too_long",
            settings.max_time_limit_s,
            "seconds of solving",
        ),
    )


def take_brief(settings: Settings, data: Any) -> AcceptedBrief:
    """The brief that parsed JSON describes; InvalidBodyError with every fault otherwise."""
    # Limits first, on the data as it came: a brief far too large is not read in full to be refused.
    for limit in limits_of(settings):
        amount = _amount(data, limit.pointer)
        if amount is not None and amount > limit.most:
            most = plain_number(limit.most)
            detail = f"{plain_number(amount)} {limit.what}; this service takes at most {most}"
            raise InvalidBodyError(
                "invalid_brief", [Fault(limit.pointer, detail, limit.code)], limit=limit.most
            )
    try:
        brief, warnings = read_brief(data)
    except BriefError as error:
        raise InvalidBodyError("invalid_brief", error.faults) from None
    return AcceptedBrief(brief, tuple(warnings))


def _amount(data: Any, pointer: str) -> float | None:
    """The number at `pointer`, or the length of the list there."""
    for step in pointer.split("/")[1:]:
        data = data.get(step) if isinstance(data, Mapping) else None
    if isinstance(data, list):
        return len(data)
    # True is a number to Python, and none of a count.
    return data if isinstance(data, int | float) and not isinstance(data, bool) else None

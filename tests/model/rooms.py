"""Small rooms for tests of the model, and how to get their exact optimum."""

from __future__ import annotations

import time
from typing import Any

from optimizer.briefs.reader import read_brief
from optimizer.domain.brief import Brief
from optimizer.domain.study import Yardstick
from optimizer.model.search.alternatives import Found, Search

Raw = dict[str, Any]
EXACT = {"gap": 0.0, "alternatives": 1, "time_limit_s": 120.0}
PATIENCE_S = 120.0


def brief_of(walls: list[Any], needs: Raw, **rest: Any) -> Brief:
    """A brief of an open run; a wall is its length or its own data. Solved exactly."""
    named = [
        {"id": "ABCDEFGH"[number], **(wall if isinstance(wall, dict) else {"length": wall})}
        for number, wall in enumerate(walls)
    ]
    room = {"ceiling_height": 96, "walls": named, **rest.pop("room", {})}
    options = {**EXACT, **rest.pop("options", {})}
    raw = {"room": room, "needs": needs, "options": options, **rest}
    return read_brief(raw)[0]


def best_of(brief: Brief, yardstick: Yardstick | None = None) -> tuple[Search, Found]:
    """The search of a brief and its first layout."""
    search = Search(brief, yardstick)
    found = search.next(time.monotonic() + PATIENCE_S)
    assert isinstance(found, Found), found
    return search, found


def optimum_of(brief: Brief, yardstick: Yardstick | None = None) -> float:
    """Points of the best layout, proved."""
    _, found = best_of(brief, yardstick)
    assert found.outcome.status in ("optimal", "within_gap")
    assert found.outcome.objective is not None
    return found.outcome.objective

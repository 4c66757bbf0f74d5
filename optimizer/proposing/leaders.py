"""Beside the ranking: for each priority the layout that does most for it.

Among all layouts whose score is within the allowed loss of the best, each priority's term is
maximised by a search of its own; ties go to the better score. What the ranking has already is
told by its rank, and a layout that leads in several is told once.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from optimizer.checking import require_checked
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Layout, Mount, TermName
from optimizer.domain.study import Leader, Yardstick
from optimizer.model.search.alternatives import Found, Search
from optimizer.proposing.assembly import assembled
from optimizer.scoring.amounts import amounts_of

NAMES = {
    TermName.HANGING: "most hanging",
    TermName.SHELVING: "most shelf",
    TermName.OPEN_FLOOR: "most open floor",
    TermName.EASY_REACH: "most within easy reach",
    TermName.LOW_COST: "cheapest",
    TermName.SIMPLE_BUILD: "least to cut",
}
"""What a leader of each priority is called."""
POINTS = 100.0
TIE = 0.005
"""Weight of the score, in parts of a term's points: it settles ties and little else."""
_SAME = 1e-3
_MORE = 1e-9
"""More of a term's value than float noise."""


@dataclass(frozen=True, slots=True)
class Led:
    """How a search for the most of one term ended: a layout, its value and the bound."""

    term: TermName
    layout: Layout
    value: float
    bound: float
    proved: bool


def leaders(
    brief: Brief,
    yardstick: Yardstick,
    layouts: Sequence[Layout],
    deadline: float,
    should_stop: Callable[[], bool] | None = None,
) -> tuple[tuple[Leader, ...], tuple[TermName, ...]]:
    """Leaders found before `deadline` (monotonic seconds), and the terms without one.

    Terms that no yardstick measures in this room (hanging where none is asked for) have none and
    are not missed.
    """
    terms = [name for name in NAMES if getattr(yardstick, name.value) > 1e-9]
    if not layouts:
        return (), ()
    search = Search.within(brief, yardstick, deadline)
    if search is None:
        return (), tuple(terms)
    search.keep_above(floor_of(brief, layouts))
    led: list[Led] = []
    missed: list[TermName] = []
    for number, term in enumerate(terms):
        now = time.monotonic()
        # The time left, shared out evenly among the terms that are left.
        until = now + max(0.0, deadline - now) / (len(terms) - number)
        found = _lead(search, term, layouts, until, should_stop)
        if found is None:
            missed.append(term)
        else:
            led.append(found)
    return tuple(joined(_settled(search, led), layouts)), tuple(missed)


def floor_of(brief: Brief, layouts: Sequence[Layout]) -> float:
    """The least score within the loss that is allowed."""
    return layouts[0].score * (1.0 - brief.options.max_quality_loss)


def _lead(
    search: Search,
    term: TermName,
    layouts: Sequence[Layout],
    until: float,
    should_stop: Callable[[], bool] | None,
) -> Led | None:
    """The layout that does most for a term, None when no search for it ended in time."""
    floor = floor_of(search.brief, layouts)
    # Bounds and starts of another objective say nothing of this one.
    search.forget()
    value = search.objective.value(term, search.yardstick)
    search.model.problem.setObjective(POINTS * value + TIE * search.score)
    if time.monotonic() >= until:
        return None
    result = search.next(until, None, should_stop)
    if not isinstance(result, Found) or not result.bays or result.outcome.bound is None:
        return None
    # The bound is on the sum of both; whatever the term is, the score takes at least the floor's
    # part.
    most = (result.outcome.bound - TIE * floor) / POINTS
    # A layout of the ranking may do as much: what studs ask for is known of placed ones alone.
    known = [(layout.bays, layout.mounts) for layout in layouts]
    found = [(own, _value(search, *own, term)) for own in (*known, (result.bays, result.mounts))]
    (bays, mounts), reached = max(found, key=lambda pair: pair[1])
    layout = assembled(search, bays, layouts[0].bound, "rescored", mounts)
    # As any layout that leaves the optimizer.
    require_checked(search.brief, layout)
    ended = result.outcome.status in ("optimal", "within_gap")
    proved = ended and most - reached <= _near(search)
    return Led(term, layout, reached, max(most, reached), proved)


def _settled(search: Search, led: Sequence[Led]) -> list[Led]:
    """Each term with the layout that does most for it: a search for another may have found it."""
    found: list[Led] = []
    for one in led:
        value, best = one.value, one
        for other in led:
            reached = _value(search, other.layout.bays, other.layout.mounts, one.term)
            if reached > value + _MORE:
                value, best = reached, other
        proved = one.proved or one.bound - value <= _near(search)
        found.append(Led(one.term, best.layout, value, max(one.bound, value), proved))
    return found


def _near(search: Search) -> float:
    """How far below its bound a value may be and count as proved."""
    return max(search.brief.options.gap, TIE)


def _value(
    search: Search, bays: tuple[Bay, ...], mounts: tuple[Mount, ...], term: TermName
) -> float:
    """Value of a term of placed bays and mounts."""
    return reached_by(search, bays, mounts)[term]


def reached_by(
    search: Search, bays: tuple[Bay, ...], mounts: tuple[Mount, ...]
) -> Mapping[TermName, float]:
    """Values of all terms of placed bays and mounts."""
    amounts = amounts_of(bays, search.rules, search.surveyed, mounts)
    return search.frame.values(amounts, search.yardstick)


def joined(led: Sequence[Led], layouts: Sequence[Layout]) -> list[Leader]:
    """One leader for each layout, with everything that it leads in."""
    groups: list[list[Led]] = []
    for one in led:
        group = next((g for g in groups if same_bays(g[0].layout.bays, one.layout.bays)), None)
        if group is None:
            groups.append([one])
        else:
            group.append(one)
    return [_leader(group, layouts) for group in groups]


def _leader(group: Sequence[Led], layouts: Sequence[Layout]) -> Leader:
    """One layout that leads for several terms; told by its rank where it is ranked."""
    layout = group[0].layout
    rank = next((own.rank for own in layouts if same_bays(own.bays, layout.bays)), None)
    return Leader(
        names=tuple(NAMES[one.term] for one in group),
        terms=tuple(one.term for one in group),
        values=tuple(one.value for one in group),
        bounds=tuple(one.bound for one in group),
        proved=all(one.proved for one in group),
        rank=rank,
        layout=None if rank is not None else layout,
    )


def same_bays(one: Sequence[Bay], other: Sequence[Bay]) -> bool:
    """Whether two layouts have the same bays in the same places."""
    return len(one) == len(other) and all(
        a.wall == b.wall
        and a.pattern == b.pattern
        and abs(a.start - b.start) < _SAME
        and abs(a.width - b.width) < _SAME
        for a, b in zip(one, other, strict=True)
    )

"""Leaders told anew where the layouts have changed since they were found.

A leader names a ranked layout by its rank, and what it is proved to lead among is all layouts
within the loss allowed of the best score. Both change when layouts are ranked anew: the leaders
are chosen again from the layouts at hand, without a solve, and proofs are kept as far as they hold.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from optimizer.checking import passes
from optimizer.domain.layout import Layout, TermName
from optimizer.domain.study import Leader, Study
from optimizer.model.search.alternatives import Search
from optimizer.proposing.assembly import assembled
from optimizer.proposing.leaders import Led, floor_of, joined, reached_by, same_bays

Bounds = Mapping[TermName, tuple[float, bool]]
"""What no layout within the loss passes in each term, and whether that was reached."""

ANYTHING = 1.0
"""Most that any term can be: the bound where no proof holds."""


@dataclass(frozen=True, slots=True)
class _Candidate:
    """A layout that may lead, scored as the brief asks."""

    layout: Layout
    values: Mapping[TermName, float]


def relead(
    search: Search, layouts: Sequence[Layout], others: Iterable[Layout], bounds: Bounds
) -> tuple[Leader, ...]:
    """For each term in `bounds` the one of `layouts` and `others` that does most for it.

    Others that the checker refuses or that score too little lead in nothing; a bound of 1 is
    given where none was proved.
    """
    if not layouts:
        return ()
    pool = list(_candidates(search, layouts, others))
    led: list[Led] = []
    for term, (bound, proved) in bounds.items():
        best = max(pool, key=lambda one: (one.values[term], one.layout.score))
        value = best.values[term]
        sure = proved and bound - value <= search.brief.options.gap
        led.append(Led(term, best.layout, value, max(bound, value), sure))
    return tuple(joined(led, layouts))


def _candidates(
    search: Search, layouts: Sequence[Layout], others: Iterable[Layout]
) -> Iterator[_Candidate]:
    """The ranked layouts, and the others that may stand beside them."""
    least = floor_of(search.brief, layouts)
    for layout in layouts:
        yield _Candidate(layout, reached_by(search, layout.bays, layout.mounts))
    for other in others:
        # What is ranked already would lead twice.
        if any(same_bays(other.bays, layout.bays) for layout in layouts):
            continue
        if not passes(search.brief, Layout(bays=other.bays, mounts=other.mounts)):
            continue
        bound = layouts[0].bound
        scored = assembled(search, other.bays, bound, "rescored", other.mounts)
        if scored.score >= least:
            yield _Candidate(scored, reached_by(search, scored.bays, scored.mounts))


def layouts_of(study: Study) -> list[Layout]:
    """Every layout of a study: those of its ranking, and its leaders' own."""
    own = [leader.layout for leader in study.leaders if leader.layout is not None]
    return [*study.layouts, *own]


def bounds_of(study: Study, *, kept: bool) -> dict[TermName, tuple[float, bool]]:
    """The bounds of a study's leaders; where they are not `kept`, only which terms had one."""
    return leading_bounds(study.leaders, kept=kept)


def leading_bounds(leaders: Iterable[Leader], *, kept: bool) -> dict[TermName, tuple[float, bool]]:
    """As `bounds_of`, of leaders at hand."""
    return {
        term: (bound, leader.proved) if kept else (ANYTHING, False)
        for leader in leaders
        for term, bound in zip(leader.terms, leader.bounds, strict=True)
    }

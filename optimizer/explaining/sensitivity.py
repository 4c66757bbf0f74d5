"""How far each priority may move before another layout comes first."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from pydantic import Field

from optimizer.domain.fields import Record
from optimizer.domain.study import Study
from optimizer.explaining.weighted_scores import (
    MOST_WEIGHT,
    NAMES,
    LeadQuadratic,
    WeightedScores,
    Weights,
)

LEAST_LEAD = 1e-9
"""A lead below this [points] is no lead: float noise."""


class PriorityRange(Record):
    """Where the first place stays as it is while one weight moves and the others do not."""

    name: str
    weight: float
    lower: float | None = Field(
        description="Nearest smaller weight at which another layout comes first; null if none."
    )
    lower_layout: int | None = Field(description="Rank of the layout that does.")
    upper: float | None = Field(
        description="Nearest greater weight, up to 100, at which another layout comes first."
    )
    upper_layout: int | None = Field(description="Rank of the layout that does.")


def sensitivity(study: Study) -> tuple[PriorityRange, ...]:
    """The range of every priority, in their order; empty without two layouts.

    Only the layouts of the study compete: another solve might find one that overtakes them
    sooner.
    """
    if len(study.layouts) < 2:
        return ()
    weighing = WeightedScores(study)
    weights = study.brief.priorities.weights()
    return tuple(_range(weighing, name, weights) for name in NAMES)


def _range(weighing: WeightedScores, name: str, weights: Weights) -> PriorityRange:
    """How far one weight may move before another layout is first.

    Between two crossings of scores the order cannot change, so each stretch is looked at once.
    """
    here = weights[name]
    crossings = sorted(
        {x for rival in weighing.ranks[1:] for x in _crossings(weighing, rival, name, weights)}
    )
    below = [0.0, *(x for x in crossings if x < here), here]
    above = [here, *(x for x in crossings if x > here), MOST_WEIGHT]
    lower = upper = None
    # From the present weight outwards: the first change met is the limit.
    for start, end in reversed(list(pairwise(below))):
        lower = lower or _taken_over(weighing, name, weights, start, end, at=end)
    lower = lower or _alone_at_nothing(weighing, name, weights)
    for start, end in pairwise(above):
        upper = upper or _taken_over(weighing, name, weights, start, end, at=start)
    return PriorityRange(
        name=name,
        weight=here,
        lower=lower[0] if lower else None,
        lower_layout=lower[1] if lower else None,
        upper=upper[0] if upper else None,
        upper_layout=upper[1] if upper else None,
    )


def _taken_over(
    weighing: WeightedScores, name: str, weights: Weights, start: float, end: float, *, at: float
) -> tuple[float, int] | None:
    """(where, by which layout) when another leads between two neighbouring crossings."""
    if end - start <= 1e-9:
        return None
    # In the middle, away from both crossings, where the order is beyond doubt.
    moved = {**weights, name: (start + end) / 2}
    first, *rivals = weighing.ranks
    best = max(rivals, key=lambda rank: weighing.score(rank, moved))
    leads = weighing.score(best, moved) > weighing.score(first, moved) + LEAST_LEAD
    return (at, best) if leads else None


def _alone_at_nothing(
    weighing: WeightedScores, name: str, weights: Weights
) -> tuple[float, int] | None:
    """(0, by which layout) when another leads once the only priority that counts is 0, too.

    Nothing but the needs counts then: the score jumps there, which no crossing tells.
    """
    others = sum(weight for other, weight in weights.items() if other != name)
    if others > 0.0 or weights[name] <= 0.0:
        return None
    bare = {**weights, name: 0.0}
    first, *rivals = weighing.ranks
    best = max(rivals, key=lambda rank: weighing.score(rank, bare))
    leads = weighing.score(best, bare) > weighing.score(first, bare) + LEAST_LEAD
    return (0.0, best) if leads else None


def _crossings(
    weighing: WeightedScores, rival: int, name: str, weights: Weights
) -> Iterator[float]:
    """Weights at which the first layout and a rival score the same."""
    for piece in weighing.lead(weighing.ranks[0], rival, name, weights):
        yield from (x for x in _roots(piece) if piece.low <= x <= piece.high)


def _roots(piece: LeadQuadratic) -> tuple[float, ...]:
    """Real roots of the piece's polynomial, by the form that does not cancel."""
    c0, c1, c2 = piece.coefficients
    size = max(abs(c0), abs(c1), abs(c2))
    if size == 0.0:
        return ()
    # As good as a straight line: the formula for two roots would divide by next to nothing.
    if abs(c2) <= 1e-14 * size:
        return (-c0 / c1,) if abs(c1) > 1e-14 * size else ()
    square = c1 * c1 - 4.0 * c0 * c2
    if square < 0.0:
        return ()
    # Both terms have one sign, so that their sum keeps its digits.
    q = -0.5 * (c1 + math.copysign(math.sqrt(square), c1))
    return (q / c2, c0 / q) if q != 0.0 else (0.0,)

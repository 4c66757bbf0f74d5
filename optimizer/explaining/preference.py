"""Which priorities would make a layout the first of its study, near to those given."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from optimizer.domain.brief import Priorities
from optimizer.domain.fields import Record
from optimizer.domain.study import Study
from optimizer.errors import Fault, LayoutError
from optimizer.explaining.weighted_scores import MOST_WEIGHT, NAMES, WeightedScores, Weights
from optimizer.scoring.terms import LEAST_CARE
from optimizer.solving import new_problem, solve, value_of, weighted_sum

LEAST_LEAD = 0.01
"""Points by which the layout shall lead (our own choice)."""
_ROUNDS = 25
_EXTREMES: tuple[Weights, ...] = (
    {**dict.fromkeys(NAMES, 0.0), "hanging": MOST_WEIGHT, "shelving": LEAST_CARE},
    {**dict.fromkeys(NAMES, 0.0), "hanging": LEAST_CARE, "shelving": MOST_WEIGHT},
)
"""Where the share of the needs met is greatest or least: it is monotone between them."""


class Preference(Record):
    """Weights that put a layout first among the layouts of its study."""

    layout: int
    answer: Literal["already", "possible", "impossible", "unknown"]
    priorities: Priorities | None = Field(description="Nearest weights found, of the same sum.")
    change: float | None = Field(description="Share of the weights that moves, 0 to 1.")
    beaten_by: int | None = Field(
        default=None, description="A layout that scores higher under any weights: proved."
    )
    detail: str


def preference(study: Study, layout_rank: int) -> Preference:
    """The nearest weights of the same sum under which the layout of that rank leads.

    LayoutError when the study has no such layout.
    """
    weighing = WeightedScores(study)
    if layout_rank not in weighing.ranks:
        fault = Fault("/layouts", f"there is no layout {layout_rank}", "unknown_layout")
        raise LayoutError([fault])
    given = study.brief.priorities.weights()
    if layout_rank == weighing.ranks[0]:
        return Preference(
            layout=layout_rank,
            answer="already",
            priorities=study.brief.priorities,
            change=0.0,
            detail="it is the first already",
        )
    found = _search(weighing, layout_rank, given)
    if found is None:
        return _without(weighing, layout_rank, given)
    total = sum(found.values())
    # What one weight gains another loses, so half of the sum is what moves.
    change = sum(abs(found[name] - _spread(given)[name]) for name in NAMES) / (2 * total)
    return Preference(
        layout=layout_rank,
        answer="possible",
        priorities=Priorities(**found),
        change=change,
        detail=f"moving {change:.0%} of the weights puts it first",
    )


def _without(weighing: WeightedScores, rank: int, given: Weights) -> Preference:
    """The answer when no weights were found: proved where that can be, else said so."""
    rivals = [rival for rival in weighing.ranks if rival != rank]
    beaten_by = next((r for r in rivals if _always_behind(weighing, rank, r)), None)
    # Even with the most that the needs can give, no weights put it first: then none do.
    best = {rival: _needs_leads(weighing, rank, rival)[1] for rival in rivals}
    proved = beaten_by is not None or _nearest(weighing, rank, given, best) is None
    if beaten_by is not None:
        detail = f"layout {beaten_by} scores higher whatever the priorities"
    elif proved:
        detail = "under any priorities one or another of the layouts scores higher"
    else:
        detail = "no such priorities were found; it is not proved that there are none"
    return Preference(
        layout=rank,
        answer="impossible" if proved else "unknown",
        priorities=None,
        change=None,
        beaten_by=beaten_by,
        detail=detail,
    )


def _search(weighing: WeightedScores, rank: int, given: Weights) -> dict[str, float] | None:
    """Weights that are checked to put the layout first.

    The linear program takes the share of the needs met as fixed; where the weights move it,
    the program is solved again from where they led. Failing that, the least that the needs
    can give is taken, which is always safe.
    """
    rivals = [rival for rival in weighing.ranks if rival != rank]
    at: Weights = given
    for _ in range(_ROUNDS):
        leads = {rival: weighing.needs(rank, at) - weighing.needs(rival, at) for rival in rivals}
        found = _nearest(weighing, rank, given, leads)
        if found is None:
            break
        if _is_first(weighing, rank, found):
            return found
        at = found
    # The leads of the needs at their least: what comes first with these does so with any.
    worst = {rival: _needs_leads(weighing, rank, rival)[0] for rival in rivals}
    found = _nearest(weighing, rank, given, worst)
    return found if found is not None and _is_first(weighing, rank, found) else None


def _is_first(weighing: WeightedScores, rank: int, weights: Weights) -> bool:
    """Whether under these weights the layout of that rank scores more than every other."""
    score = weighing.score(rank, weights)
    return all(score > weighing.score(rival, weights) for rival in weighing.ranks if rival != rank)


def _needs_leads(weighing: WeightedScores, rank: int, rival: int) -> tuple[float, float]:
    """Least and most by which a layout can lead a rival in the share of needs met."""
    leads = [weighing.needs(rank, at) - weighing.needs(rival, at) for at in _EXTREMES]
    return min(leads), max(leads)


def _always_behind(weighing: WeightedScores, rank: int, rival: int) -> bool:
    """Whether a layout scores below a rival under any weights at all."""
    most = weighing.share * _needs_leads(weighing, rank, rival)[1]
    most += (1.0 - weighing.share) * max(weighing.better(rank, rival).values())
    return most < 0.0


def _spread(given: Weights) -> dict[str, float]:
    """The given weights; equal ones where none was given."""
    return dict(given) if sum(given.values()) > 0 else dict.fromkeys(NAMES, 1.0)


def _nearest(
    weighing: WeightedScores, rank: int, given: Weights, needs_lead: dict[int, float]
) -> dict[str, float] | None:
    """Weights of the same sum, moved least, under which the layout leads every rival by
    `LEAST_LEAD`, the leads in needs being fixed; None when there are none."""
    start = _spread(given)
    total = sum(start.values())
    problem = new_problem("preference", maximise=False)
    weights = {name: problem.add_variable(f"w_{name}", 0, MOST_WEIGHT) for name in NAMES}
    moves = {name: problem.add_variable(f"move_{name}", 0) for name in NAMES}
    problem += weighted_sum([(move, 1.0) for move in moves.values()])
    problem += weighted_sum([(weight, 1.0) for weight in weights.values()]) == total, "same_sum"
    # The amount by which each weight moves, up or down, as small as can be in all.
    for name in NAMES:
        moved = weights[name] - start[name]
        problem += moves[name] >= moved, f"more_{name}"
        problem += moves[name] >= -1 * moved, f"less_{name}"
    for rival, lead in needs_lead.items():
        better = weighing.better(rank, rival)
        values = weighted_sum([(weights[name], better[name]) for name in NAMES])
        least = (LEAST_LEAD / 100.0 - weighing.share * lead) / (1.0 - weighing.share) * total
        problem += values >= least, f"leads_{rival}"
    outcome = solve(problem, gap=0.0)
    if not outcome.has_solution:
        return None
    return {name: min(MOST_WEIGHT, max(0.0, value_of(weights[name]))) for name in NAMES}

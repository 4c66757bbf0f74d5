"""The bays of a plan in rows from left to right, with what carries each of their ends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from optimizer.model.bay_order import ordered
from optimizer.model.formulation import Formulation
from optimizer.model.solution import BayPlan, PlannedBay
from optimizer.patterns.ends import wall_carries


@dataclass(frozen=True, slots=True)
class Seat:
    """A bay in its row, before it has a position.

    `shares` tells whether its left upright is also the right one of its left neighbour;
    `flush_left` and `flush_right` whether a wall or a corner carries that end, so that the bay
    starts or ends exactly where the free wall does.
    """

    bay: PlannedBay
    shares: bool
    flush_left: bool = False
    flush_right: bool = False


def rows_of(model: Formulation, plan: BayPlan) -> list[list[Seat]]:
    """The rows of bays, one for each chain of touching stretches that carries any."""
    rows = [_row(model, plan, chain) for chain in model.chains]
    return [row for row in rows if row]


def _row(model: Formulation, plan: BayPlan, chain: Sequence[int]) -> list[Seat]:
    """Bays of one chain from left to right, with the uprights they share."""
    bays: list[tuple[PlannedBay, bool]] = []
    spans = [b for b in plan.bays if b.slot.spans]
    for position, index in enumerate(chain):
        # One at most spans each boundary (`lengths.join`).
        entered = next((b for b in spans if b.slot.last == index), None)
        leaving = next((b for b in spans if b.slot.first == index), None)
        line = _line(model, plan, index, entered, leaving)
        # An upright over the boundary may stand there for an empty stretch: it is only shared
        # where the bay before it reaches that boundary.
        reaches = bool(bays) and position > 0 and bays[-1][0].slot.last == chain[position - 1]
        joined = reaches and _joined(plan, chain[position - 1], index)
        for place, bay in enumerate(line):
            follows = place > 0 or entered is not None or joined
            # Where the break lies is not decided by the model: the last bay of the stretch stands
            # apart.
            breaks = index in plan.broken and place == len(line) - 1
            bays.append((bay, bool(bays) and follows and not breaks))
    return [
        Seat(
            bay,
            shares,
            flush_left=number == 0 and _flush(model, plan, bay.slot.first, at_left=True),
            flush_right=number == len(bays) - 1
            and _flush(model, plan, bay.slot.last, at_left=False),
        )
        for number, (bay, shares) in enumerate(bays)
    ]


def _flush(model: Formulation, plan: BayPlan, index: int, *, at_left: bool) -> bool:
    """Whether the plan has the wall or corner carry the row at this end of a stretch."""
    end = model.end_of(index, at_left=at_left)
    return end is not None and end in plan.carried


def _carries(
    model: Formulation, plan: BayPlan, index: int, bay: PlannedBay, *, at_left: bool
) -> bool:
    """Whether the side wall carries a bay at its end, where it is to carry one there."""
    end = model.end_of(index, at_left=at_left)
    if end is None or end not in plan.carried:
        return True
    return wall_carries(bay.slot.pattern, model.sides[end], model.rules)


def _line(
    model: Formulation,
    plan: BayPlan,
    index: int,
    entered: PlannedBay | None,
    leaving: PlannedBay | None,
) -> list[PlannedBay]:
    """The bays that start in one stretch, from left to right."""
    own = [b for b in plan.bays if not b.slot.spans and b.slot.first == index]
    lefts = [b for b in own if b.slot.at_left]
    rights = [b for b in own if b.slot.at_right and not b.slot.at_left]
    inner = [b for b in own if b.slot.inner]
    before = lefts[0] if lefts else entered
    after = rights[0] if rights else leaving

    def fits(bay: PlannedBay, at_left: bool) -> bool:
        """Whether an inner bay may come first or last, being carried by the wall where it is."""
        outermost = before is None if at_left else after is None
        return not outermost or _carries(model, plan, index, bay, at_left=at_left)

    line = [*lefts, *ordered(inner, before, after, fits), *rights]
    return [*line, leaving] if leaving else line


def _joined(plan: BayPlan, left: int, right: int) -> bool:
    """Whether an upright over the boundary of two stretches serves both."""
    return any(j.left == left and j.right == right for j in plan.joints)

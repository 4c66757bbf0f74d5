"""R7 Corners: bays on different walls keep apart and stay accessible at inside corners."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, product

from optimizer.checking.case import Case, Placed
from optimizer.errors import Fault

SCRIBE_IN = 1.0
"""What a scribe or filler closes [in]; more is a pocket. Common practice."""


def check_corners(case: Case) -> Iterator[Fault]:
    """Findings on footprints that overlap and on bays too tight in an inside corner."""
    for one, other in combinations(case.bays, 2):
        if one.wall is not other.wall and one.footprint.overlaps(other.footprint, case.tolerance):
            yield Fault(
                other.pointer,
                f"bay {other.bay.id} on wall {other.bay.wall} and bay {one.bay.id} on wall "
                f"{one.bay.wall} take the same floor",
                "overlap",
            )
    for line, after in case.plan.inside_corners():
        lefts = [placed for placed in case.bays if placed.wall is line]
        rights = [placed for placed in case.bays if placed.wall is after]
        for left, right in product(lefts, rights):
            yield from _corner(case, left, right)
        if any(_hides(case, left, right) for left, right in product(lefts, rights)):
            yield from _closed(case, lefts, rights)


def _hides(case: Case, left: Placed, right: Placed) -> bool:
    """Whether one of two bays at a corner stands within the aisle before the other's front."""
    aisle = max(case.brief.needs.aisle, 10.0 * case.tolerance)
    for one, other in ((left, right), (right, left)):
        front = one.wall.rect(one.clear, (one.bay.depth, one.bay.depth + aisle))
        if front.overlaps(other.footprint, case.tolerance):
            return True
    return False


def _closed(case: Case, lefts: list[Placed], rights: list[Placed]) -> Iterator[Fault]:
    """R7: where bays hide behind one another, one wall's run starts at the corner."""
    gaps = [(placed.wall.length - placed.along[1], placed) for placed in lefts]
    gaps += [(placed.along[0], placed) for placed in rights]
    gap, nearest = min(gaps, key=lambda pair: pair[0])
    most = case.units.from_inch(SCRIBE_IN)
    if gap > most + case.tolerance:
        yield Fault(
            nearest.pointer,
            f"bay {nearest.bay.id} leaves {case.say(gap)} of wall {nearest.bay.wall} in the "
            f"corner, behind bays of the other wall where nobody gets at it; "
            f"{case.say(most)} is the most",
            "corner",
        )


def _corner(case: Case, left: Placed, right: Placed) -> Iterator[Fault]:
    """R7: where one bay runs into the corner, the other leaves access beside it."""
    free_left = left.wall.length - left.along[1]
    free_right = right.along[0]
    air = case.brief.construction.corner_clearance
    for inner, free_inner, outer, free_outer in (
        (left, free_left, right, free_right),
        (right, free_right, left, free_left),
    ):
        runs_in = free_inner < outer.bay.depth - case.tolerance
        wanted = inner.bay.depth + air
        if runs_in and free_outer < wanted - case.tolerance:
            yield Fault(
                outer.pointer,
                f"bay {outer.bay.id} starts {case.say(free_outer)} from the corner of walls "
                f"{left.bay.wall} and {right.bay.wall}; beside bay {inner.bay.id}, which runs "
                f"into it, {case.say(wanted)} is the least",
                "corner",
            )
            return

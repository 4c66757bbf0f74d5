"""R7 Corners: bays on different walls keep apart and stay accessible at inside corners."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from optimizer.checking.case import Case, Placed
from optimizer.checking.wraps import wraps
from optimizer.errors import Fault


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
    # At a wrapped corner the bays meet on purpose; its own rules hold there.
    wrapped = {frozenset((wrap.butting.index, wrap.through.index)) for wrap in wraps(case)}
    for line, after in case.plan.inside_corners():
        for left in (placed for placed in case.bays if placed.wall is line):
            for right in (placed for placed in case.bays if placed.wall is after):
                if frozenset((left.index, right.index)) not in wrapped:
                    yield from _corner(case, left, right)


def _corner(case: Case, left: Placed, right: Placed) -> Iterator[Fault]:
    """R7: where one bay runs into the corner, the other leaves access beside it."""
    free_left = left.wall.length - left.along[1]
    free_right = right.along[0]
    air = case.brief.construction.corner_clearance
    for inner, free_inner, outer, free_outer in (
        (left, free_left, right, free_right),
        (right, free_right, left, free_left),
    ):
        # The end of one is nearer to the corner than the other is deep: it lies partly behind it.
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

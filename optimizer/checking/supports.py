"""R12 for mid supports: where they may stand. What they hold is a matter of strength."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from optimizer.checking.case import Case, Placed
from optimizer.domain.studs import STUD_WIDTH_IN, stud_centres
from optimizer.errors import Fault


def check_supports(case: Case) -> Iterator[Fault]:
    """Findings on mid supports that may not be, or stand on no stud or outside their bay."""
    allowed = case.brief.construction.mid_support != "none"
    for placed in case.bays:
        places = placed.bay.mid_supports
        if not places:
            continue
        if not allowed:
            yield _fault(placed, None, "has mid supports, which the brief does not allow")
        # R12: the physics knows boards with one or the other, not with both.
        if placed.bay.stiffened:
            yield _fault(placed, None, "has stiffened boards and mid supports; one of them will do")
        for place in range(len(places)):
            yield from _inside(case, placed, place)
            yield from _on_stud(case, placed, place)
        yield from _apart(case, placed)


def _fault(placed: Placed, place: int | None, detail: str) -> Fault:
    """A finding on the supports of a bay, or on one of them."""
    pointer = f"{placed.pointer}/mid_supports"
    if place is not None:
        pointer += f"/{place}"
    return Fault(pointer, f"bay {placed.bay.id} {detail}", "mid_support")


def _inside(case: Case, placed: Placed, place: int) -> Iterator[Fault]:
    """A support, as thick as a panel, lies between the ends of its bay."""
    position, half = placed.bay.mid_supports[place], case.thickness / 2.0
    low, high = placed.clear
    if position - half < low - case.tolerance or position + half > high + case.tolerance:
        detail = f"has a support at {case.say(position)}; it runs from {case.say(low)} to "
        yield _fault(placed, place, f"{detail}{case.say(high)}")


def _on_stud(case: Case, placed: Placed, place: int) -> Iterator[Fault]:
    """The middle of a support lies over the face of a stud."""
    position = placed.bay.mid_supports[place]
    centres = stud_centres(placed.wall.wall, case.units)
    off = min((abs(position - centre) for centre in centres), default=None)
    # Its screw goes in at its middle, so the middle has to lie over the stud's face.
    half = case.units.from_inch(STUD_WIDTH_IN) / 2.0
    if off is None or off > half + case.tolerance:
        nearest = "the wall has no stud" if off is None else f"the nearest is {case.say(off)} away"
        yield _fault(placed, place, f"has a support at {case.say(position)} on no stud: {nearest}")


def _apart(case: Case, placed: Placed) -> Iterator[Fault]:
    """No two supports stand in one another."""
    order = sorted(range(len(placed.bay.mid_supports)), key=placed.bay.mid_supports.__getitem__)
    for one, other in pairwise(order):
        apart = placed.bay.mid_supports[other] - placed.bay.mid_supports[one]
        if apart < case.thickness - case.tolerance:
            yield _fault(placed, other, f"has two supports {case.say(apart)} apart")

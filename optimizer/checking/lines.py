"""R17 Lines: top boards at one height, lower only where something keeps them down."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.checking.boxes import Solid, upright_solids
from optimizer.checking.case import Case, Placed
from optimizer.checking.obstructions import in_the_way
from optimizer.checking.shapes import Box
from optimizer.errors import Fault
from optimizer.units import Units

LEAST_STEP = {Units.INCH: 3.0, Units.MILLIMETRE: 75.0}
"""A lower line keeps at least this below the room's, or it looks like a mistake."""


def check_lines(case: Case) -> Iterator[Fault]:
    """Findings on bays whose top board lies below the room's line for no reason.

    Nothing is asked where the brief leaves the lines free (`top_line`).
    """
    if not case.level:
        return
    # The highest bay sets the line; what may lie below it is judged against that.
    line = max((placed.bay.height for placed in case.bays), default=0.0)
    step = LEAST_STEP[case.units]
    for placed in case.bays:
        drop = line - placed.bay.height
        if drop <= case.tolerance:
            continue
        if drop < step - case.tolerance:
            yield _fault(case, placed, line, f"a lower line is at least {case.say(step)} below it")
        elif not _kept_down(case, placed, line):
            yield _fault(case, placed, line, "a board could lie there over this bay")


def _fault(case: Case, placed: Placed, line: float, why: str) -> Fault:
    """A finding on one bay's line."""
    return Fault(
        f"{placed.pointer}/height",
        f"the top board of bay {placed.bay.id} lies at {case.say(placed.bay.height)}; the room's "
        f"line is {case.say(line)}, and {why}",
        "line",
    )


def _kept_down(case: Case, placed: Placed, line: float) -> bool:
    """Whether a board at the line over a bay, with room over it, would break R3, R5, R14 or R18.

    So would it where an upright of the bay cannot reach the line.
    """
    top = line + case.brief.construction.min_shelf_clear
    clear = placed.wall.clear_height(placed.along, case.brief.room.ceiling_height)
    if top > clear + case.tolerance:
        return True
    # As deep as its top board, which is the one that would be raised.
    depth = max(placed.boards(), default=(0.0, placed.bay.depth))[1]
    plan = placed.wall.rect(placed.clear, (0.0, depth))
    board = Solid(placed.pointer, "a board at the line", Box(plan, (line - case.thickness, top)))
    uprights = list(upright_solids(placed, line))
    return next(in_the_way(case, [board], uprights), None) is not None

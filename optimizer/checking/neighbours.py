"""R1 for bays side by side on one wall: shared uprights, own ones, and what a row leaves."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from optimizer.checking.boxes import upright_solids, zone_solids
from optimizer.checking.case import Case, Placed
from optimizer.checking.obstructions import in_the_way
from optimizer.checking.pins import is_pinned
from optimizer.checking.shapes import Interval
from optimizer.domain.layout import Carried
from optimizer.errors import Fault
from optimizer.units import Units

LEAST_APART = {Units.INCH: 4.0, Units.MILLIMETRE: 100.0}
"""Two uprights closer than this stand back to back: one would do. Common practice."""


def check_neighbours(case: Case) -> Iterator[Fault]:
    """Findings on uprights between neighbours, and on rows that a shorter wall would not take."""
    for line in case.plan.walls:
        row = case.row(line)
        yield from _spare(case, row)
        for left, right in pairwise(row):
            yield from _pair(case, left, right)


def _spare(case: Case, row: list[Placed]) -> Iterator[Fault]:
    """R1: between uprights at both ends, a row leaves what the wall may be shorter by.

    Where the wall or the corner carries one of the two ends, that bay is cut to fit.
    """
    off = case.brief.room.measuring_tolerance
    if not row or {row[0].bay.left, row[-1].bay.right} != {Carried.UPRIGHT}:
        return
    spare = row[0].along[0] + row[-1].wall.length - row[-1].along[1]
    # A row that is too long for the wall as measured is found where bays are fitted to it.
    if 0 <= spare < off - case.tolerance:
        yield Fault(
            row[-1].pointer,
            f"the bays leave {case.say(spare)} of wall {row[-1].bay.wall}, which may be "
            f"{case.say(off)} shorter than measured",
            "measuring",
        )


def _pair(case: Case, left: Placed, right: Placed) -> Iterator[Fault]:
    """R1: one shared upright, or two of their own that one could not replace."""
    apart, t = right.bay.start - left.bay.end, case.thickness
    if abs(apart - t) <= case.tolerance:
        return
    # Not one shared upright, so two; what is left between them is `air`.
    air = apart - 2.0 * t
    if air < -case.tolerance:
        yield Fault(
            right.pointer,
            f"bays {left.bay.id} and {right.bay.id} are {case.say(apart)} apart on wall "
            f"{right.bay.wall}: one shared upright takes exactly {case.say(t)}, "
            f"two take {case.say(2.0 * t)} or more",
            "neighbours",
        )
    elif air < LEAST_APART[case.units] - case.tolerance and _could_share(case, left, right):
        yield Fault(
            right.pointer,
            f"uprights of bays {left.bay.id} and {right.bay.id} stand {case.say(max(air, 0.0))} "
            f"apart on wall {right.bay.wall}, of one height and depth and with nothing between "
            f"them: one shared upright would do",
            "back_to_back",
        )


def _could_share(case: Case, left: Placed, right: Placed) -> bool:
    """Whether each of two neighbours could use the other's upright."""
    one, other = left.bay, right.bay
    alike = (
        abs(one.height - other.height) <= case.tolerance
        and abs(one.depth - other.depth) <= case.tolerance
        and one.right is other.left is Carried.UPRIGHT
    )
    # Bays that are both kept where they are cannot close the gap.
    if not alike or (is_pinned(case, one) and is_pinned(case, other)):
        return False
    strip = (one.end, other.start)
    return _could_widen(case, left, strip) and _could_widen(case, right, strip)


def _could_widen(case: Case, placed: Placed, strip: Interval) -> bool:
    """Whether nothing keeps a bay's zones and uprights off a strip beside it."""
    clear = placed.wall.clear_height(strip, case.brief.room.ceiling_height)
    tops = [placed.bay.height, *(zone.top for zone in placed.bay.zones)]
    if max(tops) > clear + case.tolerance:
        return False
    zones = list(zone_solids(case, placed, strip))
    return next(in_the_way(case, zones, list(upright_solids(placed))), None) is None

"""R6 Openings: what stays clear on the wall of an opening and on the floor before it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import shapely

from optimizer.checking.case import Case
from optimizer.checking.floor_plan import WallLine
from optimizer.checking.shapes import gap_between
from optimizer.domain.room import Opening, OpeningKind
from optimizer.errors import Fault


def check_openings(case: Case) -> Iterator[Fault]:
    """Findings on bays over an opening or its casing, or on the floor in front of it."""
    for opening, line in case.openings():
        yield from _over(case, opening, line)
        if not case.reach_in:
            yield from _before(case, opening, line)


def depth_before(case: Case, opening: Opening) -> float:
    """How far out the floor before an opening stays clear: the aisle or the door's leaf."""
    # A leaf swings as far into the room as it is wide.
    swings = opening.kind is OpeningKind.HINGED_IN
    return max(case.brief.needs.aisle, opening.width if swings else 0.0)


def floor_before(case: Case, opening: Opening, line: WallLine, least: float = 0.0) -> Any:
    """The floor before an opening that stays clear, as far as the room goes there.

    `least` is how far out it is taken at least.
    """
    way = (opening.start, opening.start + opening.width)
    floor = line.rect(way, (0.0, max(least, depth_before(case, opening)))).shape()
    if not case.plan.closed:
        return floor
    # Walls may cut the rectangle in two; only the part that touches the opening is before it.
    sill = shapely.LineString([line.point(way[0], 0.0), line.point(way[1], 0.0)])
    parts = shapely.get_parts(shapely.intersection(floor, case.plan.outline()))
    near = [part for part in parts if part.area > 0 and part.distance(sill) <= case.tolerance]
    return shapely.union_all(near)


def _over(case: Case, opening: Opening, line: WallLine) -> Iterator[Fault]:
    """R6: no bay of the same wall stands over the opening and its casing."""
    trim = (opening.start - opening.casing, opening.start + opening.width + opening.casing)
    for placed in case.bays:
        if placed.wall is line and gap_between(placed.along, trim) < -case.tolerance:
            yield Fault(
                placed.pointer,
                f"bay {placed.bay.id} stands from {case.say(placed.along[0])} to "
                f"{case.say(placed.along[1])} on wall {opening.wall}; the opening with its "
                f"casing takes {case.say(trim[0])} to {case.say(trim[1])}",
                "opening",
            )


def _before(case: Case, opening: Opening, line: WallLine) -> Iterator[Fault]:
    """R6: no bay stands on the floor before the opening."""
    floor = floor_before(case, opening, line)
    for placed in case.bays:
        if placed.footprint.shape(case.tolerance).intersects(floor):
            yield Fault(
                placed.pointer,
                f"bay {placed.bay.id} stands in the way before the opening on wall "
                f"{opening.wall}: {case.say(opening.width)} wide and "
                f"{case.say(depth_before(case, opening))} out stays clear",
                "opening_floor",
            )

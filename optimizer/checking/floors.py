"""The floor that can be walked on, coming from an opening or from the open side of the room.

Free floor is the room less the footprints of all bays. A person counts as a disc as wide as the
narrowest way, so that a gap between two corners counts by its straight distance. The centre of the
disc can be anywhere on the free floor eroded by half that width (a negative buffer); each connected
piece of it, dilated again by as much, is one place to walk in.
"""

from __future__ import annotations

from typing import Any

import shapely

from optimizer.checking.case import Case
from optimizer.checking.openings import floor_before

LEAST_WAY_IN = 24.0
"""A tight minimum for a way [in]; a narrower wished aisle asks for less. Common practice."""

WAY_TOLERANCE_IN = 1.0
"""How much narrower [in] a way may be at its tightest."""

ARC = 32
"""Pieces in which a quarter of a circle is drawn: 24 in across, that is true to 0.004 in."""

SLIT = 0.1
"""Half the thickness of an open run's wall, in tolerances: no more than not passable."""


def way_width(case: Case) -> float:
    """Least width of floor that counts as a way [brief units]."""
    least = min(case.brief.needs.aisle, case.units.from_inch(LEAST_WAY_IN))
    return max(least - case.units.from_inch(WAY_TOLERANCE_IN), 10.0 * case.tolerance)


def whole_floor(case: Case) -> Any:
    """The floor of a closed room; of an open run a wide square around it, less its walls."""
    if case.plan.closed:
        return case.plan.outline()
    outline = case.plan.outline()
    taken = [*_taken(case), *(placed.footprint.shape() for placed in case.bays)]
    west, south, east, north = shapely.union_all([outline, *taken]).bounds
    # Room for a hand and a person all around, even where no aisle is asked for.
    margin = max(4.0 * way_width(case), case.units.from_inch(LEAST_WAY_IN))
    around = shapely.box(west - margin, south - margin, east + margin, north + margin)
    # A wall without thickness would not stop anybody: it is cut out as a slit.
    walls = outline.buffer(SLIT * case.tolerance, cap_style="flat", join_style="mitre")
    return around.difference(walls)


def worn(floor: Any, width: float, arc: int = ARC) -> list[Any]:
    """Connected pieces of floor on which the centre of a disc of this width can be (erosion)."""
    # Each piece is a place of its own: what a disc cannot pass falls apart here.
    return list(shapely.get_parts(floor.buffer(-width / 2.0, quad_segs=arc)))


def given_back(places: list[Any], width: float, arc: int = ARC) -> list[Any]:
    """Those pieces, dilated again by half the width of the disc."""
    return list(shapely.buffer(places, width / 2.0, quad_segs=arc))


def _taken(case: Case) -> list[Any]:
    """Floor under hooks and mirrors with what hangs on them: one does not walk through coats."""
    found = []
    for mount in case.layout.mounts:
        line = case.plan.find(mount.wall)
        if line is not None:
            found.append(line.rect((mount.start, mount.end), (0.0, mount.depth)).shape())
    return found


def walked_floor(case: Case, floor: Any) -> Any:
    """All floor that can be walked on, coming from outside."""
    taken = shapely.union_all([*_taken(case), *(placed.footprint.shape() for placed in case.bays)])
    around = floor.envelope.exterior
    # A way exactly as wide as the least one is a way: floor worn to a line would vanish.
    width = way_width(case) - case.tolerance
    places = given_back(worn(floor.difference(taken), width), width)
    return shapely.union_all([place for place in places if _entered(case, place, around)])


def _entered(case: Case, place: Any, around: Any) -> bool:
    """Whether a place to walk in is entered from an opening, or from the open side."""
    if not case.plan.closed and place.distance(around) <= case.tolerance:
        return True
    for opening, line in case.openings():
        before = floor_before(case, opening, line, least=way_width(case))
        shared = place.intersection(before.buffer(case.tolerance, join_style="mitre"))
        if shared.is_empty:
            continue
        west, south, east, north = shared.bounds
        # A way as wide as the opening must lead on; touching at a corner is no way.
        wanted = min(way_width(case), opening.width)
        if max(east - west, north - south) >= wanted - case.tolerance:
            return True
    return False

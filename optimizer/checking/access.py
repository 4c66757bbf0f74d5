"""R9 Access: enough of every bay's front is open and reached over free floor.

Free floor is the room less every bay. A person counts as a disc as wide as the least way, so
that between two corners the distance straight from one to the other counts. The middle of the
disc can be on the free floor worn down by half of the way on all sides; worn floor that hangs
together, given its width back, is one place to walk in.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import shapely

from optimizer.checking.case import Case, Placed
from optimizer.checking.openings import floor_before
from optimizer.checking.shapes import Interval, Rect, common_part, united, without
from optimizer.errors import Fault

LEAST_WAY_IN = 24.0
"""A tight minimum for a way [in]; a narrower wished aisle asks for less. Common practice."""

WAY_TOLERANCE_IN = 1.0
"""How much narrower [in] a way may be at its tightest."""

ARC = 32
"""Pieces in which a quarter of a circle is drawn: 24 in across, that is true to 0.004 in."""

SLIT = 0.1
"""Half the thickness of an open run's wall, in tolerances: no more than not passable."""


def check_access(case: Case) -> Iterator[Fault]:
    """Findings on bays that cannot be got at; none are asked of a reach-in."""
    if case.reach_in:
        return
    reached = _reached_floor(case)
    for placed in case.bays:
        yield from _front(case, placed, reached)


def _way(case: Case) -> float:
    """Least width of floor that counts as a way [brief units]; at least the tolerance."""
    least = min(case.brief.needs.aisle, case.units.from_inch(LEAST_WAY_IN))
    return max(least - case.units.from_inch(WAY_TOLERANCE_IN), 10.0 * case.tolerance)


def _open_side(case: Case, taken: Any) -> Any:
    """A wide square of floor around an open run, less its walls and bays."""
    outline = case.plan.outline()
    west, south, east, north = shapely.union(outline, taken).bounds
    margin = 4.0 * _way(case)
    around = shapely.box(west - margin, south - margin, east + margin, north + margin)
    walls = outline.buffer(SLIT * case.tolerance, cap_style="flat", join_style="mitre")
    return around.difference(walls)


def _entered(case: Case, place: Any, around: Any) -> bool:
    """Whether one gets into a place to walk in: from an opening, or from the open side."""
    if not case.plan.closed and place.distance(around) <= case.tolerance:
        return True
    for opening, line in case.openings():
        before = floor_before(case, opening, line, least=_way(case))
        shared = place.intersection(before.buffer(case.tolerance, join_style="mitre"))
        if shared.is_empty:
            continue
        west, south, east, north = shared.bounds
        # A way as wide as the opening must lead on; touching at a corner is no way.
        wanted = min(_way(case), opening.width)
        if max(east - west, north - south) >= wanted - case.tolerance:
            return True
    return False


def _reached_floor(case: Case) -> Any:
    """All floor that one can walk on, coming from outside."""
    taken = shapely.union_all([placed.footprint.shape() for placed in case.bays])
    floor = case.plan.outline() if case.plan.closed else _open_side(case, taken)
    around = floor.envelope.exterior
    # A way exactly as wide as the least one is a way: floor worn to a line would vanish.
    half = (_way(case) - case.tolerance) / 2.0
    worn = floor.difference(taken).buffer(-half, quad_segs=ARC)
    places = [part.buffer(half, quad_segs=ARC) for part in shapely.get_parts(worn)]
    return shapely.union_all([place for place in places if _entered(case, place, around)])


def _spans(placed: Placed, geometry: Any) -> list[Interval]:
    """Stretches along a bay's wall that a piece of plan covers."""
    spans = []
    for part in shapely.get_parts(geometry):
        if not part.is_empty:
            west, south, east, north = part.bounds
            ends = [placed.wall.local(corner)[0] for corner in ((west, south), (east, north))]
            spans.append((min(ends), max(ends)))
    return united(spans)


def _blocked(case: Case, placed: Placed, front: Rect) -> Iterator[Interval]:
    """Stretches of a bay before which others stand; facing bays are the aisle's to find."""
    for other in case.bays:
        beside = other is not placed and not placed.wall.faces(other.wall)
        if beside and front.overlaps(other.footprint, case.tolerance):
            yield placed.wall.local_rect(other.footprint)[0]


def _front(case: Case, placed: Placed, reached: Any) -> Iterator[Fault]:
    """R9: one piece of the front is open, reached and long enough."""
    bay = placed.bay
    out = (bay.depth, bay.depth + max(case.brief.needs.aisle, 10.0 * case.tolerance))
    front = placed.wall.rect(placed.clear, out)
    open_pieces = without(placed.clear, _blocked(case, placed, front))
    walked = _spans(placed, front.shape().intersection(reached))
    shared = [common_part(piece, span) for piece in open_pieces for span in walked]
    longest = max((high - low for low, high in shared), default=0.0)
    wanted = min(bay.width, case.brief.construction.corner_opening)
    if longest < wanted - case.tolerance:
        widest = max((high - low for low, high in open_pieces), default=0.0)
        yield Fault(
            placed.pointer,
            f"bay {bay.id} has {case.say(widest)} of open front in one piece, of which "
            f"{case.say(max(longest, 0.0))} is reached over floor {case.say(_way(case))} wide; "
            f"{case.say(wanted)} is the least",
            "access",
        )

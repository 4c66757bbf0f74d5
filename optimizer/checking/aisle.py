"""R8 Aisle: room to stand before a bay, or in a reach-in the room that there is."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.checking.case import Case, Placed
from optimizer.errors import Fault


def check_aisle(case: Case) -> Iterator[Fault]:
    """Findings on walls and facing bays too near, and on what a reach-in cannot hold."""
    for placed in case.bays:
        if case.reach_in:
            yield from _in_reach_in(case, placed)
        else:
            yield from _walls_near(case, placed)
            yield from _bays_near(case, placed)


def nearest_wall(case: Case, placed: Placed, out: float) -> float | None:
    """Distance to the nearest wall that stands before a bay's wall within `out`; None if none."""
    # Shrunk by the tolerance: a wall that just touches it does not stand in it.
    zone = placed.wall.rect(placed.along, (0.0, out)).shape(case.tolerance)
    if zone.is_empty:
        return None
    # The part of each wall within the zone, and how far out its nearer end lies.
    found = []
    for line in case.plan.walls:
        hit = line.segment().intersection(zone)
        if line is not placed.wall and not hit.is_empty:
            west, south, east, north = hit.bounds
            found += [placed.wall.local((west, south))[1], placed.wall.local((east, north))[1]]
    return min(found, default=None)


def _in_reach_in(case: Case, placed: Placed) -> Iterator[Fault]:
    """R8: a reach-in's bays face an opening and go no deeper than the room."""
    bay = placed.bay
    if not any(case.plan.seen_through(opening, placed.wall) for opening, _ in case.openings()):
        yield Fault(
            placed.pointer,
            f"wall {bay.wall} faces no opening, and a reach-in is served from outside only",
            "reach_in_wall",
        )
    wall = nearest_wall(case, placed, bay.depth)
    if wall is not None:
        yield Fault(
            placed.pointer,
            f"bay {bay.id} is {case.say(bay.depth)} deep; the room is {case.say(wall)} deep there",
            "room_depth",
        )


def _walls_near(case: Case, placed: Placed) -> Iterator[Fault]:
    """R8: no wall within the bay's depth and the aisle."""
    bay, aisle = placed.bay, case.brief.needs.aisle
    wall = nearest_wall(case, placed, bay.depth + aisle)
    if wall is not None:
        yield Fault(
            placed.pointer,
            f"a wall stands {case.say(wall - bay.depth)} in front of bay {bay.id}; the aisle is "
            f"{case.say(aisle)}",
            "aisle",
        )


def _bays_near(case: Case, placed: Placed) -> Iterator[Fault]:
    """R8: no bay of a facing wall within the aisle."""
    bay, aisle = placed.bay, case.brief.needs.aisle
    front = placed.wall.rect(placed.along, (bay.depth, bay.depth + aisle))
    for other in case.bays:
        if placed.wall.faces(other.wall) and front.overlaps(other.footprint, case.tolerance):
            _, out = placed.wall.local_rect(other.footprint)
            yield Fault(
                placed.pointer,
                f"bay {other.bay.id} stands {case.say(out[0] - bay.depth)} in front of bay "
                f"{bay.id}; the aisle is {case.say(aisle)}",
                "aisle",
            )

"""R4 for rod zones, and the highest rod of R13."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.checking.case import Case, zone_depth
from optimizer.domain.layout import Bay, Zone, ZoneKind
from optimizer.errors import Fault


def check_rod(case: Case, pointer: str, bay: Bay, zone: Zone) -> Iterator[Fault]:
    """Findings on one rod zone: clothes, clearances, reach, depth and the board above."""
    if zone.hang is None or zone.rod_height is None:
        yield Fault(pointer, "a rod zone names its hang class and its rod height", "rod_unnamed")
    else:
        drop = case.brief.needs.hang_drop.of(zone.hang)
        yield from _clothes(case, pointer, zone, zone.rod_height, drop)
        yield from _rod_height(case, pointer, zone.rod_height)
    hang_depth = case.brief.construction.hang_depth
    depth = zone_depth(bay, zone)
    if abs(depth - hang_depth) > case.tolerance:
        yield Fault(
            f"{pointer}/depth",
            f"hung clothes {case.say(depth)} deep; hanging takes {case.say(hang_depth)}",
            "rod_depth",
        )
    yield from _surroundings(case, pointer, bay, zone)


def _clothes(case: Case, pointer: str, zone: Zone, rod: float, drop: float) -> Iterator[Fault]:
    """R4: the zone starts where the clothes end and leaves air above the rod."""
    if abs(zone.bottom - (rod - drop)) > case.tolerance:
        yield Fault(
            f"{pointer}/bottom",
            f"{zone.hang} clothes on a rod at {case.say(rod)} reach down to "
            f"{case.say(rod - drop)}, not to {case.say(zone.bottom)}",
            "rod_drop",
        )
    air = case.brief.construction.rod_clearance
    if zone.top < rod + air - case.tolerance:
        yield Fault(
            f"{pointer}/top",
            f"{case.say(zone.top - rod)} above the rod at {case.say(rod)}; hangers need "
            f"{case.say(air)}",
            "rod_clearance",
        )


def _rod_height(case: Case, pointer: str, rod: float) -> Iterator[Fault]:
    """R13: the one who reaches highest gets at the rod."""
    highest = case.reach.highest_rod
    if rod > highest + case.tolerance:
        yield Fault(
            f"{pointer}/rod_height",
            f"rod at {case.say(rod)}; the highest that is reached is {case.say(highest)}",
            "rod_height",
        )


def _surroundings(case: Case, pointer: str, bay: Bay, zone: Zone) -> Iterator[Fault]:
    """R4: air under the lowest clothes, and a board somewhere above every rod."""
    place = int(pointer.rsplit("/", 1)[1])
    air = case.brief.construction.floor_clearance
    # Over another zone the clothes may end right above it (R4).
    if place == 0 and zone.bottom < air - case.tolerance:
        yield Fault(
            f"{pointer}/bottom",
            f"clothes end {case.say(zone.bottom)} above the floor; {case.say(air)} is wanted",
            "floor_clearance",
        )
    if not any(above.kind is ZoneKind.SHELF for above in bay.zones[place + 1 :]):
        yield Fault(pointer, f"no board above the rod in bay {bay.id}", "rod_board")

"""R3 Heights, R4 Zones, the highest rod of R13: each bay as a stack of levels."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from optimizer.checking.case import Case, Placed, zone_depth
from optimizer.checking.rods import check_rod
from optimizer.checking.stored import things_in
from optimizer.domain.layout import Bay, Zone, ZoneKind
from optimizer.errors import Fault


def check_zones(case: Case) -> Iterator[Fault]:
    """Findings on the ceiling, the order of zones, and each kind of zone."""
    for placed in case.bays:
        yield from _ceiling(case, placed)
    for index, bay in enumerate(case.layout.bays):
        yield from _stack(case, f"/bays/{index}", bay)
    for pointer, bay, zone in case.zones():
        if zone.kind is ZoneKind.FLOOR:
            yield from _floor(case, pointer, bay, zone)
        elif zone.kind is ZoneKind.SHELF:
            yield from _shelf(case, pointer, bay, zone)
        else:
            yield from check_rod(case, pointer, bay, zone)


def _ceiling(case: Case, placed: Placed) -> Iterator[Fault]:
    """R3: nothing reaches above the ceiling over the bay."""
    clear = placed.wall.clear_height(placed.along, case.brief.room.ceiling_height)
    bay = placed.bay
    tops = [(f"{placed.pointer}/height", bay.height, f"the uprights of bay {bay.id} reach")]
    for place, zone in enumerate(bay.zones):
        pointer = f"{placed.pointer}/zones/{place}/top"
        tops.append((pointer, zone.top, f"zone {place + 1} of bay {bay.id} reaches"))
    for pointer, top, what in tops:
        if top > clear + case.tolerance:
            detail = f"{what} {case.say(top)}; the clear height there is {case.say(clear)}"
            yield Fault(pointer, detail, "ceiling")


def _underside(case: Case, zone: Zone) -> float:
    """Lowest point of a zone: the underside of the board of a shelf zone."""
    return zone.bottom - case.thickness if zone.kind is ZoneKind.SHELF else zone.bottom


def _stack(case: Case, pointer: str, bay: Bay) -> Iterator[Fault]:
    """R3 and R4: zones in order without overlap, uprights to the highest board, bay depth."""
    if not bay.zones:
        yield Fault(f"{pointer}/zones", f"bay {bay.id} holds nothing at all", "bay_empty")
        return
    for place, zone in enumerate(bay.zones):
        if zone.top < zone.bottom - case.tolerance:
            yield Fault(
                f"{pointer}/zones/{place}",
                f"its top at {case.say(zone.top)} is below its bottom at {case.say(zone.bottom)}",
                "zone_order",
            )
    for place, (below, above) in enumerate(pairwise(bay.zones), start=1):
        if _underside(case, above) < below.top - case.tolerance:
            yield Fault(
                f"{pointer}/zones/{place}",
                f"it begins at {case.say(_underside(case, above))} (board included), but what is "
                f"below it reaches up to {case.say(below.top)}",
                "zone_order",
            )
    yield from _bay_size(case, pointer, bay)


def _bay_size(case: Case, pointer: str, bay: Bay) -> Iterator[Fault]:
    """R3 and R4: the bay's height and depth are those of its boards and zones."""
    yield from _height(case, f"{pointer}/height", bay)
    deepest = max(zone_depth(bay, zone) for zone in bay.zones)
    if abs(deepest - bay.depth) > case.tolerance:
        yield Fault(
            f"{pointer}/depth",
            f"bay {bay.id} is said to be {case.say(bay.depth)} deep, its deepest zone is "
            f"{case.say(deepest)}",
            "bay_depth",
        )


def _height(case: Case, pointer: str, bay: Bay) -> Iterator[Fault]:
    """R3: a bay's height is the top of its highest board; free lines may have longer uprights."""
    boards = [zone.bottom for zone in bay.zones if zone.kind is ZoneKind.SHELF]
    highest = max(boards, default=0.0)
    if bay.height < highest - case.tolerance:
        yield Fault(
            pointer,
            f"the uprights of bay {bay.id} end at {case.say(bay.height)}, below its highest "
            f"board at {case.say(highest)}",
            "upright_height",
        )
    elif case.level and not boards:
        detail = f"bay {bay.id} has no board at all, and top boards are to lie on one line"
        yield Fault(pointer, detail, "upright_height")
    elif case.level and bay.height > highest + case.tolerance:
        yield Fault(
            pointer,
            f"bay {bay.id} is said to be {case.say(bay.height)} high, its highest board lies at "
            f"{case.say(highest)}",
            "upright_height",
        )


def _floor(case: Case, pointer: str, bay: Bay, zone: Zone) -> Iterator[Fault]:
    """R4: a floor zone starts at the floor and is the lowest, so there is at most one."""
    if not pointer.endswith("/zones/0"):
        detail = f"a floor zone of bay {bay.id} lies above another zone"
        yield Fault(pointer, detail, "floor_zone")
    if zone.bottom > case.tolerance:
        yield Fault(
            f"{pointer}/bottom",
            f"a floor zone of bay {bay.id} starts {case.say(zone.bottom)} above the floor",
            "floor_zone",
        )


def _shelf(case: Case, pointer: str, bay: Bay, zone: Zone) -> Iterator[Fault]:
    """R4: height, clear space and depth of a shelf, and room for its board."""
    rules, needs, tolerance = case.brief.construction, case.brief.needs, case.tolerance
    if zone.bottom > rules.max_shelf_height + tolerance:
        yield Fault(
            f"{pointer}/bottom",
            f"shelf at {case.say(zone.bottom)}; the highest allowed is "
            f"{case.say(rules.max_shelf_height)}",
            "shelf_height",
        )
    if zone.bottom < case.thickness - tolerance:
        yield Fault(
            f"{pointer}/bottom",
            f"shelf at {case.say(zone.bottom)}: its board of {case.say(case.thickness)} would "
            "reach below the floor",
            "shelf_floor",
        )
    # Shelves for counted things may be as close as the least of these asks for.
    asked = [thing.clear for thing in things_in(case).values()]
    least = min([rules.min_shelf_clear, needs.shelf_spacing - case.thickness, *asked])
    if zone.top - zone.bottom < least - tolerance:
        yield Fault(
            pointer,
            f"{case.say(zone.top - zone.bottom)} clear above the shelf at "
            f"{case.say(zone.bottom)}; at least {case.say(least)} is wanted",
            "shelf_clear",
        )
    # A board deeper than its bay is found where the bay's depth is.
    if zone_depth(bay, zone) <= tolerance:
        yield Fault(f"{pointer}/depth", f"a board of no depth in bay {bay.id}", "shelf_depth")

"""R10 Items: each piece fits where it stands and may stand there."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

from optimizer.checking.boxes import SUPPORT_HANGS
from optimizer.checking.case import Case, zone_depth
from optimizer.checking.rows import fit_between, pieces_between
from optimizer.domain.layout import Bay, Carried, Zone, ZoneKind
from optimizer.domain.needs import Item, Place, Use
from optimizer.errors import Fault
from optimizer.reference.weights import heavy_limit, item_weight

_ALLOWED = {
    ZoneKind.FLOOR: {Place.FLOOR, Place.ANY},
    ZoneKind.SHELF: {Place.SHELF, Place.ANY},
    ZoneKind.ROD: set[Place](),
}


def check_items(case: Case) -> Iterator[Fault]:
    """Findings on pieces housed twice, unknown, too big, or in a wrong place."""
    items = {item.id: item for item in case.brief.needs.items}
    housed: Counter[str] = Counter()
    for pointer, bay, zone in case.zones():
        yield from _row(case, pointer, bay, zone, items)
        for place, item_id in enumerate(zone.items):
            where = f"{pointer}/items/{place}"
            housed[item_id] += 1
            item = items.get(item_id)
            if item is None:
                yield Fault(where, f"the brief has no item {item_id}", "item_unknown")
                continue
            # Counted over the whole layout: a piece that is there twice is a fault of the second
            # place.
            if housed[item_id] > item.count:
                detail = f"piece {housed[item_id]} of {item_id}, of which there are {item.count}"
                yield Fault(where, detail, "item_count")
            yield from _size(case, where, item, bay, zone)
            yield from _position(case, where, item, zone)


def _row(case: Case, pointer: str, bay: Bay, zone: Zone, items: dict[str, Item]) -> Iterator[Fault]:
    """R10: the pieces of a zone fit side by side, with air between them."""
    known = [items[item_id] for item_id in zone.items if item_id in items]
    if any(item.fits_between for item in known):
        yield from _unit(case, pointer, bay, zone, known)
        return
    air = case.brief.construction.item_clearance
    taken = sum(item.width for item in known) + (len(known) + 1) * air
    # What is too tall for the cleats stands between those on the side walls, which narrow the bay.
    between = any(_before_cleats(case, item, bay, zone) for item in known)
    cleats = 2.0 * case.brief.construction.cleat_thickness if between else 0.0
    if known and taken + cleats > bay.width + case.tolerance:
        where = f"; {case.say(bay.width - cleats)} is between its cleats" if between else ""
        names = ", ".join(item.id for item in known)
        take, them = ("side by side take", "them") if len(known) > 1 else ("takes", "it")
        yield Fault(
            f"{pointer}/items",
            f"{names} {take} {case.say(taken)} with the air around {them}; bay {bay.id} is "
            f"{case.say(bay.width)} wide{where}",
            "item_width",
        )
    elif known and bay.mid_supports:
        yield from _between_supports(case, pointer, bay, zone, known)


def _unit(case: Case, pointer: str, bay: Bay, zone: Zone, known: list[Item]) -> Iterator[Fault]:
    """R10: a bought unit is alone in its zone, in a bay as wide as it asks, carried by uprights
    or side walls and without mid supports."""
    unit = next(item for item in known if item.fits_between)
    fits = unit.fits_between
    if len(known) > 1 or zone.stored:
        yield Fault(
            f"{pointer}/items", f"{unit.id} fills its bay: nothing is beside it", "unit_alone"
        )
    if bay.mid_supports or Carried.CORNER in (bay.left, bay.right):
        detail = f"{unit.id} stands between uprights or walls, with no support inside bay {bay.id}"
        yield Fault(f"{pointer}/items", detail, "unit_place")
    if fits and not fits.least - case.tolerance <= bay.width <= fits.most + case.tolerance:
        yield Fault(
            f"{pointer}/items",
            f"{unit.id} asks for {case.say(fits.least)} to {case.say(fits.most)} of inside width; "
            f"bay {bay.id} is {case.say(bay.width)} wide",
            "unit_width",
        )


def _between_supports(
    case: Case, pointer: str, bay: Bay, zone: Zone, known: list[Item]
) -> Iterator[Fault]:
    """R10: what is too tall to pass under the supports over a zone stands between them.

    Where one of a row is, all of the row stand so.
    """
    air = case.brief.construction.item_clearance
    clear = _hanging_low(case, bay, zone, supports=True) - zone.bottom
    if max(item.height for item in known) + air <= clear + case.tolerance:
        return
    pieces = pieces_between((bay.start, bay.end), bay.mid_supports, case.thickness)
    # The tolerance goes to each piece: widths and supports are both rounded.
    slack = [piece + case.tolerance for piece in pieces]
    if not fit_between([item.width for item in known], slack, air):
        yield Fault(
            f"{pointer}/items",
            f"{', '.join(item.id for item in known)} do not fit side by side, with the air around "
            f"them, into the pieces of {', '.join(case.say(piece) for piece in pieces)} between "
            f"the supports over them in bay {bay.id}",
            "item_width",
        )


def _size(case: Case, pointer: str, item: Item, bay: Bay, zone: Zone) -> Iterator[Fault]:
    """R10: height and depth of one piece."""
    tall = item.height + case.brief.construction.item_clearance
    lowest = _hanging_low(case, bay, zone)
    clear = min(zone.top, lowest) - zone.bottom
    # What is shallow enough stands in front of the cleats.
    before = _before_cleats(case, item, bay, zone)
    if tall > clear + case.tolerance and not before:
        reason = ", clear of what hangs under the board above" if lowest < zone.top else ""
        yield Fault(
            pointer,
            f"{item.id} takes {case.say(tall)} of height with air; "
            f"{case.say(max(clear, 0.0))} is there{reason}",
            "item_height",
        )
    depth = zone_depth(bay, zone)
    if item.depth > depth + case.tolerance:
        yield Fault(
            pointer,
            f"{item.id} is {case.say(item.depth)} deep; the zone is {case.say(depth)}",
            "item_depth",
        )


def _before_cleats(case: Case, item: Item, bay: Bay, zone: Zone) -> bool:
    """R10: whether a piece too high to stand under the cleats of the board over it stands before
    the one at the back and between those at the sides, in under a stiffener where there is one."""
    rules = case.brief.construction
    tall, lowest = item.height + rules.item_clearance, _hanging_low(case, bay, zone)
    if tall <= min(zone.top, lowest) - zone.bottom + case.tolerance:
        return False
    # It comes in from the front under the lip of a stiffener, and stands up to the board itself.
    lip = rules.stiffener_height if bay.stiffened else 0.0
    # Back up to the board itself: what hangs under it was taken off in `_hanging_low`.
    board = lowest + max(rules.cleat_height, lip)
    if item.fits_between:
        return False
    high = tall <= min(zone.top, board - lip) - zone.bottom + case.tolerance
    return high and item.depth <= zone_depth(bay, zone) - rules.cleat_thickness + case.tolerance


def _hanging_low(case: Case, bay: Bay, zone: Zone, *, supports: bool = False) -> float:
    """R10: lowest point of the board over a zone with its cleats, or its stiffener.

    With `supports`, where a mid support hangs under it. Infinite when there is no board above.
    A zone drawn lower than its board keeps clear of the cleats as far as it is lower.
    """
    rules = case.brief.construction
    boards = [
        (other.bottom - case.thickness, zone_depth(bay, other))
        for other in bay.zones
        if other.kind is ZoneKind.SHELF
        and other.bottom - case.thickness >= zone.top - case.tolerance
    ]
    under, depth = min(boards, default=(math.inf, 0.0))
    down = max(rules.cleat_height, rules.stiffener_height if bay.stiffened else 0.0)
    return under - max(down, SUPPORT_HANGS * depth if supports else 0.0)


def _position(case: Case, pointer: str, item: Item, zone: Zone) -> Iterator[Fault]:
    """R10: floor or shelf as the item asks, heavy pieces low, daily pieces in easy reach."""
    if item.place not in _ALLOWED[zone.kind]:
        yield Fault(
            pointer, f"{item.id} (place: {item.place}) stands in a {zone.kind} zone", "item_place"
        )
    if zone.kind is not ZoneKind.SHELF:
        return
    heavy, highest = heavy_limit(case.units)
    weight = item_weight(item, case.units)
    if weight is not None and weight >= heavy and zone.bottom > highest + case.tolerance:
        unit = "lb" if case.units.value == "in" else "kg"
        yield Fault(
            pointer,
            f"{item.id} weighs {weight:g} {unit} and stands {case.say(zone.bottom)} up; from "
            f"{heavy:g} {unit} on {case.say(highest)} is the highest",
            "item_weight",
        )
    easy = case.reach.easy_high
    if item.use is Use.DAILY and zone.bottom > easy + case.tolerance:
        yield Fault(
            pointer,
            f"{item.id} is in daily use and stands {case.say(zone.bottom)} up; easy reach ends "
            f"at {case.say(easy)}",
            "item_reach",
        )

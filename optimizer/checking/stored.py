"""R19 Stored: what is counted stands on shelves high, deep and long enough for it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from optimizer.checking.boxes import SUPPORT_HANGS
from optimizer.checking.case import Case, zone_depth
from optimizer.checking.rows import fit_between, pieces_between
from optimizer.domain.layout import Bay, Zone, ZoneKind
from optimizer.errors import Fault
from optimizer.reference.stored import Thing, things_of


def things_in(case: Case) -> dict[str, Thing]:
    """What the brief wants stored, by kind; nothing where a kind is unknown."""
    try:
        things = things_of(case.brief.needs, case.thickness, case.units)
    except KeyError:
        return {}
    return {thing.kind: thing for thing in things}


def rows_of(zone: Zone, things: Mapping[str, Thing]) -> list[float]:
    """Widths of the rows of counted things on a zone."""
    widths: list[float] = []
    for kept in zone.stored:
        thing = things.get(kept.kind)
        if thing is not None:
            # Rounded up: a row that is not full takes as much of the shelf as a full one.
            widths += [thing.width] * -(-kept.count // thing.together)
    return widths


def check_stored(case: Case) -> Iterator[Fault]:
    """Findings on things stored that are unknown, too many, or on shelves that do not take them."""
    things = things_in(case)
    held: Counter[str] = Counter()
    for pointer, bay, zone in case.zones():
        for place, kept in enumerate(zone.stored):
            where, thing = f"{pointer}/stored/{place}", things.get(kept.kind)
            held[kept.kind] += kept.count
            if thing is None:
                yield Fault(where, f"the brief stores no {kept.kind}", "stored_unknown")
                continue
            if held[kept.kind] > thing.count:
                detail = f"{held[kept.kind]} {kept.kind} are stored, of which there are "
                yield Fault(where, f"{detail}{thing.count}", "stored_count")
            yield from _size(case, where, thing, bay, zone)
        yield from _length(case, pointer, bay, zone, things)


def _size(case: Case, pointer: str, thing: Thing, bay: Bay, zone: Zone) -> Iterator[Fault]:
    """R19: a shelf, as high over its board and as deep as the kind asks for."""
    if zone.kind is not ZoneKind.SHELF:
        yield Fault(pointer, f"{thing.kind} in a {zone.kind} zone", "stored_place")
        return
    clear, depth = zone.top - zone.bottom, zone_depth(bay, zone)
    rules, spacing = case.brief.construction, case.brief.needs.shelf_spacing
    usual = min(rules.min_shelf_clear, spacing - case.thickness)
    if bay.stiffened and clear < usual - case.tolerance:
        # What is closer than wished has no room for a stiffener in front of it.
        clear -= rules.stiffener_height
    if clear < thing.clear - case.tolerance:
        detail = f"{thing.kind} ask for {case.say(thing.clear)} clear; {case.say(clear)} is there"
        yield Fault(pointer, detail, "stored_height")
    if depth < thing.depth - case.tolerance:
        detail = f"{thing.kind} are {case.say(thing.depth)} deep; the shelf is {case.say(depth)}"
        yield Fault(pointer, detail, "stored_depth")


def _length(
    case: Case, pointer: str, bay: Bay, zone: Zone, things: Mapping[str, Thing]
) -> Iterator[Fault]:
    """R19: rows go side by side into the shelf, beside its items, between mid supports."""
    rows = rows_of(zone, things)
    if not rows:
        return
    taken = sum(rows) + _beside(case, zone)
    if taken > bay.width + case.tolerance:
        detail = f"what stands there takes {case.say(taken)}; bay {bay.id} is "
        yield Fault(f"{pointer}/stored", f"{detail}{case.say(bay.width)} wide", "stored_width")
    elif bay.mid_supports and _hangs_into(case, bay, zone, things):
        pieces = pieces_between((bay.start, bay.end), bay.mid_supports, case.thickness)
        slack = [piece + case.tolerance for piece in pieces]
        if zone.items or not fit_between(rows, slack, 0.0):
            told = ", ".join(case.say(piece) for piece in pieces)
            yield Fault(
                f"{pointer}/stored",
                f"the rows on this shelf do not fit between the supports over it ({told})",
                "stored_width",
            )


def _beside(case: Case, zone: Zone) -> float:
    """Width that the items on a shelf take."""
    sizes = {item.id: item.width for item in case.brief.needs.items}
    known = [sizes[name] for name in zone.items if name in sizes]
    air = case.brief.construction.item_clearance
    return sum(known) + (len(known) + 1) * air if known else 0.0


def _hangs_into(case: Case, bay: Bay, zone: Zone, things: Mapping[str, Thing]) -> bool:
    """Whether mid supports of the board over a zone hang into what stands on it."""
    boards = [
        (other.bottom - case.thickness, zone_depth(bay, other))
        for other in bay.zones
        if other.kind is ZoneKind.SHELF and other.bottom - case.thickness >= zone.top - 1e-3
    ]
    if not boards:
        return False
    # The lowest board over the zone.
    under, depth = min(boards)
    tallest = max(things[kept.kind].clear for kept in zone.stored if kept.kind in things)
    return zone.bottom + tallest > under - SUPPORT_HANGS * depth + case.tolerance

"""Which things stored by count stand on which shelves of the placed bays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from optimizer.domain.layout import Bay, Kept, ZoneKind
from optimizer.model.mixed_shelves import packed
from optimizer.model.shelf_rows import Shelf, shelves_of, stow
from optimizer.patterns.bay_rules import BayRules
from optimizer.tolerances import TOUCH


def stowed(bays: Sequence[Bay], rules: BayRules) -> tuple[Bay, ...]:
    """The bays with things on their shelves.

    Shelves hold one kind each where everything goes in that way, else as many rows as can be had.
    """
    if not rules.things:
        return tuple(bays)
    shelves = [
        shelf
        for number, bay in enumerate(bays)
        for shelf in shelves_of(
            bay.zones, bay.width, [p - bay.start for p in bay.mid_supports], number, rules
        )
    ]
    easy = (rules.reach.easy_low + rules.reach.easy_high) / 2.0
    # Copies with lists of their own: the shelves themselves stay empty for the other ways.
    tried = [replace(shelf, free=list(shelf.free), rows={}) for shelf in shelves]
    _as_before(tried, bays, rules)
    if any(shelf.rows for shelf in tried) and not stow(tried, rules.things, easy):
        # What stood there before stays only where all goes in so.
        tried = [replace(shelf, free=list(shelf.free), rows={}) for shelf in shelves]
    if not stow(tried, rules.things, easy):
        spare = max(0.0, _wished(bays, rules) - rules.brief.needs.shelf_length)
        # The integer program is for the few layouts in which one kind a shelf is not enough.
        tried = packed(shelves, rules.things, spare) or tried
    kept = _counted(tried, rules)
    return tuple(_holding(bay, number, kept) for number, bay in enumerate(bays))


def _as_before(shelves: Sequence[Shelf], bays: Sequence[Bay], rules: BayRules) -> None:
    """Give the shelves of pinned bays what stood there before, as far as it is still asked for."""
    numbers = {thing.kind: number for number, thing in enumerate(rules.things)}
    left = [thing.rows for thing in rules.things]
    stood = {
        (number, kept.zone, numbers[kept.kind]): kept.count
        for pin in rules.brief.pins
        for number, bay in enumerate(bays)
        if bay.wall == pin.wall and abs(bay.start - pin.start) < TOUCH
        for kept in pin.stored
        if kept.kind in numbers
    }
    for shelf in shelves:
        for kind in sorted(shelf.takes):
            thing, count = rules.things[kind], stood.get((shelf.bay, shelf.zone, kind), 0)
            # Rounded up: a row that was not full stood there as a row.
            rows = min(left[kind], shelf.room(thing.width), -(-count // thing.together))
            if rows > 0:
                shelf.give(kind, thing.width, rows)
                left[kind] -= rows


def _wished(bays: Sequence[Bay], rules: BayRules) -> float:
    """Length of shelves at least as far apart as the wished spacing [brief units]."""
    zones = [(bay, zone) for bay in bays for zone in bay.zones if zone.kind is ZoneKind.SHELF]
    return sum(bay.width for bay, zone in zones if not rules.is_fine(zone))


def _holding(bay: Bay, number: int, kept: dict[tuple[int, int], tuple[Kept, ...]]) -> Bay:
    """The bay with what its shelves keep, by number of the bay and place of the zone."""
    zones = [
        zone.model_copy(update={"stored": kept.get((number, place), ())})
        for place, zone in enumerate(bay.zones)
    ]
    return bay.model_copy(update={"zones": tuple(zones)})


def _counted(shelves: Sequence[Shelf], rules: BayRules) -> dict[tuple[int, int], tuple[Kept, ...]]:
    """Rows turned into counts; the last row of a kind may be short."""
    left = [thing.count for thing in rules.things]
    found: dict[tuple[int, int], tuple[Kept, ...]] = {}
    for shelf in shelves:
        kept = []
        for number, rows in sorted(shelf.rows.items()):
            thing = rules.things[number]
            count = min(left[number], rows * thing.together)
            left[number] -= count
            if count:
                kept.append(Kept(kind=thing.kind, count=count))
        found[shelf.bay, shelf.zone] = tuple(kept)
    return found

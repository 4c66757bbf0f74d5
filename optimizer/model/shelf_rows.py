"""Rows of things on shelves, one kind to a shelf as far as that goes.

Each kind fills whole shelves, bay by bay, beginning with the shelves that suit the fewest other
kinds; what is left over stands beside another kind. Rows are whole, and stand between mid supports
where some hang down into the zone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from optimizer.domain.layout import Zone
from optimizer.patterns.bay_rules import BayRules
from optimizer.reference.stored import Thing
from optimizer.tolerances import FINE


@dataclass
class Shelf:
    """A shelf that takes some things: the free pieces of its length, and the rows given to each
    thing."""

    bay: int
    zone: int
    bottom: float
    takes: frozenset[int]
    fine: bool
    free: list[float]
    rows: dict[int, int] = field(default_factory=dict)

    def room(self, width: float) -> int:
        """Number of rows of a width that still go onto it."""
        return sum(int((piece + FINE) // width) for piece in self.free)

    def give(self, thing: int, width: float, rows: int) -> None:
        """Give a thing so many rows; the caller has made sure that there is room."""
        self.rows[thing] = self.rows.get(thing, 0) + rows
        for place, piece in enumerate(self.free):
            taken = min(rows, int((piece + FINE) // width))
            # From the first piece on: which of them a row stands on is not told, only that it fits.
            self.free[place] = piece - taken * width
            rows -= taken


def shelves_of(
    zones: Sequence[Zone], width: float, supports: Sequence[float], bay: int, rules: BayRules
) -> list[Shelf]:
    """The shelves of a bay that take anything; `supports` are positions from the bay's left end."""
    found = []
    for index, zone in enumerate(zones):
        takes = rules.takes(zone)
        free = _free(zones, index, width, supports, rules)
        if takes and free:
            found.append(Shelf(bay, index, zone.bottom, takes, rules.is_fine(zone), free))
    return found


def _free(
    zones: Sequence[Zone], index: int, width: float, supports: Sequence[float], rules: BayRules
) -> list[float]:
    """The pieces of a shelf with no item on them, cut where mid supports hang into the zone."""
    zone, construction = zones[index], rules.brief.construction
    hung = bool(supports) and rules.under_board(zones, index)
    if zone.items:
        units = {piece.id for piece in rules.pieces if piece.between}
        if not units.isdisjoint(zone.items):
            return []
        sizes = {item.id: item.width for item in rules.brief.needs.items}
        taken = sum(sizes[name] for name in zone.items)
        taken += (len(zone.items) + 1) * construction.item_clearance
        left = width - taken - 2 * construction.cleat_thickness
        # Where supports hang between items and rows, no one can tell what fits beside what (R19).
        return [] if hung or left <= FINE else [left]
    if not hung:
        return [width]
    # Positions are centres, and those of the uprights lie half a panel outside the bay.
    half = rules.panel / 2.0
    ends = [-half, *sorted(supports), width + half]
    return [max(0.0, b - a - rules.panel) for a, b in pairwise(ends)]


def stow(shelves: Sequence[Shelf], things: Sequence[Thing], easy: float) -> bool:
    """Give rows to things as far as there is room, beside rows given before; True if all went in.

    `easy` is the height that is reached most easily [brief units].
    """
    order = sorted(
        range(len(things)),
        # The kind with the fewest shelves chooses first, then the highest: what is easy to place
        # can still go elsewhere.
        key=lambda n: (sum(n in shelf.takes for shelf in shelves), -things[n].clear, n),
    )
    there = {number: sum(shelf.rows.get(number, 0) for shelf in shelves) for number in order}
    left = {number: things[number].rows - there[number] for number in order}
    for mixed in (False, True):
        for number in order:
            own = [s for s in shelves if number in s.takes and (mixed or not s.rows)]
            for shelf in sorted(own, key=lambda s: _place(s, own, things[number], easy)):
                rows = min(left[number], shelf.room(things[number].width))
                if rows:
                    shelf.give(number, things[number].width, rows)
                    left[number] -= rows
    return not any(left.values())


def _place(
    shelf: Shelf, shelves: Sequence[Shelf], thing: Thing, easy: float
) -> tuple[int, int, int, float, int]:
    """Sort key of a shelf for a thing: which one it fills first.

    Shelves for little else, in a bay with many of them, footwear low and everything else within
    reach.
    """
    alike = [s for s in shelves if s.takes == shelf.takes and s.fine is shelf.fine]
    beside = sum(s.room(thing.width) for s in alike if s.bay == shelf.bay)
    away = shelf.bottom if thing.unit == "pair" else abs(shelf.bottom - easy)
    return (len(shelf.takes), not shelf.fine, -beside, away, shelf.bay)

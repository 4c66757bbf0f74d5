"""Sums as variables of their own, which the alternatives and the search need.

Width and number of bays by wall and look, empty wall, and pieces of an item by wall and level. They
add nothing to the model: each only equals what other variables add up to.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from optimizer.model.formulation import Formulation
from optimizer.model.records import Rank, SlotVars
from optimizer.patterns.pattern import look_of
from optimizer.scoring.distance import EMPTY
from optimizer.solving import Tally, total


@dataclass(frozen=True, slots=True)
class Lack:
    """What an amount lacks of what an earlier layout had: the variable `lacking`, and the binary
    `flag` that is 1 where it has no more."""

    had: float
    lacking: Any
    flag: Any


class Tallies:
    """Variables that count what is on each wall of a formulation."""

    def __init__(self, model: Formulation) -> None:
        """Adds the variables for widths at once; those for pieces of items come when first asked
        for."""
        self.model = model
        self.ties: list[Tally] = []
        self.lacks: dict[str, list[Lack]] = {}
        """By name of the amount, in the order of what was had (see `separation`)."""
        self._widths: dict[tuple[int, str], Any] = {}
        self._pieces: dict[tuple[str, int, str], Any] = {}
        kinds: dict[tuple[int, str], list[SlotVars]] = {}
        for vars_ in model.slots:
            look = look_of(vars_.slot.pattern.zones)
            kinds.setdefault((model.wall_of(vars_.slot), look), []).append(vars_)
        for number, ((wall, kind), slots) in enumerate(kinds.items()):
            self._widths[wall, kind] = self._kind(wall, slots, number)
        for wall in sorted({stretch.wall for stretch in model.surveyed.stretches}):
            taken = [width for (own, _), width in self._widths.items() if own == wall]
            empty = model.continuous(f"x_{wall}_{EMPTY}", self._length(wall))
            model.add(empty == self._length(wall) - total(taken), f"x_{wall}_{EMPTY}")
            self._widths[wall, EMPTY] = empty

    def _length(self, wall: int) -> float:
        """Clear length of a wall [brief units]."""
        return float(self.model.rules.brief.room.walls[wall].clear_length)

    def _kind(self, wall: int, slots: list[SlotVars], number: int) -> Any:
        """Width of the bays of one look on one wall, tied to their number."""
        model, name = self.model, f"{wall}_{number}"
        least = min(v.slot.min_width for v in slots)
        most = max(v.widest for v in slots)
        width = model.continuous(f"x_{name}", self._length(wall))
        # A wall may carry both ends of a run, so that n bays take n - 1 uprights.
        fitting = int((self._length(wall) + model.rules.panel) // least)
        count = model.integer(f"b_{name}", fitting, Rank.COUNTS)
        model.add(width == total(v.width for v in slots), f"x_{name}")
        model.add(count == total(v.count for v in slots), f"b_{name}")
        self.ties.append(Tally(width.name, count.name, least, most))
        return width

    def width(self, wall: int, kind: str) -> Any | None:
        """Total width of the bays of one look on a wall (or of empty wall); None where there can be
        none."""
        return self._widths.get((wall, kind))

    def pieces(self, item: str, wall: int, level: str) -> Any | None:
        """Number of pieces of an item on a wall's floor or shelves; None where there can be
        none."""
        key = item, wall, level
        if key not in self._pieces:
            held = [
                count * held
                for nook in self.model.nooks
                if nook.wall == wall and nook.on_floor is (level == "floor")
                for host, held in nook.held
                for name, count in host.group.counts
                if name == item
            ]
            self._pieces[key] = self._sum(held, item) if held else None
        return self._pieces[key]

    def outside(self, item: str) -> Any:
        """Number of pieces of an item that are not housed at all."""
        key = item, -1, EMPTY
        if key not in self._pieces:
            count = self._count(item)
            self._pieces[key] = self._sum([count - self.model.housed[item]], item)
        return self._pieces[key]

    def _count(self, item: str) -> int:
        """Number of pieces of an item that the brief has."""
        return next(p.count for p in self.model.rules.pieces if p.id == item)

    def _sum(self, terms: list[Any], item: str) -> Any:
        """A new variable that equals a sum of pieces of an item."""
        name = f"p_{len(self._pieces)}"
        pieces = self.model.continuous(name, self._count(item))
        self.model.add(pieces == total(terms), name)
        return pieces

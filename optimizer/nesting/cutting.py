"""The cutting problem in whole numbers, and the pieces its answers are made of.

Sizes here include one kerf each: a row of parts with a kerf between neighbours fits a
length exactly when the sum of (part + kerf) is at most (length + kerf). Rips divide a
sheet into strips along its width; crosscuts divide a strip into parts. With `trimmed` a
strip may hold parts lower than itself, which one more cut brings to size.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

Counts = tuple[tuple[int, int], ...]
"""Pairs (index, how many), sorted by index, none of them zero."""


@dataclass(frozen=True, slots=True)
class Kind:
    """Equal parts wanted `demand` times."""

    width: int
    height: int
    demand: int
    can_turn: bool


@dataclass(frozen=True, slots=True)
class Item:
    """A kind in one of its positions on the sheet."""

    kind: int
    width: int
    height: int
    turned: bool
    demand: int


@dataclass(frozen=True, slots=True)
class Bin:
    """A stock size: usable size, how many (None: any number), cost of one."""

    width: int
    height: int
    count: int | None
    cost: float


@dataclass(frozen=True, slots=True)
class Strip:
    """What is cut from one strip: counts of items; as high as its highest item."""

    capacity: int
    height: int
    counts: Counts


@dataclass(frozen=True, slots=True)
class Rips:
    """How a sheet of one bin is ripped: counts of slots by height."""

    bin: int
    counts: Counts


@dataclass(frozen=True, slots=True)
class Packed:
    """One sheet of a bin with its strips."""

    bin: int
    strips: tuple[Strip, ...]


@dataclass(frozen=True)
class Cutting:
    """Kinds to cut and bins to cut them from."""

    kinds: tuple[Kind, ...]
    bins: tuple[Bin, ...]
    trimmed: bool = True
    turning: bool = True

    @cached_property
    def items(self) -> tuple[Item, ...]:
        """Kinds in every position that fits a bin, from low to high."""
        found = [
            item for index, kind in enumerate(self.kinds) for item in self._positions(index, kind)
        ]
        return tuple(sorted(found, key=lambda item: (item.height, item.width, item.kind)))

    @cached_property
    def heights(self) -> tuple[int, ...]:
        """Heights a strip can have, ascending."""
        return tuple(sorted({item.height for item in self.items}))

    @cached_property
    def widths(self) -> tuple[int, ...]:
        """Widths of bins, ascending."""
        return tuple(sorted({stock.width for stock in self.bins}))

    @cached_property
    def cost_of_all(self) -> float:
        """Cost of all stock there is; infinite when there is any number of it."""
        return sum(math.inf if b.count is None else b.count * b.cost for b in self.bins)

    def _positions(self, index: int, kind: Kind) -> list[Item]:
        """The positions of a kind that fit some bin."""
        sizes = [(kind.width, kind.height, False)]
        if kind.can_turn and self.turning and kind.width != kind.height:
            sizes.append((kind.height, kind.width, True))
        return [
            Item(index, width, height, turned, kind.demand)
            for width, height, turned in sizes
            if any(width <= stock.width and height <= stock.height for stock in self.bins)
        ]

    def kinds_in(self, strip: Strip) -> Counter[int]:
        """How many of each kind a strip gives."""
        found: Counter[int] = Counter()
        for item, count in strip.counts:
            found[self.items[item].kind] += count
        return found

    def strip_of(self, capacity: int, counts: Counts) -> Strip:
        """The strip that holds `counts` of items."""
        return Strip(capacity, max(self.items[item].height for item, _ in counts), counts)

    def cost_of(self, sheets: Sequence[Packed]) -> float:
        """Cost of the sheets together."""
        return sum(self.bins[sheet.bin].cost for sheet in sheets)

"""The cutting problem in whole numbers, and the pieces its answers are made of.

Sizes here include one kerf each: a row of parts with a kerf between neighbours fits a
length exactly when the sum of (part + kerf) is at most (length + kerf). The first cuts
divide a sheet into strips along its width, or `across`, along its height; the second divide
a strip into parts. With `trimmed` a strip may hold parts lower than itself, which one more
cut brings to size. A sheet whose first cuts run across is a bin of its own, turned over its
diagonal, and so are the items in it; both bins of a sheet draw on one `stock`.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

Counts = tuple[tuple[int, int], ...]
"""Pairs (index, how many), sorted by index, none of them zero."""

Lane = tuple[bool, int]
"""Way (`across`) and length of strips: those of one lane may change places."""


@dataclass(frozen=True, slots=True)
class Kind:
    """Equal parts wanted `demand` times."""

    width: int
    height: int
    demand: int
    can_turn: bool


@dataclass(frozen=True, slots=True)
class Item:
    """A kind in one of its positions: `width` along the strip, `height` across it."""

    kind: int
    width: int
    height: int
    turned: bool
    demand: int
    across: bool = False


@dataclass(frozen=True, slots=True)
class Bin:
    """A stock size and the way of its first cuts: length and total height of its strips, how
    many there are (None: any number), cost of one."""

    width: int
    height: int
    count: int | None
    cost: float
    stock: int = 0
    across: bool = False

    @property
    def lane(self) -> Lane:
        """What its strips have in common."""
        return self.across, self.width


@dataclass(frozen=True, slots=True)
class Strip:
    """What is cut from one strip: counts of items; as high as its highest item."""

    lane: Lane
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
class CuttingProblem:
    """What is to be cut: kinds of pieces with their demand, and the bins to cut them from.

    A bin is a stock sheet with the way of its first cuts. With `trimmed` a piece may be lower than
    its strip.
    """

    kinds: tuple[Kind, ...]
    bins: tuple[Bin, ...]
    trimmed: bool = True
    turning: bool = True

    @cached_property
    def items(self) -> tuple[Item, ...]:
        """Kinds in every position that fits a bin, one way after the other, from low to high."""
        found = [
            item for index, kind in enumerate(self.kinds) for item in self._positions(index, kind)
        ]
        return tuple(
            sorted(found, key=lambda item: (item.across, item.height, item.width, item.kind))
        )

    @cached_property
    def ways(self) -> tuple[bool, ...]:
        """The ways of the first cuts that any item has."""
        return tuple(sorted({item.across for item in self.items}))

    def heights(self, across: bool) -> tuple[int, ...]:
        """Heights a strip of one way can have, ascending."""
        return tuple(sorted({item.height for item in self.items if item.across == across}))

    @cached_property
    def lanes(self) -> tuple[Lane, ...]:
        """The lanes of the bins."""
        return tuple(sorted({stock.lane for stock in self.bins}))

    @cached_property
    def stocks(self) -> tuple[Bin, ...]:
        """One bin of each stock."""
        return tuple({b.stock: b for b in reversed(self.bins)}.values())[::-1]

    @cached_property
    def cost_of_all(self) -> float:
        """Cost of all stock there is; infinite when there is any number of it."""
        return sum(math.inf if b.count is None else b.count * b.cost for b in self.stocks)

    def _positions(self, index: int, kind: Kind) -> list[Item]:
        """The positions of a kind that fit some bin."""
        # A square is the same turned: one position will do.
        sizes = [(kind.width, kind.height, False)]
        if kind.can_turn and self.turning and kind.width != kind.height:
            sizes.append((kind.height, kind.width, True))
        placed = [
            (height, width, turned, across) if across else (width, height, turned, across)
            for across in sorted({stock.across for stock in self.bins})
            for width, height, turned in sizes
        ]
        return [
            Item(index, width, height, turned, kind.demand, across)
            for width, height, turned, across in placed
            if any(
                b.across == across and width <= b.width and height <= b.height for b in self.bins
            )
        ]

    def kinds_in(self, strip: Strip) -> Counter[int]:
        """How many of each kind a strip gives."""
        found: Counter[int] = Counter()
        for item, count in strip.counts:
            found[self.items[item].kind] += count
        return found

    def strip_of(self, lane: Lane, counts: Counts) -> Strip:
        """The strip that holds `counts` of items."""
        return Strip(lane, max(self.items[item].height for item, _ in counts), counts)

    def cost_of(self, sheets: Sequence[Packed]) -> float:
        """Cost of the sheets together."""
        return sum(self.bins[sheet.bin].cost for sheet in sheets)

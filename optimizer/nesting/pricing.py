"""Pricing: the best strips and sheets for given prices of the parts.

The knapsack of a strip gives the best strip of every height and width, the knapsack of a
sheet the best way to rip it into strips of such values (Gilmore, Gomory 1965). A strip is
as high as its highest part, so a sheet has no more strips of a height than there are parts
of that height.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from optimizer.nesting.cutting import Cutting, Rips, Strip
from optimizer.nesting.knapsack import Knapsack, Table
from optimizer.nesting.master import Prices

REDUCED_COST = 1e-7
"""A column that is worth no more than this above its cost is not worth adding."""


@dataclass(frozen=True, slots=True)
class Priced:
    """Columns worth more than they cost, and the most that a sheet of each bin is worth."""

    strips: tuple[Strip, ...]
    rips: tuple[Rips, ...]
    best: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Level:
    """A height of strips: the items of this height are `own`, `first` to `last` may lie in it."""

    height: int
    own: int
    first: int
    last: int


class Pricer:
    """The knapsacks of one cutting problem."""

    def __init__(self, cutting: Cutting) -> None:
        self.cutting = cutting
        self.levels = _levels(cutting)
        items = cutting.items
        self.strip = Knapsack(
            [item.width for item in items], [item.demand for item in items], max(cutting.widths)
        )
        pieces: Counter[int] = Counter()
        for item in items:
            pieces[item.height] += item.demand
        self.sheet = Knapsack(
            cutting.heights,
            [pieces[height] for height in cutting.heights],
            max(stock.height for stock in cutting.bins),
        )

    def item_values(self, kinds: Sequence[float]) -> list[float]:
        """Prices of the kinds as values of the items."""
        return [kinds[item.kind] for item in self.cutting.items]

    def strip_values(self, tables: Sequence[Table], width: int) -> list[float]:
        """Most that a strip of each level and of `width` is worth."""
        return [t.value(e.last, width) for t, e in zip(tables, self.levels, strict=True)]

    def tables(self, kinds: Sequence[float]) -> list[Table]:
        """The table of a strip of each level: one for all when strips may be trimmed."""
        values = self.item_values(kinds)
        if self.cutting.trimmed:
            return [self.strip.fill(values)] * len(self.levels)
        return [self.strip.fill(values[: e.last + 1], e.first) for e in self.levels]

    def most(self, kinds: Sequence[float]) -> tuple[dict[int, list[float]], list[float]]:
        """Most that a strip of each width and level, and a sheet of each bin, is worth."""
        tables = self.tables(kinds)
        strips = {width: self.strip_values(tables, width) for width in self.cutting.widths}
        filled = {width: self.sheet.fill(values) for width, values in strips.items()}
        top = len(self.levels) - 1
        sheets = [filled[b.width].value(top, b.height) for b in self.cutting.bins]
        return strips, sheets

    def price(self, prices: Prices) -> Priced:
        """The columns that `prices` ask for."""
        tables = self.tables(prices.kinds)
        strips: list[Strip] = []
        rips: list[Rips] = []
        best = [0.0] * len(self.cutting.bins)
        for width in self.cutting.widths:
            values = self.strip_values(tables, width)
            made = self._made(tables, values, width)
            strips += [
                strip
                for level, strip in made.items()
                if values[level] > prices.slots[width, strip.height] + REDUCED_COST
            ]
            for b in (b for b, stock in enumerate(self.cutting.bins) if stock.width == width):
                limit = self.cutting.bins[b].cost - prices.on_hand[b] + REDUCED_COST
                best[b], counts = self._sheet(values, b)
                if best[b] > limit:
                    rips.append(_true_rips(b, counts, made))
                    strips += [made[level] for level, _ in counts]
                slots = [prices.slots[width, level.height] for level in self.levels]
                worth, counts = self._sheet(slots, b)
                if worth > limit:
                    rips.append(self.rips_of(b, counts))
        return Priced(tuple(strips), tuple(rips), tuple(best))

    def rips_of(self, b: int, counts: Sequence[tuple[int, int]]) -> Rips:
        """Rips of bin `b` from counts of levels."""
        return Rips(b, tuple((self.levels[level].height, count) for level, count in counts))

    def _made(
        self, tables: Sequence[Table], values: Sequence[float], width: int
    ) -> dict[int, Strip]:
        """The best strip of each level that has one of any value."""
        return {
            level: self.cutting.strip_of(width, tables[level].counts(e.last, width))
            for level, e in enumerate(self.levels)
            if values[level] > 0
        }

    def _sheet(self, values: Sequence[float], b: int) -> tuple[float, tuple[tuple[int, int], ...]]:
        """Most that a sheet of bin `b` is worth for values of its levels, and how."""
        height, top = self.cutting.bins[b].height, len(values) - 1
        table = self.sheet.fill(values)
        return table.value(top, height), table.counts(top, height)


def _levels(cutting: Cutting) -> tuple[Level, ...]:
    """The levels of a problem, ascending."""
    heights = [item.height for item in cutting.items]
    found = []
    for height in cutting.heights:
        own = heights.index(height)
        last = own + heights.count(height) - 1
        found.append(Level(height, own, 0 if cutting.trimmed else own, last))
    return tuple(found)


def _true_rips(b: int, counts: Sequence[tuple[int, int]], made: dict[int, Strip]) -> Rips:
    """Rips to the true heights of the strips."""
    slots: Counter[int] = Counter()
    for level, count in counts:
        slots[made[level].height] += count
    return Rips(b, tuple(sorted(slots.items())))

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

from optimizer.nesting.cutting_problem import CuttingProblem, Lane, Rips, Strip
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
    """A height of strips of one way: the items of this height are `own`, `first` to `last` may
    lie in it."""

    across: bool
    height: int
    first: int
    own: int
    last: int


class Pricer:
    """Finds columns worth adding at given prices: the best strips, and sheets of strips.

    Both are bounded knapsacks, filled once for all widths of strips and heights of sheets.
    """

    def __init__(self, cutting: CuttingProblem) -> None:
        """Knapsacks as large as the widest and the highest sheet: smaller ones are read from the
        same tables."""
        self.cutting = cutting
        self.levels = _levels(cutting)
        items = cutting.items
        self.strip = Knapsack(
            [item.width for item in items],
            [item.demand for item in items],
            max(stock.width for stock in cutting.bins),
        )
        # No sheet has more strips of a height than there are parts of that height, which bounds the
        # second knapsack.
        pieces: Counter[tuple[bool, int]] = Counter()
        for item in items:
            pieces[item.across, item.height] += item.demand
        self.sheet = Knapsack(
            [level.height for level in self.levels],
            [pieces[level.across, level.height] for level in self.levels],
            max(stock.height for stock in cutting.bins),
        )

    def levels_of(self, across: bool) -> tuple[int, int]:
        """First and last level of one way."""
        own = [index for index, level in enumerate(self.levels) if level.across == across]
        return (own[0], own[-1]) if own else (0, -1)

    def item_values(self, kinds: Sequence[float]) -> list[float]:
        """Prices of the kinds as values of the items."""
        return [kinds[item.kind] for item in self.cutting.items]

    def strip_values(self, tables: Sequence[Table], lane: Lane) -> list[float]:
        """Most that a strip of each level is worth in a lane; 0 for levels of the other way."""
        across, width = lane
        return [
            t.value(e.last, width) if e.across == across else 0.0
            for t, e in zip(tables, self.levels, strict=True)
        ]

    def tables(self, kinds: Sequence[float]) -> list[Table]:
        """The table of a strip of each level: one for all of a way when strips may be trimmed."""
        values = self.item_values(kinds)
        if not self.cutting.trimmed:
            return [self.strip.fill(values[: e.last + 1], e.first) for e in self.levels]
        of_way = {}
        for across in self.cutting.ways:
            first, last = (self.levels[end] for end in self.levels_of(across))
            of_way[across] = self.strip.fill(values[: last.last + 1], first.first)
        return [of_way[level.across] for level in self.levels]

    def most(self, kinds: Sequence[float]) -> tuple[dict[Lane, list[float]], list[float]]:
        """Most that a strip of each lane and level, and a sheet of each bin, is worth."""
        tables = self.tables(kinds)
        strips = {lane: self.strip_values(tables, lane) for lane in self.cutting.lanes}
        filled = {lane: self.sheet.fill(values) for lane, values in strips.items()}
        top = len(self.levels) - 1
        sheets = [filled[b.lane].value(top, b.height) for b in self.cutting.bins]
        return strips, sheets

    def price(self, prices: Prices) -> Priced:
        """The columns that pay at these `prices`, and the most that a sheet is worth at them."""
        tables = self.tables(prices.kinds)
        strips: list[Strip] = []
        rips: list[Rips] = []
        best = [0.0] * len(self.cutting.bins)
        for lane in self.cutting.lanes:
            values = self.strip_values(tables, lane)
            made = self._made(tables, values, lane)
            strips += [
                strip
                for level, strip in made.items()
                if values[level] > prices.slots[lane, strip.height] + REDUCED_COST
            ]
            slots = [
                prices.slots[lane, level.height] if level.across == lane[0] else 0.0
                for level in self.levels
            ]
            by_value, by_slot = self.sheet.fill(values), self.sheet.fill(slots)
            for b in (b for b, stock in enumerate(self.cutting.bins) if stock.lane == lane):
                stock = self.cutting.bins[b]
                limit = stock.cost - prices.on_hand[stock.stock] + REDUCED_COST
                # By what the parts in it are worth: this also bounds the cost of any answer.
                best[b], counts = self._sheet(by_value, b)
                if best[b] > limit:
                    rips.append(_true_rips(b, counts, made))
                    strips += [made[level] for level, _ in counts]
                # And by what slots are worth to the strips known already.
                worth, counts = self._sheet(by_slot, b)
                if worth > limit:
                    rips.append(self.rips_of(b, counts))
        return Priced(tuple(strips), tuple(rips), tuple(best))

    def rips_of(self, b: int, counts: Sequence[tuple[int, int]]) -> Rips:
        """Rips of bin `b` from counts of levels."""
        return Rips(b, tuple((self.levels[level].height, count) for level, count in counts))

    def _made(
        self, tables: Sequence[Table], values: Sequence[float], lane: Lane
    ) -> dict[int, Strip]:
        """The best strip of each level that has one of any value."""
        return {
            level: self.cutting.strip_of(lane, tables[level].counts(e.last, lane[1]))
            for level, e in enumerate(self.levels)
            if values[level] > 0
        }

    def _sheet(self, table: Table, b: int) -> tuple[float, tuple[tuple[int, int], ...]]:
        """Most that a sheet of bin `b` is worth in a filled table, and how."""
        height, top = self.cutting.bins[b].height, len(self.levels) - 1
        return table.value(top, height), table.counts(top, height)


def _levels(cutting: CuttingProblem) -> tuple[Level, ...]:
    """The levels of a problem, one way after the other, ascending."""
    places = [(item.across, item.height) for item in cutting.items]
    start = {across: places.index((across, cutting.heights(across)[0])) for across in cutting.ways}
    found = []
    for across, height in sorted(set(places)):
        own = places.index((across, height))
        last = own + places.count((across, height)) - 1
        found.append(Level(across, height, start[across] if cutting.trimmed else own, own, last))
    return tuple(found)


def _true_rips(b: int, counts: Sequence[tuple[int, int]], made: dict[int, Strip]) -> Rips:
    """Rips to the true heights of the strips."""
    slots: Counter[int] = Counter()
    for level, count in counts:
        slots[made[level].height] += count
    return Rips(b, tuple(sorted(slots.items())))

"""Every column that an answer of a given cost can use.

With prices that value no sheet above its cost, an answer costs at least the bound of these
prices plus the reduced cost of each of its columns. So an answer of cost T uses only
columns whose reduced cost is at most T less the bound. When all of these are listed, whole
numbers over them decide whether there is such an answer: the step from column generation
to a proof in Baldacci, Christofides, Mingozzi, "An exact algorithm for the vehicle routing
problem based on the set partitioning formulation" (Mathematical Programming 115, 2008).

Columns that would take one more piece are left out: the fuller one serves as well, since
demands may be exceeded.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from optimizer.nesting.bounds import priced_bound, scale_of
from optimizer.nesting.cutting_problem import Counts, CuttingProblem, Lane
from optimizer.nesting.effort import SEARCHED, Effort
from optimizer.nesting.knapsack import Knapsack, Table
from optimizer.nesting.master import Columns, Prices
from optimizer.nesting.pricing import Pricer

SLACK = 1e-6
"""Room for rounding when reduced costs are compared."""

MOST_PLACES = 600_000
"""Places that the search for columns looks at, about two seconds of it."""

MOST_COLUMNS = 8_000
"""More columns than this make a program that is not decided in time."""


class TooManyError(Exception):
    """There are more columns than can be listed."""


@dataclass(slots=True)
class EnumerationBudget:
    """What an enumeration may still spend: effort, places looked at, and columns listed."""

    effort: Effort
    places: int = MOST_PLACES
    columns: int = MOST_COLUMNS

    def spend(self, places: int, columns: int) -> None:
        """Count; raises TooManyError when there is nothing left."""
        self.places -= places
        self.columns -= columns
        # Effort counts coarser than places: one of it for so many.
        if self.places % SEARCHED == 0:
            self.effort.spend(1)
            if self.effort.left <= 0:
                raise TooManyError
        if self.places < 0 or self.columns < 0:
            raise TooManyError


@dataclass(slots=True)
class Listing:
    """All maximal choices of items `first` to `last` worth at least `least`.

    Each holds at least one item from `needed` up.
    """

    knapsack: Knapsack
    values: Sequence[float]
    least: float
    first: int
    last: int
    needed: int
    budget: EnumerationBudget
    _table: Table = field(init=False)

    def __post_init__(self) -> None:
        """One table for all capacities: `within` reads it as often as it is asked."""
        self._table = self.knapsack.fill(self.values[: self.last + 1], self.first)

    def within(self, capacity: int) -> Iterator[Counts]:
        """The choices that fit `capacity`."""
        return self._deeper(self.last, capacity // self.knapsack.unit, 0.0, ())

    def _deeper(self, index: int, left: int, worth: float, chosen: Counts) -> Iterator[Counts]:
        """Choices for item `index` and those before it."""
        self.budget.spend(1, 0)
        # Without an item of the strip's own height it would be a strip of a lower level.
        if index < self.needed and not chosen:
            return
        if index < self.first:
            if self._is_maximal(left, chosen):
                self.budget.spend(0, 1)
                yield chosen
            return
        # Not even the best of what may still come makes it worth enough.
        if worth + self._table.value_at(index, left) < self.least:
            return
        size, value = self.knapsack.sizes[index], self.values[index]
        # Many pieces first, since full choices are what is listed.
        for count in range(min(self.knapsack.bounds[index], left // size), -1, -1):
            more = ((index, count), *chosen) if count else chosen
            yield from self._deeper(index - 1, left - count * size, worth + count * value, more)

    def _is_maximal(self, left: int, chosen: Counts) -> bool:
        """True when no further item fits."""
        counts = dict(chosen)
        return not any(
            self.knapsack.sizes[i] <= left and counts.get(i, 0) < self.knapsack.bounds[i]
            for i in range(self.first, self.last + 1)
        )


def columns_up_to(
    cutting: CuttingProblem, prices: Prices, cost: float, *, effort: Effort, share: float = 1.0
) -> Columns | None:
    """All columns that an answer of at most `cost` can use; None when there are too many
    to list with this effort.

    With a `share` below 1 only those within that share of the room for reduced costs: the
    likeliest ones, which prove nothing.
    """
    pricer = Pricer(cutting)
    # Prices scaled so that no sheet is worth more than it costs: only such prices give a bound.
    scale = scale_of(cutting, pricer.most(prices.kinds)[1])
    kinds = [scale * price for price in prices.kinds]
    strips, sheets = pricer.most(kinds)
    room = share * (cost - priced_bound(cutting, kinds, sheets)) + SLACK
    found = Columns()
    try:
        _list_strips(_Listed(pricer, room, found, EnumerationBudget(effort)), kinds, strips)
        _list_rips(_Listed(pricer, room, found, EnumerationBudget(effort)), strips, sheets)
    except TooManyError:
        return None
    return found


@dataclass(frozen=True, slots=True)
class _Listed:
    """What is listed so far, and within which room and budget."""

    pricer: Pricer
    room: float
    found: Columns
    budget: EnumerationBudget


def _list_strips(listed: _Listed, kinds: Sequence[float], strips: dict[Lane, list[float]]) -> None:
    """Add all strips that are worth their slot within the room."""
    pricer = listed.pricer
    values = pricer.item_values(kinds)
    for lane, best in strips.items():
        for e, most in zip(pricer.levels, best, strict=True):
            if e.across != lane[0]:
                continue
            least = most - listed.room
            listing = Listing(pricer.strip, values, least, e.first, e.last, e.own, listed.budget)
            counts = listing.within(lane[1])
            listed.found.add((pricer.cutting.strip_of(lane, c) for c in counts), [])


def _list_rips(listed: _Listed, strips: dict[Lane, list[float]], sheets: Sequence[float]) -> None:
    """Add all rips whose strips can be worth the sheet within the room."""
    pricer = listed.pricer
    for b, stock in enumerate(pricer.cutting.bins):
        values = strips[stock.lane]
        first, last = pricer.levels_of(stock.across)
        # An offcut on hand costs nothing, and then what a sheet of it is worth counts.
        least = max(stock.cost, sheets[b]) - listed.room
        listing = Listing(pricer.sheet, values, least, first, last, first, listed.budget)
        slots = listing.within(stock.height)
        listed.found.add([], (pricer.rips_of(b, counts) for counts in slots))

"""First-fit decreasing for strips and sheets: a first answer, and a start for the search.

Parts are taken from high to low, so that the first part of a strip is its highest; each
goes into the first strip with room, else into a new strip of the first sheet with room,
else onto a new sheet.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

from optimizer.nesting.bounds import TOLERANCE
from optimizer.nesting.cutting_problem import CuttingProblem, Item, Packed

Order = Callable[[Item], tuple[float, ...]]

ORDERS: tuple[Order, ...] = (
    lambda item: (-item.height, -item.width),
    lambda item: (-item.height, -item.demand, -item.width),
)


@dataclass(slots=True)
class _OpenStrip:
    """A strip being filled."""

    height: int
    room: int
    counts: Counter[int] = field(default_factory=Counter)


@dataclass(slots=True)
class _OpenSheet:
    """A sheet being filled."""

    bin: int
    across: bool
    width: int
    room: int
    strips: list[_OpenStrip] = field(default_factory=list)


def first_fit(cutting: CuttingProblem, least: float = 0.0) -> tuple[Packed, ...] | None:
    """The cheapest of several first-fit answers, the first that costs no more than `least`, if any
    does; None when the stock on hand runs out."""
    best, cost = None, math.inf
    for answer in _answers(cutting):
        if (now := cutting.cost_of(answer)) < cost:
            best, cost = answer, now
        if cost <= least + TOLERANCE:
            break
    return best


def _answers(cutting: CuttingProblem) -> Iterator[tuple[Packed, ...]]:
    """Answers with the parts in different positions and orders."""
    choices = [_lying, _standing] if any(kind.can_turn for kind in cutting.kinds) else []
    for across in cutting.ways:
        for choose in (*choices, _as_is):
            chosen = choose(cutting, across)
            for order in ORDERS:
                if (answer := _fill(cutting, chosen, order)) is not None:
                    yield answer


def _as_is(cutting: CuttingProblem, across: bool) -> list[int]:
    """Each kind unturned where that fits."""
    return _one_each(cutting, across, lambda item: item.turned)


def _lying(cutting: CuttingProblem, across: bool) -> list[int]:
    """Each kind with its long side along the strip where that fits."""
    return _one_each(cutting, across, lambda item: item.height)


def _standing(cutting: CuttingProblem, across: bool) -> list[int]:
    """Each kind with its long side across the strip where that fits."""
    return _one_each(cutting, across, lambda item: item.width)


def _one_each(cutting: CuttingProblem, across: bool, rank: Callable[[Item], int]) -> list[int]:
    """Index of the position of least `rank` of each kind; the other way only where none fits."""
    best: dict[int, int] = {}
    for index, item in enumerate(cutting.items):
        known = best.get(item.kind)
        if known is not None and cutting.items[known].across != item.across:
            # The other way was taken for want of this one.
            if item.across == across:
                best[item.kind] = index
        elif item.kind not in best or rank(item) < rank(cutting.items[best[item.kind]]):
            best[item.kind] = index
    return list(best.values())


def _fill(
    cutting: CuttingProblem, chosen: Sequence[int], order: Order
) -> tuple[Packed, ...] | None:
    """First-fit with one position for each kind."""
    left = {stock.stock: stock.count for stock in cutting.stocks}
    sheets: list[_OpenSheet] = []
    for index in sorted(chosen, key=lambda index: order(cutting.items[index])):
        for _ in range(cutting.items[index].demand):
            if not _place(cutting, index, sheets) and not _open(cutting, index, sheets, left):
                return None
    return tuple(_closed(cutting, sheet) for sheet in sheets)


def _place(cutting: CuttingProblem, index: int, sheets: Sequence[_OpenSheet]) -> bool:
    """Put a piece into a strip or a new strip of an open sheet."""
    item = cutting.items[index]
    for sheet in sheets:
        if sheet.across != item.across:
            continue
        for strip in sheet.strips:
            # Without trims a part is as high as its strip.
            fits = item.height <= strip.height if cutting.trimmed else item.height == strip.height
            if fits and item.width <= strip.room:
                strip.counts[index] += 1
                strip.room -= item.width
                return True
        if item.height <= sheet.room and item.width <= sheet.width:
            sheet.strips.append(_OpenStrip(item.height, sheet.width - item.width, Counter([index])))
            sheet.room -= item.height
            return True
    return False


def _open(
    cutting: CuttingProblem, index: int, sheets: list[_OpenSheet], left: dict[int, int | None]
) -> bool:
    """Open the stock of least cost for its area that takes the piece, and put it there."""
    item = cutting.items[index]
    fitting = [
        (stock.cost / (stock.width * stock.height), stock.width * stock.height, number)
        for number, stock in enumerate(cutting.bins)
        if stock.across == item.across
        and item.width <= stock.width
        and item.height <= stock.height
        and left[stock.stock] != 0
    ]
    if not fitting:
        return False
    # Cheapest for its area; of those the smallest; of those the first.
    number = min(fitting)[2]
    stock = cutting.bins[number]
    remaining = left[stock.stock]
    left[stock.stock] = None if remaining is None else remaining - 1
    sheets.append(_OpenSheet(number, stock.across, stock.width, stock.height))
    return _place(cutting, index, sheets[-1:])


def _closed(cutting: CuttingProblem, sheet: _OpenSheet) -> Packed:
    """The sheet as an answer."""
    return Packed(
        sheet.bin,
        tuple(
            cutting.strip_of(cutting.bins[sheet.bin].lane, tuple(sorted(strip.counts.items())))
            for strip in sheet.strips
        ),
    )

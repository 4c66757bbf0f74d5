"""Lower bounds on what must be bought, by area and from prices of the parts."""

from __future__ import annotations

import math
from collections.abc import Sequence

from optimizer.nesting.cutting_problem import CuttingProblem

TOLERANCE = 1e-6
"""Bounds from floating-point programs are lowered by this much before they are rounded."""


def area_bound(cutting: CuttingProblem) -> float:
    """Least cost of the area of the parts (each with its kerf), offcuts on hand free.

    Holds for any way of cutting with this kerf.
    """
    needed = float(sum(kind.width * kind.height * kind.demand for kind in cutting.kinds))
    cost = 0.0
    # Cheapest by area first: no mix of stocks gives that area for less.
    for stock in sorted(cutting.stocks, key=lambda s: s.cost / (s.width * s.height)):
        area = stock.width * stock.height
        most = math.inf if stock.count is None else float(stock.count * area)
        used = min(needed, most)
        cost += stock.cost * used / area
        needed -= used
        if needed <= 0:
            break
    return cost


def scale_of(cutting: CuttingProblem, best: Sequence[float]) -> float:
    """Largest factor up to 1 for prices so that no sheet to be had in any number is worth
    more than it costs; `best[b]` is the most that a sheet of bin b is worth."""
    return min(
        (
            stock.cost / value
            for stock, value in zip(cutting.bins, best, strict=True)
            if stock.count is None and value > stock.cost
        ),
        default=1.0,
    )


def priced_bound(cutting: CuttingProblem, prices: Sequence[float], best: Sequence[float]) -> float:
    """Bound from prices of the kinds and the best value `best[b]` of any sheet of bin b.

    Farley, "A note on bounding a class of linear programming problems, including cutting
    stock problems" (Operations Research 38, 1990): prices are scaled, and a bin on hand
    gives back what its sheets are worth above their cost. Holds for any prices, so column
    generation may stop early.
    """
    scale = scale_of(cutting, best)
    worth = sum(kind.demand * price for kind, price in zip(cutting.kinds, prices, strict=True))
    most: dict[int, float] = {}
    for stock, value in zip(cutting.bins, best, strict=True):
        most[stock.stock] = max(value, most.get(stock.stock, 0.0))
    given_back = sum(
        stock.count * max(0.0, scale * most[stock.stock] - stock.cost)
        for stock in cutting.stocks
        if stock.count is not None
    )
    return scale * worth - given_back


def reachable(cutting: CuttingProblem, bound: float) -> float:
    """Least cost of whole sheets that is not below `bound`."""
    costs = sorted({stock.cost for stock in cutting.bins if stock.cost > 0}, reverse=True)
    if not costs or bound <= TOLERANCE:
        return 0.0
    return _least_sum(costs, bound - TOLERANCE)


def _least_sum(costs: Sequence[float], bound: float) -> float:
    """Least sum of multiples of `costs` that is at least `bound`."""
    if bound <= 0:
        return 0.0
    first, rest = costs[0], costs[1:]
    most = math.ceil(bound / first)
    if not rest:
        return most * first
    if most > 200:
        # A large job of several sizes: the unrounded bound is close enough.
        return bound
    return min(count * first + _least_sum(rest, bound - count * first) for count in range(most + 1))

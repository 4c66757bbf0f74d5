"""Column generation: solve the program over the columns found, price new ones, repeat."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from optimizer.nesting.bounds import TOLERANCE, area_bound, priced_bound, reachable
from optimizer.nesting.cutting_problem import CuttingProblem
from optimizer.nesting.effort import ROUND, Effort
from optimizer.nesting.master import Columns, Master, Prices
from optimizer.nesting.pricing import Pricer
from optimizer.solving import lp_relaxation


@dataclass(slots=True)
class Relaxed:
    """What column generation found: columns, value over them, valid bound, prices."""

    columns: Columns = field(default_factory=Columns)
    value: float = math.inf
    bound: float = 0.0
    prices: Prices | None = None
    rounds: int = 0
    converged: bool = False


def generate(
    cutting: CuttingProblem, columns: Columns, effort: Effort, *, enough: float = math.inf
) -> Relaxed:
    """Generate columns until none is worthwhile, the effort is spent, or it is proved that whole
    sheets cost `enough` at least.

    The bound is the best of all rounds and of the area, and valid however early it stops.
    """
    found = Relaxed(columns, bound=area_bound(cutting))
    pricer = Pricer(cutting)
    while True:
        found.rounds += 1
        master = Master(cutting, columns)
        found.value = lp_relaxation(master.problem, interior=True).objective or 0.0
        prices = master.prices()
        priced = pricer.price(prices)
        # Prices of any round give a bound, however far they are from the last ones.
        bound = priced_bound(cutting, prices.kinds, priced.best)
        if bound >= found.bound or found.prices is None:
            found.prices = prices
        found.bound = max(found.bound, bound)
        if reachable(cutting, found.bound) >= enough - TOLERANCE:
            return found
        if not columns.add(priced.strips, priced.rips):
            found.converged = True
            return found
        # A round costs more the more columns the program has.
        effort.spend(ROUND * (1 + (len(columns.strips) + len(columns.rips)) / 100))
        if effort.left <= 0:
            return found

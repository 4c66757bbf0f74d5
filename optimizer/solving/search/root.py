"""The linear relaxation of the whole problem, kept for its reduced costs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from optimizer.solving.search.program import Floats, Ints

FINE = 1e-6
"""Relative tolerance of the relaxation's values and prices."""


@dataclass(frozen=True)
class Root:
    """The relaxation of the whole: its gain, its solution, and the reduced cost of each column."""

    gain: float
    values: Floats
    prices: Floats

    def narrow(self, integers: Ints, cutoff: float, lower: Floats, upper: Floats) -> bool:
        """Narrow bounds, in place, to what may exceed `cutoff`; tells whether anything changed.

        Reduced-cost fixing: moving a column away from its value costs at least its reduced cost for
        each unit, so that it can move only as far as the difference between the relaxation and the
        cutoff pays for. Dantzig, Fulkerson, Johnson, "Solution of a large-scale traveling-salesman
        problem", Operations Research 2, 1954.
        """
        # A tolerance on the safe side: prices and values hold to about this much.
        room = self.gain - cutoff + FINE * max(1.0, abs(cutoff))
        dear = integers[self.prices[integers] > FINE]
        steps = np.floor(room / self.prices[dear] + FINE)
        at_low = np.abs(self.values[dear] - lower[dear]) < FINE
        at_high = np.abs(self.values[dear] - upper[dear]) < FINE
        high = np.where(at_low, np.minimum(upper[dear], lower[dear] + steps), upper[dear])
        low = np.where(at_high, np.maximum(lower[dear], upper[dear] - steps), lower[dear])
        changed = bool((high < upper[dear]).any() or (low > lower[dear]).any())
        upper[dear], lower[dear] = high, np.minimum(low, high)
        return changed

"""What the relaxation of the whole tells of every column."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from optimizer.solving.search.program import Floats, Ints

FINE = 1e-6
"""Relative tolerance of the relaxation's values and prices."""


@dataclass(frozen=True)
class Root:
    """The relaxation of the whole: its gain, its solution and what a unit of each column off it
    costs."""

    gain: float
    values: Floats
    prices: Floats

    def narrow(self, integers: Ints, cutoff: float, lower: Floats, upper: Floats) -> bool:
        """Narrow bounds, in place, to what may exceed a cutoff; whether anything changed.

        Reduced-cost fixing: Dantzig, Fulkerson, Johnson, "Solution of a large-scale
        traveling-salesman problem", Operations Research 2, 1954.
        """
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

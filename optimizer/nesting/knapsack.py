"""Bounded knapsacks by dynamic programming, one table for every prefix of the items.

Gilmore, Gomory, "Multistage cutting stock problems of two and more dimensions"
(Operations Research 13, 1965) price strips and then sheets by knapsacks. Items sorted by
height make the table of all strips of height h the prefix of items up to that height, so
one pass prices the strips of every height and, read at smaller capacities, of every width.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from optimizer.nesting.cutting_problem import Counts


class Knapsack:
    """Items with sizes and bounds in a row; `fill` values them and gives the table."""

    def __init__(self, sizes: Sequence[int], bounds: Sequence[int], capacity: int) -> None:
        """`sizes` and `capacity` in steps of the grid; of item i at most `bounds[i]` pieces, and
        no more than fit."""
        # Only multiples of the common divisor are ever filled.
        self.unit = math.gcd(*sizes) if sizes else 1
        self.sizes = [size // self.unit for size in sizes]
        self.capacity = capacity // self.unit
        fitting = (self.capacity // size for size in self.sizes)
        self.bounds = [min(bound, fits) for bound, fits in zip(bounds, fitting, strict=True)]

    def fill(self, values: Sequence[float], first: int = 0) -> Table:
        """Best values of items `first`, ..., i for every i and every capacity."""
        best = np.zeros(self.capacity + 1)
        rows: list[NDArray[np.float64]] = []
        taken: list[list[tuple[int, NDArray[np.bool_]]]] = []
        for index, value in enumerate(values):
            steps = []
            if value > 0 and index >= first:
                # So many pieces at most, by taking or leaving 1, 2, 4, ... of them: a few passes
                # instead of one for each piece.
                for multiple in _doublings(self.bounds[index]):
                    best, took = _with_piece(best, self.sizes[index] * multiple, value * multiple)
                    steps.append((multiple, took))
            rows.append(best)
            taken.append(steps)
        return Table(self, rows, taken)


class Table:
    """Values of a filled knapsack, and the items behind each."""

    def __init__(
        self,
        knapsack: Knapsack,
        rows: list[NDArray[np.float64]],
        taken: list[list[tuple[int, NDArray[np.bool_]]]],
    ) -> None:
        """`rows[i][c]` is the best value of items up to i within c units; `taken[i]` holds for
        each pass over item i how many pieces it adds and at which capacities it does."""
        self._knapsack = knapsack
        self._rows = rows
        self._taken = taken

    def value(self, last: int, capacity: int) -> float:
        """Best value of the items up to `last` within `capacity`."""
        return self.value_at(last, capacity // self._knapsack.unit)

    def value_at(self, last: int, place: int) -> float:
        """As `value`, the capacity given in units of the knapsack."""
        return float(self._rows[last][place])

    def counts(self, last: int, capacity: int) -> Counts:
        """Items that give this value."""
        left = capacity // self._knapsack.unit
        found: Counter[int] = Counter()
        # Backwards through the passes: each tells whether it was used at the room that is left.
        for index in range(last, -1, -1):
            for multiple, took in reversed(self._taken[index]):
                if took[left]:
                    found[index] += multiple
                    left -= multiple * self._knapsack.sizes[index]
        return tuple(sorted(found.items()))


def _with_piece(
    best: NDArray[np.float64], size: int, value: float
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Best values once a piece may be taken, and where it is."""
    after = best.copy()
    took = np.zeros(len(best), dtype=np.bool_)
    if size < len(best):
        with_it = best[: len(best) - size] + value
        room = after[size:]
        # Strictly better, and by more than noise: what gains nothing is left out, so that equal
        # prices give the same answer on every machine.
        better = np.greater(with_it, room + 1e-12, out=took[size:])
        np.copyto(room, with_it, where=better)
    return after, took


def _doublings(count: int) -> list[int]:
    """Multiples that add up to every number up to `count`: 1, 2, 4, ..., rest."""
    found, step = [], 1
    while count > 0:
        found.append(min(step, count))
        count -= found[-1]
        step *= 2
    return found

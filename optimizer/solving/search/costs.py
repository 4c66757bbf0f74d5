"""What branching has cost so far, by variable and by rank of variable."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from optimizer.solving.search.program import Floats, Ints

_LEAST = 1e-4


class BranchingCosts:
    """Falls of the bound per unit rounded off (pseudo-costs), down and up."""

    CUT_OFF: ClassVar[float] = 5.0
    """Fall that a child without solutions counts for, and the most that any does."""
    RELIABLE: ClassVar[int] = 4
    """Trials each way after which a cost is trusted."""

    def __init__(self, ranks: Ints) -> None:
        self._ranks = ranks
        self._falls = np.zeros((2, len(ranks)))
        self._seen = np.zeros((2, len(ranks)))
        most = int(np.max(ranks, initial=0)) + 1
        self._rank_falls = np.zeros((2, most))
        self._rank_seen = np.zeros((2, most))

    def learn(self, column: int, value: float, *, up: bool, drop: float) -> None:
        """Take note of a child's fall."""
        below = value - np.floor(value)
        rounded = 1.0 - below if up else below
        fall = min(max(drop, 0.0), self.CUT_OFF) / rounded
        way, rank = int(up), self._ranks[column]
        self._falls[way, column] += fall
        self._seen[way, column] += 1
        self._rank_falls[way, rank] += fall
        self._rank_seen[way, rank] += 1

    def reliable(self, column: int) -> bool:
        """Whether a variable's costs are trusted."""
        return bool(np.min(self._seen[:, column]) >= self.RELIABLE)

    def score(self, column: int, value: float) -> float:
        """What branching on a variable promises."""
        return float(self._scores(np.array([column]), np.array([value]))[0])

    def promising(self, columns: Ints, values: Floats) -> NDArray[np.intp]:
        """Places of the columns from the most promising on."""
        return np.argsort(-self._scores(columns, values), kind="stable")

    @staticmethod
    def product(down: float, up: float) -> float:
        """Score of two falls: both have to be good."""
        cap = BranchingCosts.CUT_OFF
        return max(min(down, cap), _LEAST) * max(min(up, cap), _LEAST)

    def _scores(self, columns: Ints, values: Floats) -> Floats:
        below = values - np.floor(values)
        down = np.maximum(self._mean(0, columns) * below, _LEAST)
        up = np.maximum(self._mean(1, columns) * (1.0 - below), _LEAST)
        scores: Floats = down * up
        return scores

    def _mean(self, way: int, columns: Ints) -> Floats:
        """Mean cost of each column, its rank's or everything's where none is known."""
        falls, seen = self._falls[way, columns], self._seen[way, columns]
        ranks = self._ranks[columns]
        everything = self._rank_falls[way].sum() / max(1.0, self._rank_seen[way].sum())
        by_rank = np.where(
            self._rank_seen[way] > 0,
            self._rank_falls[way] / np.maximum(self._rank_seen[way], 1.0),
            everything if everything > 0 else 1.0,
        )
        mean: Floats = np.where(seen > 0, falls / np.maximum(seen, 1.0), by_rank[ranks])
        return mean

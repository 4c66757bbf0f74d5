"""Pseudo-costs of branching: by how much the bound fell, by variable and by rank of variable."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from optimizer.solving.search.program import Floats, Ints

_LEAST = 1e-4


class BranchingCosts:
    """Pseudo-costs: how much the bound fell for each unit by which a variable was rounded."""

    CUT_OFF: ClassVar[float] = 5.0
    """Fall that a child without solutions counts for, and the most that any does."""
    RELIABLE: ClassVar[int] = 4
    """Trials each way after which a cost is trusted."""

    def __init__(self, ranks: Ints) -> None:
        """`ranks`: rank of each column; what is learned of one serves the others of its rank."""
        self._ranks = ranks
        self._falls = np.zeros((2, len(ranks)))
        self._seen = np.zeros((2, len(ranks)))
        most = int(np.max(ranks, initial=0)) + 1
        self._rank_falls = np.zeros((2, most))
        self._rank_seen = np.zeros((2, most))

    def learn(self, column: int, value: float, *, up: bool, drop: float) -> None:
        """Record by how much the bound of a child fell against its parent."""
        below = value - np.floor(value)
        # A cost per unit: a fall by 0.1 on rounding 0.1 away is as much as one by 0.9 on 0.9.
        rounded = 1.0 - below if up else below
        fall = min(max(drop, 0.0), self.CUT_OFF) / rounded
        way, rank = int(up), self._ranks[column]
        self._falls[way, column] += fall
        self._seen[way, column] += 1
        self._rank_falls[way, rank] += fall
        self._rank_seen[way, rank] += 1

    def reliable(self, column: int) -> bool:
        """Whether a variable was branched on often enough for its pseudo-costs to be trusted."""
        return bool(np.min(self._seen[:, column]) >= self.RELIABLE)

    def score(self, column: int, value: float) -> float:
        """Score of branching on a variable at a fractional value: more is better."""
        return float(self._scores(np.array([column]), np.array([value]))[0])

    def promising(self, columns: Ints, values: Floats) -> NDArray[np.intp]:
        """Places of the columns in order of their scores, the best first."""
        # Stable, so that ties go by column and a problem gives the same tree each time.
        return np.argsort(-self._scores(columns, values), kind="stable")

    @staticmethod
    def product(down: float, up: float) -> float:
        """Score of the falls on both sides: their product, so that both have to be good."""
        # The least keeps a product above 0 where one side does not move, so that the other still
        # tells candidates apart.
        cap = BranchingCosts.CUT_OFF
        return max(min(down, cap), _LEAST) * max(min(up, cap), _LEAST)

    def _scores(self, columns: Ints, values: Floats) -> Floats:
        """The score that each column would have by its mean costs, at its fractional value."""
        below = values - np.floor(values)
        down = np.maximum(self._mean(0, columns) * below, _LEAST)
        up = np.maximum(self._mean(1, columns) * (1.0 - below), _LEAST)
        scores: Floats = down * up
        return scores

    def _mean(self, way: int, columns: Ints) -> Floats:
        """Mean pseudo-cost of each column; that of its rank, or of everything, where it has none
        yet."""
        falls, seen = self._falls[way, columns], self._seen[way, columns]
        ranks = self._ranks[columns]
        everything = self._rank_falls[way].sum() / max(1.0, self._rank_seen[way].sum())
        by_rank = np.where(
            self._rank_seen[way] > 0,
            self._rank_falls[way] / np.maximum(self._rank_seen[way], 1.0),
            # Before anything was learned, costs of 1 make it the most fractional first.
            everything if everything > 0 else 1.0,
        )
        mean: Floats = np.where(seen > 0, falls / np.maximum(seen, 1.0), by_rank[ranks])
        return mean

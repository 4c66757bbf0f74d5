"""Small problems whose answers are known or can be found by trying everything."""

from __future__ import annotations

import itertools
import random
from dataclasses import dataclass
from typing import Any

import numpy as np
from pulp import lpSum

from optimizer.solving import new_problem


@dataclass(frozen=True)
class Knapsack:
    """Choose 0/1 with total weight at most `room` in each of several rows."""

    values: tuple[int, ...]
    weights: tuple[tuple[int, ...], ...]
    room: tuple[int, ...]
    constant: int
    maximise: bool

    def problem(self) -> Any:
        """The problem in PuLP; minimisation is that of the negated values."""
        problem = new_problem("knapsack", self.maximise)
        picks = [problem.add_variable(f"pick_{i}", cat="Binary") for i in range(len(self.values))]
        sign = 1 if self.maximise else -1
        problem += lpSum(sign * v * x for v, x in zip(self.values, picks, strict=True)) + (
            self.constant
        )
        for k, (row, limit) in enumerate(zip(self.weights, self.room, strict=True)):
            problem += lpSum(w * x for w, x in zip(row, picks, strict=True)) <= limit, f"room_{k}"
        return problem

    def solutions(self) -> list[dict[str, int]]:
        """Every choice that fits, by name of variable."""
        return [
            {f"pick_{i}": x for i, x in enumerate(choice)}
            for choice in itertools.product((0, 1), repeat=len(self.values))
            if all(
                sum(w for w, x in zip(row, choice, strict=True) if x) <= limit
                for row, limit in zip(self.weights, self.room, strict=True)
            )
        ]

    def value(self, solution: dict[str, int]) -> int:
        """The problem's objective for a choice."""
        worth = sum(v * solution[f"pick_{i}"] for i, v in enumerate(self.values))
        return (1 if self.maximise else -1) * worth + self.constant

    def best(self) -> int:
        """The optimum, by trying every choice."""
        count = len(self.values)
        choices = (np.arange(2**count)[:, np.newaxis] >> np.arange(count)) & 1
        fits = (choices @ np.array(self.weights).T <= np.array(self.room)).all(axis=1)
        worth = int((choices[fits] @ np.array(self.values)).max())
        return (worth if self.maximise else -worth) + self.constant


def random_knapsack(seed: int, items: int = 10, rows: int = 2) -> Knapsack:
    """A knapsack drawn from `seed`, maximised for even seeds."""
    draw = random.Random(seed)
    weights = tuple(tuple(draw.randint(1, 30) for _ in range(items)) for _ in range(rows))
    return Knapsack(
        values=tuple(draw.randint(1, 40) for _ in range(items)),
        weights=weights,
        room=tuple(sum(row) // 2 for row in weights),
        constant=draw.randint(-50, 50),
        maximise=seed % 2 == 0,
    )


def market_split(maximise: bool = False, stores: int = 40, products: int = 5) -> Any:
    """A market split problem: easy to fill in, far out of reach to prove in a second.

    After Cornuejols, Dawande, "A class of hard small 0-1 programs" (1998); the optimum is
    at least 0 by construction (at most 5 when `maximise`, which negates and adds 5).
    """
    draw = random.Random(7)
    problem = new_problem("market split", maximise)
    picks = [problem.add_variable(f"x{i}", cat="Binary") for i in range(stores)]
    misses = []
    for k in range(products):
        shares = [draw.randrange(100) for _ in range(stores)]
        over, under = problem.add_variable(f"o{k}", 0), problem.add_variable(f"u{k}", 0)
        misses += [over, under]
        problem += (
            lpSum(a * x for a, x in zip(shares, picks, strict=True)) + under - over
            == sum(shares) // 2
        )
    problem += lpSum(misses) if not maximise else -1 * lpSum(misses) + 5
    return problem

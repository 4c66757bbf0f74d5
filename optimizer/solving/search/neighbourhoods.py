"""Better solutions near the best: one place after another is planned anew, the rest stays.

Large neighbourhood search (Shaw, "Using constraint programming and local search methods to solve
vehicle routing problems", CP 1998), with branch and cut in place of constraint programming: what
belongs to a place, a wall of the room, is a small program on its own, and a solution that no
place can improve alone has no part that a glance would improve.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import numpy as np

from optimizer.solving.search.incumbent import Incumbent
from optimizer.solving.search.parts import Parts
from optimizer.solving.search.program import Ints, Program

MOST_NODES = 100
"""Nodes of branch and cut in one neighbourhood."""


class Neighbourhoods:
    """The parts of a program that are planned anew around the best solution."""

    def __init__(self, program: Program, parts: Parts) -> None:
        self.program = program
        self.parts = parts
        self._tried: set[tuple[tuple[int, ...], bytes]] = set()

    def improve(self, incumbent: Incumbent, size: int) -> Iterator[None]:
        """Plan `size` places at a time anew until none gives a better solution; a step each."""
        places = sorted(set(self.program.places.tolist()))
        if incumbent.values is None or len(places) <= size:
            return
        left = 1
        while left:
            left = 0
            for chosen in combinations(places, size):
                before = incumbent.best
                if self._search(chosen, incumbent):
                    yield
                left += incumbent.best > before

    def _search(self, chosen: tuple[int, ...], incumbent: Incumbent) -> bool:
        """Search what belongs to some places; False where that was done from this solution."""
        values, program = incumbent.values, self.program
        assert values is not None  # noqa: S101 - asked for with a solution alone
        kept = np.flatnonzero(~np.isin(program.places, chosen))
        held: Ints = np.unique(np.concatenate([program.bundles[number] for number in kept]))
        key = chosen, np.round(values[held]).astype(np.int64).tobytes()
        if key in self._tried:
            return False
        self._tried.add(key)
        lower, upper = program.lower.copy(), program.upper.copy()
        lower[held] = upper[held] = np.round(values[held])
        self.parts.search(lower, upper, MOST_NODES, demanding=False)
        return True

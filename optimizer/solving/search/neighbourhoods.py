"""Better solutions near the best: one place after another is planned anew, the rest stays.

Large neighbourhood search (Shaw, "Using constraint programming and local search methods to solve
vehicle routing problems", CP 1998), with branch and cut in place of constraint programming: what
belongs to a place, a wall of the room, is a small program on its own, and a solution that no
place can improve alone has no part that a glance would improve.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from hashlib import sha256
from itertools import combinations

import numpy as np

from optimizer.solving.search.dive import dive_within
from optimizer.solving.search.incumbent import Incumbent
from optimizer.solving.search.parts import Parts
from optimizer.solving.search.program import Floats, Ints, Program

MOST_NODES = 100
"""Nodes of branch and cut in one neighbourhood."""
DEAR = 0.05
"""Reduced cost of what is left out of a neighbourhood (see `Parts.search`)."""


class Neighbourhoods:
    """The parts of a program that are planned anew around the best solution."""

    def __init__(self, program: Program, parts: Parts) -> None:
        """`parts` search what is left open around a solution."""
        self.program = program
        self.parts = parts
        self._tried: set[tuple[tuple[int, ...], bytes]] = set()

    def improve(self, incumbent: Incumbent, size: int) -> Iterator[None]:
        """Plan `size` places at a time anew until none gives a better solution; a step each."""
        left = 1
        while left:
            left = 0
            for chosen in self._choices(size):
                before, values = incumbent.best, incumbent.values
                if values is not None and self._search(chosen, values):
                    yield
                # One better place may make room for another: around again until none is.
                left += incumbent.best > before

    def bare(self) -> tuple[float, Floats] | None:
        """The solution that uses no bundle but those that it has to, and its gain: poor, but soon
        there; None where there is none."""
        lower, upper = self.program.lower.copy(), self.program.upper.copy()
        held = self._held(())
        upper[held] = np.maximum(lower[held], 0.0)
        found = dive_within(self.program, self.parts.incumbent.watch, lower, upper, -math.inf)
        return None if found is None else self.program.fixed(found)

    def vary(self, values: Floats, size: int, needed: float) -> Iterator[None]:
        """Plan `size` places of a solution anew, which may be none any more; a step each.
        `needed` is the gain that is hoped for.

        What was found for a problem of which less was forbidden keeps most of its places where
        something near enough to it is allowed.
        """
        for chosen in self._choices(size):
            if self._search(chosen, values, needed):
                yield

    def _choices(self, size: int) -> list[tuple[int, ...]]:
        """Choices of `size` places; none where that is all of them."""
        places = sorted(set(self.program.places.tolist()))
        return list(combinations(places, size)) if len(places) > size else []

    def _search(self, chosen: tuple[int, ...], values: Floats, needed: float = -math.inf) -> bool:
        """Search what belongs to some places; False where that was done around these values."""
        held = self._held(chosen)
        # By what is held, not by the whole solution: two that differ only in the places planned
        # anew ask the same question.
        whole = np.round(values[held]).astype(np.int64).tobytes()
        # A digest, since in a room of twenty walls it is a third of a megabyte, at each place.
        key = chosen, sha256(whole).digest()
        if key in self._tried:
            return False
        self._tried.add(key)
        lower, upper = self.program.lower.copy(), self.program.upper.copy()
        lower[held] = upper[held] = np.round(values[held])
        self.parts.search(lower, upper, MOST_NODES, demanding=False, dear=DEAR, above=needed)
        return True

    def _held(self, chosen: tuple[int, ...]) -> Ints:
        """Columns of the bundles of all places but some."""
        kept = np.flatnonzero(~np.isin(self.program.places, chosen))
        none: Ints = np.zeros(0, dtype=np.int64)
        return np.unique(np.concatenate([none, *(self.program.bundles[n] for n in kept)]))

"""Better solutions near the best: one place after another is planned anew, the rest stays.

Large neighbourhood search (Shaw, "Using constraint programming and local search methods to solve
vehicle routing problems", CP 1998), with branch and cut in place of constraint programming: what
belongs to a place, a wall of the room, is a small program on its own, and a solution that no
place can improve alone has no part that a glance would improve.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
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

BESIDE = 2
"""Choices of places that are planned anew at once, from the same solution: no more, since each
could do with what the others find, and the same number on any machine, since what is found depends
on it."""

Chosen = tuple[int, ...]
"""Places planned anew together."""


class Neighbourhoods:
    """The parts of a program that are planned anew around the best solution."""

    def __init__(self, program: Program, parts: Parts) -> None:
        """`parts` search what is left open around a solution."""
        self.program = program
        self.parts = parts
        # A second model of an enormous problem takes more memory than its time is worth.
        self._few = 1 if program.enormous else BESIDE
        self._tried: set[tuple[Chosen, bytes]] = set()

    def improve(self, incumbent: Incumbent, size: int) -> Iterator[None]:
        """Plan `size` places at a time anew until none gives a better solution; a step each few."""
        # A place alone is best planned with what was found for those before it: the poorer the
        # solution, the more is open.
        left, together = 1, 1 if size == 1 else self._few
        while left:
            left = 0
            for few in self._choices(size, together):
                before, values = incumbent.best, incumbent.values
                if values is None:
                    continue
                found = self._search(few, values)
                if found is None:
                    continue
                _take_all(incumbent, values, found)
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
        """Plan `size` places of a solution anew, which may be none any more; a step each few.
        `needed` is the gain that is hoped for.

        What was found for a problem of which less was forbidden keeps most of its places where
        something near enough to it is allowed.
        """
        for few in self._choices(size, self._few):
            found = self._search(few, values, needed)
            if found is not None:
                for each in found:
                    self.parts.incumbent.take(*each)
                yield

    def _choices(self, size: int, together: int) -> list[list[Chosen]]:
        """Choices of `size` places, so many `together`; none where that is all of them."""
        places = sorted(set(self.program.places.tolist()))
        choices = list(combinations(places, size)) if len(places) > size else []
        return [choices[at : at + together] for at in range(0, len(choices), together)]

    def _search(
        self, few: Sequence[Chosen], values: Floats, needed: float = -math.inf
    ) -> list[tuple[float, Floats]] | None:
        """Search what belongs to each of a few choices of places, all at once, with the gains of
        what is found; None where that was done around these values."""
        parts = []
        around = [(chosen, self._held(chosen)) for chosen in few]
        held = [columns for chosen, columns in around if self._is_new(chosen, values[columns])]
        for columns in held:
            lower, upper = self.program.lower.copy(), self.program.upper.copy()
            lower[columns] = upper[columns] = np.round(values[columns])
            part = self.parts.part(lower, upper, demanding=False, dear=DEAR, above=needed)
            if part is not None:
                parts.append(part)
        return self.parts.search_beside(parts, MOST_NODES) if held else None

    def _is_new(self, chosen: Chosen, kept: Floats) -> bool:
        """Whether some places are planned anew for the first time with these values of the rest."""
        # By what is held, not by the whole solution: two that differ only in the places planned
        # anew ask the same question.
        whole = np.round(kept).astype(np.int64).tobytes()
        # A digest, since in a room of twenty walls it is a third of a megabyte, at each place.
        key = chosen, sha256(whole).digest()
        new = key not in self._tried
        self._tried.add(key)
        return new

    def _held(self, chosen: Chosen) -> Ints:
        """Columns of the bundles of all places but some."""
        kept = np.flatnonzero(~np.isin(self.program.places, chosen))
        none: Ints = np.zeros(0, dtype=np.int64)
        return np.unique(np.concatenate([none, *(self.program.bundles[n] for n in kept)]))


def _take_all(incumbent: Incumbent, before: Floats, found: Sequence[tuple[float, Floats]]) -> None:
    """Take the best of what was found around one solution, and of the others what they change in
    it, as far as that goes together."""
    for gain, values in sorted(found, key=lambda each: -each[0]):
        if not incumbent.take(gain, values) and incumbent.values is not None:
            incumbent.offer(incumbent.values + values - before)

"""Good solutions from few bundles: those the relaxations use, and a few more.

Kernel search (Angelelli, Mansini, Speranza, "Kernel search: a general heuristic for the
multi-dimensional knapsack problem", Computers and Operations Research 37, 2010): the
problem restricted to what the relaxation uses is small, and its best solution is seldom
far from the best of all.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from optimizer.solving.search.parts import Parts
from optimizer.solving.search.program import Chosen, Floats, Ints, Program
from optimizer.solving.search.tree import PartTree, Tree

MOST_NODES = 30
"""Nodes of one restricted search."""
SMALL = 500
"""Integer variables below which our own tree searches a kernel, not HiGHS."""
PART_NODES = 60
"""Nodes of a kernel in our own tree."""
LEAST_BUCKET = 8
"""Bundles added to a kernel at least."""
SHARE = 2
"""Bundles of a kernel met while branching, in sizes of the first kernel."""


class Kernel:
    """Restricted searches, each with its own choice of bundles."""

    def __init__(self, program: Program, parts: Parts, tree: Tree) -> None:
        self.program = program
        self.parts = parts
        self.tree = tree
        self._first: Chosen = np.zeros(len(program.bundles), dtype=bool)
        self._order: Ints = np.arange(len(program.bundles))
        self._tried: set[bytes] = set()

    def start(self) -> None:
        """Take what the relaxation just solved uses, and the order of the others."""
        program = self.program
        self._first = program.used(program.values)
        self._order = np.argsort(program.prices()[program.leads], kind="stable")

    @property
    def first(self) -> Chosen:
        """What the relaxation uses."""
        return self._first

    def each(self, outline: Chosen | None) -> Iterator[None]:
        """Search the kernel and an outline's bundles, the kernel alone, the kernel with the
        bundles cheapest to add, then what has been used since, as often as asked."""
        if outline is not None:
            self.search(self._first | outline)
            yield
        self.search(self._first)
        yield
        others = self._order[~self._first[self._order]]
        if len(others):
            chosen = self._first.copy()
            chosen[others[: self._size]] = True
            self.search(chosen)
            yield
        while True:
            self.search(self._since())
            yield

    @property
    def _size(self) -> int:
        return max(int(self._first.sum()), LEAST_BUCKET)

    def _since(self) -> Chosen:
        """What the relaxations have used most so far."""
        size = SHARE * self._size
        support = self.program.support
        most = np.argsort(-support, kind="stable")[:size]
        chosen = np.zeros(len(support), dtype=bool)
        chosen[most] = support[most] > 0
        return chosen

    def search(self, chosen: Chosen, above: Floats | None = None) -> None:
        """Search some bundles and those of the best solution, within upper bounds `above` if
        given, unless that has been done."""
        program = self.program
        values = self.parts.incumbent.values
        if values is not None:
            chosen = chosen | program.used(values)
        key = chosen.tobytes()
        if key in self._tried:
            return
        self._tried.add(key)
        lower = program.lower.copy()
        upper = (program.upper if above is None else above).copy()
        for number in np.flatnonzero(~chosen):
            upper[program.bundles[number]] = lower[program.bundles[number]]
        if len(program.integers) < SMALL:
            self._branch(lower, upper)
        else:
            self.parts.search(lower, upper, MOST_NODES)

    def _branch(self, lower: Floats, upper: Floats) -> None:
        """Search within bounds by a tree of our own, which begins sooner than HiGHS's."""
        program, above = self.program, upper.copy()
        self.parts.probes.shut(above, self.parts.incumbent.best)
        with program.within(lower, above):
            gain = program.solve(lower.copy(), above.copy())
            if gain is None:
                return
            part = PartTree(self.tree, lower, above)
            part.start(gain)
            part.run(PART_NODES)
            self.parts.nodes += part.nodes

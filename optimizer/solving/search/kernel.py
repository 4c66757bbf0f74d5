"""Good solutions from few bundles: those that the relaxation uses, and a few more.

Kernel search (Angelelli, Mansini, Speranza, "Kernel search: a general heuristic for the
multi-dimensional knapsack problem", Computers and Operations Research 37, 2010): the
problem restricted to what the relaxation uses is small, and its best solution is seldom
far from the best of all.
"""

from __future__ import annotations

import numpy as np

from optimizer.solving.search.parts import Parts
from optimizer.solving.search.program import Chosen, Floats, Program
from optimizer.solving.search.tree import PartTree, Tree

MOST_NODES = 30
"""Nodes of one restricted search."""
SMALL = 500
"""Integer variables below which our own tree searches a kernel, not HiGHS."""
PART_NODES = 60
"""Nodes of a kernel in our own tree."""


class Kernel:
    """Restricted searches, each with its own choice of bundles."""

    def __init__(self, program: Program, parts: Parts, tree: Tree) -> None:
        self.program = program
        self.parts = parts
        self.tree = tree
        self._first: Chosen = np.zeros(len(program.bundles), dtype=bool)
        self._tried: set[bytes] = set()

    def start(self) -> None:
        """Take what the relaxation just solved uses."""
        self._first = self.program.used(self.program.values)

    @property
    def first(self) -> Chosen:
        """What the relaxation uses."""
        return self._first

    def begin(self, outline: Chosen | None) -> None:
        """Search what the relaxation uses, and an outline's bundles if there is one."""
        self.search(self._first if outline is None else self._first | outline)

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

"""Kernel search: good solutions from the few variables that the linear relaxation uses.

Angelelli, Mansini, Speranza, "Kernel search: a general heuristic for the multi-dimensional knapsack
problem", Computers and Operations Research 37, 2010. The problem restricted to the variables that
its relaxation uses is small, and its best solution is seldom far from the best of all. Variables
are chosen by bundle: integer variables that mean something only together (the number of bays of a
slot and what these bays hold, say).
"""

from __future__ import annotations

import numpy as np

from optimizer.solving.search.dive import dive_within
from optimizer.solving.search.monitor import SearchMonitor
from optimizer.solving.search.parts import Parts
from optimizer.solving.search.program import Chosen, Floats, Program
from optimizer.solving.search.tree import PartTree, Tree

MOST_NODES = 30
"""Nodes of one restricted search."""
CHEAP_NODES = 50
"""Nodes of a search of all that is cheap."""
DEAR = 0.07
"""Reduced cost of what is left out of it (see `Parts.search`)."""
SMALL = 500
"""Integer variables below which our own tree searches a kernel, not HiGHS."""
PART_NODES = 60
"""Nodes of a kernel in our own tree."""


class Kernel:
    """Restricted searches one after the other, each over another choice of bundles."""

    def __init__(self, program: Program, parts: Parts, tree: Tree) -> None:
        """`parts` search a large kernel by HiGHS, `tree` lends its pseudo-costs to our own
        search."""
        self.program = program
        self.parts = parts
        self.tree = tree
        self._first: Chosen = np.zeros(len(program.bundles), dtype=bool)
        self._tried: set[bytes] = set()

    def start(self) -> None:
        """Take the bundles that the relaxation just solved uses, and order the others by reduced
        cost."""
        self._first = self.program.used(self.program.values)

    @property
    def first(self) -> Chosen:
        """The bundles that the relaxation uses: the kernel."""
        return self._first

    @property
    def large(self) -> bool:
        """Whether kernels are so large that HiGHS searches them, not our own tree."""
        return len(self.program.integers) >= SMALL

    def begin(self) -> None:
        """Search what the relaxation uses."""
        self.search(self._first)

    def search(self, chosen: Chosen, above: Floats | None = None) -> None:
        """Search over the bundles `chosen` and those of the incumbent, all others fixed at 0.

        `above` are upper bounds of the columns, where they are narrower. A choice that was searched
        before is skipped.
        """
        program = self.program
        values = self.parts.incumbent.values
        if values is not None:
            # With the incumbent's bundles in it a kernel holds a solution to start from.
            chosen = chosen | program.used(values)
        key = chosen.tobytes()
        if key in self._tried:
            return
        self._tried.add(key)
        lower, upper = self._only(chosen, program.upper if above is None else above)
        if self.large:
            self.parts.search(lower, upper, MOST_NODES)
        else:
            # HiGHS takes longer to begin than our tree to end on so few.
            self._branch(lower, upper)

    def search_cheap(self) -> None:
        """Search all that is cheap by its reduced cost: more than what the relaxation uses, and
        the best place for solutions that keep away from others."""
        program, parts = self.program, self.parts
        lower, upper = program.lower.copy(), program.upper.copy()
        needed = parts.incumbent.needed
        parts.search(lower, upper, CHEAP_NODES, demanding=False, dear=DEAR, above=needed)

    def _only(self, chosen: Chosen, above: Floats) -> tuple[Floats, Floats]:
        """Bounds, the upper ones within `above`, that leave only some bundles open."""
        lower, upper = self.program.lower.copy(), above.copy()
        for number in np.flatnonzero(~chosen):
            upper[self.program.bundles[number]] = lower[self.program.bundles[number]]
        return lower, upper

    def dive(self, watch: SearchMonitor | None = None) -> None:
        """Offer what a dive within the kernel finds: a first solution, before HiGHS begins.

        Another `watch` than the search's may end it.
        """
        incumbent = self.parts.incumbent
        lower, upper = self._only(self._first, self.program.upper)
        watch = watch or incumbent.watch
        found = dive_within(self.program, watch, lower, upper, incumbent.best)
        if found is not None:
            incumbent.offer(found)

    def search_first(self, watch: SearchMonitor) -> None:
        """Offer the first solution that HiGHS comes upon within the kernel."""
        lower, upper = self._only(self._first, self.program.upper)
        self.parts.search_first(lower, upper, MOST_NODES, watch)

    def _branch(self, lower: Floats, upper: Floats) -> None:
        """Search within bounds by our own branch and bound, which starts sooner than HiGHS does."""
        program, above = self.program, upper.copy()
        self.parts.probes.shut(above, self.parts.incumbent.best)
        # `part.start` reads the relaxation that was solved just before it.
        with program.within(lower, above):
            gain = program.solve(lower.copy(), above.copy())
            if gain is None:
                return
            part = PartTree(self.tree, lower, above)
            part.start(gain)
            part.run(PART_NODES)
            self.parts.nodes += part.nodes

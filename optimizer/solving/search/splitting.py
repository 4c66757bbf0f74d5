"""What splits a problem first: a few binaries on which most depends, and of which the relaxation is
blind.

Which of two facing walls has the deep bays, say: with half of them on either side there is room in
the corners that no solution has. Where some nodes of the tree that branch on such columns alone
lower the bound by more than the gap, the search begins from these: the relaxation of the best one
makes a better kernel than that of the whole, and the next best ones lead to other solutions. Where
they come near enough to what there is, the proof goes through what they leave, part by part.
"""

from __future__ import annotations

import math

from optimizer.solving.search.program import Floats, Program
from optimizer.solving.search.tree import Tree

NODES = 50
"""Nodes of the tree for them at most: ordinary rooms take five to thirty."""
BEST = 4
"""Nodes in which they are whole that solutions are looked for from."""
CLOSES = 0.3
"""Part of the way from the relaxation to what is good enough that has to be theirs for a proof part
by part: below that HiGHS is sooner through with the whole."""


class Splitting:
    """The best nodes of a tree in which the columns that split the problem are whole: its parts."""

    def __init__(self, program: Program, tree: Tree) -> None:
        """Nothing is known before `begin`."""
        self.program = program
        self.tree = tree
        self.parts: list[tuple[Floats, Floats]] = []
        """Bounds of the columns in the best of them; none where these columns tell little."""
        self._root = self._led = math.inf

    def begin(self, root: float, gap: float) -> None:
        """Branch from the relaxation, whose gain is `root`; `gap` is the relative one that is asked
        for."""
        nodes = self.tree.lead(BEST, NODES)
        self._root, self._led = root, self.tree.bound
        if root - self._led > gap * max(1.0, abs(root)):
            self.parts = nodes

    def relaxed(self, number: int) -> bool:
        """Let the program hold the relaxation of a node; False where it has none any more."""
        lower, upper = self.parts[number]
        return self.program.solve(lower.copy(), upper.copy()) is not None

    def tells(self, target: float) -> bool:
        """Whether the parts tell much of what lies between the relaxation and `target`."""
        told = self._root - self._led
        return bool(self.parts) and told >= CLOSES * (self._root - target)

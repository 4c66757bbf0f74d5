"""Branch and bound over a linear relaxation that is solved again from its last basis.

The open node with the best bound comes first, and is followed down to a leaf along its better child
(a plunge). The variable to branch on is chosen by reliability branching: by the pseudo-costs seen
so far, and by trying it out where too few have been seen (Achterberg, Koch, Martin, "Branching
rules revisited", Operations Research Letters 33, 2005). Apart from where it ends, nothing here
depends on the clock, so that the same problem gives the same answer.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from optimizer.solving.search.costs import BranchingCosts
from optimizer.solving.search.incumbent import Incumbent
from optimizer.solving.search.program import Chosen, Floats, Ints, Program
from optimizer.solving.search.root import Root

TRIED_AT_MOST = 8
"""Variables tried out at a node."""
PATIENCE = 4
"""Trials in a row without a better one that end the trying."""
KEEP_BASES = 5000
"""Open nodes beyond which bases are no longer kept, for memory's sake."""

Change = tuple[int, float, float]
Finish = Callable[[Floats, Floats, float], float | None]
"""Searches what is within bounds to its end, offering what it finds to the incumbent; gives the
bound on it, None where it was stopped before. The number is the bound on all that is elsewhere."""


@dataclass(order=True)
class Node:
    """A node of the tree: its bound, the changes of bounds that lead to it, its fractional
    variables.

    The bound is stored negated, so that a heap gives the best one first.
    """

    key: float
    number: int
    changes: tuple[Change, ...] = field(compare=False)
    columns: Ints = field(compare=False)
    values: Floats = field(compare=False)
    basis: Any = field(compare=False)

    @property
    def gain(self) -> float:
        """Bound of the node: no solution in this part of the tree has a larger gain."""
        return -self.key


class Tree:
    """The open nodes of a branch and bound over the whole problem."""

    def __init__(
        self,
        program: Program,
        incumbent: Incumbent,
        finish: Finish | None = None,
        leading: Chosen | None = None,
    ) -> None:
        """`incumbent` takes the solutions met and the bound of the whole. The tree branches on
        `leading` columns first, where any are given; what is left where these are whole is for
        `finish`, if there is one."""
        self.program = program
        self.incumbent = incumbent
        self._finish = finish
        self._leading = np.zeros(program.size, dtype=bool) if leading is None else leading
        self.costs = BranchingCosts(program.ranks)
        self.nodes = 0
        self.root: Root | None = None
        self._number = 0
        self._open: list[Node] = []
        self._closed = -math.inf
        """The greatest bound of what was set aside as good enough."""
        self._lower, self._upper = program.lower.copy(), program.upper.copy()

    def start(self, gain: float) -> None:
        """Begin with the root node: the relaxation that the program has just solved."""
        program = self.program
        self.root = Root(gain, program.values.copy(), program.prices())
        for node in self._alive([self._node(gain, ())]):
            self._push(node)

    def run(self, most_nodes: int) -> None:
        """Branch until the incumbent is good enough, time is over or `most_nodes` have been solved.

        Columns that cannot be part of a good enough solution, by their reduced cost in the root,
        are fixed.
        """
        last = self.nodes + most_nodes
        while self._open and not self._settled():
            if self.nodes >= last or self.incumbent.watch.over():
                return
            # Each better incumbent leaves more out, and a smaller model is worth building only
            # then.
            self._leave_out(self.incumbent.target)
            before = self.incumbent.best
            with self.program.within(self._lower, self._upper):
                while self._open and not self._settled() and self.incumbent.best == before:
                    if self.nodes >= last or self.incumbent.watch.over():
                        return
                    self._plunge(heapq.heappop(self._open))
        self._settled()

    def lead(self, number: int, most_nodes: int) -> list[tuple[Floats, Floats]]:
        """Branch on leading columns until they are whole in so many of the most promising nodes, or
        so many nodes have been solved; gives the bounds of the columns in these, the best node
        first."""
        whole: list[Node] = []
        last = self.nodes + most_nodes
        # What is whole is out of the heap meanwhile: nothing is said of the bound before it is
        # back.
        while self._open and len(whole) < number:
            if self.nodes >= last or self.incumbent.watch.over():
                break
            node = heapq.heappop(self._open)
            if not self._leading[node.columns].any():
                whole.append(node)
                continue
            self.nodes += 1
            for child in self._branch(node):
                self._push(child)
        for node in whole:
            self._push(node)
        self._settled()
        return [self._bounds(node) for node in whole]

    def narrowed(self, cutoff: float) -> tuple[Floats, Floats]:
        """Bounds of the columns within which a solution better than `cutoff` may still lie; those
        of the tree stay as they are."""
        # What was left out under a higher cutoff may hold a solution that exceeds this one.
        held = self._closed <= cutoff
        lower = (self._lower if held else self.program.lower).copy()
        upper = (self._upper if held else self.program.upper).copy()
        if self.root is not None and math.isfinite(cutoff):
            self.root.narrow(self.program.integers, cutoff, lower, upper)
        return lower, upper

    def narrow(self, upper: Floats, cutoff: float) -> None:
        """Fix what the upper bounds exclude; `cutoff` is the bound on everything that is
        excluded."""
        self._upper = np.minimum(self._upper, upper)
        self._closed = max(self._closed, cutoff)

    def _leave_out(self, cutoff: float) -> None:
        """Fix columns by their reduced cost in the root: those that cost more than the cutoff
        allows."""
        if self.root is None or not math.isfinite(cutoff):
            return
        if self.root.narrow(self.program.integers, cutoff, self._lower, self._upper):
            self._closed = max(self._closed, cutoff)

    @property
    def exhausted(self) -> bool:
        """Whether no open node is left of a tree that was begun."""
        return self.root is not None and not self._open

    @property
    def empty(self) -> bool:
        """Whether it is proved that the problem has no solution at all."""
        return self.exhausted and self._closed == -math.inf

    def _settled(self) -> bool:
        """Drop open nodes that are proved good enough; tells whether the incumbent is good
        enough."""
        incumbent = self.incumbent
        while self._open and self._open[0].gain <= incumbent.target:
            self._closed = max(self._closed, heapq.heappop(self._open).gain)
        incumbent.lower_bound_to(self.bound)
        return not self._open or incumbent.settled

    @property
    def bound(self) -> float:
        """The bound on all that is open or set aside; a node that is being searched is neither."""
        top = self._open[0].gain if self._open else -math.inf
        return max(top, self._closed)

    def _plunge(self, node: Node) -> None:
        """Follow a node down along its better child; the other children stay open."""
        current: Node | None = node
        while current is not None:
            if current.gain <= self.incumbent.target:
                self._closed = max(self._closed, current.gain)
                return
            if self.incumbent.watch.over():
                self._push(current)
                return
            self.nodes += 1
            children = self._branch(current)
            children.sort()
            for child in children[1:]:
                self._push(child)
            current = children[0] if children else None

    def _push(self, node: Node) -> None:
        """Keep a node for later; beyond so many without its basis, so that it starts cold."""
        if len(self._open) > KEEP_BASES:
            node.basis = None
        heapq.heappush(self._open, node)

    # -- branching -----------------------------------------------------------------

    def _branch(self, node: Node) -> list[Node]:
        """The children of a node, by the variable that promises to lower the bound most."""
        columns, values = node.columns, node.values
        leading = self._leading[columns]
        if leading.any():
            columns, values = columns[leading], values[leading]
        elif self._finish is not None and self._finished(node, self._finish):
            return []
        order = self.costs.promising(columns, values)
        best, chosen, tried, since = -1.0, None, 0, 0
        for place in order:
            column, value = int(columns[place]), float(values[place])
            if self.costs.reliable(column):
                children, score = None, self.costs.score(column, value)
            elif tried < TRIED_AT_MOST:
                tried += 1
                children = self._children(node, column, value)
                score = self._score(node, children)
                # One side has no solutions: the other is the node itself, narrower, and costs no
                # branching.
                if len(children) < 2:
                    return self._alive(children)
            else:
                continue
            # More by a hair is rounding: the first of equals stays, whatever the machine.
            if score > best * 1.0001:
                best, chosen, since = score, (column, value, children), 0
            else:
                since += 1
                if since >= PATIENCE:
                    break
        assert chosen is not None  # noqa: S101
        column, value, ready = chosen
        found = self._children(node, column, value) if ready is None else ready
        return self._alive(found)

    def _finished(self, node: Node, finish: Finish) -> bool:
        """Whether what is left of a node was searched to its end."""
        bound = finish(*self._bounds(node), self.bound)
        if bound is not None:
            self._closed = max(self._closed, min(bound, node.gain))
        return bound is not None

    def _alive(self, children: list[Node]) -> list[Node]:
        """The children that still have fractional variables; those without were taken as
        solutions."""
        for child in children:
            if not len(child.columns):
                self._closed = max(self._closed, child.gain)
        return [child for child in children if len(child.columns)]

    def _score(self, node: Node, children: list[Node]) -> float:
        """Score of a variable that was tried out, from the falls of its children; none counts as
        a cut."""
        drops = [node.gain - child.gain for child in children]
        drops += [BranchingCosts.CUT_OFF] * (2 - len(drops))
        return self.costs.product(*drops)

    def _children(self, node: Node, column: int, value: float) -> list[Node]:
        """The two children of a node, below and above a fractional value; solutions are taken on
        the way."""
        found = []
        for up in (False, True):
            lower, upper = self._bounds(node)
            if up:
                lower[column] = math.ceil(value)
            else:
                upper[column] = math.floor(value)
            change = (column, float(lower[column]), float(upper[column]))
            gain = self.program.solve(lower, upper, node.basis)
            drop = BranchingCosts.CUT_OFF if gain is None else node.gain - gain
            self.costs.learn(column, value, up=up, drop=drop)
            if gain is not None:
                # A child has no more than its parent; what a solve tells beyond that is rounding.
                found.append(self._node(min(gain, node.gain), (*node.changes, change)))
        return found

    def _node(self, gain: float, changes: tuple[Change, ...]) -> Node:
        """A node with the solution that the program holds."""
        program = self.program
        columns, values, basis = program.fractional(), program.values, program.basis()
        self._number += 1
        if not len(columns):
            # A solution as good as the node's bound: nothing better is left in it.
            self.incumbent.offer(values)
        return Node(-gain, self._number, changes, columns, values[columns], basis)

    def _bounds(self, node: Node) -> tuple[Floats, Floats]:
        """The tree's bounds as narrowed by now, and the node's own changes within them."""
        lower, upper = self._lower.copy(), self._upper.copy()
        for column, low, high in node.changes:
            lower[column], upper[column] = max(lower[column], low), min(upper[column], high)
        return lower, upper


class PartTree(Tree):
    """Branch and bound over a part of the problem, to find solutions.

    The bound of a part proves nothing for the whole, and is dropped. Pseudo-costs are shared with
    the tree of the whole.
    """

    def __init__(
        self, whole: Tree, lower: Floats, upper: Floats, leading: Chosen | None = None
    ) -> None:
        """A tree within the given bounds, with the pseudo-costs of the tree of the whole."""
        super().__init__(whole.program, whole.incumbent, leading=leading)
        self.costs = whole.costs
        self._lower, self._upper = lower.copy(), upper.copy()

    def _settled(self) -> bool:
        """Drop nodes that are good enough; tells whether nothing is left to look for."""
        incumbent = self.incumbent
        while self._open and self._open[0].gain <= incumbent.target:
            heapq.heappop(self._open)
        return not self._open or incumbent.settled

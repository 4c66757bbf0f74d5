"""Probing: what the linear relaxation can still reach with each member of a choice fixed at 1.

A choice is a set of binary variables of which exactly one is 1 (the states of a corner, say). With
one member fixed at 1, the relaxation bounds every solution that has it; from the last basis that
takes a few milliseconds. The largest of the bounds over a choice holds for all solutions. A member
whose bound does not exceed a cutoff is fixed at 0 while only better solutions are looked for, and
what the best members use together makes a kernel. See Savelsbergh, "Preprocessing and probing
techniques for mixed integer programming problems", ORSA Journal on Computing 6, 1994.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from optimizer.solving.search.monitor import SearchMonitor
from optimizer.solving.search.program import Chosen, Floats, Program
from optimizer.solving.search.root import Root

USED_WITHIN = 0.004
"""Part of the root's gain within which a member's solution gives its bundles to the kernel."""
OPEN_WITHIN = 0.005
"""Part of the root's gain below the best of its choice within which a kernel keeps a member."""
ROUNDS = 3
"""Probes of one member under one cutoff at most."""
SAFE = 1e-6
"""Relative tolerance of a bound by a linear program."""


class Probes:
    """The bounds of the members of a program's choices; `reach` has the bound of each member by
    column."""

    def __init__(self, program: Program, watch: SearchMonitor) -> None:
        """Nothing is proved of any member yet."""
        self.program = program
        self.watch = watch
        self.reach = {int(column): math.inf for choice in program.choices for column in choice}
        self._used: dict[int, Chosen] = {}

    def price(self, root: Root) -> None:
        """Bound each member that the root relaxation leaves at 0 by its reduced cost, without a
        solve."""
        for column in self.reach:
            if root.values[column] < SAFE:
                gain = root.gain - max(0.0, float(root.prices[column]) - SAFE)
                self.reach[column] = min(self.reach[column], gain)

    def remember(self, known: Mapping[str, float]) -> None:
        """Take bounds that an earlier search of the same problem proved, by name of variable."""
        for column in self.reach:
            gain = known.get(self.program.variables[column].name, math.inf)
            self.reach[column] = min(self.reach[column], gain)

    def known(self) -> dict[str, float]:
        """The bounds proved so far, by name of variable, for a later search of the same problem."""
        names = self.program.variables
        return {names[column].name: gain for column, gain in self.reach.items()}

    @property
    def bound(self) -> float:
        """The bound on all solutions that the probes prove: the least over the choices of their
        largest."""
        return min(
            (max(self.reach[int(c)] for c in choice) for choice in self.program.choices),
            default=math.inf,
        )

    def shut(self, upper: Floats, cutoff: float) -> int:
        """Set the upper bound of every member that cannot exceed `cutoff` to 0; gives how many
        there are."""
        # Bounds of a linear program hold to a tolerance: by so much they have to be below the
        # cutoff.
        margin = SAFE * max(1.0, abs(cutoff)) if math.isfinite(cutoff) else 0.0
        out = [column for column, gain in self.reach.items() if gain <= cutoff - margin]
        upper[out] = np.minimum(upper[out], 0.0)
        return len(out)

    def run(self, cutoff: float = -math.inf) -> None:
        """Probe every member that may exceed `cutoff`, again as long as that fixes more of them."""
        for _ in range(ROUNDS):
            before = self._shut_by(cutoff)
            self._round(cutoff)
            if self.watch.over() or self._shut_by(cutoff) == before:
                return

    def _shut_by(self, cutoff: float) -> int:
        """How many members cannot exceed `cutoff` by what is known so far."""
        return self.shut(self.program.upper.copy(), cutoff)

    def _round(self, cutoff: float) -> None:
        """Probe once each member that is still open under `cutoff`."""
        program = self.program
        upper = program.upper.copy()
        self.shut(upper, cutoff)
        if program.solve(*program.inside(upper)) is None:
            return
        # All from the same basis: that of the probe before has another member at 1, further away.
        basis = program.basis()
        for column in self.reach:
            if upper[column] < 1.0 or self.watch.over():
                continue
            lower, above = program.inside(upper)
            lower[column] = 1.0
            gain = program.solve(lower, above, basis)
            # What was shut does not exceed the cutoff either.
            reached = cutoff if gain is None else max(gain, cutoff)
            self.reach[column] = min(self.reach[column], reached)
            if gain is not None:
                self._used[column] = program.used(program.values)

    def kernel(self, root: float) -> tuple[Chosen, Floats]:
        """Bundles that the best member of each choice uses, and upper bounds that leave only those
        members."""
        program, size = self.program, max(1.0, abs(root))
        chosen: Chosen = np.zeros(len(program.bundles), dtype=bool)
        upper = program.upper.copy()
        for choice in program.choices:
            best = max(self.reach[int(column)] for column in choice)
            for column in choice.tolist():
                if self.reach[column] < best - OPEN_WITHIN * size:
                    upper[column] = min(upper[column], 0.0)
                if self.reach[column] > root - USED_WITHIN * size and column in self._used:
                    chosen |= self._used[column]
        return chosen, upper

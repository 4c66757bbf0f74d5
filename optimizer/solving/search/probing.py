"""Probing: what the relaxation still reaches with each member of a choice taken.

Of each choice (a set of binaries) exactly one member is 1. With a member fixed at 1 the hot
relaxation takes a few milliseconds to bound every solution that has it. The best member of a
choice bounds them all; what cannot exceed a cutoff is shut wherever only more than that is
looked for; and what the best members use together is a kernel. See Savelsbergh, "Preprocessing
and probing techniques for mixed integer programming problems", ORSA Journal on Computing 6,
1994.
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
    """Bounds of the members of a program's choices; `reach` holds them by column."""

    def __init__(self, program: Program, watch: SearchMonitor) -> None:
        self.program = program
        self.watch = watch
        self.reach = {int(column): math.inf for choice in program.choices for column in choice}
        self._used: dict[int, Chosen] = {}

    def price(self, root: Root) -> None:
        """Take what each member costs in the root where it is out: its bound without a solve."""
        for column in self.reach:
            if root.values[column] < SAFE:
                gain = root.gain - max(0.0, float(root.prices[column]) - SAFE)
                self.reach[column] = min(self.reach[column], gain)

    def remember(self, known: Mapping[str, float]) -> None:
        """Take bounds proved before, by name of variable."""
        for column in self.reach:
            gain = known.get(self.program.variables[column].name, math.inf)
            self.reach[column] = min(self.reach[column], gain)

    def known(self) -> dict[str, float]:
        """Bounds by name of variable."""
        names = self.program.variables
        return {names[column].name: gain for column, gain in self.reach.items()}

    @property
    def bound(self) -> float:
        """What no solution exceeds."""
        return min(
            (max(self.reach[int(c)] for c in choice) for choice in self.program.choices),
            default=math.inf,
        )

    def shut(self, upper: Floats, cutoff: float) -> int:
        """Keep out of `upper` whatever cannot exceed a cutoff; how many members that is."""
        margin = SAFE * max(1.0, abs(cutoff)) if math.isfinite(cutoff) else 0.0
        out = [column for column, gain in self.reach.items() if gain <= cutoff - margin]
        upper[out] = np.minimum(upper[out], 0.0)
        return len(out)

    def run(self, cutoff: float = -math.inf) -> None:
        """Probe what may exceed a cutoff, again while that shuts more."""
        for _ in range(ROUNDS):
            before = self._shut_by(cutoff)
            self._round(cutoff)
            if self.watch.over() or self._shut_by(cutoff) == before:
                return

    def _shut_by(self, cutoff: float) -> int:
        return self.shut(self.program.upper.copy(), cutoff)

    def _round(self, cutoff: float) -> None:
        program = self.program
        upper = program.upper.copy()
        self.shut(upper, cutoff)
        if program.solve(*program.inside(upper)) is None:
            return
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
        """Bundles that the best members use, and upper bounds that keep only those members."""
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

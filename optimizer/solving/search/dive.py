"""A first solution by diving: round a variable, solve the relaxation again, and go on.

It takes a few dozen linear programs, each solved from the last basis.
"""

from __future__ import annotations

import numpy as np

from optimizer.solving.search.monitor import SearchMonitor
from optimizer.solving.search.program import Floats, Ints, Program

MOST_LPS = 100
"""Linear programs that a dive may take."""
ROUND_UP_FROM = 0.3
"""Fraction from which a variable is rounded up."""

Decision = tuple[int, float, float]
"""A column with its bounds before it was decided the first way."""


def dive_within(
    program: Program, watch: SearchMonitor, lower: Floats, upper: Floats, least: float
) -> Floats | None:
    """What a dive within bounds finds that exceeds `least`; None where the relaxation promises no
    more than that, or the dive leads nowhere."""
    with program.within(lower, upper):
        # The dive starts from the relaxation solved last.
        gain = program.solve(lower.copy(), upper.copy())
        if gain is None or gain <= least:
            return None
        return Dive(program, watch, lower, upper).run(least)


class Dive:
    """Fixes one variable after another, the lowest ranks first; takes back what leads nowhere."""

    def __init__(
        self, program: Program, watch: SearchMonitor, lower: Floats, upper: Floats
    ) -> None:
        """Within bounds, which are left as they are; `MOST_LPS` counts from here."""
        self.program = program
        self.watch = watch
        self.lower, self.upper = lower.copy(), upper.copy()
        self._trail: list[tuple[Decision, Decision | None]] = []
        self._last = program.lps + MOST_LPS

    def run(self, least: float) -> Floats | None:
        """A solution with a gain above `least`, starting from the relaxation that was just
        solved."""
        while True:
            fractions = self.program.fractional()
            if not len(fractions):
                return self.program.values
            if not self._decide(fractions, least):
                return None

    def _decide(self, fractions: Ints, least: float) -> bool:
        """Round one more variable; False where neither way goes on."""
        ranks = self.program.ranks[fractions]
        # What comes first by rank (states of corners, numbers of bays) settles most of what
        # follows.
        candidates = fractions[ranks == np.min(ranks)]
        values = self.program.values[candidates]
        place = int(np.argmax(values - np.floor(values)))
        column, value = int(candidates[place]), float(values[place])
        floor = float(np.floor(value))
        # A count below 1 goes up whatever its fraction: down would give up what it stands for.
        up = value - floor > ROUND_UP_FROM or value < 1.0
        below = (column, float(self.lower[column]), floor)
        above = (column, floor + 1.0, float(self.upper[column]))
        first, second = (above, below) if up else (below, above)
        before = (column, float(self.lower[column]), float(self.upper[column]))
        self._trail.append((before, second))
        return self._set(first, least) or self._flip(least)

    def _set(self, decision: Decision, least: float) -> bool:
        """Solve under one more decision; whether a solution above `least` may still be below it."""
        column, low, high = decision
        self.lower[column], self.upper[column] = low, high
        # Copies: a solve tightens what it is given, and the bounds here have to be taken back.
        gain = self.program.solve(self.lower.copy(), self.upper.copy())
        return gain is not None and gain > least

    def _flip(self, least: float) -> bool:
        """Take back decisions until one of them can be made the other way round."""
        while self._trail and self.program.lps < self._last and not self.watch.over():
            before, other = self._trail.pop()
            column, low, high = before
            self.lower[column], self.upper[column] = low, high
            if other is not None:
                # There is no third way: if this one fails further down, it goes for good.
                self._trail.append((before, None))
                if self._set(other, least):
                    return True
        return False

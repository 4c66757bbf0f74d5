"""The best solution a search has found, every one before it, and the bound on all."""

from __future__ import annotations

import math

from optimizer.solving.search.monitor import SearchMonitor
from optimizer.solving.search.program import WHOLE, Floats, Program


class Incumbent:
    """Solutions of a program, better and better; gains as in `program`."""

    def __init__(self, program: Program, watch: SearchMonitor, gap: float, ceiling: float) -> None:
        self.program = program
        self.watch = watch
        self.gap = gap
        self.bound = ceiling
        self.best = -math.inf
        self.values: Floats | None = None
        self.history: list[Floats] = []
        self._seen = -math.inf
        """The best gain told of a search on its way."""

    def offer(self, values: Floats) -> bool:
        """Take a solution, its integers made whole, if it is better than the best."""
        found = self.program.fixed(values)
        if found is None or found[0] <= self.best:
            return False
        self.best, self.values = found
        self.history.append(self.values)
        self.tell()
        return True

    @property
    def target(self) -> float:
        """Bound at which the best solution is good enough."""
        return -math.inf if self.values is None else self._target(self.best)

    @property
    def needed(self) -> float:
        """Gain below which no solution is good enough, but for gap squared."""
        return self.bound - self.gap * max(1.0, abs(self.bound))

    @property
    def far(self) -> bool:
        """Whether the best solution is not even nearly good enough."""
        return self.values is None or self.bound > self._target(self._target(self.best))

    def aim(self, share: float) -> float:
        """Bound that proves the best solution within a share of the gap."""
        if self.values is None:
            return -math.inf
        return self.best + share * (self._target(self.best) - self.best)

    def does(self, best: float) -> bool:
        """Whether a solution of gain `best` is good enough."""
        return self.bound <= self._target(best)

    def see(self, best: float, bound: float) -> None:
        """Take a bound proved by a search that is still on its way with a solution of gain
        `best`, and tell of both."""
        self.bound = min(self.bound, max(bound, best))
        self._seen = max(self._seen, best)
        self.watch.tell(self.program.gain(best), self.program.gain(self.bound))

    def hopeless(self, best: float, dual: float) -> bool:
        """Whether a part of the program with bound `dual` can only improve a solution of gain
        `best` that is nearly good enough, without making it so."""
        near = self.bound <= self._target(self._target(best))
        return near and self._target(dual) < self.bound

    def _target(self, best: float) -> float:
        return best + self.gap * max(1.0, abs(best))

    @property
    def settled(self) -> bool:
        """Whether the best solution is proved good enough."""
        return self.bound <= self.target

    def lower_bound_to(self, bound: float) -> None:
        """Take a bound that was proved; it never rises."""
        self.bound = min(self.bound, max(bound, self.best))
        self.tell()

    def tell(self) -> None:
        """Pass progress on, in the problem's own sense."""
        gain, best = self.program.gain, self.best
        if best < self._seen <= best + WHOLE:
            # Told before with other roundings: progress does not go back by a hair.
            best = self._seen
        self.watch.tell(gain(best), gain(max(self.bound, best)))

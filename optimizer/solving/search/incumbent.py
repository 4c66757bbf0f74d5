"""The best solution that a search has found so far, and the best bound proved for the whole
problem.

"Good enough" means within the relative gap that was asked for: the search ends when the bound
proves that no solution exceeds the incumbent by more than that.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import contextmanager

from optimizer.solving.search.monitor import SearchMonitor
from optimizer.solving.search.program import WHOLE, Floats, Ints, Program

FAR = 4.0
"""Gaps between a solution and a bound on it from which the solution is poor: it then says little of
where better ones are."""
DEEP = 0.1
"""Part of the gap asked for that a proof may leave where going on to it is cheap."""


class Incumbent:
    """The incumbent of a program and the bound. Objective values are gains (see `program`): more is
    better."""

    def __init__(
        self,
        program: Program,
        watch: SearchMonitor,
        gap: float,
        ceiling: float,
        *,
        deep: bool = False,
    ) -> None:
        """`ceiling`: a bound that is known before; `deep`: whether the bound is brought lower than
        `gap` asks for (see `goal`)."""
        self.deep = deep
        self.program = program
        self.watch = watch
        self.gap = gap
        self._asked = gap
        self._aside = -math.inf
        """The best gain of what is set aside (see `afresh`)."""
        self.bound = ceiling
        self.best = -math.inf
        self.values: Floats | None = None
        self.history: list[Floats] = []
        self._seen = -math.inf
        """The best gain told of a search on its way."""

    def offer(self, values: Floats) -> bool:
        """Take a solution as the new incumbent if it is better; its integers are rounded to whole
        numbers."""
        # Compared after the integers were rounded and the rest solved anew: by its own tolerances a
        # solver may tell of a little more than there is.
        found = self.program.fixed(values)
        return found is not None and self.take(*found)

    def take(self, gain: float, values: Floats) -> bool:
        """Take a solution whose integers are whole and whose gain is known (`Program.fixed`), if
        it is better."""
        if gain <= self.best:
            return False
        self.best, self.values = gain, values
        self.history.append(self.values)
        self.tell()
        return True

    @property
    def target(self) -> float:
        """The bound at which the incumbent counts as good enough, so that the search may end."""
        return -math.inf if self.values is None else self._target(self.best)

    @property
    def needed(self) -> float:
        """The least gain that a solution needs to be good enough under the present bound."""
        return self.bound - self.gap * max(1.0, abs(self.bound))

    @property
    def far(self) -> bool:
        """Whether the incumbent is not even nearly good enough under the present bound."""
        return self.values is None or self.bound > self._target(self._target(self.best))

    @property
    def distant(self) -> bool:
        """Whether the incumbent is several times the gap asked for below the present bound."""
        return self.bound > self.aim(FAR)

    def lacking(self, columns: Ints) -> Ints:
        """Those columns in which the incumbent is below their upper bounds; none without one."""
        if self.values is None:
            return columns[:0]
        return columns[self.values[columns] < self.program.upper[columns] - WHOLE]

    @property
    def goal(self) -> float:
        """The bound that a deep proof goes on to beyond the target while that is cheap: later
        searches start from it, and what comes near enough to it needs no proof of its own. The
        target where the proof need not be deep."""
        return self.aim(DEEP) if self.deep else self.target

    @contextmanager
    def stricter(self) -> Iterator[None]:
        """Take for good enough what a deep proof would (see `goal`) alone."""
        self.gap = DEEP * self._asked
        try:
            yield
        finally:
            self.gap = self._asked

    @contextmanager
    def afresh(self) -> Iterator[None]:
        """Look for a solution as if none were known; the better one is the incumbent after it."""
        best, values, kept = self.best, self.values, self.history
        self._aside = best
        self.best, self.values, self.history = -math.inf, None, []
        try:
            yield
        finally:
            self._aside = -math.inf
            if self.best <= best:
                self.best, self.values, self.history = best, values, [*self.history, *kept]
            else:
                self.history = [*kept, *self.history]

    def exceeds(self, bound: float) -> bool:
        """Whether more is sought than was asked for, though that is reached under a bound."""
        return self.gap < self._asked and bound <= _enough(self.best, self._asked)

    @property
    def known(self) -> float:
        """The best gain of all that was found, with what is set aside."""
        return max(self.best, self._aside)

    def aim(self, share: float) -> float:
        """The bound that proves the incumbent to be within `share` of the gap asked for."""
        if self.values is None:
            return -math.inf
        return self.best + share * (self._target(self.best) - self.best)

    def does(self, best: float) -> bool:
        """Whether a solution with the gain `best` would be good enough under the present bound."""
        return self.bound <= self._target(best)

    def see(self, best: float, bound: float) -> None:
        """Take the bound of a search that is still running and has a solution of gain `best`;
        report both."""
        self.bound = min(self.bound, max(bound, best))
        self._seen = max(self._seen, best)
        self.watch.tell(self.program.gain(best), self.program.gain(self.bound))

    def hopeless(self, best: float, dual: float) -> bool:
        """Whether searching a part of the problem further is not worth it.

        That is so where its bound `dual` allows it to improve on a solution of gain `best` that is
        nearly good enough, but not to find one that is.
        """
        near = self.bound <= self._target(self._target(best))
        return near and self._target(dual) < self.bound

    def _target(self, best: float) -> float:
        """The bound under which a solution of gain `best` is good enough."""
        return _enough(best, self.gap)

    @property
    def settled(self) -> bool:
        """Whether the best solution is proved good enough."""
        return self.bound <= self.target

    def lower_bound_to(self, bound: float) -> None:
        """Take a proved bound. The bound only ever gets tighter: a weaker one is ignored."""
        # A search under a cutoff speaks of what beats it alone: the incumbent is a bound's floor.
        self.bound = min(self.bound, max(bound, self.best))
        self.tell()

    def tell(self) -> None:
        """Report the incumbent and the bound as objective values of the problem."""
        gain, best = self.program.gain, self.known
        if best < self._seen <= best + WHOLE:
            # Told before with other roundings: progress does not go back by a hair.
            best = self._seen
        self.watch.tell(gain(best), gain(max(self.bound, best)))


def _enough(best: float, gap: float) -> float:
    """The bound under which a solution of gain `best` is within a relative gap of it."""
    return best + gap * max(1.0, abs(best))

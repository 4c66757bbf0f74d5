"""Solutions handed out before the search has ended, to whoever would rather see one now.

Nothing of the search depends on them: when one is handed out follows from incumbent and bound,
never from the clock, and the search goes on as if it had not been looked at.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from optimizer.solving.backends.problem import tidy_values
from optimizer.solving.search.incumbent import Incumbent
from optimizer.solving.search.program import Program

SolutionTaker = Callable[[float], None]
"""Takes a solution that the problem's variables hold, with the bound on its objective."""

LEAST = 250
"""Integer variables below which none are handed out: smaller problems are mostly solved within a
second."""
NEAR = 0.03
"""Distance from the bound, relative, within which a solution is handed out as soon as it is met."""
NEWS = 0.01
"""Difference, relative, by which a later one has to be better."""
MOST = 3
"""Solutions handed out in one search."""


class ProvisionalSolutions:
    """The best solution so far, handed out when it is the first or noticeably better."""

    def __init__(
        self, problem: Any, program: Program, incumbent: Incumbent, taker: SolutionTaker | None
    ) -> None:
        """`taker` gets them, while the variables of `problem` hold them; None for nobody."""
        self._problem, self._program, self._incumbent = problem, program, incumbent
        self._taker = taker if len(program.integers) >= LEAST else None
        self._told = -math.inf
        self._left = MOST

    def hand_out(self, *, midway: bool = False) -> None:
        """Hand out the best solution, where it is news. `midway`: a step of the search is not yet
        over and may soon find a better one, so that only one near the bound is handed out."""
        incumbent = self._incumbent
        if self._taker is None or not self._left or incumbent.values is None or incumbent.settled:
            return
        # While another one is looked for afresh, the best one is not in hand.
        if incumbent.best < incumbent.known:
            return
        if (midway and not self._near) or not self._is_news:
            return
        self._told, self._left = incumbent.best, self._left - 1
        self._program.hand_over(incumbent.values)
        tidy_values(self._problem)
        self._taker(self._program.gain(incumbent.bound))

    @property
    def _near(self) -> bool:
        """Whether the best solution is near the bound."""
        best = self._incumbent.best
        return self._incumbent.bound - best <= NEAR * max(1.0, abs(best))

    @property
    def _is_news(self) -> bool:
        """Whether the best solution is noticeably better than the last one handed out."""
        if self._told == -math.inf:
            return True
        best = self._incumbent.best
        return best - self._told >= NEWS * max(1.0, abs(best))

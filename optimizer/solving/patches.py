"""Improving a solution piece by piece: one family of variables planned anew at a time.

Everything outside the family stays, which leaves HiGHS a small problem.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import highspy
import numpy as np

from optimizer.solving.highs import Limits, claim_scheduler, quiet_copy
from optimizer.solving.incumbent import Incumbent
from optimizer.solving.program import Floats, Ints, Program

MOST_NODES = 20
"""Nodes of one piece's search."""

_Event = highspy.cb.HighsCallbackType


class Patches:
    """The pieces of a program, and those the incumbent has been tried with."""

    def __init__(self, program: Program, incumbent: Incumbent, seed: int) -> None:
        self.program = program
        self.incumbent = incumbent
        self.limits = Limits(seed=seed)
        self.singles = [family for family in program.families if len(family)]
        self.pairs = [np.union1d(one, other) for one, other in pairwise(self.singles)]
        self._model: Any = None

    def improve(self, families: Sequence[Ints]) -> None:
        """Plan family after family anew until none helps or the incumbent is good enough."""
        if self.incumbent.values is None or len(self.singles) < 2:
            return
        stale, place = 0, 0
        while stale < len(families) and not self._done():
            better = self._replan(families[place % len(families)])
            stale = 0 if better else stale + 1
            place += 1

    def _done(self) -> bool:
        return self.incumbent.settled or self.incumbent.watch.over()

    def _replan(self, family: Ints) -> bool:
        """Whether planning one family anew gave a better solution."""
        values = self.incumbent.values
        assert values is not None  # noqa: S101
        model = self._prepared(values, family)
        claim_scheduler(self.limits.threads)
        model.run()
        if model.getInfo().primal_solution_status != highspy.kSolutionStatusFeasible:
            return False
        return self.incumbent.offer(np.array(model.getSolution().col_value))

    def _prepared(self, values: Floats, family: Ints) -> Any:
        """HiGHS's model with everything fixed but one family, starting from the incumbent."""
        program = self.program
        model = self._model or self._new_model()
        lower, upper = program.lower.copy(), program.upper.copy()
        kept = np.setdiff1d(program.integers, family)
        lower[kept] = upper[kept] = np.round(values[kept])
        everything = np.arange(program.size, dtype=np.int32)
        model.changeColsBounds(program.size, everything, lower, upper)
        model.clearSolver()
        model.setSolution(program.size, everything, values)
        left = min(self.incumbent.watch.left, 1e6)
        model.setOptionValue("time_limit", model.getRunTime() + left)
        return model

    def _new_model(self) -> Any:
        model = quiet_copy(self.program.mixed, self.limits)
        model.setOptionValue("mip_rel_gap", self.incumbent.gap / 4)
        model.setOptionValue("mip_max_nodes", MOST_NODES)
        model.setCallback(self._on_event, None)
        model.startCallback(_Event.kCallbackMipInterrupt)
        self._model = model
        return model

    def _on_event(self, _: Any, __: str, ___: Any, answer: Any, ____: Any) -> None:
        """End the piece's search when the whole search has to end."""
        try:
            over = self.incumbent.watch.over()
        except BaseException as error:  # raised again by the search
            self.incumbent.watch.raised = error
            over = True
        if over and answer is not None:
            answer.user_interrupt = True

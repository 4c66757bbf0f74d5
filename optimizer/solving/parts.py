"""Branch and cut by HiGHS on a part of a program, or on the whole of it."""

from __future__ import annotations

import math
from typing import Any

import highspy
import numpy as np

from optimizer.solving.highs import Limits, quiet_copy
from optimizer.solving.incumbent import Incumbent
from optimizer.solving.probing import Probes
from optimizer.solving.program import WHOLE, Floats, Program
from optimizer.solving.running import run_watched

_Ended = highspy.HighsModelStatus
NEAR = 0.8
"""Part of the gap at which a part is searched no further."""
EXACT = 1e-6
"""Difference of value and bound, relative, that HiGHS calls none."""
_PROVED = (_Ended.kOptimal, _Ended.kTimeLimit, _Ended.kInterrupt, _Ended.kSolutionLimit)

_SLOW = ("mip_heuristic_run_feasibility_jump", "mip_allow_restart")
"""What costs a search of few nodes more than it finds there."""


class Parts:
    """HiGHS's model of a program, solved with its columns held within narrower bounds."""

    def __init__(
        self, program: Program, incumbent: Incumbent, probes: Probes, seed: int, *, demanding: bool
    ) -> None:
        """`demanding`: parts are searched for what is good enough alone, under a bound that
        is near enough to the truth to ask for it."""
        self.program = program
        self.incumbent = incumbent
        self.probes = probes
        self.demanding = demanding
        self.nodes = 0
        self._limits = Limits(seed=seed)
        self._model: Any = None

    def search(self, lower: Floats, upper: Floats, most_nodes: int) -> None:
        """Look for a better solution within the bounds.

        Ends when a solution is good enough under the bound on the whole, too.
        """
        least = self.incumbent.best
        if self.demanding:
            least = max(least, self.incumbent.needed)
        above = upper.copy()
        self.probes.shut(above, least)
        model = self._prepared(lower, above)
        model.setOptionValue("mip_rel_gap", self.incumbent.gap * NEAR)
        model.setOptionValue("mip_max_nodes", most_nodes)
        for option in _SLOW:
            model.setOptionValue(option, False)
        if math.isfinite(least):
            model.setOptionValue("objective_bound", self.program.cost_of(least))
        self._solve(model, least)

    def search_all(self) -> bool:
        """Search the whole program to its end; False when it has no solution at all.

        Takes the bound that HiGHS proves.
        """
        upper = self.program.upper.copy()
        self.probes.shut(upper, self.incumbent.best)
        model = self._prepared(self.program.lower, upper)
        model.setOptionValue("mip_rel_gap", 0.0)
        model.setOptionValue("mip_max_nodes", 2**31 - 1)
        model.setOptionValue("objective_bound", math.inf)
        self._solve(model)
        status = model.getModelStatus()
        if status == _Ended.kInfeasible and self.incumbent.values is None:
            return False
        if status in _PROVED:
            best, bound = self.incumbent.best, self.program.gain_of(model.getInfo().mip_dual_bound)
            if status == _Ended.kOptimal and bound - best <= _near(best):
                bound = best
            if math.isfinite(bound):
                self.incumbent.lower_bound_to(bound)
        return True

    def _prepared(self, lower: Floats, upper: Floats) -> Any:
        """HiGHS's model within the bounds, starting from the incumbent if it is in them."""
        program = self.program
        if self._model is None:
            self._model = quiet_copy(program.mixed, self._limits)
        model, everything = self._model, np.arange(program.size, dtype=np.int32)
        model.changeColsBounds(program.size, everything, lower, upper)
        model.clearSolver()
        for option in _SLOW:
            model.setOptionValue(option, True)
        values = self.incumbent.values
        if values is not None:
            model.setSolution(program.size, everything, values)
        return model

    def _solve(self, model: Any, cutoff: float | None = None) -> None:
        """Run and take the solution.

        HiGHS 1.16 gives its start for the solution where presolve alone found a better one,
        and that one's value: it then runs again without a start.
        """
        self._run(model, cutoff)
        self._take(model)
        least = max(self.incumbent.best, -math.inf if cutoff is None else cutoff)
        claimed = self.program.gain_of(model.getInfo().objective_function_value)
        if model.getModelStatus() == _Ended.kOptimal and claimed > least + _near(least):
            model.clearSolver()
            self._run(model, cutoff)
            self._take(model)

    def _run(self, model: Any, cutoff: float | None = None) -> None:
        """Run a part under a cutoff, or the whole without one."""
        incumbent, gain_of = self.incumbent, self.program.gain_of

        def over(out: Any) -> bool:
            """Whether the solution is good enough, or the part hopeless."""
            if not (math.isfinite(out.mip_primal_bound) and math.isfinite(out.mip_dual_bound)):
                return False
            found, bound = gain_of(out.mip_primal_bound), gain_of(out.mip_dual_bound)
            if cutoff is None:
                best = max(found, incumbent.best)
                incumbent.see(best, bound)
                return incumbent.does(best)
            # Where nothing was found yet, the cutoff is told for what was found.
            best = max(found if found > cutoff + WHOLE else -math.inf, incumbent.best)
            return incumbent.does(best) or incumbent.hopeless(best, bound)

        self.nodes += run_watched(model, self._limits.threads, incumbent.watch, over)

    def _take(self, model: Any) -> None:
        """Make the model's solution the incumbent if it is better."""
        if model.getInfo().primal_solution_status == highspy.kSolutionStatusFeasible:
            self.incumbent.offer(np.array(model.getSolution().col_value))


def _near(gain: float) -> float:
    """Difference from a gain that counts as none."""
    return EXACT * max(1.0, abs(gain)) if math.isfinite(gain) else 0.0

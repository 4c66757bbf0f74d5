"""Branch and cut by HiGHS on a part of a program, or on the whole of it."""

from __future__ import annotations

import math
from contextlib import nullcontext
from typing import Any

import highspy
import numpy as np

from optimizer.solving.backends.highs import quiet_copy
from optimizer.solving.search.incumbent import FAR, Incumbent
from optimizer.solving.search.monitor import SearchMonitor
from optimizer.solving.search.monitored_run import run_watched
from optimizer.solving.search.probes import Probes
from optimizer.solving.search.program import WHOLE, Floats, Program

_Ended = highspy.HighsModelStatus
NEAR = 0.8
"""Part of the gap at which a part is searched no further."""
EXACT = 1e-6
"""Difference of value and bound, relative, that HiGHS calls none."""
FURTHER_SHARE = 0.25
FURTHER_STEPS = 60
"""Steps for which a deep proof goes on that is good enough: part of those it took, and more."""
INSIDE = 0.999
"""Part of the gap that HiGHS is asked for on the whole."""
_PROVED = (_Ended.kOptimal, _Ended.kTimeLimit, _Ended.kInterrupt, _Ended.kSolutionLimit)

_BRANCHING_ALONE: dict[str, float | bool] = {
    "mip_heuristic_effort": 0.0,
    "mip_heuristic_run_feasibility_jump": False,
    "mip_heuristic_run_rins": False,
    "mip_heuristic_run_rens": False,
    "mip_heuristic_run_root_reduced_cost": False,
    "mip_allow_restart": False,
}
"""Options of HiGHS for a search by cuts and branching alone."""
_FEW_NODES = {"mip_heuristic_run_feasibility_jump": False, "mip_allow_restart": False}
"""Options of HiGHS without what costs a search of few nodes more than it finds there."""


class Parts:
    """HiGHS's model of a program, solved with its columns held within narrower bounds."""

    def __init__(
        self, program: Program, incumbent: Incumbent, probes: Probes, *, demanding: bool
    ) -> None:
        """`demanding`: parts are searched for what is good enough alone, under a bound that
        is near enough to the truth to ask for it."""
        self.program = program
        self.incumbent = incumbent
        self.probes = probes
        self.demanding = demanding
        self.nodes = 0
        self._limits = program.branching
        self._model: Any = None

    def search(
        self,
        lower: Floats,
        upper: Floats,
        most_nodes: int,
        *,
        demanding: bool = True,
        dear: float | None = None,
        above: float = -math.inf,
    ) -> None:
        """Look for a better solution within the bounds.

        Ends when a solution is good enough under the bound on the whole, too. `demanding`: as the
        whole search is; any better solution will do where not. `dear`: leave out what is dear for
        solutions that exceed `above` (see `_leave_out_dear`).
        """
        least = self.incumbent.best
        # Under a bound near the truth, what is better but not good enough would be searched again.
        if self.demanding and demanding:
            least = max(least, self.incumbent.needed)
        bounds = upper.copy()
        self.probes.shut(bounds, least)
        if dear is not None and not self._leave_out_dear(lower, bounds, least, dear, above):
            return
        model = self._prepared(lower, bounds)
        model.setOptionValue("mip_rel_gap", self.incumbent.gap * NEAR)
        model.setOptionValue("mip_max_nodes", most_nodes)
        for option, value in _FEW_NODES.items():
            model.setOptionValue(option, value)
        if math.isfinite(least):
            model.setOptionValue("objective_bound", self.program.cost_of(least))
        self._solve(model, least)

    def search_first(
        self, lower: Floats, upper: Floats, most_nodes: int, watch: SearchMonitor
    ) -> None:
        """Offer the first solution that HiGHS comes upon within the bounds, however poor, unless
        `watch` ends it. The last that a search does: options are not set back."""
        model = self._prepared(lower, upper)
        model.setOptionValue("mip_max_nodes", most_nodes)
        model.setOptionValue("mip_max_improving_sols", 1)
        for option, value in _FEW_NODES.items():
            model.setOptionValue(option, value)
        model.setOptionValue("objective_bound", math.inf)
        self.nodes += run_watched(model, self._limits.threads, watch, lambda _: False)
        self._take(model)

    def _leave_out_dear(
        self, lower: Floats, upper: Floats, least: float, share: float, above: float
    ) -> bool:
        """Fix the integer columns that cost much, at their lower bound; False where the
        relaxation says that nothing within the bounds exceeds `least`.

        Much is `share` of the distance between the relaxation and `above` (or `least`, if that is
        more; a few gaps at most), by reduced cost. What is left has a tenth of the solutions, and
        nearly always a best one. What the incumbent uses and flags of chords stay.
        """
        program, incumbent = self.program, self.incumbent
        gain, values, prices = self._relaxed(lower, upper)
        if gain is None or gain <= least:
            return False
        above = max(above, least)
        if not math.isfinite(above) or gain <= above:
            # Without anything to exceed, twice the gap asked for stands in for the distance.
            above = gain - 2 * incumbent.gap * abs(gain)
        # Nor is a poor solution a measure of what is dear: nearly all would be left in.
        above = max(above, gain - FAR * incumbent.gap * abs(gain))
        out = np.zeros(program.size, dtype=bool)
        out[program.integers] = True
        # A flag only says on which side of an earlier amount the new one lies: its price is no sign
        # of what a solution uses, and one held at 0 cuts away amounts.
        out[[chord.flag for chord in program.chords]] = False
        # Prices speak of columns at their bound: of one in use they do not say what it would cost
        # to leave it out.
        out &= (values < lower + WHOLE) & (prices > share * (gain - above))
        if incumbent.values is not None:
            # The incumbent has to stay within the bounds to be a start.
            out &= incumbent.values < lower + WHOLE
        upper[out] = np.minimum(upper[out], lower[out])
        return True

    def _relaxed(self, lower: Floats, upper: Floats) -> tuple[float | None, Floats, Floats]:
        """Gain, values and prices of the relaxation within the bounds."""
        program = self.program
        # From the basis of the whole, but where the whole takes too long.
        hot = program.solved or not program.enormous
        with nullcontext() if hot else program.within(lower, upper):
            gain = program.solve(lower.copy(), upper.copy())
            return gain, program.values, program.prices()

    def search_all(
        self, lower: Floats, upper: Floats, least: float, most_steps: int | None = None
    ) -> bool:
        """Search all that may still exceed `least`, which is within the bounds; False when there
        is no solution at all.

        Takes the bound that HiGHS proves, after `most_steps` at most. Where `least` is below what
        is good enough, the search goes on towards it for a little longer (see `_Patience`). Its
        heuristics and restarts are off: what they find was found before, and they are half of its
        time.
        """
        incumbent = self.incumbent
        model = self._prepared(lower, upper)
        for option, value in _BRANCHING_ALONE.items():
            model.setOptionValue(option, value)
        known = math.isfinite(least)
        model.setOptionValue("mip_rel_gap", 0.0 if known else incumbent.gap)
        # A little less than the gap, for what is rounded when a solution is taken.
        apart = INSIDE * (least - incumbent.best) if known else 0.0
        model.setOptionValue("mip_abs_gap", max(EXACT, apart))
        # The model has searched parts before, and its options last: each of theirs is set back.
        model.setOptionValue("mip_max_nodes", 2**31 - 1)
        model.setOptionValue("objective_bound", self.program.cost_of(least) if known else math.inf)
        self._solve(model, least, _Patience(most_steps))
        return self._conclude(model, least)

    def _conclude(self, model: Any, least: float) -> bool:
        """Take the bound of a search of all that exceeds `least`; False when there is nothing."""
        incumbent, status = self.incumbent, model.getModelStatus()
        if status == _Ended.kInfeasible:
            incumbent.lower_bound_to(least)
            return incumbent.values is not None
        if status in _PROVED:
            best, bound = incumbent.best, self.program.gain_of(model.getInfo().mip_dual_bound)
            # The bound of an ended search may stand a rounding above the value that it proves best.
            if status == _Ended.kOptimal and bound - best <= _near(best):
                bound = best
            if math.isfinite(bound):
                # Nothing at or below `least` was looked at.
                incumbent.lower_bound_to(max(bound, least))
        return True

    def _prepared(self, lower: Floats, upper: Floats) -> Any:
        """HiGHS's model within the bounds, starting from the incumbent if it is in them."""
        program = self.program
        if self._model is None:
            self._model = quiet_copy(program.mixed, self._limits)
        model, everything = self._model, np.arange(program.size, dtype=np.int32)
        model.changeColsBounds(program.size, everything, lower, upper)
        model.clearSolver()
        values = self.incumbent.values
        if values is not None:
            model.setSolution(program.size, everything, values)
        return model

    def _solve(self, model: Any, cutoff: float, patience: _Patience | None = None) -> None:
        """Run under a cutoff, of a part or (with `patience`) of all that exceeds it, and take the
        solution.

        HiGHS 1.16 gives its start for the solution where presolve alone found a better one,
        and that one's value: it then runs again without a start.
        """
        self._run(model, cutoff, patience)
        self._take(model)
        least = max(self.incumbent.best, cutoff)
        claimed = self.program.gain_of(model.getInfo().objective_function_value)
        if model.getModelStatus() == _Ended.kOptimal and claimed > least + _near(least):
            model.clearSolver()
            self._run(model, cutoff, patience)
            self._take(model)

    def _run(self, model: Any, cutoff: float, patience: _Patience | None) -> None:
        """Run HiGHS until its solution is good enough or the part hopeless; takes bounds of the
        whole."""
        incumbent, gain_of = self.incumbent, self.program.gain_of

        def over(out: Any) -> bool:
            """Whether the solution is good enough, or the part hopeless."""
            if patience is not None:
                patience.step()
            if not math.isfinite(out.mip_dual_bound):
                return False
            found, bound = gain_of(out.mip_primal_bound), gain_of(out.mip_dual_bound)
            # Where nothing was found yet, the cutoff is told for what was found.
            new = math.isfinite(out.mip_primal_bound) and found > cutoff + WHOLE
            best = max(found if new else -math.inf, incumbent.best)
            if patience is not None:
                # Nothing at or below the cutoff is looked at.
                incumbent.see(best, max(bound, cutoff))
                good = incumbent.does(best - _near(best))
                deep = incumbent.bound <= max(cutoff, incumbent.goal)
                return (good and (deep or patience.ends())) or patience.over
            known = math.isfinite(out.mip_primal_bound)
            return known and (incumbent.does(best) or incumbent.hopeless(best, bound))

        self.nodes += run_watched(model, self._limits.threads, incumbent.watch, over)

    def _take(self, model: Any) -> None:
        """Make the model's solution the incumbent if it is better."""
        if model.getInfo().primal_solution_status == highspy.kSolutionStatusFeasible:
            self.incumbent.offer(np.array(model.getSolution().col_value))


class _Patience:
    """How long a search goes on: at most, and once it is good enough. HiGHS asks whether to stop
    once a round of cuts and a few times a node: steps that do not depend on the clock."""

    def __init__(self, most: int | None = None) -> None:
        """Nothing counted yet; no end at most where `most` is None, and none set for what is good
        enough."""
        self._steps = 0
        self._most = most
        self._until: float | None = None

    def step(self) -> None:
        """Count a step."""
        self._steps += 1

    @property
    def over(self) -> bool:
        """Whether there were as many steps as may be."""
        return self._most is not None and self._steps > self._most

    def ends(self) -> bool:
        """Whether to end now; the first question is when the solution was good enough."""
        if self._until is None:
            self._until = (1 + FURTHER_SHARE) * self._steps + FURTHER_STEPS
        return self._steps > self._until


def _near(gain: float) -> float:
    """Difference from a gain that counts as none."""
    return EXACT * max(1.0, abs(gain)) if math.isfinite(gain) else 0.0

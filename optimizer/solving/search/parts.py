"""Branch and cut by HiGHS on a part of a program, or on the whole of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from contextlib import nullcontext
from dataclasses import dataclass, replace
from typing import Any

import highspy
import numpy as np

from optimizer.solving.backends.highs import quiet_copy
from optimizer.solving.search.incumbent import FAR, Incumbent
from optimizer.solving.search.monitor import SearchMonitor
from optimizer.solving.search.monitored_run import Over, run_beside, run_watched
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
PARTS_STEPS = 300
"""The latter where a problem is searched part by part: each part begins anew."""
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


@dataclass(frozen=True, slots=True)
class Part:
    """Bounds to search within, and the gain that a solution has to exceed."""

    lower: Floats
    upper: Floats
    least: float


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
        self._patience = _Patience(further=PARTS_STEPS)
        """One for all that is left to `finish`."""
        self._beside: list[Any] = []
        """Models of parts that are searched at once."""

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
        part = self.part(lower, upper, demanding=demanding, dear=dear, above=above)
        if part is None:
            return
        for found in self._search_alone(part, most_nodes):
            self.incumbent.take(*found)

    def part(
        self,
        lower: Floats,
        upper: Floats,
        *,
        demanding: bool = True,
        dear: float | None = None,
        above: float = -math.inf,
    ) -> Part | None:
        """What is worth searching within the bounds (see `search`); None where nothing is."""
        least = self.incumbent.best
        # Under a bound near the truth, what is better but not good enough would be searched again.
        if self.demanding and demanding:
            least = max(least, self.incumbent.needed)
        bounds = upper.copy()
        self.probes.shut(bounds, least)
        if dear is not None and not self._leave_out_dear(lower, bounds, least, dear, above):
            return None
        return Part(lower, bounds, least)

    def search_beside(self, parts: Sequence[Part], most_nodes: int) -> list[tuple[float, Floats]]:
        """Search several parts at once; the solutions found that are better than the incumbent,
        with their gains, in the order of the parts. None is taken: all start from the same one."""
        if not parts:
            return []
        if len(parts) == 1:
            # Alone it has all threads of HiGHS's.
            return self._search_alone(parts[0], most_nodes)
        while len(self._beside) < len(parts):
            limits = replace(self._limits, threads=1)
            self._beside.append(quiet_copy(self.program.mixed, limits))
        runs = []
        for model, part in zip(self._beside, parts, strict=False):
            self._begin(model, part, most_nodes)
            runs.append((model, self._over(part.least)))
        self.nodes += run_beside(runs, self.incumbent.watch)
        told = [
            self._found(model, part.least, over)
            for (model, over), part in zip(runs, parts, strict=True)
        ]
        return self._better(told)

    def _search_alone(self, part: Part, most_nodes: int) -> list[tuple[float, Floats]]:
        """As `search_beside`, of one part."""
        model = self._whole()
        self._begin(model, part, most_nodes)
        found = self._solved(model, part.least, self._over(part.least))
        return self._better([found])

    def _better(self, found: Sequence[tuple[float, Floats] | None]) -> list[tuple[float, Floats]]:
        """What is better than the incumbent: a run that finds nothing may give its start."""
        return [each for each in found if each is not None and each[0] > self.incumbent.best]

    def _begin(self, model: Any, part: Part, most_nodes: int) -> None:
        """Hold a model within a part, and tell HiGHS when the search of it may end and what it need
        not look for."""
        self._hold(model, part.lower, part.upper)
        model.setOptionValue("mip_rel_gap", self.incumbent.gap * NEAR)
        model.setOptionValue("mip_max_nodes", most_nodes)
        for option, value in _FEW_NODES.items():
            model.setOptionValue(option, value)
        if math.isfinite(part.least):
            model.setOptionValue("objective_bound", self.program.cost_of(part.least))

    def search_first(
        self, lower: Floats, upper: Floats, most_nodes: int, watch: SearchMonitor
    ) -> None:
        """Offer the first solution that HiGHS comes upon within the bounds, however poor, unless
        `watch` ends it. The last that a search does: options are not set back."""
        model = self._whole()
        self._hold(model, lower, upper)
        model.setOptionValue("mip_max_nodes", most_nodes)
        model.setOptionValue("mip_max_improving_sols", 1)
        for option, value in _FEW_NODES.items():
            model.setOptionValue(option, value)
        model.setOptionValue("objective_bound", math.inf)
        self.nodes += run_watched(model, watch, lambda _: False)
        if (found := self._read(model)) is not None:
            self.incumbent.take(*found)

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
        incumbent, known = self.incumbent, math.isfinite(least)
        # A little less than the gap, for what is rounded when a solution is taken.
        apart = INSIDE * (least - incumbent.best) if known else 0.0
        share = 0.0 if known else incumbent.gap
        model = self._begin_whole(lower, upper, least, share=share, apart=apart)
        found = self._solved(model, least, self._proved(least, _Patience(most_steps)))
        if found is not None:
            incumbent.take(*found)
        return self._conclude(model, least)

    def finish(self, lower: Floats, upper: Floats, elsewhere: float) -> float | None:
        """Search what is within the bounds to its end; gives the bound on it, None where the time
        was over before.

        Nothing at or below what is good enough is looked at, and the bound is no lower. Where more
        is sought than was asked for, which is proved with `elsewhere`, the bound on all else, the
        search goes on for a little longer only (see `_Patience`).
        """
        incumbent = self.incumbent
        lower, upper, least = lower.copy(), upper.copy(), incumbent.target
        self.program.tighten(lower, upper)
        # What is found exceeds `least`, and with it the gap that it may have grows.
        apart = incumbent.gap * NEAR * least if math.isfinite(least) else 0.0
        model = self._begin_whole(lower, np.maximum(lower, upper), least, apart=apart)
        found = self._solved(model, least, self._tired(least, elsewhere))
        if found is not None:
            incumbent.take(*found)
        status = model.getModelStatus()
        if status == _Ended.kInfeasible:
            return least
        if status != _Ended.kOptimal and (incumbent.watch.over() or not self._patience.ended):
            return None
        return max(self.program.gain_of(model.getInfo().mip_dual_bound), least)

    def _tired(self, least: float, elsewhere: float) -> Over:
        """Tells whether to end a run that goes on beyond what was asked for."""
        incumbent, patience, gain_of = self.incumbent, self._patience, self.program.gain_of

        def over(out: Any) -> bool:
            """Whether to end the run."""
            patience.step()
            if not math.isfinite(out.mip_dual_bound):
                return False
            bound = max(gain_of(out.mip_dual_bound), least, elsewhere)
            return incumbent.exceeds(bound) and patience.ends()

        return over

    def _begin_whole(
        self, lower: Floats, upper: Floats, least: float, *, share: float = 0.0, apart: float
    ) -> Any:
        """HiGHS's model, held within the bounds, for a search of all that exceeds `least` by cuts
        and branching alone, until the bound is within a `share` of the value, or so far `apart`."""
        model = self._whole()
        self._hold(model, lower, upper)
        # The model has searched parts before, and its options last: each of theirs is set back.
        for option, value in {
            **_BRANCHING_ALONE,
            "mip_rel_gap": share,
            "mip_abs_gap": max(EXACT, apart),
            "mip_max_nodes": 2**31 - 1,
            "objective_bound": self.program.cost_of(least) if math.isfinite(least) else math.inf,
        }.items():
            model.setOptionValue(option, value)
        return model

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

    def _whole(self) -> Any:
        """HiGHS's model of the program, for one search after another."""
        if self._model is None:
            self._model = quiet_copy(self.program.mixed, self._limits)
        return self._model

    def _hold(self, model: Any, lower: Floats, upper: Floats) -> None:
        """Hold a model within the bounds, starting from the incumbent if it is in them."""
        size = self.program.size
        everything = np.arange(size, dtype=np.int32)
        model.changeColsBounds(size, everything, lower, upper)
        model.clearSolver()
        values = self.incumbent.values
        if values is not None:
            model.setSolution(size, everything, values)

    def _solved(self, model: Any, cutoff: float, over: Over) -> tuple[float, Floats] | None:
        """Run under a cutoff until `over`; the solution with its gain, None where it has none."""
        self.nodes += run_watched(model, self.incumbent.watch, over)
        return self._found(model, cutoff, over)

    def _over(self, cutoff: float) -> Over:
        """Tells whether a part's solution is good enough, or the part hopeless."""
        incumbent, gain_of = self.incumbent, self.program.gain_of

        def over(out: Any) -> bool:
            """Whether to end the run."""
            # Where nothing was found yet, the cutoff is told for what was found.
            if not (math.isfinite(out.mip_primal_bound) and math.isfinite(out.mip_dual_bound)):
                return False
            best = max(_known(gain_of(out.mip_primal_bound), cutoff), incumbent.best)
            bound = gain_of(out.mip_dual_bound)
            return incumbent.does(best) or incumbent.hopeless(best, bound)

        return over

    def _proved(self, cutoff: float, patience: _Patience) -> Over:
        """Takes the bounds of a run on all that exceeds a cutoff, and tells whether to end it."""
        incumbent, gain_of = self.incumbent, self.program.gain_of

        def over(out: Any) -> bool:
            """Whether to end the run."""
            patience.step()
            if not math.isfinite(out.mip_dual_bound):
                return False
            found, bound = gain_of(out.mip_primal_bound), gain_of(out.mip_dual_bound)
            best = max(_known(found, cutoff), incumbent.best)
            # Nothing at or below the cutoff is looked at.
            incumbent.see(best, max(bound, cutoff))
            good = incumbent.does(best - _near(best))
            deep = incumbent.bound <= max(cutoff, incumbent.goal)
            return (good and (deep or patience.ends())) or patience.over

        return over

    def _found(self, model: Any, cutoff: float, over: Over) -> tuple[float, Floats] | None:
        """The solution of a run under a cutoff with its gain, None where it has none.

        HiGHS 1.16 gives its start for the solution where presolve alone found a better one,
        and that one's value: it then runs again without a start.
        """
        found = self._read(model)
        least = max(self.incumbent.best, cutoff, _gain(found))
        claimed = self.program.gain_of(model.getInfo().objective_function_value)
        if model.getModelStatus() == _Ended.kOptimal and claimed > least + _near(least):
            model.clearSolver()
            self.nodes += run_watched(model, self.incumbent.watch, over)
            # Stopped before it finds anything, it must not cost what there was.
            again = self._read(model)
            found = max(found, again, key=_gain)
        return found

    def _read(self, model: Any) -> tuple[float, Floats] | None:
        """The model's solution, its integers made whole and the rest solved anew; None where it has
        none."""
        if model.getInfo().primal_solution_status != highspy.kSolutionStatusFeasible:
            return None
        # Compared after the integers were rounded: by its own tolerances a solver may tell of a
        # little more than there is.
        return self.program.fixed(np.array(model.getSolution().col_value))


def _gain(found: tuple[float, Floats] | None) -> float:
    """The gain of a solution; below all others where there is none."""
    return -math.inf if found is None else found[0]


def _known(found: float, cutoff: float) -> float:
    """The gain of what a run has found; without any, it tells the cutoff."""
    return found if math.isfinite(found) and found > cutoff + WHOLE else -math.inf


class _Patience:
    """How long a search goes on: at most, and once it is good enough. HiGHS asks whether to stop
    once a round of cuts and a few times a node: steps that do not depend on the clock."""

    def __init__(self, most: int | None = None, further: int = FURTHER_STEPS) -> None:
        """Nothing counted yet; no end at most where `most` is None, and none set for what is good
        enough."""
        self._steps = 0
        self._most = most
        self._further = further
        self._until: float | None = None

    def step(self) -> None:
        """Count a step."""
        self._steps += 1

    @property
    def over(self) -> bool:
        """Whether there were as many steps as may be."""
        return self._most is not None and self._steps > self._most

    @property
    def ended(self) -> bool:
        """Whether it ended a search."""
        return self._until is not None and self._steps > self._until

    def ends(self) -> bool:
        """Whether to end now; the first question is when the solution was good enough."""
        if self._until is None:
            self._until = (1 + FURTHER_SHARE) * self._steps + self._further
        return self.ended


def _near(gain: float) -> float:
    """Difference from a gain that counts as none."""
    return EXACT * max(1.0, abs(gain)) if math.isfinite(gain) else 0.0

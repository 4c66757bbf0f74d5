"""A relaxation in which only the coarse decisions are whole, and the bound that it proves.

The model ranks its variables: corner states, numbers of bays by wall and kind, and uprights come
first, details after (`model.records.Rank`). Where only the first have to be whole, the program is
far smaller to branch on, and its optimum lies close to that of the whole: in typical rooms, more
than half of the distance from the linear relaxation is closed in a fraction of the time. It is
still a relaxation, so its bound holds for the whole; and the bundles that its solution uses make a
kernel.
"""

from __future__ import annotations

import math
from typing import Any

import highspy
import numpy as np

from optimizer.solving.backends.highs import quiet_copy
from optimizer.solving.search.incumbent import Incumbent
from optimizer.solving.search.monitored_run import run_watched
from optimizer.solving.search.probes import Probes
from optimizer.solving.search.program import Chosen, Program

MOST_NODES = 2000
"""Nodes of one coarse search."""
EXACT_ENOUGH = 2e-4
"""Relative gap at which a coarse search ends by itself."""
PART = 0.25
"""Part of the distance between bound and best solution that ends the search for a kernel."""
AIM = 0.8
"""Part of the gap that the bound is brought to: what is proved beyond need lets the
searches that follow end sooner."""
HUGE = 3000
"""Integer variables from which the bound is brought no lower than needed."""

_BOUND_ALONE = {
    "mip_heuristic_effort": 0.0,
    "mip_heuristic_run_feasibility_jump": False,
    "mip_heuristic_run_rins": False,
    "mip_heuristic_run_rens": False,
    "mip_heuristic_run_root_reduced_cost": False,
}
"""Options of HiGHS for a run whose solutions do not matter."""


class Coarse:
    """The program with only its coarse integer variables whole, solved by HiGHS."""

    def __init__(self, program: Program, incumbent: Incumbent, probes: Probes) -> None:
        """`probes` close members of choices under the cutoff of each coarse search."""
        self.program = program
        self.incumbent = incumbent
        self.probes = probes
        self.nodes = 0
        self.impossible = False
        """Whether it was proved that there is no solution."""
        self._floor = -math.inf
        """Gain of the best coarse solution met: no coarse bound is below that."""
        self._limits = program.branching

    def outline(self) -> Chosen | None:
        """Bundles of a coarse solution close to the best; None if none is better than the
        incumbent.

        The bound that is proved on the way is taken.
        """
        incumbent = self.incumbent
        best = incumbent.best
        away = (incumbent.bound - best) / max(1.0, abs(best)) if math.isfinite(best) else 0.0
        near = max(incumbent.gap / 2, PART * away)
        return self._search({"mip_rel_gap": near}, cutoff=best, least=-math.inf)

    def prove(self) -> Chosen | None:
        """Tighten the bound until the incumbent is good enough, and a little further.

        Gives the bundles of the best coarse solution if it is better than that, else None.
        """
        incumbent = self.incumbent
        # In huge programs each further step of the bound is dear: there it stops at what is asked
        # for.
        huge = len(self.program.integers) >= HUGE
        cutoff = incumbent.target if huge else incumbent.aim(AIM)
        if self._floored():
            return None
        self.probes.run(cutoff)
        incumbent.lower_bound_to(self.probes.bound)
        options = {**_BOUND_ALONE, "mip_rel_gap": EXACT_ENOUGH}
        return self._search(options, cutoff=cutoff, least=cutoff)

    def _floored(self) -> bool:
        """Whether the bound is as tight as coarse searches can make it."""
        floor = self._floor
        if not math.isfinite(floor):
            return False
        # Twice, since the search that met the floor ended as far from its own optimum.
        return self.incumbent.bound - floor <= 2 * EXACT_ENOUGH * max(1.0, abs(floor))

    def _search(
        self, options: dict[str, float | bool], *, cutoff: float, least: float
    ) -> Chosen | None:
        """Search for coarse solutions better than `cutoff` until the bound is down to `least`."""
        program, incumbent = self.program, self.incumbent
        model = self._model(options, cutoff)

        def over(out: Any) -> bool:
            """Take the bound on the way; whether it is down to `least`."""
            # Nothing at or below the cutoff is looked at, so no bound below it is proved.
            if math.isfinite(out.mip_dual_bound):
                incumbent.lower_bound_to(max(program.gain_of(out.mip_dual_bound), cutoff))
            return incumbent.bound <= least

        self.nodes += run_watched(model, self._limits.threads, incumbent.watch, over)
        info = model.getInfo()
        # Under a cutoff HiGHS says infeasible where nothing beats it, be the problem feasible or
        # not.
        if model.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
            self._exclude(cutoff)
        elif math.isfinite(info.mip_dual_bound):
            incumbent.lower_bound_to(max(program.gain_of(info.mip_dual_bound), cutoff))
        if info.primal_solution_status != highspy.kSolutionStatusFeasible:
            return None
        self._floor = max(self._floor, program.gain_of(info.objective_function_value))
        return program.used(np.array(model.getSolution().col_value))

    def _exclude(self, cutoff: float) -> None:
        """Take it as proved that nothing exceeds the cutoff; without a cutoff, that there is no
        solution."""
        if math.isfinite(cutoff):
            self.incumbent.lower_bound_to(cutoff)
        else:
            self.impossible = True

    def _model(self, options: dict[str, float | bool], cutoff: float) -> Any:
        """HiGHS's model of the coarse program, with the cutoff set, ready to run."""
        program = self.program
        model = quiet_copy(program.mixed, self._limits)
        # The fine columns stay, as continuous ones: the rows that hold them say what the coarse
        # ones need room for.
        fine = program.fine.astype(np.int32)
        kinds = np.full(len(fine), highspy.HighsVarType.kContinuous)
        model.changeColsIntegrality(len(fine), fine, kinds)
        upper = program.upper.copy()
        self.probes.shut(upper, cutoff)
        everything = np.arange(program.size, dtype=np.int32)
        model.changeColsBounds(program.size, everything, program.lower, upper)
        # Nodes, not seconds: a busy machine gives the same answer.
        model.setOptionValue("mip_max_nodes", MOST_NODES)
        model.setOptionValue("mip_allow_restart", False)
        for option, value in options.items():
            model.setOptionValue(option, value)
        if math.isfinite(cutoff):
            model.setOptionValue("objective_bound", program.cost_of(cutoff))
        return model

"""The search for a best solution: starts, a dive, pieces planned anew, then a proof.

The relaxation of our models is tight where rooms are large, so that a good solution found
early is often proved at once; where it is not, branch and bound over the hot relaxation
closes the gap with a few dozen to a few thousand small linear programs.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from optimizer.solving.diving import Dive
from optimizer.solving.guide import Guide
from optimizer.solving.incumbent import Incumbent
from optimizer.solving.outcome import Outcome, finished, stopped
from optimizer.solving.patches import Patches
from optimizer.solving.problem import tidy_values
from optimizer.solving.program import Floats, Program
from optimizer.solving.tree import Tree
from optimizer.solving.watch import Watch

LARGE = 300
"""Integer variables from which pieces are planned anew before branching."""
ROUND = 50
"""Nodes between two looks at pieces."""

Start = Mapping[str, float]
"""A solution by name of variable; what it leaves out is worked out."""


@dataclass(frozen=True, slots=True)
class Hopes:
    """What is known before: a bound that holds, and solutions that may still do."""

    bound: float | None = None
    starts: Sequence[Start] = ()


def explore(
    problem: Any,
    guide: Guide,
    hopes: Hopes,
    *,
    gap: float,
    seed: int = 0,
    time_limit: float | None = None,
    on_progress: Callable[[float, float], None] | None = None,
    should_stop: Callable[[], bool] | None = None,
) -> tuple[Outcome, tuple[Start, ...]]:
    """Outcome of solving `problem` (its variables then hold the solution), and every
    solution met on the way.

    Arguments as for `solve`. `guide` says how to search. Same answer for the same problem,
    guide, hopes and seed as long as no time limit strikes.
    """
    watch = Watch(time_limit, should_stop, on_progress)
    return _Search(problem, guide, hopes, watch, gap=gap, seed=seed).outcome()


class _Search:
    """One search."""

    def __init__(
        self, problem: Any, guide: Guide, hopes: Hopes, watch: Watch, *, gap: float, seed: int
    ) -> None:
        self.problem = problem
        self.hopes = hopes
        self.watch = watch
        self.program = Program(problem, guide, seed)
        ceiling = math.inf if hopes.bound is None else self.program.gain(hopes.bound)
        self.incumbent = Incumbent(self.program, watch, gap, ceiling)
        self.patches = Patches(self.program, self.incumbent, seed)
        self.tree = Tree(self.program, self.incumbent)

    def outcome(self) -> tuple[Outcome, tuple[Start, ...]]:
        """Search, and say how it ended."""
        infeasible = not self._run()
        ended = self._infeasible() if infeasible else self._read()
        if self.incumbent.values is not None:
            self.program.hand_over(self.incumbent.values)
            tidy_values(self.problem)
        names = [v.name for v in self.program.variables]
        met = tuple(
            dict(zip(names, values.tolist(), strict=True)) for values in self.incumbent.history
        )
        return ended, met

    def _run(self) -> bool:
        """Search to the end; False when the relaxation has no solution."""
        incumbent, program = self.incumbent, self.program
        root = self._relaxed()
        if root is None:
            return False
        incumbent.lower_bound_to(root)
        self.tree.start(root)
        self._start()
        if incumbent.settled or self.watch.over():
            return True
        self._dive()
        large = len(program.integers) >= LARGE
        pieces = [self.patches.singles, self.patches.pairs] if large else []
        while not (self.tree.exhausted or incumbent.settled or self.watch.over()):
            if pieces:
                self.patches.improve(pieces.pop(0))
            self.tree.run(ROUND, self._improve if large else None)
        return True

    def _improve(self) -> None:
        """Plan the pieces of a solution just found anew, one by one."""
        self.patches.improve(self.patches.singles)

    def _relaxed(self) -> float | None:
        return self.program.solve(self.program.lower.copy(), self.program.upper.copy())

    def _dive(self) -> None:
        if self._relaxed() is None:
            return
        found = Dive(self.program, self.watch).run(self.incumbent.best)
        if found is not None:
            self.incumbent.offer(found)

    def _start(self) -> None:
        """Try the solutions met before."""
        for start in self.hopes.starts:
            if self.incumbent.settled or self.watch.over():
                return
            values = self._completed(start)
            if values is not None:
                self.incumbent.offer(values)

    def _completed(self, start: Start) -> Floats | None:
        """A start's values; None where it leaves out more than flags of chords."""
        program = self.program
        flags = {flag for *_, flag, _ in program.chords}
        missing = [program.column[v.name] for v in program.variables if v.name not in start]
        wanted = set(program.integers.tolist()) - flags
        if wanted & set(missing):
            return None
        return np.array([start.get(v.name, 0.0) for v in program.variables])

    def _read(self) -> Outcome:
        """Outcome of a search that was possible."""
        incumbent, watch, gain = self.incumbent, self.watch, self.program.gain
        bound = gain(incumbent.bound) if math.isfinite(incumbent.bound) else None
        if incumbent.values is None:
            if self.tree.empty:
                return self._infeasible()
            return stopped(watch.ended or "time_limit", None, bound, watch.seconds, self.tree.nodes)
        best = gain(incumbent.best)
        if incumbent.settled or self.tree.exhausted:
            return finished(best, bound, incumbent.gap, watch.seconds, self.tree.nodes)
        return stopped(watch.ended or "time_limit", best, bound, watch.seconds, self.tree.nodes)

    def _infeasible(self) -> Outcome:
        return stopped("infeasible", None, None, self.watch.seconds, self.tree.nodes)

"""A mixed-integer problem whose linear relaxation is kept hot in HiGHS.

Bounds are changed in place and the dual simplex goes on from the last basis, which takes
a millisecond where a fresh solve through PuLP takes fifty. Values are told as *gains*: the
objective of a maximisation, the negative of a minimisation's.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

import highspy
import numpy as np
from numpy.typing import NDArray

from optimizer.errors import SolverFailedError
from optimizer.solving.backends.highs import (
    SolveLimits,
    built_model,
    claim_scheduler,
    quiet_model,
    reader_of,
)
from optimizer.solving.backends.outcome import OutOfTimeError
from optimizer.solving.backends.problem import columns, is_integer, maximises, row_names
from optimizer.solving.search.focus import Bend, Focus, Matrix
from optimizer.solving.search.guide import Guide

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Chosen = NDArray[np.bool_]
"""Which bundles, or which columns."""

WHOLE = 1e-6
"""How far from a whole number a value still counts as one."""
PARALLEL = 200
"""Integer variables from which HiGHS branches on two threads: searches of fewer are over before the
second one finds work, and cost a twentieth more with it."""
ENORMOUS = 10_000
"""Integer variables from which the whole relaxation takes so long, ten seconds and more, that
solutions are looked for before it."""
_FREE = 1e20
"""Bounds from this size on are infinite for HiGHS; PuLP has None for them."""
_Ended = highspy.HighsModelStatus


class Program:
    """The relaxation of a problem, with the bounds, ranks and ties a search needs."""

    def __init__(self, problem: Any, guide: Guide, seed: int) -> None:
        """Builds HiGHS's model of `problem` (pulp.LpProblem) once, and the whole relaxation from
        it."""
        self.limits = SolveLimits(seed=seed)
        self.mixed = built_model(problem, self.limits)
        self._matrix = Matrix.of(self.mixed)
        self._sign = 1.0 if maximises(problem) else -1.0
        self._read = reader_of(problem)
        self.variables = columns(problem)
        self.size = len(self.variables)
        self.column = {v.name: index for index, v in enumerate(self.variables)}
        self.lower = _bounds([v.lowBound for v in self.variables], -_FREE)
        self.upper = _bounds([v.upBound for v in self.variables], _FREE)
        self.integers: Ints = np.flatnonzero([is_integer(v) for v in self.variables])
        self.ranks: Ints = np.array([guide.ranks.get(v.name, 0) for v in self.variables])
        self.leading: Chosen = self.ranks <= guide.leading
        """Which columns decide most of a solution."""
        self.splits: Chosen = np.isin([v.name for v in self.variables], [*guide.splits])
        """Which columns split the problem."""
        self.wanted: Ints = _members([*guide.wanted], self.column)
        self.bundles = [_members(bundle, self.column) for bundle in guide.bundles]
        self.choices = [_members(choice, self.column) for choice in guide.choices]
        self.leads: Ints = np.array([bundle[0] for bundle in self.bundles], dtype=np.int64)
        self.places: Ints = np.array(guide.places or [0] * len(self.bundles), dtype=np.int64)
        self.single = len(set(guide.places)) == 1
        """Whether all bundles are known to be in one place."""
        self.lps = 0
        self.solved = False
        """Whether the whole relaxation was solved, from whose basis others go on."""
        self.values: Floats = np.zeros(self.size)
        self._tie(guide, {name: row for row, name in enumerate(row_names(problem))})
        self.focus = self._hot(self.lower, self.upper, whole=True)

    @property
    def enormous(self) -> bool:
        """Whether the whole relaxation takes too long to begin with."""
        return len(self.integers) >= ENORMOUS

    @property
    def branching(self) -> SolveLimits:
        """What HiGHS is told where it branches on this program or a part of it."""
        return replace(self.limits, threads=2 if len(self.integers) >= PARALLEL else 1)

    def _tie(self, guide: Guide, rows: dict[str, int]) -> None:
        """Find the columns and rows of tallies and chords."""
        column = self.column
        self._tallies = [
            (column[t.amount], column[t.count], t.least, t.most) for t in guide.tallies
        ]
        self.chords = [
            Bend(
                rows[c.on],
                rows[c.by],
                column[c.lacking],
                column[c.amount],
                column[c.flag],
                c.had,
                c.short,
            )
            for c in guide.chords
        ]
        entry = self._matrix.entry
        self._bent = [(entry(c.on, c.flag), entry(c.by, c.flag)) for c in self.chords]

    # -- bounds --------------------------------------------------------------------

    def tighten(self, lower: Floats, upper: Floats) -> None:
        """Carry counts over to amounts, and flags of chords."""
        for amount, count, least, most in self._tallies:
            lower[amount] = max(lower[amount], least * lower[count])
            upper[amount] = min(upper[amount], most * upper[count])
        for chord in self.chords:
            if lower[chord.flag] > 0.5:
                upper[chord.amount] = min(upper[chord.amount], chord.short)
            if upper[chord.flag] < 0.5:
                lower[chord.amount] = max(lower[chord.amount], min(chord.had, upper[chord.amount]))

    def _spread(self, chord: Bend, lower: Floats, upper: Floats) -> tuple[float, float]:
        """How far below and above what was had the amount of a chord may lie."""
        return (
            max(chord.had - float(lower[chord.amount]), 0.0),
            max(float(upper[chord.amount]) - chord.had, 0.0),
        )

    # -- focus ---------------------------------------------------------------------

    @contextmanager
    def within(self, lower: Floats, upper: Floats) -> Iterator[None]:
        """Solve within bounds alone, on what they leave open; bases are of no use outside."""
        before = self.focus
        lower, upper = lower.copy(), upper.copy()
        self.tighten(lower, upper)
        self.focus = self._hot(lower, np.maximum(lower, upper))
        try:
            yield
        finally:
            self.focus = before

    @contextmanager
    def asking(self, columns: Ints) -> Iterator[None]:
        """Look only at solutions with these columns at their upper bounds."""
        before = self.lower
        self.lower = before.copy()
        self.lower[columns] = self.upper[columns]
        try:
            yield
        finally:
            self.lower = before

    def inside(self, upper: Floats) -> tuple[Floats, Floats]:
        """Bounds of where solving goes on, within upper bounds."""
        return self.focus.least.copy(), np.minimum(self.focus.most, upper)

    @property
    def open(self) -> int:
        """Number of columns that are not fixed where solving goes on."""
        return len(self.focus.columns)

    def _hot(self, lower: Floats, upper: Floats, *, whole: bool = False) -> Focus:
        """A model of what bounds leave open, for the simplex method."""
        matrix, values, high = self._matrix, self._matrix.values.copy(), self._matrix.high.copy()
        spreads = {}
        for number, (chord, (on, by)) in enumerate(zip(self.chords, self._bent, strict=True)):
            below, above = self._spread(chord, lower, upper)
            if on is not None:
                values[on] = -below
            if by is not None:
                values[by], high[chord.by] = above, chord.had + above
            spreads[number] = below, above
        model = quiet_model(self.limits)
        # The next solve starts from the basis of this one; left to choose, HiGHS may take a method
        # that leaves none.
        model.setOptionValue("solver", "simplex")
        # Rows of chords stay even where they do not bind now: their coefficients change with the
        # bounds (`Focus.bend`), and then they may.
        always = [row for chord in self.chords for row in (chord.on, chord.by)]
        matrix = replace(matrix, values=values, high=high)
        focus = Focus(matrix, lower, upper, model, whole=whole, always=always)
        focus.spreads = spreads
        return focus

    # -- solving -------------------------------------------------------------------

    def solve(self, lower: Floats, upper: Floats, basis: Any = None) -> float | None:
        """Gain of the relaxation within the bounds, None where it is infeasible.

        The bounds are tightened in place; `values` then hold its solution.
        """
        self.tighten(lower, upper)
        if (lower > upper + WHOLE).any():
            return None
        focus = self.focus
        if not focus.holds(lower, upper):
            return None
        if not len(focus.columns):
            # HiGHS calls a model without columns empty, and tells nothing of it.
            self.values = focus.whole([])
            return self.gain_of(focus.offset)
        # Tightening may leave bounds crossed by a rounding, which HiGHS would call infeasible.
        focus.apply(lower, np.maximum(lower, upper))
        for number, chord in enumerate(self.chords):
            focus.bend(number, chord, self._spread(chord, lower, upper))
        if basis is not None and basis[0] is focus:
            focus.model.setBasis(basis[1])
        if not self._optimal():
            return None
        self.values = focus.whole(focus.model.getSolution().col_value)
        return self.gain_of(focus.model.getInfo().objective_function_value)

    def solve_root(self, seconds: float) -> float | None:
        """Gain of the relaxation under the problem's own bounds, as by `solve`, where it takes no
        longer than that; else OutOfTimeError."""
        # Later runs are short, and HiGHS counts a model's time from its first run on.
        self.focus.model.setOptionValue("time_limit", seconds)
        gain = self.solve(self.lower.copy(), self.upper.copy())
        self.focus.model.setOptionValue("time_limit", math.inf)
        self.solved = True
        return gain

    def _optimal(self) -> bool:
        """Solve what is open; False where it is infeasible. Raises OutOfTimeError and
        SolverFailedError."""
        self.lps += 1
        status = self._run()
        if status == _Ended.kTimeLimit:
            raise OutOfTimeError
        if status not in (_Ended.kOptimal, _Ended.kInfeasible):
            # A hot start may go wrong numerically; from scratch the same program solves.
            self.focus.model.clearSolver()
            status = self._run()
        if status not in (_Ended.kOptimal, _Ended.kInfeasible):
            name = self.focus.model.modelStatusToString(status)
            raise SolverFailedError(f"HiGHS stopped: {name}")
        return bool(status == _Ended.kOptimal)

    def _run(self) -> Any:
        """Run HiGHS on what is open; its model's status."""
        claim_scheduler(self.limits.threads)
        self.focus.model.run()
        return self.focus.model.getModelStatus()

    def used(self, values: Floats) -> Chosen:
        """Which bundles a solution uses."""
        return np.asarray(values[self.leads] > WHOLE)

    def prices(self) -> Floats:
        """What the last relaxation loses by one more of each column, at least; 0 for those that
        are fixed."""
        return self.focus.whole(np.abs(self.focus.model.getSolution().col_dual), 0.0)

    def basis(self) -> Any:
        """The basis of the last solve, for solves within the same bounds."""
        return self.focus, self.focus.model.getBasis()

    def fractional(self) -> Ints:
        """Integer columns whose values are not whole."""
        values = self.values[self.integers]
        return self.integers[np.abs(values - np.round(values)) > WHOLE]

    def gain_of(self, value: float) -> float:
        """Gain of a value of the solver's own objective."""
        return self._sign * self._read(value)

    def cost_of(self, gain: float) -> float:
        """Value of the solver's own objective of a gain."""
        # Sign and constant depend on PuLP's version, but the relation is linear: two points give
        # it.
        zero, one = self.gain_of(0.0), self.gain_of(1.0)
        return (gain - zero) / (one - zero)

    def gain(self, objective: float) -> float:
        """Gain of an objective of the problem, and the objective of a gain."""
        return self._sign * objective

    def fixed(self, values: Floats) -> tuple[float, Floats] | None:
        """Best gain and values with every integer fixed as in `values`, None if infeasible.

        Flags of chords are set by the side on which their amounts are.
        """
        values = values.copy()
        for chord in self.chords:
            values[chord.flag] = float(values[chord.amount] <= chord.short + WHOLE)
        gain = self.solve(*self._holding(values, self.integers))
        if gain is None:
            return None
        found = self.values.copy()
        found[self.integers] = np.round(values[self.integers])
        return gain, found

    def filled(self, values: Floats, free: Sequence[int]) -> Floats | None:
        """Values with every integer column but the `free` ones fixed as in `values` and the others
        worked out by the relaxation, None if infeasible."""
        gain = self.solve(*self._holding(values, np.setdiff1d(self.integers, free)))
        return None if gain is None else self.values.copy()

    def _holding(self, values: Floats, held: Ints) -> tuple[Floats, Floats]:
        """The problem's own bounds with integer columns held at values."""
        lower, upper = self.lower.copy(), self.upper.copy()
        whole = np.round(values[held])
        lower[held] = np.maximum(lower[held], whole)
        upper[held] = np.minimum(upper[held], whole)
        return lower, upper

    def hand_over(self, values: Floats) -> None:
        """Let the problem's variables hold `values`."""
        for variable, value in zip(self.variables, values, strict=True):
            variable.varValue = float(value)


def _bounds(bounds: list[float | None], missing: float) -> Floats:
    """Bounds of all columns as numbers, `missing` where PuLP has none."""
    return np.array([missing if bound is None else bound for bound in bounds], dtype=np.float64)


def _members(names: Sequence[str], column: dict[str, int]) -> Ints:
    """Columns of the variables of these names, in their order."""
    return np.array([column[name] for name in names], dtype=np.int64)

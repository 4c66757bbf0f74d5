"""A mixed-integer problem whose linear relaxation is kept hot in HiGHS.

Bounds are changed in place and the dual simplex goes on from the last basis, which takes
a millisecond where a fresh solve through PuLP takes fifty. Values are told as *gains*: the
objective of a maximisation, the negative of a minimisation's.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import highspy
import numpy as np
from numpy.typing import NDArray

from optimizer.errors import SolverFailedError
from optimizer.solving.guide import Guide
from optimizer.solving.highs import Limits, built_model, claim_scheduler, quiet_copy, reader_of
from optimizer.solving.problem import columns, is_integer, maximises, row_names

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Chosen = NDArray[np.bool_]
"""Which bundles."""

WHOLE = 1e-6
"""How far from a whole number a value still counts as one."""
_FREE = 1e20
_Ended = highspy.HighsModelStatus


class Program:
    """The relaxation of a problem, with the bounds, ranks and ties a search needs."""

    def __init__(self, problem: Any, guide: Guide, seed: int) -> None:
        self.limits = Limits(seed=seed)
        self.mixed = built_model(problem, self.limits)
        self.model = quiet_copy(self.mixed, self.limits)
        self._sign = 1.0 if maximises(problem) else -1.0
        self._read = reader_of(problem)
        self.variables = columns(problem)
        self.size = len(self.variables)
        self.column = {v.name: index for index, v in enumerate(self.variables)}
        self.lower = _bounds([v.lowBound for v in self.variables], -_FREE)
        self.upper = _bounds([v.upBound for v in self.variables], _FREE)
        self.integers: Ints = np.flatnonzero([is_integer(v) for v in self.variables])
        self.ranks: Ints = np.array([guide.ranks.get(v.name, 0) for v in self.variables])
        self.fine = self._fine(guide.fine)
        """Integer columns that are not coarse."""
        self.bundles = [_members(bundle, self.column) for bundle in guide.bundles]
        self.choices = [_members(choice, self.column) for choice in guide.choices]
        self.leads: Ints = np.array([bundle[0] for bundle in self.bundles], dtype=np.int64)
        self.support: Ints = np.zeros(len(self.bundles), dtype=np.int64)
        """How often each bundle was used by a relaxation's solution."""
        self.lps = 0
        self.values: Floats = np.zeros(self.size)
        self._relax()
        self._tie(guide, {name: row for row, name in enumerate(row_names(problem))})

    def _fine(self, rank: int | None) -> Ints:
        if rank is None:
            return np.zeros(0, dtype=np.int64)
        return self.integers[self.ranks[self.integers] >= rank]

    def _relax(self) -> None:
        """Make the copy a linear program for the simplex method."""
        kinds = np.full(self.size, highspy.HighsVarType.kContinuous)
        self.model.changeColsIntegrality(self.size, np.arange(self.size, dtype=np.int32), kinds)
        self.model.setOptionValue("solver", "simplex")
        self._lower, self._upper = self.lower.copy(), self.upper.copy()

    def _tie(self, guide: Guide, rows: dict[str, int]) -> None:
        """Find the columns and rows of tallies and chords."""
        column = self.column
        self._tallies = [
            (column[t.amount], column[t.count], t.least, t.most) for t in guide.tallies
        ]
        self.chords = [
            (rows[c.on], rows[c.by], column[c.lacking], column[c.amount], column[c.flag], c.had)
            for c in guide.chords
        ]
        self._spreads: dict[int, tuple[float, float]] = {}

    # -- bounds --------------------------------------------------------------------

    def _tighten(self, lower: Floats, upper: Floats) -> None:
        """Carry counts over to amounts, and flags of chords."""
        for amount, count, least, most in self._tallies:
            lower[amount] = max(lower[amount], least * lower[count])
            upper[amount] = min(upper[amount], most * upper[count])
        for _, _, _, amount, flag, had in self.chords:
            if lower[flag] > 0.5:
                upper[amount] = min(upper[amount], had)
            if upper[flag] < 0.5:
                lower[amount] = max(lower[amount], min(had, upper[amount]))

    def _apply(self, lower: Floats, upper: Floats) -> None:
        changed = np.flatnonzero((lower != self._lower) | (upper != self._upper))
        if len(changed):
            self.model.changeColsBounds(
                len(changed), changed.astype(np.int32), lower[changed], upper[changed]
            )
            self._lower[changed], self._upper[changed] = lower[changed], upper[changed]
        for place, (on, by, _, amount, flag, had) in enumerate(self.chords):
            below, above = max(had - lower[amount], 0.0), max(upper[amount] - had, 0.0)
            if self._spreads.get(place) != (below, above):
                self._spreads[place] = (below, above)
                self.model.changeCoeff(on, flag, -below)
                self.model.changeCoeff(by, flag, above)
                self.model.changeRowBounds(by, -highspy.kHighsInf, had + above)

    # -- solving -------------------------------------------------------------------

    def solve(self, lower: Floats, upper: Floats, basis: Any = None) -> float | None:
        """Gain of the relaxation within the bounds, None where it is infeasible.

        The bounds are tightened in place; `values` then hold its solution.
        """
        self._tighten(lower, upper)
        if (lower > upper + WHOLE).any():
            return None
        self._apply(lower, np.maximum(lower, upper))
        if basis is not None:
            self.model.setBasis(basis)
        self.lps += 1
        status = self._run()
        if status == _Ended.kInfeasible:
            return None
        if status != _Ended.kOptimal:
            self.model.clearSolver()
            status = self._run()
            if status == _Ended.kInfeasible:
                return None
            if status != _Ended.kOptimal:
                name = self.model.modelStatusToString(status)
                raise SolverFailedError(f"HiGHS stopped: {name}")
        self.values = np.array(self.model.getSolution().col_value)
        self.support += self.used(self.values)
        return self.gain_of(self.model.getInfo().objective_function_value)

    def _run(self) -> Any:
        claim_scheduler(self.limits.threads)
        self.model.run()
        return self.model.getModelStatus()

    def used(self, values: Floats) -> Chosen:
        """Which bundles a solution uses."""
        return np.asarray(values[self.leads] > WHOLE)

    def prices(self) -> Floats:
        """What the last relaxation loses by one more of each column, at most."""
        return np.abs(np.array(self.model.getSolution().col_dual, dtype=np.float64))

    def basis(self) -> Any:
        """The basis of the last solve."""
        return self.model.getBasis()

    def fractional(self) -> Ints:
        """Integer columns whose values are not whole."""
        values = self.values[self.integers]
        return self.integers[np.abs(values - np.round(values)) > WHOLE]

    def gain_of(self, value: float) -> float:
        """Gain of a value of the solver's own objective."""
        return self._sign * self._read(value)

    def cost_of(self, gain: float) -> float:
        """Value of the solver's own objective of a gain."""
        zero, one = self.gain_of(0.0), self.gain_of(1.0)
        return (gain - zero) / (one - zero)

    def gain(self, objective: float) -> float:
        """Gain of an objective of the problem, and the objective of a gain."""
        return self._sign * objective

    def fixed(self, values: Floats) -> tuple[float, Floats] | None:
        """Best gain and values with every integer fixed as in `values`, None if infeasible.

        Flags of chords are set by the side on which their amounts are.
        """
        lower, upper, values = self.lower.copy(), self.upper.copy(), values.copy()
        for _, _, _, amount, flag, had in self.chords:
            values[flag] = float(values[amount] <= had + WHOLE)
        whole = np.round(values[self.integers])
        lower[self.integers] = np.maximum(lower[self.integers], whole)
        upper[self.integers] = np.minimum(upper[self.integers], whole)
        gain = self.solve(lower, upper)
        if gain is None:
            return None
        found = self.values.copy()
        found[self.integers] = whole
        return gain, found

    def hand_over(self, values: Floats) -> None:
        """Let the problem's variables hold `values`."""
        for variable, value in zip(self.variables, values, strict=True):
            variable.varValue = float(value)


def _bounds(bounds: list[float | None], missing: float) -> Floats:
    return np.array([missing if bound is None else bound for bound in bounds], dtype=np.float64)


def _members(names: Sequence[str], column: dict[str, int]) -> Ints:
    return np.array([column[name] for name in names], dtype=np.int64)

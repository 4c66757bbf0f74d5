"""The grid model solved by HiGHS through PuLP and by OR-tools' CP-SAT, and our own model, given
whole to HiGHS and to SCIP."""

from __future__ import annotations

import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from ortools.sat.python import cp_model
from pyscipopt import Model

from optimizer.model.search.alternatives import Search
from optimizer.solving import new_problem, solve, weighted_sum
from tests.bench.grid import Linear

PER_INCH = 16
"""CP-SAT knows whole numbers: lengths are in sixteenths of an inch there."""
SCALE = 100_000


@dataclass(frozen=True)
class Answer:
    """How a peer fared: seconds, best score and bound (None where it has none)."""

    seconds: float
    score: float | None
    bound: float | None

    @property
    def gap(self) -> float | None:
        """Gap left, relative to the score."""
        if self.score is None or self.bound is None:
            return None
        return abs(self.bound - self.score) / max(1.0, abs(self.score))


def by_highs(linear: Linear, *, gap: float, seconds: float) -> Answer:
    """HiGHS on the grid model; building counts."""
    started = time.monotonic()
    problem = new_problem("grid", maximise=True)
    columns = [
        problem.add_variable(f"x{number}", 0, most, "Integer" if whole else "Continuous")
        for number, (most, whole) in enumerate(zip(linear.most, linear.whole, strict=True))
    ]
    problem += weighted_sum(zip(columns, linear.gains, strict=True)) + linear.constant
    for number, (row, limit) in enumerate(linear.rows):
        terms = weighted_sum([(columns[column], value) for column, value in row.items()])
        problem += terms <= limit, f"r{number}"
    left = max(0.1, seconds - (time.monotonic() - started))
    outcome = solve(problem, gap=gap, time_limit=left)
    return Answer(time.monotonic() - started, outcome.objective, outcome.bound)


def by_cp_sat(linear: Linear, *, gap: float, seconds: float) -> Answer:
    """CP-SAT on the grid model, two workers; building counts."""
    started = time.monotonic()
    model = cp_model.CpModel()
    columns = [
        model.new_int_var(0, round(most * (1 if whole else PER_INCH)), "")
        for most, whole in zip(linear.most, linear.whole, strict=True)
    ]
    for row, limit in linear.rows:
        # Rows with a length in them are put in sixteenths, binaries' coefficients included.
        per = 1 if all(linear.whole[column] for column in row) else PER_INCH
        terms = [
            round(value * (per if linear.whole[column] else 1)) * columns[column]
            for column, value in row.items()
        ]
        model.add(sum(terms) <= round(limit * per))
    model.maximize(
        sum(
            round(gain * SCALE / (1 if whole else PER_INCH)) * column
            for gain, whole, column in zip(linear.gains, linear.whole, columns, strict=True)
        )
    )
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.relative_gap_limit = gap
    solver.parameters.max_time_in_seconds = max(0.1, seconds - (time.monotonic() - started))
    status = solver.solve(model)
    known = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    score = solver.objective_value / SCALE + linear.constant if known else None
    bound = solver.best_objective_bound / SCALE + linear.constant
    return Answer(time.monotonic() - started, score, bound)


def whole_by_highs(search: Search, *, gap: float, seconds: float) -> Answer:
    """HiGHS on our model as it is, two threads; the model is there, only solving counts."""
    started = time.monotonic()
    outcome = solve(search.model.problem, gap=gap, time_limit=seconds)
    return Answer(time.monotonic() - started, outcome.objective, outcome.bound)


def whole_by_scip(search: Search, *, gap: float, seconds: float) -> Answer:
    """SCIP on our model as it is, one thread; handing the model over does not count."""
    problem, model = search.model.problem, Model()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "plain.lp"
        problem.writeLP(str(path))
        model.hideOutput()
        model.readProblem(str(path))
    model.setParam("limits/gap", gap)
    model.setParam("limits/time", seconds)
    started = time.monotonic()
    model.optimize()
    # The file leaves the objective's constant out.
    constant = problem.objective.constant
    score = constant + model.getObjVal() if model.getNSols() else None
    return Answer(time.monotonic() - started, score, constant + model.getDualbound())

"""Problems built by our own hand: the same as PuLP builds by its operators, row by row."""

from __future__ import annotations

import random
from typing import Any

import numpy as np
import pulp
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimizer.solving import combined, new_problem, total
from optimizer.solving.backends import highs
from optimizer.solving.search.program import Matrix
from tests.solving.models import random_knapsack

FEW = settings(max_examples=60, deadline=None, derandomize=True)


def _terms(rng: random.Random, xs: list[Any]) -> list[Any]:
    """Variables, expressions and numbers, with repetitions and with what cancels out."""
    kinds = (
        lambda: rng.choice(xs),
        lambda: 2.5 * rng.choice(xs) - rng.choice(xs) + rng.randint(-3, 3),
        lambda: rng.randint(-4, 4),
        lambda: pulp.lpSum([]),
    )
    return [rng.choice(kinds)() for _ in range(rng.randint(0, 9))]


def _content(expression: Any) -> tuple[dict[str, float], float]:
    """Coefficients by name, without those of 0, and the constant."""
    found = {v.name: float(c) for v, c in expression.items() if c}
    return found, float(expression.constant)


@FEW
@given(st.integers(0, 10_000))
def test_sums_are_those_of_pulp(seed: int) -> None:
    """Any mixture of terms, each times a coefficient that may be 0."""
    rng = random.Random(seed)
    problem = new_problem("sums", maximise=True)
    xs = [problem.add_variable(f"x_{i}") for i in range(4)]
    terms = _terms(rng, xs)
    before = [_content(pulp.lpSum([term])) for term in terms]
    assert _content(total(terms)) == _content(pulp.lpSum(terms))
    parts = [(float(rng.choice([0, 1, -1, 2, 0.5])), term) for term in terms]
    assert _content(combined(parts)) == _content(pulp.lpSum(c * term for c, term in parts))
    # What went into a sum is as it was.
    assert [_content(pulp.lpSum([term])) for term in terms] == before


@pytest.mark.parametrize("relaxed", [False, True])
@pytest.mark.parametrize("seed", range(6))
def test_highs_is_given_what_pulp_gives_it(seed: int, relaxed: bool) -> None:
    """Columns, rows and kinds of variables, of maximisations and minimisations, with equations,
    open bounds, empty rows and entries of 0."""
    problem = random_knapsack(seed).problem()
    free = problem.add_variable("free", None, None, "Continuous")
    few = problem.add_variable("few", -2, 7.5, "Integer")
    problem += free + 3 * few == 4, "equal"
    problem += 0 * few + free >= -5, "above"
    problem += free - free <= 1, "empty"
    problem.setObjective(problem.objective + 2 * few - free + 3)
    limits = highs.SolveLimits(relaxed=relaxed)
    ours = highs.built_model(problem, limits)
    solver = highs._Hooked(limits)
    solver.createAndConfigureSolver(problem)
    pulp.HiGHS.buildSolverModel(solver, problem)
    own, its = ours.getLp(), problem.solverModel.getLp()
    for name in ("col_cost_", "col_lower_", "col_upper_", "row_lower_", "row_upper_"):
        assert list(getattr(own, name)) == list(getattr(its, name)), name
    assert _whole(own) == _whole(its)
    assert bool(_whole(own)) is not relaxed
    assert (own.sense_, own.offset_) == (its.sense_, its.offset_)
    assert (_entries(ours) == _entries(problem.solverModel)).all()


def _whole(lp: Any) -> list[int]:
    """Columns that take whole numbers only."""
    return [i for i, kind in enumerate(lp.integrality_) if kind == highs.highspy.HighsVarType(1)]


def _entries(model: Any) -> Any:
    """The matrix as an array."""
    matrix = Matrix.of(model)
    found = np.zeros((model.getNumRow(), model.getNumCol()))
    found[matrix.rows, matrix.columns] = matrix.values
    return found

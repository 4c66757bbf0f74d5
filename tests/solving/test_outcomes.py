"""Outcomes say what was proved, on either PuLP and with either solver."""

from __future__ import annotations

import subprocess
import sys
import time

import pulp
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pulp import lpSum

from optimizer.errors import SolverFailedError
from optimizer.solving import Outcome, cbc_path, lp_relaxation, new_problem, solve, value_of
from optimizer.solving.backends import cbc
from optimizer.solving.backends.highs import claim_scheduler
from tests.solving.models import market_split, random_knapsack

SOLVERS = [
    "highs",
    pytest.param(
        "cbc", marks=pytest.mark.skipif(cbc_path() is None, reason="no CBC on this machine")
    ),
]


@pytest.mark.parametrize("solver", SOLVERS)
@pytest.mark.parametrize("seed", range(8))
def test_optimum_is_that_of_trying_everything(solver: str, seed: int) -> None:
    """Knapsacks with a constant, maximised and minimised: value, bound and variables agree."""
    case = random_knapsack(seed)
    problem = case.problem()
    outcome = solve(problem, solver=solver)
    best = case.best()
    assert outcome.status == "optimal"
    assert outcome.objective == pytest.approx(best, abs=1e-9)
    assert outcome.bound == pytest.approx(best, abs=1e-6)
    assert problem.objective.value() == pytest.approx(best, abs=1e-9)
    assert {v.value() for v in problem.variables()} <= {0.0, 1.0}


@settings(max_examples=25, deadline=None)
@given(st.integers(min_value=8, max_value=10**6), st.integers(min_value=2, max_value=9))
def test_highs_meets_brute_force(seed: int, items: int) -> None:
    """Any small knapsack, any sense: HiGHS finds what trying everything finds."""
    case = random_knapsack(seed, items=items, rows=3)
    outcome = solve(case.problem())
    assert (outcome.status, outcome.objective) == ("optimal", pytest.approx(case.best(), abs=1e-6))


@pytest.mark.parametrize("solver", SOLVERS)
@pytest.mark.parametrize("maximise", [False, True])
def test_time_limited_incumbent_is_never_optimal(solver: str, maximise: bool) -> None:
    """A search cut short keeps its solution and an honest bound, and claims no more."""
    problem = market_split(maximise)
    outcome = solve(problem, solver=solver, time_limit=0.4)
    limit = 5.0 if maximise else 0.0
    assert outcome.status == "time_limit"
    assert outcome.objective == pytest.approx(problem.objective.value(), abs=1e-6)
    assert outcome.bound == pytest.approx(limit, abs=2e-3)
    assert outcome.gap == pytest.approx(
        abs(outcome.objective - outcome.bound) / max(1, abs(outcome.objective))
    )
    assert not outcome.proved


@pytest.mark.parametrize("solver", SOLVERS)
def test_gap_asked_for_is_within_gap(solver: str) -> None:
    """Stopping inside a wide requested gap is not a proof, and the bound covers the optimum."""
    problem = market_split(maximise=True, stores=14, products=3)
    exact = solve(problem, solver=solver)
    loose = solve(problem, solver=solver, gap=4.0)
    assert (exact.status, loose.status) == ("optimal", "within_gap")
    assert loose.objective <= exact.objective + 1e-6
    assert loose.bound >= exact.objective - 1e-6


@pytest.mark.parametrize("solver", SOLVERS)
@pytest.mark.parametrize("seed", range(6))
def test_bound_holds_when_stopped(solver: str, seed: int) -> None:
    """A bound after a stop at once is on the right side of the true optimum."""
    case = random_knapsack(seed, items=14, rows=4)
    outcome = solve(case.problem(), solver=solver, time_limit=0.0)
    if outcome.bound is not None:
        slack = outcome.bound - case.best()
        assert (slack if case.maximise else -slack) >= -1e-6


@pytest.mark.parametrize("solver", SOLVERS)
def test_infeasible(solver: str) -> None:
    """2 x = 1 has no whole x; neither an objective nor a bound is claimed."""
    problem = new_problem("parity", maximise=False)
    x = problem.add_variable("x", 0, 5, "Integer")
    problem += 3 * x + 4
    problem += 2 * x == 1
    outcome = solve(problem, solver=solver)
    assert (outcome.status, outcome.objective, outcome.bound) == ("infeasible", None, None)


@pytest.mark.parametrize("solver", SOLVERS)
def test_unbounded(solver: str) -> None:
    """Nothing holds x down: unbounded, not infeasible."""
    problem = new_problem("free", maximise=True)
    x = problem.add_variable("x", 0, None, "Integer")
    problem += 2 * x
    problem += x >= 1
    assert solve(problem, solver=solver).status == "unbounded"


@pytest.mark.parametrize("solver", SOLVERS)
def test_no_objective_and_unused_variable(solver: str) -> None:
    """Without an objective any solution will do; a variable in no row gets a value in bounds."""
    problem = new_problem("any", maximise=False)
    x = problem.add_variable("x", 0, 9, "Integer")
    y = problem.add_variable("y", 2, 3)
    problem += x >= 1.5
    outcome = solve(problem, solver=solver)
    assert (outcome.status, outcome.objective) == ("optimal", 0.0)
    assert x.value() >= 2
    assert 2 <= value_of(y) <= 3


@pytest.mark.parametrize("solver", SOLVERS)
def test_relaxation_and_prices(solver: str) -> None:
    """The relaxation drops the integers, and rows carry their prices.

    minimise 3x + 2y, x + y >= 4.5, 3x + y >= 6.5: x = 1, y = 3.5, cost 10; by a + 3b = 3 and
    a + b = 2, one more unit of the first row costs 1.5, one more of the second 0.5.
    """
    problem = new_problem("blend", maximise=False)
    x, y = (problem.add_variable(name, 0, None, "Integer") for name in "xy")
    problem += 3 * x + 2 * y
    problem += x + y >= 4.5, "total"
    problem += 3 * x + y >= 6.5, "least"
    outcome = lp_relaxation(problem, solver=solver)
    prices = [problem.get_constraint_by_name(name).pi for name in ("total", "least")]
    assert (outcome.status, outcome.objective, outcome.bound) == ("optimal", 10.0, 10.0)
    assert (x.value(), y.value()) == (1.0, 3.5)
    assert prices == pytest.approx([1.5, 0.5])
    assert solve(problem, solver=solver).objective == pytest.approx(11.0)


def test_missing_cbc_names_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without CBC the error says how to get it."""
    monkeypatch.setattr("optimizer.solving.backends.cbc.cbc_path", lambda: None)
    with pytest.raises(SolverFailedError, match="pip install cbcbox"):
        solve(random_knapsack(0).problem(), solver="cbc")


@pytest.mark.skipif(cbc_path() is None, reason="no CBC on this machine")
@pytest.mark.parametrize(("limit", "status"), [(0.1, "time_limit"), (60.0, "infeasible")])
def test_cbc_proves_nothing_once_its_time_is_over(
    monkeypatch: pytest.MonkeyPatch, limit: float, status: str
) -> None:
    """CBC 2.10 calls a problem infeasible when its time ends during preprocessing."""

    def says_infeasible(*_: object) -> cbc._Report:
        time.sleep(0.15)
        return cbc._Report("infeasible", has_solution=False)

    monkeypatch.setattr(cbc, "_run", says_infeasible)
    outcome = solve(random_knapsack(0).problem(), solver="cbc", time_limit=limit)
    assert (outcome.status, outcome.objective, outcome.bound) == (status, None, None)


def test_unknown_solver() -> None:
    """A solver that is none is refused by name."""
    with pytest.raises(SolverFailedError, match="'abacus'"):
        solve(random_knapsack(0).problem(), solver="abacus")  # type: ignore[arg-type]


def test_pulp_alone_would_call_it_optimal() -> None:
    """Why this package exists: PuLP 3.3 calls a time-limited solution optimal."""
    if int(pulp.__version__.split(".")[0]) >= 4:
        pytest.skip("PuLP 4 tells a time limit from a proof")
    problem = market_split()
    # As many as HiGHS has on this thread already, or it would not run at all.
    claim_scheduler(1)
    problem.solve(pulp.HiGHS(msg=False, timeLimit=0.3, threads=1))
    assert pulp.LpStatus[problem.status] == "Optimal"
    assert solve(problem, time_limit=0.3).status == "time_limit"


@pytest.mark.parametrize("solver", SOLVERS)
def test_nothing_is_printed(solver: str) -> None:
    """A solve in a fresh process writes nothing, not even a library's banner."""
    program = (
        "from optimizer.solving import solve, lp_relaxation, new_problem\n"
        "p = new_problem('quiet', True)\n"
        "x = p.add_variable('x', 0, 3, 'Integer')\n"
        "p += x\n"
        "p += 2 * x <= 5\n"
        f"lp_relaxation(p, solver={solver!r})\n"
        f"assert solve(p, solver={solver!r}, on_progress=lambda a, b: None).objective == 2\n"
    )
    ran = subprocess.run(
        [sys.executable, "-W", "error", "-c", program], capture_output=True, text=True, check=False
    )
    assert (ran.returncode, ran.stdout, ran.stderr) == (0, "", "")


def test_big_sum_keeps_names() -> None:
    """Constraints keep the names that shortfalls are reported under."""
    problem = new_problem("named rows", maximise=False)
    xs = [problem.add_variable(f"x{i}", 0, 1) for i in range(5)]
    problem += lpSum(xs)
    problem += lpSum(xs) >= 2, "need_long_hang"
    outcome: Outcome = solve(problem)
    assert outcome.objective == pytest.approx(2.0)
    assert problem.get_constraint_by_name("need_long_hang") is not None

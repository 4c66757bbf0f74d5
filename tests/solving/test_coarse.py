"""Bounds from coarse decisions: as tight as the coarse program, never below what there is."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimizer.solving import Guide, Memory, new_problem, solve
from optimizer.solving.search import exploration, kernel
from optimizer.solving.search.coarse import AIM, EXACT_ENOUGH, Coarse
from optimizer.solving.search.incumbent import Incumbent
from optimizer.solving.search.monitor import SearchMonitor
from optimizer.solving.search.probes import Probes
from optimizer.solving.search.program import Program
from tests.solving.models import Knapsack, random_knapsack

ITEMS = 14
DROPPED = st.none() | st.integers(0, ITEMS - 1)
GAPS = st.sampled_from([0.0, 0.02, 0.1, 0.2])


def _guide(problem: Any) -> Guide:
    """Every other variable is coarse; each is a bundle of its own."""
    names = [v.name for v in problem.variables()]
    ranks = {name: number % 2 for number, name in enumerate(names)}
    return Guide(ranks=ranks, fine=1, bundles=[[name] for name in names])


def _coarse_best(knapsack: Knapsack) -> float:
    """The optimum with the fine variables left to be fractions, as PuLP poses it."""
    problem = knapsack.problem()
    guide = _guide(problem)
    for variable in problem.variables():
        if guide.ranks[variable.name] >= 1:
            variable.cat = "Continuous"
    best = solve(problem).objective
    assert best is not None
    return float(best)


def _best_values(knapsack: Knapsack) -> list[float]:
    problem = knapsack.problem()
    solve(problem)
    return [float(v.value()) for v in problem.variables()]


def _begun(knapsack: Knapsack, gap: float, dropped: int | None) -> tuple[Coarse, Incumbent]:
    """A search that knows no solution, or the best one less one of its items."""
    problem = knapsack.problem()
    program = Program(problem, _guide(problem), 0)
    watch = SearchMonitor(None, None, None)
    incumbent = Incumbent(program, watch, gap, np.inf)
    root = program.solve(program.lower.copy(), program.upper.copy())
    assert root is not None
    incumbent.lower_bound_to(root)
    if dropped is not None:
        values = np.array(_best_values(knapsack))
        chosen = np.flatnonzero(values)
        values[chosen[dropped % len(chosen)]] = 0.0
        assert incumbent.offer(values)
    return Coarse(program, incumbent, Probes(program, watch)), incumbent


@settings(deadline=None, max_examples=30)
@given(
    seed=st.integers(0, 5000),
    rows=st.integers(1, 3),
    gap=GAPS,
    dropped=DROPPED,
)
def test_a_proof_is_as_good_as_the_coarse_program(
    seed: int, rows: int, gap: float, dropped: int | None
) -> None:
    """The bound is the coarse optimum, or what was aimed at if that is more."""
    knapsack = random_knapsack(seed, items=ITEMS, rows=rows)
    coarse, incumbent = _begun(knapsack, gap, dropped)
    gain, aim = coarse.program.gain, incumbent.aim(AIM)
    chosen = coarse.prove()
    exact = gain(_coarse_best(knapsack))
    # The solver's own gap is taken without the objective's constant.
    near = EXACT_ENOUGH * (abs(exact) + abs(knapsack.constant)) + 1e-6
    assert incumbent.bound >= gain(knapsack.best()) - 1e-6
    assert incumbent.bound <= max(exact, aim) + near
    assert not coarse.impossible
    if exact > aim + near:
        assert chosen is not None


@settings(deadline=None, max_examples=30)
@given(seed=st.integers(0, 5000), dropped=DROPPED)
def test_an_outline_comes_with_a_true_bound(seed: int, dropped: int | None) -> None:
    """It is cut short, so its bound is no lower than the coarse optimum."""
    knapsack = random_knapsack(seed, items=ITEMS)
    coarse, incumbent = _begun(knapsack, 0.001, dropped)
    chosen = coarse.outline()
    assert chosen is not None
    assert chosen.any()
    assert incumbent.bound >= coarse.program.gain(_coarse_best(knapsack)) - 1e-6


def test_no_coarse_solution_is_told() -> None:
    """2 x = 3 has no whole solution, though its relaxation has."""
    problem = new_problem("halves", maximise=True)
    x = problem.add_variable("x", 0, 10, "Integer")
    problem += 2 * x + problem.add_variable("y", 0, 10, "Integer")
    problem += 2 * x == 3, "odd"
    program = Program(problem, _guide(problem), 0)
    watch = SearchMonitor(None, None, None)
    incumbent = Incumbent(program, watch, 0.0, np.inf)
    coarse = Coarse(program, incumbent, Probes(program, watch))
    assert coarse.prove() is None
    assert coarse.impossible


def test_a_search_ends_where_no_coarse_solution_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing else is tried then, and the answer is that there is no solution."""
    monkeypatch.setattr(exploration, "LARGE", 0)
    monkeypatch.setattr(exploration, "HUGE", 0)
    monkeypatch.setattr(kernel, "SMALL", 0)
    monkeypatch.setattr(exploration.Tree, "run", lambda *_: pytest.fail("the tree was searched"))
    problem = new_problem("halves", maximise=True)
    x = problem.add_variable("x", 0, 10, "Integer")
    problem += x + problem.add_variable("y", 0, 10, "Integer")
    problem += 2 * x == 3, "odd"
    outcome = exploration.explore(problem, _guide(problem), Memory(), gap=0.0)
    assert outcome.status == "infeasible"

"""Parts of a program: the same answers as the whole gives within the same bounds."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimizer.solving import new_problem
from optimizer.solving.search.guide import Chord, Guide
from optimizer.solving.search.incumbent import Incumbent
from optimizer.solving.search.monitor import SearchMonitor
from optimizer.solving.search.probes import Probes
from optimizer.solving.search.program import Program
from optimizer.solving.search.root import Root
from tests.solving.models import Knapsack, random_knapsack

FEW = settings(max_examples=40, deadline=None, derandomize=True)
ITEMS = 9


def _program(knapsack: Knapsack, choices: int = 0) -> Program:
    problem = knapsack.problem()
    names = [v.name for v in problem.variables()]
    chosen = [names[start : start + 3] for start in range(0, 3 * choices, 3)]
    for number, members in enumerate(chosen):
        taken = [v for v in problem.variables() if v.name in members]
        problem += sum(taken[1:], taken[0]) == 1, f"choice_{number}"
    return Program(problem, Guide(bundles=[[name] for name in names], choices=chosen), 0)


def _names(program: Program) -> list[str]:
    """Names of the columns in order; PuLP 4 forgets the variables of a problem that is gone."""
    return sorted(program.column, key=program.column.__getitem__)


@FEW
@given(st.integers(0, 10_000), st.data())
def test_a_part_solves_as_the_whole_does(seed: int, data: st.DataObject) -> None:
    """Whatever is fixed, and whatever is then held more narrowly inside."""
    program = _program(random_knapsack(seed, items=ITEMS))
    lower, upper = program.lower.copy(), program.upper.copy()
    for column in data.draw(st.lists(st.integers(0, program.size - 1), max_size=5)):
        lower[column] = upper[column] = data.draw(st.integers(0, int(min(upper[column], 3))))
    inside = upper.copy()
    column = data.draw(st.integers(0, program.size - 1))
    inside[column] = max(lower[column], min(upper[column], 1.0))
    whole = [program.solve(lower.copy(), bounds.copy()) for bounds in (upper, inside)]
    with program.within(lower, upper):
        assert program.open <= program.size
        part = [program.solve(lower.copy(), bounds.copy()) for bounds in (upper, inside)]
        values = program.values
    for one, other in zip(whole, part, strict=True):
        assert (one is None) == (other is None)
        assert one is None or one == pytest.approx(other, abs=1e-6)
    if part[1] is not None:
        assert (values >= lower - 1e-6).all()
        assert (values <= inside + 1e-6).all()


def test_what_contradicts_a_part_has_no_solution_in_it() -> None:
    """A column fixed at 0 by the part is not 1 in it."""
    program = _program(random_knapsack(3, items=ITEMS))
    upper = program.upper.copy()
    upper[0] = 0.0
    with program.within(program.lower, upper):
        lower = program.lower.copy()
        lower[0] = 1.0
        assert program.solve(lower, program.upper.copy()) is None


def test_rows_that_cannot_bind_are_left_out() -> None:
    """x + y <= 5 says nothing where y is at most 1, and z alone is left of 2 z + x <= 3."""
    problem = new_problem("rows", maximise=True)
    x, y, z = (problem.add_variable(name, 0, 4, "Integer") for name in "xyz")
    problem += x + y + z
    problem += x + y <= 5, "loose"
    problem += 2 * z + x <= 3, "tight"
    program = Program(problem, Guide(), 0)
    lower, upper = np.array([1.0, 0.0, 0.0]), np.array([1.0, 1.0, 4.0])
    with program.within(lower, upper):
        assert program.open == 2
        assert len(program.focus.rows) == 1
        assert program.solve(lower, upper) == pytest.approx(3.0)


def test_rows_with_unbounded_columns_stay() -> None:
    """x + y >= 2 binds x at least where y has no upper bound but is worth nothing."""
    problem = new_problem("unbounded", maximise=False)
    x = problem.add_variable("x", 0, 4, "Integer")
    y = problem.add_variable("y", 0, None, "Continuous")
    z = problem.add_variable("z", 0, 1, "Integer")
    problem += x + 3 * y + z
    problem += x + y + z >= 2, "least"
    program = Program(problem, Guide(), 0)
    lower, upper = program.lower.copy(), program.upper.copy()
    upper[program.column["z"]] = 0.0
    with program.within(lower, upper):
        assert program.solve(lower, upper) == pytest.approx(-2.0)


@pytest.mark.parametrize("amount", [0.0, 2.0, 3.0, 5.0])
def test_chords_bend_alike_in_a_part(amount: float) -> None:
    """lacking = max(0, 3 - amount), wherever the amount is held."""
    problem = new_problem("chord", maximise=True)
    lacking = problem.add_variable("lacking", 0, 3, "Continuous")
    had = problem.add_variable("amount", 0, 6, "Continuous")
    flag = problem.add_variable("flag", 0, 1, "Integer")
    other = problem.add_variable("other", 0, 1, "Integer")
    problem += lacking + 0.001 * other
    problem += lacking <= 3 * flag, "on"
    problem += lacking + had <= 3 + 3 * (1 - flag), "by"
    chord = Chord("on", "by", "lacking", "amount", "flag", 3.0, 3.0)
    program = Program(problem, Guide(chords=[chord]), 0)
    lower, upper = program.lower.copy(), program.upper.copy()
    lower[program.column["other"]] = 1.0
    with program.within(lower, upper):
        held = program.column["amount"]
        lower[held] = upper[held] = amount
        lower[held] = max(0.0, amount - 1e-12)
        assert program.solve(lower, upper) == pytest.approx(max(0.0, 3.0 - amount) + 0.001)


@FEW
@given(st.integers(0, 10_000), st.sampled_from([0.0, 0.02, 0.1]))
def test_prices_leave_out_nothing_better(seed: int, below: float) -> None:
    """Every solution above the cutoff is within the narrowed bounds."""
    knapsack = random_knapsack(seed, items=ITEMS)
    program = _program(knapsack)
    lower, upper = program.lower.copy(), program.upper.copy()
    gain = program.solve(lower.copy(), upper.copy())
    assert gain is not None
    root = Root(gain, program.values.copy(), program.prices())
    best = program.gain(knapsack.best())
    cutoff = best - below * abs(best) - 0.5
    root.narrow(program.integers, cutoff, lower, upper)
    found = [v for v in knapsack.solutions() if program.gain(knapsack.value(v)) > cutoff + 1e-6]
    assert found
    for solution in found:
        values = np.array([solution[name] for name in _names(program)])
        assert (values >= lower - 1e-9).all()
        assert (values <= upper + 1e-9).all()


@FEW
@given(st.integers(0, 10_000), st.booleans())
def test_probes_never_claim_too_little(seed: int, cut: bool) -> None:
    """No solution with a member of a choice exceeds what its probe reached, or the cutoff."""
    knapsack = random_knapsack(seed, items=ITEMS)
    program = _program(knapsack, choices=2)
    watch = SearchMonitor(None, None, None)
    probes = Probes(program, watch)
    gain = program.solve(program.lower.copy(), program.upper.copy())
    if gain is None:
        return
    probes.price(Root(gain, program.values.copy(), program.prices()))
    kept = [s for s in knapsack.solutions() if _chooses(s, program)]
    gains = [program.gain(knapsack.value(s)) for s in kept]
    cutoff = float(np.median(gains)) if cut and gains else -np.inf
    probes.run(cutoff)
    incumbent = Incumbent(program, watch, 0.0, np.inf)
    incumbent.lower_bound_to(probes.bound)
    for solution, reached in zip(kept, gains, strict=True):
        assert reached <= max(incumbent.bound, cutoff) + 1e-6
        for column, limit in probes.reach.items():
            if solution[_names(program)[column]] >= 1:
                assert reached <= max(limit, cutoff) + 1e-6


def _chooses(solution: dict[str, int], program: Program) -> bool:
    names = _names(program)
    return all(sum(solution[names[c]] for c in choice) == 1 for choice in program.choices)


def test_a_row_over_a_column_without_bound_still_binds() -> None:
    """What may grow without end does not make the other side of its row idle."""
    problem = new_problem("open_ended", maximise=True)
    taken = problem.add_variable("taken", 0, 1, cat="Integer")
    other = problem.add_variable("other", 0, 1, cat="Integer")
    length = problem.add_variable("length", 0)
    problem.setObjective(-1.0 * length + 0.0 * other)
    problem += length + taken >= 5, "quality"
    problem += length + other <= 9, "room"
    program = Program(problem, Guide(bundles=[["taken"], ["other"]]), 0)
    lower, upper = program.lower.copy(), program.upper.copy()
    upper[program.column["taken"]] = 0.0
    with program.within(lower, upper):
        assert program.solve(lower.copy(), upper.copy()) == pytest.approx(-5.0)

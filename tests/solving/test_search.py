"""Our own search: the same optima as trying everything, however far it has to go."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pulp import lpSum

from optimizer.solving import (
    Chord,
    Guide,
    Memory,
    Outcome,
    OutOfTimeError,
    explore,
    new_problem,
    solve,
    value_of,
)
from optimizer.solving.search import exploration, kernel, splitting
from optimizer.solving.search.incumbent import DEEP, Incumbent
from optimizer.solving.search.monitor import SearchMonitor
from optimizer.solving.search.neighbourhoods import Neighbourhoods
from optimizer.solving.search.parts import Parts
from optimizer.solving.search.probes import Probes
from optimizer.solving.search.program import Program
from tests.solving.models import random_knapsack

WAYS = {
    "tree": (10**9, 10**9, 0),
    "kernels by trees, then HiGHS": (0, 0, 10**9),
    "kernels by HiGHS": (0, 0, 0),
    "places anew, then HiGHS": (0, 0, 10**9),
    "pairs of places, with kernels by trees": (0, 0, 10**9),
    "pairs of places, with kernels by HiGHS": (0, 0, 0),
    "parts, one by one": (0, 0, 0),
    "HiGHS": (10**9, 0, 0),
}
"""Integer variables from which kernels are searched, work of the tree before HiGHS, and integer
variables below which a tree searches kernels."""


def _force(way: str, monkeypatch: pytest.MonkeyPatch) -> None:
    large, work, small = WAYS[way]
    monkeypatch.setattr(exploration, "LARGE", large)
    monkeypatch.setattr(kernel, "SMALL", small)
    monkeypatch.setattr(exploration, "HUGE", 0 if way.startswith("pairs") else 10**9)
    monkeypatch.setattr(exploration, "MOST_WORK", work)
    if way.startswith("parts"):
        monkeypatch.setattr(splitting, "CLOSES", 0.0)


@pytest.fixture(params=list(WAYS))
def way(request: Any, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """Each way the search may go, forced on small problems."""
    _force(request.param, monkeypatch)
    yield request.param


def _guide(problem: Any, way: str = "tree") -> Guide:
    """A guide that takes every variable for a bundle of its own, and every third for one place; in
    parts every third splits it. The first two are wanted."""
    names = [v.name for v in problem.variables()]
    ranks = {name: number % 2 for number, name in enumerate(names)}
    by_place = way.startswith(("places", "pairs", "parts"))
    places = [number % 3 for number in range(len(names))] if by_place else []
    splits = names[::3] if way.startswith("parts") else []
    bundles = [[name] for name in names]
    return Guide(ranks=ranks, bundles=bundles, places=places, splits=splits, wanted=names[:2])


@pytest.mark.parametrize("seed", range(12))
def test_optimum_is_that_of_trying_everything(seed: int, way: str) -> None:
    """Exact to the last unit, maximised and minimised; the variables hold the solution."""
    knapsack = random_knapsack(seed, items=12)
    problem = knapsack.problem()
    outcome = explore(problem, _guide(problem, way), Memory(), gap=0.0)
    assert outcome.status == "optimal"
    assert outcome.objective == pytest.approx(knapsack.best())
    assert outcome.bound == pytest.approx(knapsack.best())
    assert value_of(problem.objective) == pytest.approx(knapsack.best())


def test_no_solution_is_proved(way: str) -> None:
    """x + y = 1 in even steps has no whole solution, though its relaxation has."""
    problem = new_problem("parity", maximise=True)
    x = problem.add_variable("x", 0, 10, "Integer")
    y = problem.add_variable("y", 0, 10, "Integer")
    problem += x + y
    problem += 2 * x + 2 * y == 7, "odd"
    outcome = explore(problem, _guide(problem, way), Memory(), gap=0.0)
    assert outcome.status == "infeasible"
    assert outcome.objective is None


@pytest.mark.parametrize("gap", [0.01, 0.1, 0.5])
def test_a_gap_is_kept_and_its_bound_holds(gap: float, way: str) -> None:
    """Nothing beats the bound, and the solution is within the gap of it."""
    for seed in range(0, 12, 2):
        knapsack = random_knapsack(seed, items=12, rows=3)
        problem = knapsack.problem()
        outcome = explore(problem, _guide(problem, way), Memory(), gap=gap)
        assert outcome.objective is not None
        assert outcome.bound is not None
        assert outcome.objective - 1e-6 <= knapsack.best() <= outcome.bound + 1e-6
        assert outcome.gap is not None
        assert outcome.gap <= gap + 1e-9


def test_memory_carries_bounds_and_solutions_over(way: str) -> None:
    """With the first answer forbidden the second is the best of the rest, and no more than
    the bound carried over."""
    for seed in range(0, 12, 2):
        knapsack = random_knapsack(seed)
        problem, memory = knapsack.problem(), Memory()
        first = explore(problem, _guide(problem, way), memory, gap=0.0)
        picks = problem.variables()
        chosen = [v for v in picks if v.value() > 0.5]
        others = [v for v in picks if v.value() <= 0.5]
        problem += lpSum(others) - lpSum(chosen) >= 1 - len(chosen), "another"
        bare = solve(problem)
        again = explore(problem, _guide(problem, way), memory, gap=0.0)
        assert again.objective == pytest.approx(bare.objective)
        assert first.bound is not None
        assert again.objective is not None
        assert again.objective <= first.bound + 1e-6
        assert len(memory.starts) >= 1


def test_starts_outlive_chords_that_come_after_them() -> None:
    """What a start has of an amount that it did not know follows from the rest, and so does the
    flag: two pieces lack nothing of the one that was had."""
    problem = new_problem("pieces", maximise=True)
    here = problem.add_variable("here", 0, 2, "Integer")
    there = problem.add_variable("there", 0, 2, "Integer")
    problem += 3 * here + 2 * there
    problem += here + there <= 2, "all"
    memory = Memory()
    assert explore(problem, Guide(), memory, gap=0.0).objective == pytest.approx(6.0)
    now = problem.add_variable("now", 0, 2, "Continuous")
    lacking = problem.add_variable("lacking", 0, 1, "Continuous")
    flag = problem.add_variable("flag", 0, 1, "Integer")
    problem += now == here, "now"
    problem += lacking <= flag, "on"
    problem += lacking + now <= 1 + (1 - flag), "by"
    problem += now + 2 * flag <= 2, "one"
    guide = Guide(chords=[Chord("on", "by", "lacking", "now", "flag", 1.0, 0.0)])
    search = exploration._Search(
        problem,
        guide,
        memory,
        SearchMonitor(None),
        gap=0.0,
        seed=0,
        deep=False,
        on_solution=None,
        will_do=None,
    )
    search._start()
    assert search.incumbent.best == pytest.approx(6.0)


def test_same_problem_same_answer(way: str) -> None:
    """Values, bound and nodes repeat exactly."""
    ends = []
    for _ in range(2):
        problem = random_knapsack(4, items=14, rows=3).problem()
        outcome = explore(problem, _guide(problem, way), Memory(), gap=0.0, seed=3)
        values = tuple(v.value() for v in problem.variables())
        ends.append((outcome.objective, outcome.bound, outcome.nodes, values))
    assert ends[0] == ends[1]


def test_time_limit_keeps_what_was_found_and_a_bound() -> None:
    """A search that is stopped says so; its bound still holds."""
    knapsack = random_knapsack(2, items=14, rows=3)
    problem = knapsack.problem()
    outcome = explore(problem, _guide(problem), Memory(), gap=0.0, time_limit=1e-9)
    assert outcome.status == "time_limit"
    assert outcome.bound is None or outcome.bound >= knapsack.best() - 1e-6


@pytest.mark.parametrize("seed", range(4))
def test_a_late_search_has_a_solution_and_no_proof(seed: int, way: str) -> None:
    """Without any time a search finds nothing; `late`, it dives all the same, unless it was told
    to stop."""
    knapsack = random_knapsack(seed, items=14, rows=3)

    def tried(**how: Any) -> Outcome:
        problem = knapsack.problem()
        return explore(problem, _guide(problem, way), Memory(), gap=0.0, time_limit=0.0, **how)

    assert not tried().has_solution
    outcome = tried(late=True)
    assert (outcome.status, outcome.has_solution) == ("time_limit", True)
    sign = 1.0 if knapsack.maximise else -1.0
    found, bound = sign * (outcome.objective or 0.0), sign * (outcome.bound or math.inf)
    assert found <= sign * knapsack.best() + 1e-6
    assert bound >= sign * knapsack.best() - 1e-6
    assert not tried(late=True, should_stop=lambda: True).has_solution


def _enormous(monkeypatch: pytest.MonkeyPatch) -> None:
    """Searched as if the whole relaxation took too long to begin with."""
    _force("pairs of places, with kernels by HiGHS", monkeypatch)
    monkeypatch.setattr("optimizer.solving.search.program.ENORMOUS", 0)


@pytest.mark.parametrize("seed", range(12))
def test_what_begins_before_the_relaxation_ends_at_the_optimum(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """From a bare start and its places, then the proof; again from what the first search met."""
    _enormous(monkeypatch)
    knapsack = random_knapsack(seed, items=12)
    problem, memory = knapsack.problem(), Memory()
    for _ in range(2):
        outcome = explore(problem, _guide(problem, "places"), memory, gap=0.0)
        assert outcome.status == "optimal"
        assert outcome.objective == pytest.approx(knapsack.best()) == value_of(problem.objective)


def test_before_the_relaxation_there_is_a_solution_without_a_bound(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Where the time is over before the relaxation is solved, what was found is told, and no bound;
    late, nothing is looked for."""
    _enormous(monkeypatch)

    def too_long(*_: Any) -> float:
        raise OutOfTimeError

    knapsack = random_knapsack(3, items=12)
    problem = knapsack.problem()
    with monkeypatch.context() as patch:
        patch.setattr(Program, "solve_root", too_long)
        outcome = explore(problem, _guide(problem, "places"), Memory(), gap=0.0)
    assert (outcome.status, outcome.has_solution) == ("time_limit", True)
    assert outcome.bound is None
    packed = {v.name: round(value_of(v)) for v in problem.variables()}
    assert packed in knapsack.solutions()
    assert outcome.objective == pytest.approx(knapsack.value(packed))
    late = explore(problem, _guide(problem, "places"), Memory(), gap=0.0, time_limit=0.0, late=True)
    assert not late.has_solution


def test_a_cancelled_search_ends_as_cancelled(way: str) -> None:
    """Asked to stop, the search stops and keeps a bound."""
    problem = random_knapsack(2, items=14, rows=3).problem()
    outcome = explore(problem, _guide(problem, way), Memory(), gap=0.0, should_stop=lambda: True)
    assert outcome.status == "cancelled"


def test_what_a_hook_raises_comes_out(way: str) -> None:
    """An error in the caller's own hook is not swallowed."""

    def broken() -> bool:
        raise LookupError("asked in vain")

    problem = random_knapsack(2, items=14, rows=3).problem()
    with pytest.raises(LookupError, match="asked in vain"):
        explore(problem, _guide(problem, way), Memory(), gap=0.0, should_stop=broken)


@pytest.mark.parametrize("deep", [False, True])
def test_progress_never_goes_back(way: str, deep: bool) -> None:
    """Incumbents rise, bounds fall, and the last pair is the answer's."""
    told: list[tuple[float, float]] = []
    problem = random_knapsack(6, items=14, rows=3).problem()
    outcome = explore(
        problem,
        _guide(problem, way),
        Memory(),
        gap=0.0,
        deep=deep,
        on_progress=lambda incumbent, bound: told.append((incumbent, bound)),
    )
    incumbents = [incumbent for incumbent, _ in told]
    bounds = [bound for _, bound in told]
    assert incumbents == sorted(incumbents)
    assert bounds == sorted(bounds, reverse=True)
    assert told[-1][0] == pytest.approx(outcome.objective)


def test_a_solution_that_presolve_finds_is_had(way: str) -> None:
    """HiGHS told its value and handed back the start instead: 177 with values worth 176."""
    knapsack = random_knapsack(316, items=9, rows=1)
    problem = knapsack.problem()
    outcome = explore(problem, _guide(problem, way), Memory(), gap=0.0)
    assert outcome.status == "optimal"
    assert outcome.objective == knapsack.best() == value_of(problem.objective)


def test_that_there_is_no_whole_solution_is_proved(way: str) -> None:
    """2 x = 3 has no whole solution, whatever y is; kernels and dives meet nothing either."""
    problem = new_problem("halves", maximise=True)
    x = problem.add_variable("x", 0, 10, "Integer")
    y = problem.add_variable("y", 0, 10, "Integer")
    problem += x + y
    problem += 2 * x + 0 * y == 3, "odd"
    outcome = explore(problem, _guide(problem, way), Memory(), gap=0.0)
    assert outcome.status == "infeasible"


@pytest.mark.parametrize("forced", list(WAYS))
@settings(deadline=None, max_examples=25)
@given(seed=st.integers(0, 10_000), rows=st.integers(1, 4))
def test_any_knapsack_agrees_with_highs(forced: str, seed: int, rows: int) -> None:
    """Every way's optimum is HiGHS's, for drawn problems."""
    knapsack = random_knapsack(seed, items=9, rows=rows)
    problem = knapsack.problem()
    with pytest.MonkeyPatch.context() as patch:
        _force(forced, patch)
        outcome = explore(problem, _guide(problem, forced), Memory(), gap=0.0)
    assert outcome.objective == pytest.approx(solve(knapsack.problem()).objective)


def test_a_place_planned_anew_improves_a_poor_solution() -> None:
    """From nothing packed: what one place alone can add is found, and the rest stays as it is."""
    knapsack = random_knapsack(2, items=12)
    problem = knapsack.problem()
    names = [v.name for v in problem.variables()]
    places = [0] * 6 + [1] * 6
    guide = Guide(bundles=[[name] for name in names], places=places)
    program = Program(problem, guide, 0)
    watch = SearchMonitor(None)
    incumbent = Incumbent(program, watch, 0.0, math.inf)
    incumbent.offer(np.zeros(program.size))
    parts = Parts(program, incumbent, Probes(program, watch), demanding=False)
    steps = Neighbourhoods(program, parts).improve(incumbent, 1)
    next(steps)
    assert incumbent.values is not None
    packed = np.flatnonzero(incumbent.values > 0.5)
    assert len(packed)
    assert {places[index] for index in packed} == {0}
    alone = program.gain(incumbent.best)
    for variable, place in zip(problem.variables(), places, strict=True):
        variable.upBound = 1 - place
    assert alone == pytest.approx(solve(problem).objective)
    list(steps)
    assert alone < program.gain(incumbent.best) <= knapsack.best() + 1e-6


def _places_of(knapsack: Any) -> tuple[Any, Neighbourhoods, Incumbent]:
    """The problem of a knapsack of 12 things, and its neighbourhoods: two places of six each."""
    return _places(knapsack.problem())


def _places(problem: Any) -> tuple[Any, Neighbourhoods, Incumbent]:
    """A problem of 12 variables, and its neighbourhoods: two places of six each."""
    names = [v.name for v in problem.variables()]
    guide = Guide(bundles=[[name] for name in names], places=[0] * 6 + [1] * 6)
    program = Program(problem, guide, 0)
    watch = SearchMonitor(None)
    incumbent = Incumbent(program, watch, 0.0, math.inf)
    parts = Parts(program, incumbent, Probes(program, watch), demanding=False)
    return problem, Neighbourhoods(program, parts), incumbent


@pytest.mark.parametrize("seed", range(12))
def test_a_bare_start_holds_what_it_has_to_alone(seed: int) -> None:
    """Nothing packed but what must be; place after place planned anew beside it is better, sound,
    and no better than trying everything."""
    knapsack = random_knapsack(seed, items=12)
    problem = knapsack.problem()
    forced = problem.variables()[seed]
    forced.lowBound = 1
    problem, around, incumbent = _places(problem)
    bare = around.bare()
    if bare is None:
        # What has to be packed fits into no place at all.
        assert not any(packing[forced.name] for packing in knapsack.solutions())
        return
    gain, values = bare
    assert np.flatnonzero(values).tolist() == [seed]
    sign = 1.0 if knapsack.maximise else -1.0
    assert gain == pytest.approx(
        sign * knapsack.value({v.name: v is forced for v in problem.variables()})
    )
    assert incumbent.take(gain, values)
    list(around.improve(incumbent, 1))
    packings = [packing for packing in knapsack.solutions() if packing[forced.name]]
    packed = {v.name: round(x) for v, x in zip(problem.variables(), incumbent.values, strict=True)}
    assert packed in packings
    assert gain <= incumbent.best <= max(sign * knapsack.value(p) for p in packings) + 1e-6


def test_a_poor_solution_makes_nothing_less_dear(monkeypatch: pytest.MonkeyPatch) -> None:
    """Beside a solution far below the relaxation, as much is left out of a part as beside one a few
    gaps below it."""
    widest: list[int] = []
    searched = Parts._solved

    def solved(parts: Parts, model: Any, *arguments: Any, **options: Any) -> Any:
        lp = model.getLp()
        widest.append(int((np.array(lp.col_upper_) > np.array(lp.col_lower_)).sum()))
        return searched(parts, model, *arguments, **options)

    monkeypatch.setattr(Parts, "_solved", solved)
    for gaps in (4.0, math.inf):
        _, around, incumbent = _places_of(random_knapsack(4, items=12))
        incumbent.gap = 0.01
        bare = around.bare()
        assert bare is not None
        incumbent.offer(bare[1])
        parts, program = around.parts, around.program
        most = program.solve(program.lower.copy(), program.upper.copy())
        assert most is not None
        above = most - gaps * incumbent.gap * abs(most)
        parts.search(program.lower, program.upper.copy(), 10, dear=0.5, above=above)
    assert widest[0] == widest[1] < 12


def test_places_of_a_forbidden_solution_are_planned_anew() -> None:
    """Round the best solution, now forbidden: one place is packed otherwise, the rest as it was."""
    knapsack = random_knapsack(2, items=12)
    problem = knapsack.problem()
    solve(problem)
    variables = problem.variables()
    before = np.array([round(value_of(v)) for v in variables])
    chosen = [v for v in variables if value_of(v) > 0.5]
    problem += lpSum(chosen) <= len(chosen) - 1, "not_these"
    places = [0] * 6 + [1] * 6
    guide = Guide(bundles=[[v.name] for v in variables], places=places)
    program = Program(problem, guide, 0)
    watch = SearchMonitor(None)
    incumbent = Incumbent(program, watch, 0.0, math.inf)
    parts = Parts(program, incumbent, Probes(program, watch), demanding=True)
    next(Neighbourhoods(program, parts).vary(before.astype(float), 1, math.inf))
    assert incumbent.values is not None
    changed = np.flatnonzero(np.abs(incumbent.values - before) > 0.5)
    assert len({places[index] for index in changed}) == 1
    alone = []
    for open_place in (0, 1):
        for variable, place, value in zip(variables, places, before, strict=True):
            held = place != open_place
            variable.lowBound, variable.upBound = (value, value) if held else (0, 1)
        alone.append(solve(problem).objective or 0.0)
    best = max(alone) if knapsack.maximise else min(alone)
    assert program.gain(incumbent.best) == pytest.approx(best)


def test_a_brief_search_looks_around_earlier_solutions_first(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """With places of an earlier solution to plan anew it is over without the whole relaxation,
    which it solves where there is nothing to start from: and sees that there is no solution."""
    monkeypatch.setattr(exploration, "LARGE", 0)
    knapsack = random_knapsack(2, items=12)
    problem = knapsack.problem()
    variables = problem.variables()
    names = [[v.name] for v in variables]
    guide, memory = Guide(bundles=names, places=[0] * 6 + [1] * 6), Memory()
    explore(problem, guide, memory, gap=0.0)
    chosen = [v for v in variables if value_of(v) > 0.5]
    problem += lpSum(chosen) <= len(chosen) - 1, "not_these"
    roots: list[float] = []
    whole = Program.solve_root

    def solve_root(program: Program, seconds: float) -> float | None:
        roots.append(seconds)
        return whole(program, seconds)

    monkeypatch.setattr(Program, "solve_root", solve_root)
    found = explore(problem, guide, memory, gap=0.0, prove=False)
    assert found.objective is not None
    assert found.objective <= knapsack.best()
    assert not roots
    problem += lpSum(variables) >= len(variables) + 1, "more_than_there_are"
    assert explore(problem, guide, memory, gap=0.0, prove=False).status == "infeasible"
    assert len(roots) == 1


@pytest.mark.parametrize("seed", range(6))
def test_of_several_the_first_is_the_best_where_that_is_soon_proved(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A small problem is proved to a tenth of the gap asked for where more are to come, and the
    tree goes on under the gap itself where that is dear."""
    _force("tree", monkeypatch)
    knapsack = random_knapsack(seed, items=12, rows=3)
    gaps = []
    for most in (exploration.DEEP_NODES, 0):
        monkeypatch.setattr(exploration, "DEEP_NODES", most)
        problem = knapsack.problem()
        outcome = explore(problem, _guide(problem), Memory(), gap=0.1, deep=True)
        assert outcome.objective is not None
        assert outcome.bound is not None
        sign = 1.0 if knapsack.maximise else -1.0
        assert sign * outcome.bound >= sign * knapsack.best() - 1e-6
        gaps.append(abs(outcome.bound - outcome.objective) / abs(outcome.objective))
    assert gaps[0] <= DEEP * 0.1 + 1e-9
    assert gaps[1] <= 0.1 + 1e-9


def test_a_proof_goes_on_beyond_the_gap_where_that_is_cheap(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What HiGHS has to prove it proves to a tenth of the gap asked for, and the bound holds."""
    _force("HiGHS", monkeypatch)
    monkeypatch.setattr(exploration, "LARGE", 0)
    whole, proofs = Parts.search_all, []

    def search_all(parts: Parts, *bounds: Any) -> bool:
        proofs.append(bounds)
        return whole(parts, *bounds)

    monkeypatch.setattr(Parts, "search_all", search_all)
    for seed in range(12):
        knapsack = random_knapsack(seed, items=12, rows=3)
        problem, before = knapsack.problem(), len(proofs)
        outcome = explore(problem, _guide(problem), Memory(), gap=0.02, deep=True)
        assert outcome.objective is not None
        assert outcome.bound is not None
        sign = 1.0 if knapsack.maximise else -1.0
        assert sign * outcome.bound >= sign * knapsack.best() - 1e-6
        if len(proofs) > before:
            allowed = 0.02 * DEEP * abs(outcome.objective)
            assert abs(outcome.bound - outcome.objective) <= allowed + 1e-6
    assert len(proofs) >= 4


def test_a_deeper_proof_looks_at_all_that_the_first_one_left_out(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What cannot exceed the gap asked for is left out of the proof to that gap, but may exceed
    what a deeper one ends at: its bound holds for that as well."""
    _force("HiGHS", monkeypatch)
    monkeypatch.setattr(exploration, "LARGE", 0)
    # So that the first proof ends before it comes to anything.
    monkeypatch.setattr(exploration, "FEW_STEPS", 0)
    for seed in range(50):
        knapsack = random_knapsack(seed, items=14, rows=3)
        problem = knapsack.problem()
        sign = 1.0 if knapsack.maximise else -1.0
        for gap in (0.05, 0.1):
            outcome = explore(problem, _guide(problem), Memory(), gap=gap, deep=True)
            assert outcome.bound is not None
            assert sign * outcome.bound >= sign * knapsack.best() - 1e-6


def test_a_poor_solution_that_lacks_what_is_wanted_makes_way_for_one_that_has_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of two baskets, each worth something alone, the search is led into the poorer one: its kernel
    has nothing else, and no place planned anew changes baskets. Asked for what the other has, it
    finds that, without a proof; and the bounds are as before."""
    _force("places anew, then HiGHS", monkeypatch)
    monkeypatch.setattr(exploration._Search, "_prove", lambda self, large: None)
    found, lower = {}, []
    whole = exploration._Search._ask

    def ask(search: Any) -> None:
        # As a kernel and places leave it: the poorer basket alone.
        poor = np.array([float(v.name.startswith("b")) for v in search.program.variables])
        search.incumbent.best, search.incumbent.values = -math.inf, None
        search.incumbent.offer(poor)
        before = search.program.lower.copy()
        whole(search)
        lower.append((before, search.program.lower))

    monkeypatch.setattr(exploration._Search, "_ask", ask)
    for wanted in ([], ["a_0"]):
        problem = new_problem("baskets", maximise=True)
        a, b = ([problem.add_variable(f"{n}_{i}", cat="Binary") for i in range(6)] for n in "ab")
        problem += 10 * lpSum(a) + 8 * lpSum(b)
        for x in a:
            for y in b:
                problem += x + y <= 1
        # So that the relaxation is no solution.
        problem += lpSum(a) <= 5.5
        names = [v.name for v in problem.variables()]
        guide = Guide(
            bundles=[[n] for n in names], places=[int(n[-1]) for n in names], wanted=wanted
        )
        outcome = explore(problem, guide, Memory(), gap=0.001, deep=True)
        found[bool(wanted)] = outcome.objective
    assert found == pytest.approx({False: 48.0, True: 50.0})
    assert all((before == after).all() for before, after in lower)

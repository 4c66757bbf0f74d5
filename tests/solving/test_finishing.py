"""A tree that branches on what decides most, and leaves the rest to HiGHS."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.solving.search import parts
from optimizer.solving.search.guide import Guide
from optimizer.solving.search.incumbent import Incumbent
from optimizer.solving.search.monitor import SearchMonitor
from optimizer.solving.search.parts import Parts
from optimizer.solving.search.probes import Probes
from optimizer.solving.search.program import Floats, Program
from optimizer.solving.search.tree import Finish, Tree
from tests.solving.models import Knapsack, random_knapsack

ITEMS = 12


class _Search:
    """The pieces of a search of a knapsack of which every third thing leads."""

    def __init__(self, knapsack: Knapsack, gap: float, seconds: float | None = None) -> None:
        problem = knapsack.problem()
        ranks = {v.name: int(n % 3 > 0) for n, v in enumerate(problem.variables())}
        self.watch = SearchMonitor(seconds)
        self.program = Program(problem, Guide(ranks=ranks, leading=0), 0)
        self.incumbent = Incumbent(self.program, self.watch, gap, math.inf)
        self.parts = Parts(
            self.program, self.incumbent, Probes(self.program, self.watch), demanding=False
        )
        self.finished: list[float | None] = []

    def run(self, finish: Finish) -> Tree:
        """Branch to the end."""

        def counted(lower: Floats, upper: Floats, elsewhere: float) -> float | None:
            """`finish`, and what it gave."""
            self.finished.append(finish(lower, upper, elsewhere))
            return self.finished[-1]

        tree = self.begun(counted)
        tree.run(10**6)
        return tree

    def begun(self, finish: Finish) -> Tree:
        """The tree at its root."""
        tree = Tree(self.program, self.incumbent, finish, self.program.leading)
        root = self.program.solve_root(math.inf)
        assert root is not None
        self.incumbent.lower_bound_to(root)
        tree.start(root)
        return tree


@given(st.integers(0, 10_000), st.sampled_from([0.0, 0.02, 0.2]), st.booleans())
def test_it_proves_what_trying_everything_does(seed: int, gap: float, stopped: bool) -> None:
    """Its bound holds and its solution is within the gap of it; also where what is left cannot be
    finished, which the tree then branches on itself."""
    knapsack = random_knapsack(seed, items=ITEMS, rows=3)
    search = _Search(knapsack, gap)
    tree = search.run((lambda _, __, ___: None) if stopped else search.parts.finish)
    incumbent, best = search.incumbent, search.program.gain(knapsack.best())
    assert tree.exhausted or incumbent.settled
    assert incumbent.best - 1e-6 <= best <= incumbent.bound + 1e-6
    assert incumbent.bound <= incumbent.best + gap * max(1.0, abs(incumbent.best)) + 1e-6


def test_only_what_leads_is_branched_on() -> None:
    """The rest is left to be finished wherever what leads is whole."""
    finished = 0
    for seed in range(10):
        search = _Search(random_knapsack(seed, items=ITEMS, rows=3), 0.0)
        leading = search.program.leading.copy()
        tree = search.run(search.parts.finish)
        finished += len(search.finished)
        assert not tree.costs._seen[:, ~leading].any()
    assert finished > 0


@pytest.mark.parametrize("seed", range(4))
def test_a_part_is_bounded_by_what_is_in_it(seed: int) -> None:
    """Nothing within the bounds exceeds what is told of them, and the best of it is taken."""
    knapsack = random_knapsack(seed, items=ITEMS, rows=3)
    search = _Search(knapsack, 0.0)
    program = search.program
    lower, upper = program.lower.copy(), program.upper.copy()
    upper[program.column["pick_0"]], lower[program.column["pick_1"]] = 0.0, 1.0
    bound = search.parts.finish(lower, upper, math.inf)
    inside = [s for s in knapsack.solutions() if not s["pick_0"] and s["pick_1"]]
    best = max(program.gain(knapsack.value(s)) for s in inside)
    assert bound == pytest.approx(best)
    assert search.incumbent.best == pytest.approx(best)
    # Under what is good enough nothing is looked for, and the bound says no more.
    again = search.parts.finish(lower, upper, math.inf)
    assert again == pytest.approx(search.incumbent.target)


def test_a_part_without_solutions_is_told_of() -> None:
    """No bound but what was good enough before, and nothing is taken."""
    search = _Search(random_knapsack(1, items=ITEMS), 0.0)
    lower = np.maximum(search.program.lower, 1.0)
    assert search.parts.finish(lower, search.program.upper, math.inf) == -math.inf
    assert search.incumbent.values is None


def test_a_part_is_left_when_the_time_is_over() -> None:
    """It is then neither bounded nor dropped."""
    search = _Search(random_knapsack(1, items=ITEMS, rows=3), 0.0, seconds=0.0)
    program = search.program
    assert search.parts.finish(program.lower, program.upper, math.inf) is None


@pytest.mark.parametrize("further", [0, 10**6])
def test_a_part_is_searched_further_than_asked_for_but_a_little(
    further: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Once what was asked for is proved, steps are counted; the bound holds wherever it ends."""
    monkeypatch.setattr(parts, "PARTS_STEPS", further)
    monkeypatch.setattr(parts, "FURTHER_SHARE", 0.0)
    deep = 0
    for seed in range(12):
        knapsack = random_knapsack(seed, items=ITEMS, rows=3)
        search = _Search(knapsack, 0.5)
        program, best = search.program, search.program.gain(knapsack.best())
        values = np.zeros(program.size)
        solutions = sorted(knapsack.solutions(), key=lambda s: program.gain(knapsack.value(s)))
        for name, value in solutions[-1].items():
            values[program.column[name]] = value
        search.incumbent.offer(values)
        with search.incumbent.stricter():
            bound = search.parts.finish(program.lower, program.upper, -math.inf)
            assert bound is not None
            assert bound >= best - 1e-6
            deep += bound <= search.incumbent.target + 1e-6
    assert deep == 12 if further else deep < 12


@given(st.integers(0, 10_000), st.integers(1, 5), st.integers(0, 60))
def test_what_leads_is_whole_in_the_best_nodes(seed: int, number: int, most: int) -> None:
    """Their bounds leave it whole in the relaxation, best first, and the bound of all holds."""
    knapsack = random_knapsack(seed, items=ITEMS, rows=3)
    search = _Search(knapsack, 0.0)
    program = search.program
    tree = search.begun(search.parts.finish)
    root = search.incumbent.bound
    nodes = tree.lead(number, most)
    assert len(nodes) <= number
    assert not search.finished
    gains = []
    for lower, upper in nodes:
        gain = program.solve(lower, upper)
        assert gain is not None
        assert not program.leading[program.fractional()].any()
        gains.append(gain)
    assert gains == pytest.approx(sorted(gains, reverse=True))
    best = program.gain(knapsack.best())
    assert best - 1e-6 <= search.incumbent.bound <= root + 1e-9
    # Where all fit into the nodes allowed, the best one bounds the whole.
    if gains and most == 60 and not tree.exhausted:
        assert search.incumbent.bound >= gains[0] - 1e-6
    # Nothing was lost on the way: the tree still ends at the optimum.
    tree.run(10**6)
    assert search.incumbent.best == pytest.approx(best)
    assert search.incumbent.bound == pytest.approx(best)


def test_a_search_afresh_keeps_the_better_solution_and_remembers_both() -> None:
    """Whichever of the two it is; the best one is the last of those remembered."""
    search = _Search(random_knapsack(0, items=ITEMS), 0.0)
    incumbent, none = search.incumbent, np.zeros(search.program.size)
    one = none.copy()
    one[search.program.column["pick_0"]] = 1.0
    incumbent.offer(none)
    for other in (one, none):
        before = incumbent.best
        with incumbent.afresh():
            assert incumbent.values is None
            assert incumbent.offer(other)
        assert incumbent.best >= before
    assert [float(values[search.program.column["pick_0"]]) for values in incumbent.history] == [
        0.0,
        0.0,
        1.0,
    ]
    assert incumbent.values is not None
    assert incumbent.values[search.program.column["pick_0"]] == 1.0

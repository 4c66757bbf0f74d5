"""Solutions handed out while a search goes on: feasible, under their bound, of no influence."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.solving import Guide, Memory, Outcome, explore, value_of
from optimizer.solving.search import exploration, kernel, provisional
from tests.solving.models import Knapsack, random_knapsack


@pytest.fixture(autouse=True)
def _small_is_large(monkeypatch: pytest.MonkeyPatch) -> None:
    """Small problems are searched as large ones are, and handed out."""
    monkeypatch.setattr(provisional, "LEAST", 0)
    monkeypatch.setattr(exploration, "LARGE", 0)
    monkeypatch.setattr(exploration, "MOST_WORK", 0)
    monkeypatch.setattr(kernel, "SMALL", 0)


def _explored(
    knapsack: Knapsack, *, watched: bool
) -> tuple[Outcome, tuple[Any, ...], list[tuple[float, float]]]:
    """Outcome and values of a search, with objective and bound of each solution handed out."""
    problem = knapsack.problem()
    seen: list[tuple[float, float]] = []

    def take(bound: float) -> None:
        chosen = {v.name: round(v.value()) for v in problem.variables()}
        assert chosen in knapsack.solutions()
        assert value_of(problem.objective) == pytest.approx(knapsack.value(chosen))
        seen.append((value_of(problem.objective), bound))
        for variable in problem.variables():
            # Whoever looks at a solution may leave anything in the variables.
            variable.varValue = None

    names = [v.name for v in problem.variables()]
    places = [number % 3 for number in range(len(names))]
    guide = Guide(ranks={}, bundles=[[name] for name in names], places=places)
    outcome = explore(problem, guide, Memory(), gap=0.0, on_solution=take if watched else None)
    return outcome, tuple(v.value() for v in problem.variables()), seen


@pytest.mark.parametrize("seed", range(8))
def test_handing_out_changes_nothing_and_tells_the_truth(seed: int) -> None:
    """The same answer after the same nodes; each solution better than the one before, none better
    than the best, and the best within every bound told."""
    knapsack = random_knapsack(seed, items=14, rows=3)
    alone, values, _ = _explored(knapsack, watched=False)
    outcome, same, seen = _explored(knapsack, watched=True)
    ends = [(o.status, o.objective, o.bound, o.nodes) for o in (alone, outcome)]
    assert ends[0] == ends[1]
    assert values == same
    sign = 1 if knapsack.maximise else -1
    gains = [sign * objective for objective, _ in seen]
    assert gains == sorted(set(gains))
    assert len(gains) <= provisional.MOST
    assert all(sign * bound >= sign * knapsack.best() - 1e-6 for _, bound in seen)


def test_some_are_handed_out() -> None:
    """Of eight knapsacks most take long enough for it."""
    drawn = [random_knapsack(seed, items=14, rows=3) for seed in range(8)]
    seen = [_explored(knapsack, watched=True)[2] for knapsack in drawn]
    assert sum(map(bool, seen)) >= 4


def test_small_problems_hand_out_none(monkeypatch: pytest.MonkeyPatch) -> None:
    """They are solved as soon."""
    monkeypatch.setattr(provisional, "LEAST", 15)
    drawn = [random_knapsack(seed, items=14, rows=3) for seed in range(8)]
    seen = [_explored(knapsack, watched=True)[2] for knapsack in drawn]
    assert not any(seen)

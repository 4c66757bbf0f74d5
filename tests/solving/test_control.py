"""Progress, cancelling, starts, determinism and threads."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from optimizer.solving import Guide, Memory, Outcome, explore, lp_relaxation, solve
from tests.solving.models import market_split, random_knapsack

TASKS = Path("/proc/self/task")


def test_progress_comes_in_the_sense_of_the_problem() -> None:
    """Incumbents of a maximisation rise to the outcome's, bounds never fall below them."""
    seen: list[tuple[float, float]] = []
    outcome = solve(
        market_split(maximise=True), time_limit=0.6, on_progress=lambda *pair: seen.append(pair)
    )
    incumbents = [incumbent for incumbent, _ in seen]
    assert incumbents == sorted(incumbents)
    assert incumbents[-1] == pytest.approx(outcome.objective)
    assert all(bound >= incumbent for incumbent, bound in seen)
    assert len(set(seen)) == len(seen)


def test_cancel_keeps_the_best_so_far() -> None:
    """Asking to stop ends the search soon, with its incumbent and status 'cancelled'."""
    started = time.perf_counter()
    outcome = solve(
        market_split(),
        time_limit=30,
        should_stop=lambda: time.perf_counter() - started > 0.3,
    )
    assert outcome.status == "cancelled"
    assert outcome.objective is not None
    assert outcome.bound == pytest.approx(0.0, abs=1e-6)
    assert time.perf_counter() - started < 5


def test_cancelled_before_it_starts() -> None:
    """A stop asked for at once is a cancelled outcome, not an error."""
    assert solve(market_split(), should_stop=lambda: True).status == "cancelled"


class _BoomError(Exception):
    """Something that goes wrong in a caller's hook."""


def test_hook_errors_come_out() -> None:
    """What a hook raises is raised by solve, after the solver has stopped."""

    def boom(*_: float) -> None:
        raise _BoomError

    with pytest.raises(_BoomError):
        solve(market_split(), time_limit=20, on_progress=boom)


def test_keyboard_interrupt_comes_out() -> None:
    """Ctrl-C in a hook ends the solve as Ctrl-C."""

    def interrupted() -> bool:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        solve(market_split(), time_limit=20, should_stop=interrupted)


def test_one_seed_one_answer() -> None:
    """The same seed and threads give the same solution and the same search."""

    def run(seed: int) -> tuple[Outcome, list[float]]:
        problem = market_split(stores=16, products=3)
        outcome = solve(problem, seed=seed, threads=2)
        return outcome, [variable.value() for variable in problem.variables()]

    (first, values), (second, again) = run(3), run(3)
    assert values == again
    assert (first.objective, first.nodes) == (second.objective, second.nodes)
    assert run(4)[0].objective == pytest.approx(first.objective, abs=1e-6)


@pytest.mark.parametrize("threads", [1, 2, 1])
def test_thread_count_may_change(threads: int) -> None:
    """HiGHS refuses another number of threads in one process; here it is taken."""
    case = random_knapsack(5)
    assert solve(case.problem(), threads=threads).objective == pytest.approx(case.best())


def test_solves_side_by_side() -> None:
    """Two threads solving at once, with different thread counts, do not disturb each other."""
    cases = [random_knapsack(20 + k, items=12) for k in range(4)]
    found: dict[int, float | None] = {}

    def run(k: int) -> None:
        found[k] = solve(cases[k].problem(), threads=1 + k % 2).objective

    workers = [threading.Thread(target=run, args=(k,)) for k in range(4)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert found == {k: pytest.approx(case.best()) for k, case in enumerate(cases)}


def _threads() -> set[str]:
    return {task.name for task in TASKS.iterdir()}


def _left_behind(run: Callable[[Any], Outcome]) -> int:
    """Threads of this process that are new after a solve: HiGHS keeps its own for the next."""
    counts: list[set[str]] = []

    def solved() -> None:
        counts.append(_threads())
        run(random_knapsack(5).problem())
        counts.append(_threads())

    # In a thread of its own, which no solve before has left any to.
    worker = threading.Thread(target=solved)
    worker.start()
    worker.join()
    # By name: those of earlier solves may end meanwhile.
    return len(counts[1] - counts[0])


@pytest.mark.skipif(not TASKS.is_dir(), reason="threads are counted as Linux tells them")
def test_small_problems_are_solved_on_one_thread() -> None:
    """A second one costs work and saves no time; it is there where it is asked for."""
    assert _left_behind(lambda problem: solve(problem, threads=2)) == 1
    assert _left_behind(solve) == 0
    assert _left_behind(lp_relaxation) == 0
    assert _left_behind(lambda problem: explore(problem, Guide(), Memory(), gap=0.0)) == 0


def test_warm_start_is_taken_but_does_not_bind() -> None:
    """A start gives the first incumbent; a bad one is improved on."""
    problem = market_split(maximise=False, stores=14, products=3)
    best = solve(problem)
    first: list[float] = []
    again = solve(problem, warm_start=True, on_progress=lambda value, _: first.append(value))
    assert again.objective == pytest.approx(best.objective, abs=1e-6)
    assert first[:1] == [pytest.approx(best.objective, abs=1e-6)]
    for variable in problem.variables():
        variable.varValue = 0.0
    assert solve(problem, warm_start=True).objective == pytest.approx(best.objective, abs=1e-6)


def test_without_time_for_the_relaxation_nothing_is_claimed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A problem whose relaxation takes too long is not called impossible, however late it is."""
    monkeypatch.setattr("optimizer.solving.search.exploration.LATE_ROOT_S", 0.0)
    for late in (False, True):
        problem = random_knapsack(5).problem()
        outcome = explore(problem, Guide(), Memory(), gap=0.0, time_limit=0.0, late=late)
        assert (outcome.status, outcome.objective, outcome.bound) == ("time_limit", None, None)

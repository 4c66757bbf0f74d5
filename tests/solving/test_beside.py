"""Several parts of a problem searched at once: as if one after another."""

from __future__ import annotations

import math
import threading
import time
from typing import Any

import highspy
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pulp import lpSum

from optimizer.solving import Guide, new_problem
from optimizer.solving.backends.highs import SolveLimits, quiet_copy
from optimizer.solving.search import monitored_run
from optimizer.solving.search.incumbent import Incumbent
from optimizer.solving.search.monitor import SearchMonitor
from optimizer.solving.search.neighbourhoods import Neighbourhoods, _take_all
from optimizer.solving.search.parts import Part, Parts
from optimizer.solving.search.probes import Probes
from optimizer.solving.search.program import Program
from tests.solving.models import random_knapsack

THINGS = 12
PLACES = 4


def _parts(problem: Any, watch: SearchMonitor | None = None) -> Parts:
    """A problem of 12 variables in four places, to be searched."""
    names = [v.name for v in problem.variables()]
    places = [index * PLACES // len(names) for index in range(len(names))]
    program = Program(problem, Guide(bundles=[[name] for name in names], places=places), 0)
    watch = watch or SearchMonitor(None)
    incumbent = Incumbent(program, watch, 0.0, math.inf)
    return Parts(program, incumbent, Probes(program, watch), demanding=False)


def _one_place_each(parts: Parts) -> list[Part]:
    """Parts in each of which one place alone is open, the others empty."""
    made = []
    for place in range(PLACES):
        upper = parts.program.upper.copy()
        upper[parts.program.places != place] = 0.0
        made.append(Part(parts.program.lower.copy(), upper, -math.inf))
    return made


@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 400))
def test_each_finds_what_it_finds_alone(seed: int) -> None:
    """The same solutions, in the order of the parts, on any number of processors."""
    parts = _parts(random_knapsack(seed, items=THINGS).problem())
    asked = _one_place_each(parts)
    alone = [found for part in asked for found in parts.search_beside([part], 1000)]
    gains = [gain for gain, _ in alone]
    for few in (1, 2, 8):
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(monitored_run, "processors", lambda few=few: few)
            beside = parts.search_beside(asked, 1000)
        assert [gain for gain, _ in beside] == pytest.approx(gains)
        for (_, one), (_, other) in zip(alone, beside, strict=True):
            assert one == pytest.approx(other)


def test_only_what_is_better_is_told() -> None:
    """Where nothing beats the solution in hand, HiGHS gives it back."""
    parts = _parts(random_knapsack(3, items=THINGS).problem())
    incumbent, asked = parts.incumbent, _one_place_each(parts)
    best = max(parts.search_beside(asked, 1000), key=lambda found: found[0])
    assert incumbent.take(*best)
    assert parts.search_beside(asked, 1000) == []


def test_what_one_raises_ends_all_and_is_kept() -> None:
    """It cannot pass through the solver's own code."""
    watch = SearchMonitor(None)
    mixed = _parts(_hard(), watch).program.mixed
    models = [quiet_copy(mixed, SolveLimits()) for _ in range(2)]

    def fails(_: Any) -> bool:
        raise RuntimeError("on a thread")

    monitored_run.run_beside([(model, fails) for model in models], watch)
    assert str(watch.raised) == "on a thread"


def test_only_the_calling_thread_is_asked_whether_to_stop() -> None:
    """Who asks to stop may hold what belongs to a thread, a database say; all then end soon."""
    asked: set[int] = set()

    def stop() -> bool:
        asked.add(threading.get_ident())
        return True

    watch = SearchMonitor(60.0, stop)
    parts = _parts(_hard(), watch)
    began = time.monotonic()
    parts.search_beside([Part(parts.program.lower, parts.program.upper, -math.inf)] * 2, 10**8)
    assert watch.ended == "cancelled"
    assert asked == {threading.get_ident()}
    # Unstopped it runs for minutes; the limit is a wide margin, not a speed that is asked for.
    assert time.monotonic() - began < 30.0


def _hard() -> Any:
    """A market split problem (Cornuejols and Dawande, "A class of hard small 0-1 programs", IPCO
    1998), which branch and cut takes minutes to close."""
    random = np.random.default_rng(1)
    problem = new_problem("split", maximise=False)
    things = [problem.add_variable(f"x{i:02}", cat="Binary") for i in range(40)]
    slacks = []
    for row in range(5):
        weights = random.integers(0, 100, 40)
        over, under = (problem.add_variable(f"{side}{row}", lowBound=0) for side in ("s", "t"))
        slacks += [over, under]
        told = lpSum(int(w) * x for w, x in zip(weights, things, strict=True)) + over - under
        problem += told == int(weights.sum() // 2), f"row{row}"
    problem.setObjective(lpSum(slacks))
    return problem


@pytest.mark.parametrize(("room", "gain"), [(2, 4.0 + 3.0), (1, 4.0)])
def test_what_goes_together_of_two_improvements_is_taken(room: int, gain: float) -> None:
    """The better one first, and what the other changes where there is room for both."""
    problem = new_problem("places", maximise=True)
    things = [problem.add_variable(f"x{i:02}", cat="Binary") for i in range(PLACES)]
    problem += lpSum(things) <= room, "room"
    problem.setObjective(lpSum((index + 1) * x for index, x in enumerate(things)))
    parts = _parts(problem)
    incumbent, nothing = parts.incumbent, np.zeros(PLACES)
    incumbent.offer(nothing)
    _take_all(incumbent, nothing, [(float(i + 1), np.eye(PLACES)[i]) for i in (2, 3)])
    assert parts.program.gain(incumbent.best) == pytest.approx(gain)


def test_pairs_planned_anew_lead_to_the_best() -> None:
    """As many of the dearest things as there is room for, two places open at a time."""
    problem = new_problem("pairs", maximise=True)
    things = [problem.add_variable(f"x{i:02}", cat="Binary") for i in range(PLACES)]
    problem += lpSum(things) <= PLACES - 1, "room"
    problem.setObjective(lpSum((index + 1) * x for index, x in enumerate(things)))
    parts = _parts(problem)
    parts.incumbent.offer(np.zeros(PLACES))
    list(Neighbourhoods(parts.program, parts).improve(parts.incumbent, 2))
    assert parts.program.gain(parts.incumbent.best) == pytest.approx(2.0 + 3.0 + 4.0)


def test_models_for_other_numbers_of_threads_run_one_after_another() -> None:
    """HiGHS's scheduler, one for each thread, follows the model."""
    mixed = _parts(random_knapsack(3, items=THINGS).problem()).program.mixed
    watch = SearchMonitor(None)
    for threads in (1, 2, 1):
        model = quiet_copy(mixed, SolveLimits(threads=threads))
        monitored_run.run_watched(model, watch, lambda _: False)
        assert model.getModelStatus() == highspy.HighsModelStatus.kOptimal


@pytest.mark.parametrize(("again", "kept"), [(None, 5.0), (6.0, 6.0)])
def test_a_run_repeated_for_more_costs_nothing_found(
    again: float | None, kept: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where HiGHS claims more than its solution is worth it runs again, and may be stopped before
    it finds anything."""
    parts = _parts(random_knapsack(3, items=THINGS).problem())
    model = quiet_copy(parts.program.mixed, SolveLimits())
    monitored_run.run_watched(model, parts.incumbent.watch, lambda _: False)
    told = [None if gain is None else (gain, np.zeros(THINGS)) for gain in (5.0, again)]
    monkeypatch.setattr(parts, "_read", lambda _: told.pop(0))
    monkeypatch.setattr(parts.program, "gain_of", lambda _: 7.0)
    found = parts._found(model, -math.inf, lambda _: True)
    assert told == []
    assert found is not None
    assert found[0] == kept

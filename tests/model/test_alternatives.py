"""Ranked alternatives: each proof holds, and infeasibility proves that nothing is left."""

from __future__ import annotations

import itertools
import math
import time
from itertools import combinations, pairwise
from typing import Any

import highspy
import numpy as np
import pytest

from optimizer.checking import check_layout
from optimizer.domain.layout import Bay, Layout
from optimizer.model.formulation import Formulation
from optimizer.model.search import rounds
from optimizer.model.search.alternatives import Ended, Found, Search
from optimizer.model.search.rounds import Reserve, Times, alternatives
from optimizer.model.search.search_guide import guide_of
from optimizer.scoring.distance import distance, portrait_of, room_images
from optimizer.solving import Outcome, solve
from optimizer.solving.backends.problem import row_names
from optimizer.solving.search.incumbent import Incumbent
from optimizer.solving.search.monitor import SearchMonitor
from optimizer.solving.search.program import Program
from optimizer.solving.search.splitting import Splitting
from optimizer.solving.search.tree import Tree
from tests.model.rooms import PATIENCE_S, Raw, brief_of
from tests.ready_briefs import load_scenario

NEEDS: Raw = {"long_hang": 24, "short_hang": 40, "shelf_length": 60}
BOX = {"id": "box", "width": 14, "depth": 12, "height": 12, "place": "any", "count": 2}


def _all(search: Search, least: float) -> list[Found | Ended]:
    return list(alternatives(search, Times(time.monotonic() + PATIENCE_S), least=least))


@pytest.mark.parametrize("least", [0.1, 0.3, 0.6])
@pytest.mark.parametrize("needs", [NEEDS, {**NEEDS, "items": [BOX]}], ids=["plain", "items"])
def test_layouts_keep_the_distance_the_proof_speaks_of(least: float, needs: Raw) -> None:
    """Every pair is `least` apart before rounding, scores fall, and none is below the floor."""
    options = {"alternatives": 4, "max_quality_loss": 0.3, "gap": 0.01}
    search = Search(brief_of([66], needs, options=options))
    found = [result for result in _all(search, least) if isinstance(result, Found)]
    assert len(found) >= 2
    scores = [result.outcome.objective or 0.0 for result in found]
    bounds = [result.outcome.bound or 0.0 for result in found]
    for score, bound in combinations(range(len(found)), 2):
        assert scores[bound] <= bounds[score] + 1e-6
    assert min(scores) >= 0.7 * scores[0] - 1e-6
    rounding = 2 * search.rules.grid * max(len(result.bays) for result in found) / 66
    for one, other in combinations(found, 2):
        apart = distance(portrait_of(one.bays), portrait_of(other.bays), search.brief, search.walls)
        assert apart >= least - rounding


def test_half_a_piece_here_and_half_there_is_no_way_out() -> None:
    """Where the flag of what lacks of an item's pieces is set, even the relaxation lacks a whole
    one; where it is not, none."""
    search = Search(brief_of([66], {**NEEDS, "items": [BOX]}))
    first = search.next(time.monotonic() + PATIENCE_S)
    assert isinstance(first, Found)
    search.keep_away(first.bays, 0.3, 0)
    problem, chords = search.model.problem, [c for c in search._chords if c.short < c.had]
    program = Program(problem, guide_of(search.model, search.tallies, search._chords), 0)
    assert {chord.had for chord in chords} == {2.0}
    relaxed = program.mixed
    size = program.size
    everything = np.arange(size, dtype=np.int32)
    continuous = np.full(size, highspy.HighsVarType.kContinuous)
    relaxed.changeColsIntegrality(size, everything, continuous)
    sign = 1.0 if str(relaxed.getObjectiveSense()[1]).endswith("kMaximize") else -1.0
    for chord in chords:
        flag, amount = program.column[chord.flag], program.column[chord.amount]
        for set_, most in ((1.0, chord.short), (0.0, -chord.had)):
            relaxed.changeColBounds(flag, set_, set_)
            costs = np.zeros(size)
            costs[amount] = sign if set_ else -sign
            relaxed.changeColsCost(size, everything, costs)
            relaxed.run()
            assert relaxed.getModelStatus() == highspy.HighsModelStatus.kOptimal
            told = relaxed.getSolution().col_value[amount]
            assert (told if set_ else -told) <= most + 1e-6
        relaxed.changeColBounds(flag, 0.0, 1.0)


def test_which_of_two_facing_walls_is_deep_splits_the_problem() -> None:
    """Between walls too near for deep bays on both, the relaxation has half of them on either side;
    with that decided, its bound comes down to the best layout."""
    search = Search(load_scenario("seated-user"))
    guide = guide_of(search.model, search.tallies, [])
    assert set(guide.splits) == {flag.name for flag in search.model.flags.values()}
    program = Program(search.model.problem, guide, 0)
    incumbent = Incumbent(program, SearchMonitor(None), 0.005, math.inf)
    tree = Tree(program, incumbent, lambda _, __, ___: None, program.splits)
    splitting, root = Splitting(program, tree), program.solve_root(math.inf)
    assert root is not None
    tree.start(root)
    splitting.begin(root, 0.005)
    best = search.next(time.monotonic() + PATIENCE_S).outcome.objective
    assert best is not None
    assert splitting.parts
    assert best <= incumbent.bound <= 1.005 * best < 1.05 * best < root
    assert splitting.tells(1.005 * best)
    assert not splitting.tells(0.5 * best)


@pytest.mark.parametrize("needs", [NEEDS, {**NEEDS, "items": [BOX]}], ids=["plain", "items"])
def test_no_alternative_is_a_mirror_image(needs: Raw) -> None:
    """Round a corner of two equal walls every layout keeps away from the image of another too."""
    least, walls = 0.25, [40, 40]
    search = Search(brief_of(walls, needs, options={"alternatives": 3, "gap": 0.01}))
    found = [result for result in _all(search, least) if isinstance(result, Found)]
    assert len(found) >= 2
    ground = room_images(search.brief, search.walls)
    assert len(ground.images) == 2
    rounding = 2 * search.rules.grid * max(len(result.bays) for result in found) / sum(walls)
    for one, other in combinations(found, 2):
        for image in ground.imaged(portrait_of(one.bays)):
            apart = distance(image, portrait_of(other.bays), search.brief, search.walls)
            assert apart >= least - rounding


def test_no_loss_allowed_and_far_apart_ends_with_a_proof() -> None:
    """Where nothing as good is that different, the search ends as infeasible."""
    options = {"alternatives": 5, "max_quality_loss": 0.0}
    search = Search(brief_of([40], {"long_hang": 30}, options=options))
    results = _all(search, 0.9)
    assert isinstance(results[0], Found)
    assert isinstance(results[-1], Ended)
    assert results[-1].outcome.status == "infeasible"


def test_an_alternative_scores_no_more_with_more_distance_asked() -> None:
    """The second layout's optimum falls as the least distance grows."""
    scores = []
    for least in (0.05, 0.2, 0.5, 0.8):
        options = {"alternatives": 2, "max_quality_loss": 1.0}
        search = Search(brief_of([60], NEEDS, options=options))
        second = _all(search, least)[1]
        scores.append(second.outcome.objective or 0.0)
    assert all(a >= b - 1e-4 for a, b in pairwise(scores))


@pytest.mark.parametrize("needs", [NEEDS, {**NEEDS, "items": [BOX]}], ids=["plain", "items"])
def test_rows_between_flags_leave_out_no_layout(
    needs: Raw, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Far from three layouts that are near to each other, the best is as good with the rows that
    tie the flags of distance to each other as without them."""
    options = {"alternatives": 3, "max_quality_loss": 0.5, "gap": 0.01}
    near = [
        r.bays
        for r in _all(Search(brief_of([66], needs, options=options)), 0.05)
        if isinstance(r, Found)
    ]
    assert len(near) == 3
    add, tied = Formulation.add, ("v_side_", "v_order_", "v_more_", "v_less_")
    left_out: list[str] = []

    def add_untied(model: Formulation, constraint: Any, name: str) -> None:
        if name.startswith(tied):
            left_out.append(name)
        else:
            add(model, constraint, name)

    scores = []
    for untied in (False, True):
        if untied:
            monkeypatch.setattr(Formulation, "add", add_untied)
        search = Search(brief_of([66], needs, options=options))
        for number, bays in enumerate(near):
            search.keep_away(bays, 0.3, number)
        scores.append(solve(search.model.problem, gap=0.0).objective)
    assert {name[:6] for name in left_out} == {name[:6] for name in tied}
    assert scores[0] == pytest.approx(scores[1], abs=1e-4)


def test_deadline_in_the_past_ends_at_once() -> None:
    """No time: an end by time limit, without a layout and without a crash."""
    search = Search(brief_of([60], NEEDS))
    results = list(alternatives(search, Times(time.monotonic() - 1.0), least=0.2))
    assert len(results) == 1
    assert isinstance(results[0], Ended)
    assert results[0].outcome.status == "time_limit"


def _walk_in() -> Search:
    return Search(load_scenario("l-shaped-walk-in"))


def test_a_first_layout_is_found_however_late_it_is() -> None:
    """Without any time there is none, but where it is asked for: by a dive, sound, and no proof."""
    search = _walk_in()
    assert isinstance(search.next(time.monotonic()), Ended)
    found = search.some()
    assert isinstance(found, Found)
    assert found.outcome.status == "time_limit"
    assert check_layout(search.brief, Layout(bays=found.bays)) == ()
    now = time.monotonic()
    made = alternatives(_walk_in(), Times(now, at_last=now), least=0.3)
    assert [type(result) for result in made] == [Found]


def test_a_model_that_is_not_built_in_time_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    """At once where the time is over, and in the middle of building where it ends there; what is
    added to a model that was built in time has no limit."""
    brief = brief_of([60], NEEDS)
    assert Search.within(brief, None, time.monotonic()) is None
    search = Search.within(brief, None, time.monotonic() + PATIENCE_S)
    assert search is not None
    rows = len(row_names(search.model.problem))
    ticks = itertools.count()

    def clock() -> float:
        """A clock that moves on by a second at each look."""
        return float(next(ticks))

    for seconds in (3.0, rows / 2, rows + 1.0):
        for ordinary in (0, 10 * rows):
            ticks = itertools.count()
            with monkeypatch.context() as patch:
                patch.setattr("optimizer.model.records.time.monotonic", clock)
                patch.setattr("optimizer.model.records.ORDINARY", ordinary)
                late = Search.within(brief, None, seconds)
            # An ordinary room is posed whatever the time.
            assert (late is None) is (ordinary == 0)
    search.keep_above(10.0)
    assert isinstance(search.next(time.monotonic() + PATIENCE_S), Found)


def test_an_empty_room_is_no_layout_where_the_time_was_over() -> None:
    """What is in hand when time ends may be the bare room: more time is then given, as where there
    is nothing."""
    stopped = Outcome("time_limit", 7.0, None, None, 0.0, None)
    proved = Outcome("optimal", 7.0, 7.0, 0.0, 0.0, None)
    assert rounds._out_of_time(Found((), stopped, ()))
    assert not rounds._out_of_time(Found((), proved, ()))


@pytest.mark.parametrize("name", ["six-foot-reach-in", "wrap-around-pantry"])
def test_where_no_time_is_left_for_proofs_there_are_layouts_to_choose_from(name: str) -> None:
    """As many as asked for, sound, apart from each other, and each under a bound that holds; within
    the gap where it says so alone."""
    now, least, gap = time.monotonic(), 0.2, 1e-6
    search, truth = (Search(load_scenario(name)) for _ in range(2))
    best = truth.optimum(now + PATIENCE_S, 0.005)
    times = Times(now, reserve=Reserve(1.0, now + 5.0 * PATIENCE_S))
    made = list(alternatives(search, times, least=least))
    found = [result for result in made if isinstance(result, Found)]
    assert len(found) == len(made) == search.brief.options.alternatives == 5
    for result in found:
        assert check_layout(search.brief, Layout(bays=result.bays)) == ()
        near = (result.outcome.gap or 0.0) <= search.brief.options.gap + 1e-9
        assert (result.outcome.status == "time_limit") is not near
        assert best.objective is not None
        assert result.outcome.objective is not None
        assert result.outcome.bound is not None
        # No bound falls below the truth, nor any layout below the loss that is allowed.
        assert result.outcome.objective <= result.outcome.bound + gap
    assert found[0].outcome.bound is not None
    assert found[0].outcome.bound >= best.objective - gap
    most = max(result.outcome.objective or 0.0 for result in found)
    assert most <= (best.bound or 0.0) + gap
    floor = (found[0].outcome.objective or 0.0) * (1.0 - search.brief.options.max_quality_loss)
    assert min(result.outcome.objective or 0.0 for result in found) >= floor - gap
    for one, other in combinations(found, 2):
        apart = distance(portrait_of(one.bays), portrait_of(other.bays), search.brief, search.walls)
        assert apart >= search.brief.options.min_difference - gap


def test_where_the_last_is_refused_one_met_on_the_way_will_do() -> None:
    """The time is over when the layout that a search ended with is refused: the best of those it
    passed by is taken, and the bound is that of the search."""
    search = _walk_in()
    best = search.optimum(time.monotonic() + PATIENCE_S, 0.2)
    asked: list[tuple[Bay, ...]] = []

    def refuses(bays: tuple[Bay, ...], _: Any) -> tuple[list[int], list[int]]:
        asked.append(bays)
        return (list(range(len(bays))), []) if bays == asked[0] else ([], [])

    search.refuses = refuses
    found = search.some()
    assert isinstance(found, Found)
    assert found.bays == asked[-1] != asked[0]
    assert best.objective is not None
    assert found.outcome.objective is not None
    assert found.outcome.objective < best.objective
    assert found.outcome.bound == best.bound

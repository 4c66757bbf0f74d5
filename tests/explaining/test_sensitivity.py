"""How far a priority may move: against plain search, by hand, and on real studies."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from optimizer.domain.brief import Priorities
from optimizer.domain.study import Study
from optimizer.explaining.sensitivity import sensitivity
from optimizer.explaining.weighted_scores import MOST_WEIGHT, NAMES, WeightedScores
from optimizer.proposing import propose
from tests.explaining.weighed import studies, study_of
from tests.ready_briefs import load_scenario

EQUAL = dict.fromkeys(NAMES, 1.0)


def leaders(study: Study, name: str, weight: float) -> int:
    """Rank of the layout that leads when one weight is moved."""
    weighing = WeightedScores(study)
    moved = {**study.brief.priorities.weights(), name: weight}
    return max(weighing.ranks, key=lambda rank: (weighing.score(rank, moved), -rank))


def test_two_layouts_that_trade_hanging_for_shelving() -> None:
    """One is 0.2 ahead in hanging, the other 0.1 in shelving: they meet at twice the weight."""
    ahead = {**dict.fromkeys(NAMES, 0.5), "hanging": 0.7}
    behind = {**dict.fromkeys(NAMES, 0.5), "shelving": 0.6}
    ranges = {entry.name: entry for entry in sensitivity(study_of(EQUAL, [ahead, behind]))}
    assert ranges["hanging"].lower == pytest.approx(0.5)
    assert ranges["hanging"].lower_layout == 2
    assert (ranges["hanging"].upper, ranges["hanging"].upper_layout) == (None, None)
    assert ranges["shelving"].upper == pytest.approx(2.0)
    assert ranges["shelving"].lower is None
    assert (ranges["low_cost"].lower, ranges["low_cost"].upper) == (None, None)


def test_a_shortfall_weighs_with_its_own_priority() -> None:
    """What is short of hanging counts for more as hanging does, terms being equal."""
    even = dict.fromkeys(NAMES, 0.5)
    study = study_of(EQUAL, [even, even], [{"shelf_length": 30.0}, {"long_hang": 12.0}])
    ranges = {entry.name: entry for entry in sensitivity(study)}
    # 12 in of rod against 30 in of shelf at half the worth: level at hanging 1.25.
    assert study.layouts[0].unmet[0].need == "long_hang"
    assert ranges["hanging"].upper == pytest.approx(1.25)
    assert ranges["shelving"].lower == pytest.approx(0.8)


def test_one_layout_has_no_rival() -> None:
    """Nothing to say of a single layout."""
    assert sensitivity(study_of(EQUAL, [dict.fromkeys(NAMES, 0.5)])) == ()


@settings(max_examples=150, deadline=None)
@given(study=studies())
def test_ranges_agree_with_a_plain_search(study: Study) -> None:
    """Within the range the first leads, just beyond it the named one: on a fine grid."""
    for entry in sensitivity(study):
        low = entry.lower if entry.lower is not None else 0.0
        high = entry.upper if entry.upper is not None else MOST_WEIGHT
        assert low <= entry.weight <= high
        for step in range(41):
            weight = low + (high - low) * step / 40
            if weight == entry.lower == 0.0:
                continue  # the other layout leads there itself
            weighing = WeightedScores(study)
            moved = {**study.brief.priorities.weights(), entry.name: weight}
            scores = [weighing.score(rank, moved) for rank in weighing.ranks]
            assert scores[0] >= max(scores) - 1e-7
        for edge, rank, sign in (
            (entry.lower, entry.lower_layout, -1),
            (entry.upper, entry.upper_layout, 1),
        ):
            if edge is not None and 1e-3 < edge < MOST_WEIGHT - 1e-3:
                beyond = leaders(study, entry.name, edge + sign * 1e-3)
                assert beyond == rank or close_call(study, entry.name, edge, 1e-3)


def test_a_lone_priority_taken_to_nothing_leaves_the_needs() -> None:
    """With every other priority 0, its end at 0 is a jump: only what is short counts there."""
    alone = {**dict.fromkeys(NAMES, 0.0), "low_cost": 2.0}
    cheap = {**dict.fromkeys(NAMES, 0.5), "low_cost": 0.9}
    study = study_of(alone, [cheap, dict.fromkeys(NAMES, 0.5)], [{"long_hang": 1.0}, {}])
    assert study.layouts[0].unmet[0].need == "long_hang"
    entry = next(entry for entry in sensitivity(study) if entry.name == "low_cost")
    assert (entry.lower, entry.lower_layout) == (0.0, 2)
    assert leaders(study, "low_cost", 0.0) == 2


def close_call(study: Study, name: str, weight: float, step: float) -> bool:
    """Whether another crossing lies within a step of the edge."""
    weighing = WeightedScores(study)
    scores = sorted(
        (
            weighing.score(rank, {**study.brief.priorities.weights(), name: weight})
            for rank in weighing.ranks
        ),
        reverse=True,
    )
    return (len(scores) > 2 and scores[0] - scores[2] < 100 * step) or scores[0] - scores[1] < 1e-4


@pytest.fixture(scope="module")
def linen() -> Study:
    """A real study of a small closet."""
    brief = load_scenario("linen-closet")
    options = brief.options.model_copy(update={"alternatives": 3, "time_limit_s": 20.0})
    return propose(brief.model_copy(update={"options": options}), repairs=False)


def test_stored_figures_give_the_stored_scores(linen: Study) -> None:
    """Weighed anew under its own weights, every layout has the score that it has."""
    weighing = WeightedScores(linen)
    for layout in linen.layouts:
        again = weighing.score(layout.rank, linen.brief.priorities.weights())
        assert again == pytest.approx(layout.score, abs=1e-3)


def test_ranges_of_a_real_study_hold(linen: Study) -> None:
    """Moved to either end of its range, no priority changes the first place."""
    for entry in sensitivity(linen):
        for edge in (entry.lower, entry.upper):
            if edge is not None:
                inside = entry.weight + 0.99 * (edge - entry.weight)
                assert leaders(linen, entry.name, inside) == 1


def test_weights_outside_the_brief_are_not_proposed() -> None:
    """Every edge is a weight that a brief takes."""
    ahead = {**dict.fromkeys(NAMES, 0.5), "hanging": 0.7}
    behind = {**dict.fromkeys(NAMES, 0.5), "shelving": 0.501}
    for entry in sensitivity(study_of(EQUAL, [ahead, behind])):
        for edge in (entry.lower, entry.upper):
            if edge is not None:
                Priorities(**{entry.name: edge})

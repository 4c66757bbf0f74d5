"""Which priorities put a layout first: checked by scoring, refused with proof."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from optimizer.domain.study import Study
from optimizer.errors import LayoutError
from optimizer.explaining.preference import LEAST_LEAD, preference
from optimizer.explaining.weighted_scores import MOST_WEIGHT, NAMES, WeightedScores
from tests.explaining.weighed import studies, study_of

EQUAL = dict.fromkeys(NAMES, 1.0)
HALF = dict.fromkeys(NAMES, 0.5)


def test_the_nearest_weights_are_found() -> None:
    """0.2 against 0.1: a third of the two weights has to move for them to be level."""
    study = study_of(EQUAL, [{**HALF, "hanging": 0.7}, {**HALF, "shelving": 0.6}])
    found = preference(study, 2)
    assert found.answer == "possible"
    assert found.priorities is not None
    weights = found.priorities.weights()
    assert sum(weights.values()) == pytest.approx(6.0)
    # w_h 0.2 = w_s 0.1 with w_h + w_s = 2: 2/3 and 4/3, then a little for the lead.
    assert weights["hanging"] == pytest.approx(2 / 3, abs=0.02)
    assert weights["shelving"] == pytest.approx(4 / 3, abs=0.02)
    assert found.change == pytest.approx((1 / 3) / 6, abs=0.005)


def test_the_first_is_first_already() -> None:
    """Nothing has to move for the layout that leads."""
    study = study_of(EQUAL, [{**HALF, "hanging": 0.7}, HALF])
    found = preference(study, 1)
    assert (found.answer, found.change) == ("already", 0.0)
    assert found.priorities == study.brief.priorities


def test_a_layout_that_is_worse_throughout_can_never_lead() -> None:
    """Proved, with the layout that beats it under any weights."""
    better, worse = dict.fromkeys(NAMES, 0.6), HALF
    found = preference(study_of(EQUAL, [better, worse]), 2)
    assert (found.answer, found.beaten_by, found.priorities) == ("impossible", 1, None)


def test_a_layout_can_be_beaten_by_others_together() -> None:
    """Neither rival beats it everywhere, but one or the other always does."""
    one = {**dict.fromkeys(NAMES, 0.0), "hanging": 1.0}
    other = {**dict.fromkeys(NAMES, 1.0), "hanging": 0.0}
    between = dict.fromkeys(NAMES, 0.4)
    found = preference(study_of(EQUAL, [other, between, one]), 2)
    ranked = study_of(EQUAL, [other, between, one])
    assert ranked.layouts[1].terms[0].value == 0.4
    assert (found.answer, found.beaten_by) == ("impossible", None)


def test_a_rank_that_is_not_there() -> None:
    """Asking for a layout that the study lacks is an error that names it."""
    with pytest.raises(LayoutError, match="no layout 9"):
        preference(study_of(EQUAL, [HALF]), 9)


@settings(max_examples=120, deadline=None)
@given(study=studies())
def test_what_is_found_does_lead_and_what_is_refused_does_not(study: Study) -> None:
    """Weights given are legal and put the layout first; a refusal stands on a plain search."""
    weighing = WeightedScores(study)
    for layout in study.layouts:
        found = preference(study, layout.rank)
        if found.priorities is not None and found.answer == "possible":
            weights = found.priorities.weights()
            assert all(0 <= weight <= MOST_WEIGHT for weight in weights.values())
            scores = {rank: weighing.score(rank, weights) for rank in weighing.ranks}
            assert all(
                scores[layout.rank] > score for rank, score in scores.items() if rank != layout.rank
            )
        elif found.answer == "impossible":
            for weights in trials():
                lead = min(
                    weighing.score(layout.rank, weights) - weighing.score(rank, weights)
                    for rank in weighing.ranks
                    if rank != layout.rank
                )
                assert lead < LEAST_LEAD + 1e-6


def trials() -> list[dict[str, float]]:
    """Weights all over the range: each alone, each two, and all but one."""
    zero = dict.fromkeys(NAMES, 0.0)
    alone = [{**zero, name: 6.0} for name in NAMES]
    pairs = [{**zero, one: 3.0, other: 3.0} for one in NAMES for other in NAMES if one < other]
    but_one = [{**dict.fromkeys(NAMES, 1.2), name: 0.0} for name in NAMES]
    return [*alone, *pairs, *but_one, EQUAL]

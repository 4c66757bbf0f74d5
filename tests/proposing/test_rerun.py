"""Reruns: never worse than what is stored, and said what moved."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.checking import check_study
from optimizer.domain.brief import Brief
from optimizer.domain.study import Study
from optimizer.proposing import propose, rerun, rescore
from tests.model.rooms import brief_of

NEEDS = {"long_hang": 24, "short_hang": 50, "shelf_length": 70}
OPTIONS = {"alternatives": 3, "gap": 0.03, "time_limit_s": 20.0, "max_quality_loss": 0.4}


def _brief(**rest: Any) -> Brief:
    return brief_of([70], NEEDS, options=OPTIONS, **rest)


@pytest.fixture(scope="module")
def earlier() -> Study:
    """A study to start from."""
    return propose(_brief(), repairs=False)


NEW_PRIORITIES: list[dict[str, float]] = [
    {"hanging": 20.0},
    {"low_cost": 30.0, "hanging": 0.0},
    {"open_floor": 12.0},
    {"shelving": 9.0, "simple_build": 9.0},
]


@pytest.mark.parametrize("priorities", NEW_PRIORITIES, ids=str)
def test_rerun_is_never_worse_than_what_is_stored(
    earlier: Study, priorities: dict[str, float]
) -> None:
    """Under the new priorities its first layout scores at least the best stored one."""
    brief = _brief(priorities=priorities)
    stored = rescore(earlier, brief)
    again = rerun(earlier, brief, repairs=False)
    assert again.layouts[0].score >= max(layout.score for layout in stored.layouts) - 1e-9
    assert check_study(brief, again) == ()
    assert again.moved


def test_rescored_layouts_are_the_stored_ones_in_a_new_order(earlier: Study) -> None:
    """No solve: the same bays, ranked by the new score, under a bound that holds."""
    brief = _brief(priorities={"low_cost": 30.0})
    stored = rescore(earlier, brief)
    assert {layout.bays for layout in stored.layouts} == {old.bays for old in earlier.layouts}
    scores = [layout.score for layout in stored.layouts]
    assert scores == sorted(scores, reverse=True)
    best = propose(brief, repairs=False, yardstick=earlier.yardstick).layouts[0]
    for layout in stored.layouts:
        assert layout.score <= layout.bound + 1e-6
        assert best.score <= layout.bound + 1e-6


def test_rerun_of_the_same_brief_stays(earlier: Study) -> None:
    """Nothing moves, and the score is no lower."""
    again = rerun(earlier, earlier.brief, repairs=False)
    assert again.layouts[0].bays == earlier.layouts[0].bays
    assert again.moved == ("the first layout stays as it was",)


def test_layouts_that_no_longer_fit_are_left_out(earlier: Study) -> None:
    """On a shorter wall no stored layout passes; the rerun proposes new ones."""
    shorter = brief_of([40], NEEDS, options=OPTIONS)
    assert rescore(earlier, shorter).layouts == ()
    again = rerun(earlier, shorter, repairs=False)
    assert again.layouts
    assert check_study(shorter, again) == ()


def test_rerun_in_other_units_starts_afresh(earlier: Study) -> None:
    """A stored inch layout is never read as millimetres."""
    metric = Brief.model_validate(
        {
            "units": "mm",
            "room": {"ceiling_height": 2440, "walls": [{"id": "A", "length": 1780}]},
            "needs": {"long_hang": 600, "shelf_length": 1800},
            "options": OPTIONS,
        }
    )
    again = rerun(earlier, metric, repairs=False)
    assert again.layouts
    assert check_study(metric, again) == ()

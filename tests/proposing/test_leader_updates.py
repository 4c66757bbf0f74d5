"""Leaders after a rerun or a new ranking: their ranks are those of the layouts that are there."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.checking import check_study
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.study import Leader, Study
from optimizer.model.search.alternatives import Search
from optimizer.proposing import propose, rerun, rescore
from optimizer.proposing.assembly import ranked
from optimizer.proposing.leader_updates import bounds_of, relead
from optimizer.proposing.leaders import reached_by
from optimizer.scoring.distance import differences
from tests.model.rooms import brief_of

NEEDS = {"long_hang": 24, "short_hang": 50, "shelf_length": 70}
OPTIONS = {"alternatives": 4, "gap": 0.02, "time_limit_s": 20.0, "max_quality_loss": 0.4}
PRIORITIES: list[dict[str, float]] = [
    {},
    {"hanging": 20.0},
    {"low_cost": 30.0, "hanging": 0.0},
    {"open_floor": 12.0},
]


def _brief(**rest: Any) -> Brief:
    return brief_of([70], NEEDS, options={**OPTIONS, **rest.pop("options", {})}, **rest)


@pytest.fixture(scope="module")
def earlier() -> Study:
    """A study with leaders, of which some are ranked and some are not."""
    study = propose(_brief())
    own = [leader.layout for leader in study.leaders if leader.layout is not None]
    layouts = ranked([*study.layouts, *own[:2]], study.brief)
    search = Search(study.brief, study.yardstick)
    study = study.model_copy(
        update={
            "layouts": layouts,
            "leaders": relead(search, layouts, own, bounds_of(study, kept=True)),
            "differences": differences(layouts, study.brief, search.walls),
            "difference_asked": 0.0,
        }
    )
    assert {leader.rank is None for leader in study.leaders} == {True, False}
    sound(study)
    return study


def where(study: Study, leader: Leader) -> Layout:
    """The layout that leads."""
    if leader.layout is not None:
        return leader.layout
    return next(layout for layout in study.layouts if layout.rank == leader.rank)


def sound(study: Study) -> None:
    """Every leader is there, has the values that are told of it, and nothing known has more."""
    assert check_study(study.brief, study) == ()
    search = Search(study.brief, study.yardstick)
    own = [leader.layout for leader in study.leaders if leader.layout is not None]
    every = [reached_by(search, layout.bays, layout.mounts) for layout in (*study.layouts, *own)]
    for leader in study.leaders:
        at = where(study, leader)
        values = reached_by(search, at.bays, at.mounts)
        for term, value, bound in zip(leader.terms, leader.values, leader.bounds, strict=True):
            assert values[term] == pytest.approx(value, abs=1e-6)
            assert value >= max(one[term] for one in every) - 1e-6
            assert value <= bound + 1e-9
    ranks = [leader.rank for leader in study.leaders if leader.rank is not None]
    assert len(ranks) == len(set(ranks))


@pytest.mark.parametrize("priorities", PRIORITIES, ids=str)
def test_leaders_of_a_new_ranking_are_where_they_say(
    earlier: Study, priorities: dict[str, float]
) -> None:
    """Ranks follow the layouts; what was proved of other weights is not called proved."""
    stored = rescore(earlier, _brief(priorities=priorities))
    assert stored.leaders
    sound(stored)
    if priorities:
        assert not any(leader.proved for leader in stored.leaders)
        assert all(bound == 1.0 for leader in stored.leaders for bound in leader.bounds)
    else:
        assert any(leader.proved for leader in stored.leaders)


def test_ranks_do_move(earlier: Study) -> None:
    """What is tested here happens: a leader's layout gets another rank."""
    moved = [rescore(earlier, _brief(priorities=weights)) for weights in PRIORITIES[1:]]
    ranks = {where(earlier, leader).bays: leader.rank for leader in earlier.leaders if leader.rank}
    assert any(
        layout.bays in ranks and ranks[layout.bays] != layout.rank
        for study in moved
        for layout in study.layouts
    )


@pytest.mark.parametrize("priorities", PRIORITIES, ids=str)
def test_leaders_of_a_rerun_are_where_they_say(
    earlier: Study, priorities: dict[str, float]
) -> None:
    """A rerun with time enough, whatever comes first in it."""
    sound(rerun(earlier, _brief(priorities=priorities)))


def test_a_rerun_that_keeps_the_stored_layout_tells_its_leaders_anew(earlier: Study) -> None:
    """Where the new search finds less than what is stored, that comes first and ranks move."""
    again = rerun(earlier, _brief(options={"gap": 0.5, "alternatives": 2, "min_difference": 0.05}))
    sound(again)


def test_layouts_that_no_longer_fit_lead_in_nothing(earlier: Study) -> None:
    """On a shorter wall nothing stored passes: no leader is left over."""
    assert rescore(earlier, brief_of([40], NEEDS, options=OPTIONS)).leaders == ()


def test_a_leader_that_is_nowhere_is_found_by_the_checker(earlier: Study) -> None:
    """A rank beyond the last layout, and a leader with neither rank nor layout."""
    first, *rest = earlier.leaders
    for spoilt in ({"rank": 9, "layout": None}, {"rank": None, "layout": None}):
        leaders = (first.model_copy(update=spoilt), *rest)
        findings = check_study(earlier.brief, earlier.model_copy(update={"leaders": leaders}))
        assert [fault.code for fault in findings] == ["leader"]

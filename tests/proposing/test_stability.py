"""Stability of reruns: what can be kept is kept, what cannot is let go with its reason."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.checking import check_study
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay
from optimizer.domain.study import Status, Study
from optimizer.proposing import propose, rerun
from optimizer.proposing.stability import NO_LAYOUT, NO_TIME, OTHER_UNITS, steady_bays_of
from tests.model.rooms import brief_of

NEEDS = {"long_hang": 30, "short_hang": 60}
OPTIONS = {"alternatives": 2, "gap": 0.02, "time_limit_s": 20.0, "max_quality_loss": 0.4}
WALLS = [60.0, 82.0, 60.0]


def _brief(walls: list[float] = WALLS, **rest: Any) -> Brief:
    needs = {**NEEDS, **rest.pop("needs", {})}
    return brief_of(walls, needs, options={**OPTIONS, **rest.pop("options", {})}, **rest)


@pytest.fixture(scope="module")
def earlier() -> Study:
    """A walk-in with a bay on each of two facing walls, by pins that are no wish later."""
    pins = [
        {"wall": wall, "start": start, "width": 24, "pattern": "long@68.25+shelf*2x12@72"}
        for wall, start in (("A", 2.0), ("C", 30.0))
    ]
    study = propose(_brief(pins=pins), repairs=False)
    assert study.layouts
    return study


def placed(bay: Bay) -> tuple[str, float, float, str]:
    """Where and what a bay is."""
    return (bay.wall, bay.start, bay.width, bay.pattern)


def test_wishes_are_the_widest_bays_of_the_share(earlier: Study) -> None:
    """Nothing for 0, all for 1, and no more than the share needs in between."""
    bays = sorted(earlier.layouts[0].bays, key=lambda bay: -bay.width)
    assert steady_bays_of(earlier, 0.0) == ()
    assert [wish.bay for wish in steady_bays_of(earlier, 1.0)] == [bay.id for bay in bays]
    half = steady_bays_of(earlier, 0.5)
    total = sum(bay.width for bay in bays)
    assert sum(wish.pin.width for wish in half) >= total / 2 - 1e-6
    assert sum(wish.pin.width for wish in half[:-1]) < total / 2


def test_all_of_it_stays_where_nothing_is_against_it(earlier: Study) -> None:
    """Only priorities change: every layout has every bay of the earlier first one."""
    brief = _brief(priorities={"low_cost": 9.0})
    again = rerun(earlier, brief, stability=1.0, repairs=False)
    assert again.stability is not None
    assert again.stability.let_go == ()
    had = {placed(bay) for bay in earlier.layouts[0].bays}
    assert len(again.stability.kept) == len(had)
    assert all(had <= {placed(bay) for bay in layout.bays} for layout in again.layouts)
    assert again.brief == brief
    assert check_study(brief, again) == ()


def test_of_two_that_exclude_each_other_one_goes(earlier: Study) -> None:
    """A wider aisle leaves room for bays on one of two facing walls, not on both."""
    brief = _brief(needs={"aisle": 36.0})
    again = rerun(earlier, brief, stability=1.0, repairs=False)
    told = again.stability
    assert told is not None
    assert again.layouts
    assert told.kept
    assert told.let_go
    assert {wish.reason for wish in told.let_go} <= {NO_LAYOUT}
    for layout in again.layouts:
        pins = {placed(bay) for bay in layout.bays}
        for wish in told.kept:
            pin = wish.pin
            assert (pin.wall, pin.start, pin.width, pin.pattern) in pins
    codes = [warned.code for warned in again.warnings]
    assert codes.count("let_go") == len(told.let_go)
    assert check_study(brief, again) == ()


def test_what_is_pinned_is_not_let_go(earlier: Study) -> None:
    """Both facing bays pinned under the wider aisle: strict, so nothing can be built."""
    bays = [bay for bay in earlier.layouts[0].bays if bay.wall in ("A", "C")]
    pins = [
        {"wall": bay.wall, "start": bay.start, "width": bay.width, "pattern": bay.pattern}
        for bay in bays
    ]
    again = rerun(earlier, _brief(needs={"aisle": 36.0}, pins=pins), stability=1.0, repairs=False)
    assert (again.status, again.layouts) == (Status.INFEASIBLE, ())
    assert "pins_refused" in [warned.code for warned in again.warnings]


def test_no_time_to_find_out_is_said(earlier: Study) -> None:
    """Within a moment nothing is proved: all is let go, and that is the reason given."""
    brief = _brief(options={"time_limit_s": 1e-6})
    told = rerun(earlier, brief, stability=1.0, repairs=False).stability
    assert told is not None
    assert told.kept == ()
    assert {wish.reason for wish in told.let_go} == {NO_TIME}


def test_other_units_keep_nothing(earlier: Study) -> None:
    """A millimetre brief cannot have the bays of an inch layout, and that is said."""
    metric = brief_of(
        [1500, 2080, 1500],
        {"long_hang": 600},
        units="mm",
        room={"ceiling_height": 2440},
        options=OPTIONS,
    )
    told = rerun(earlier, metric, stability=0.5, repairs=False).stability
    assert told is not None
    assert told.kept == ()
    assert {wish.reason for wish in told.let_go} == {OTHER_UNITS}

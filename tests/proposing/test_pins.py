"""Pins: kept exactly, or refused with the reason."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.checking import check_study
from optimizer.domain.brief import Brief, Pin
from optimizer.domain.study import Status, Study
from optimizer.errors import OptimizerError
from optimizer.proposing import propose
from tests.model.rooms import brief_of

NEEDS = {"long_hang": 24, "short_hang": 40, "shelf_length": 60}
OPTIONS = {"alternatives": 3, "gap": 0.01, "max_quality_loss": 0.5}


def _brief(*pins: dict[str, Any], walls: tuple[float, ...] = (80.0, 60.0)) -> Brief:
    return brief_of(list(walls), NEEDS, pins=list(pins), options=OPTIONS)


@pytest.fixture(scope="module")
def free() -> Study:
    """The study without pins."""
    return propose(_brief(), repairs=False)


def test_every_bay_of_a_layout_can_be_pinned_and_stays(free: Study) -> None:
    """One at a time, exactly where it was, in every alternative; never above the free bound."""
    for bay in free.layouts[-1].bays:
        pin = {"wall": bay.wall, "start": bay.start, "width": bay.width, "pattern": bay.pattern,
               "left": bay.left.value, "right": bay.right.value}  # fmt: skip
        brief = _brief(pin)
        study = propose(brief, repairs=False, yardstick=free.yardstick)
        assert study.layouts, bay
        assert check_study(brief, study) == ()
        for layout in study.layouts:
            kept = [(b.wall, b.start, b.width, b.pattern) for b in layout.bays]
            assert (bay.wall, bay.start, bay.width, bay.pattern) in kept
        assert study.layouts[0].score <= free.layouts[0].bound + 1e-6


def test_a_whole_layout_can_be_pinned(free: Study) -> None:
    """All bays of the best layout pinned: nothing scores less than it did."""
    first = free.layouts[0]
    pins = [
        Pin(
            wall=b.wall, start=b.start, width=b.width, pattern=b.pattern, left=b.left, right=b.right
        )
        for b in first.bays
    ]
    brief = _brief(*(pin.model_dump(mode="json") for pin in pins))
    study = propose(brief, repairs=False, yardstick=free.yardstick)
    assert study.layouts[0].bound >= first.score - 1e-6
    assert check_study(brief, study) == ()


def test_unknown_pattern_is_refused_with_the_known_ones() -> None:
    """A pattern that is none is named in the message, with patterns that would do."""
    pin = {"wall": "A", "start": 10, "width": 24, "pattern": "a wardrobe of one's own"}
    with pytest.raises(OptimizerError, match="a wardrobe of one's own"):
        propose(_brief(pin), repairs=False)


def test_pins_that_exclude_one_another_are_named() -> None:
    """Two deep bays in one corner: no layout, and the warning names both pins."""
    pattern = "long@68.25+shelf*2x12@72"
    pins = [
        {"wall": "A", "start": 55, "width": 24, "pattern": pattern},
        {"wall": "B", "start": 1, "width": 24, "pattern": pattern},
    ]
    study = propose(_brief(*pins), repairs=False)
    assert study.status is Status.INFEASIBLE
    assert study.layouts == ()
    refused = [warning for warning in study.warnings if warning.code == "pins_refused"]
    assert len(refused) == 1
    assert "pin 1 on wall A, pin 2 on wall B cannot be kept together" in refused[0].detail


def _pins_of(study: Study) -> list[dict[str, Any]]:
    """Every bay of the first layout as a pin."""
    return [
        {"wall": b.wall, "start": b.start, "width": b.width, "pattern": b.pattern}
        for b in study.layouts[0].bays
    ]


@pytest.mark.parametrize("ends", [(30.0, 96.0), (96.0, 30.0)], ids=["rising", "falling"])
def test_neighbours_under_a_slope_can_be_pinned_together(ends: tuple[float, float]) -> None:
    """Of two that share an upright the ceiling over it counts for both."""
    slope = {"length": 84, "height": {"left": ends[0], "right": ends[1]}}
    needs = {"short_hang": 20, "shelf_length": 60}
    free = propose(brief_of([slope], needs, options=OPTIONS), repairs=False)
    pins = _pins_of(free)
    assert len(pins) >= 2
    brief = brief_of([slope], needs, options=OPTIONS, pins=pins)
    study = propose(brief, repairs=False, yardstick=free.yardstick)
    assert study.layouts
    assert study.layouts[0].score >= free.layouts[0].score - 1e-6
    assert check_study(brief, study) == ()


@pytest.mark.parametrize(("start", "stands"), [(30.0, True), (19.5, False)])
def test_what_lies_between_the_uprights_is_in_no_uprights_way(start: float, stands: bool) -> None:
    """A pipe low on the wall: a bay may stand around it, no upright may stand in it."""
    pipe = {"wall": "A", "start": 30, "width": 4, "bottom": 0, "height": 8, "kind": "pipe"}
    room = {"obstructions": [{**pipe, "start": start, "projection": 4}]}
    pin = {"wall": "A", "start": 20, "width": 24, "pattern": "long@68.25+shelf*2x12@72"}
    needs = {"long_hang": 24, "hang_drop": {"long": 50}}
    known = {"pattern": _long_pattern(needs)}
    brief = brief_of([80], needs, room=room, options=OPTIONS, pins=[{**pin, **known}])
    if stands:
        study = propose(brief, repairs=False)
        assert study.layouts
        assert check_study(brief, study) == ()
    else:
        with pytest.raises(OptimizerError, match="would stand in something"):
            propose(brief, repairs=False)


def _long_pattern(needs: dict[str, Any]) -> str:
    """The pattern of a long hang alone, as it is called under these needs."""
    study = propose(brief_of([30], needs, options=OPTIONS), repairs=False)
    return next(bay.pattern for bay in study.layouts[0].bays if "long" in bay.pattern)

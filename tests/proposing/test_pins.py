"""Pins: kept exactly, or refused with the reason."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.checking import check_study
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Carried
from optimizer.domain.study import Status, Study
from optimizer.errors import OptimizerError
from optimizer.proposing import propose
from tests.layouts import propose_layouts
from tests.model.rooms import brief_of

NEEDS = {"long_hang": 24, "short_hang": 40, "shelf_length": 60}
OPTIONS = {"alternatives": 3, "gap": 0.01, "max_quality_loss": 0.5}
LONG = "floor:17.25+long@80.25+shelfx12@84"
LONG_UNDER_TENS = "floor:15.34+long@78.34+shelfx12@84"
"""The same for a user of 63 in, under shelves 10 in apart."""
Raw = dict[str, Any]

OPENING = {"wall": "D", "start": 0, "width": 72, "kind": "bifold"}
OUTLET = {"wall": "A", "start": 30, "width": 5, "bottom": 14, "height": 5, "kind": "outlet"}
ROOMS: dict[str, tuple[list[Any], Raw, Raw]] = {
    "corner": ([80.0, 60.0], NEEDS, {}),
    "shelves round a corner": ([48.0, 44.0], {"shelf_length": 400}, {}),
    "between side walls": ([15.0, 70.0, 15.0], NEEDS, {}),
    "alcove": ([24.0, 72.0, 24.0, 72.0], NEEDS, {"room": {"openings": [OPENING]}}),
    "over an outlet": ([84.0], NEEDS, {"room": {"obstructions": [OUTLET]}}),
    "free tops": ([80.0, 60.0], NEEDS, {"construction": {"top_line": "free"}}),
    "uprights": ([80.0, 60.0], NEEDS, {"construction": {"wall_ends": "uprights"}}),
    "off by a little": ([80.0, 60.0], NEEDS, {"room": {"measuring_tolerance": 0.25}}),
}


def _brief(*pins: Raw, room: str = "corner") -> Brief:
    walls, needs, rest = ROOMS[room]
    return brief_of(list(walls), needs, pins=list(pins), options=OPTIONS, **rest)


@pytest.fixture(scope="module", params=ROOMS)
def found(request: pytest.FixtureRequest) -> tuple[str, Study]:
    """A room and its study without pins."""
    return request.param, propose_layouts(_brief(room=request.param))


def _pin(bay: Bay) -> Raw:
    """A bay as a pin."""
    names = ("wall", "start", "width", "pattern", "left", "right")
    data: Raw = bay.model_dump(mode="json")
    return {name: data[name] for name in names}


def test_every_bay_of_a_layout_can_be_pinned_and_stays(found: tuple[str, Study]) -> None:
    """One at a time, exactly where it was, in every alternative; never above the free bound, nor
    below the layout that it is of by more than rounding."""
    room, free = found
    last = free.layouts[-1]
    for bay in last.bays:
        brief = _brief(_pin(bay), room=room)
        study = propose_layouts(brief, yardstick=free.yardstick)
        assert study.layouts, bay
        assert check_study(brief, study) == ()
        for layout in study.layouts:
            assert _pin(bay) in [_pin(other) for other in layout.bays]
        assert study.layouts[0].score <= free.layouts[0].bound + 1e-6
        assert study.layouts[0].bound >= last.score - 1e-6


def test_a_whole_layout_can_be_pinned(found: tuple[str, Study]) -> None:
    """All bays of the best layout pinned: nothing scores less than it did."""
    room, free = found
    first = free.layouts[0]
    brief = _brief(*(_pin(bay) for bay in first.bays), room=room)
    study = propose_layouts(brief, yardstick=free.yardstick)
    assert study.layouts[0].bound >= first.score - 1e-6
    assert check_study(brief, study) == ()


def test_rooms_have_ends_of_every_kind() -> None:
    """Or the two tests above would not speak of them."""
    ends = set()
    for room in ("corner", "shelves round a corner"):
        for bay in propose_layouts(_brief(room=room)).layouts[0].bays:
            ends |= {bay.left, bay.right}
    assert ends == set(Carried)


@pytest.mark.parametrize(
    ("pin", "told"),
    [
        ({"start": 10.0, "left": "wall"}, "carried by the wall, but not at its end"),
        ({"start": 0.0, "left": "corner"}, None),
        ({"start": 20.0, "left": "corner"}, None),
    ],
)
def test_ends_that_nothing_carries_are_refused(pin: Raw, told: str | None) -> None:
    """An end on the wall away from the wall's end; a corner in which nothing could wrap."""
    shelves = {"wall": "B", "width": 24.0, "pattern": "floor:23.25+shelf*6x12@24", **pin}
    if told:
        with pytest.raises(OptimizerError, match=told):
            propose(_brief(shelves), repairs=False)
        return
    study = propose(_brief(shelves), repairs=False)
    assert study.status is Status.INFEASIBLE
    assert [w.code for w in study.warnings if w.code == "pins_refused"]


def test_a_pin_with_no_room_for_an_upright_stands_on_the_wall() -> None:
    """Whatever it says: a stored layout of which the ends were not yet told."""
    pin = {"wall": "B", "start": 0, "width": 30, "pattern": "floor:23.25+shelf*6x12@24"}
    study = propose(_brief(pin), repairs=False)
    assert study.layouts
    for layout in study.layouts:
        (own,) = (bay for bay in layout.bays if bay.wall == "B" and bay.start == 0)
        assert own.left is Carried.WALL


def test_unknown_pattern_is_refused_with_the_known_ones() -> None:
    """A pattern that is none is named in the message, with patterns that would do."""
    pin = {"wall": "A", "start": 10, "width": 24, "pattern": "a wardrobe of one's own"}
    with pytest.raises(OptimizerError, match="a wardrobe of one's own"):
        propose(_brief(pin), repairs=False)


def test_pins_that_exclude_one_another_are_named() -> None:
    """Two deep bays in one corner: no layout, and the warning names both pins."""
    pins = [
        {"wall": "A", "start": 55, "width": 24, "pattern": LONG},
        {"wall": "B", "start": 1, "width": 24, "pattern": LONG},
    ]
    study = propose(_brief(*pins), repairs=False)
    assert study.status is Status.INFEASIBLE
    assert study.layouts == ()
    refused = [warning for warning in study.warnings if warning.code == "pins_refused"]
    assert len(refused) == 1
    assert "pin 1 on wall A, pin 2 on wall B cannot be kept together" in refused[0].detail


def _pins_of(study: Study) -> list[dict[str, Any]]:
    """Every bay of the first layout as a pin."""
    return [_pin(bay) for bay in study.layouts[0].bays]


@pytest.mark.parametrize("ends", [(30.0, 96.0), (96.0, 30.0)], ids=["rising", "falling"])
def test_neighbours_under_a_slope_can_be_pinned_together(ends: tuple[float, float]) -> None:
    """Of two that share an upright the ceiling over it counts for both."""
    slope = {"length": 84, "height": {"left": ends[0], "right": ends[1]}}
    needs = {"short_hang": 20, "shelf_length": 60}
    free = propose_layouts(brief_of([slope], needs, options=OPTIONS))
    pins = _pins_of(free)
    assert len(pins) >= 2
    brief = brief_of([slope], needs, options=OPTIONS, pins=pins)
    study = propose_layouts(brief, yardstick=free.yardstick)
    assert study.layouts
    assert study.layouts[0].score >= free.layouts[0].score - 1e-6
    assert check_study(brief, study) == ()


@pytest.mark.parametrize(("start", "stands"), [(30.0, True), (19.5, False)])
def test_what_lies_between_the_uprights_is_in_no_uprights_way(start: float, stands: bool) -> None:
    """A pipe low on the wall: a bay may stand around it, no upright may stand in it."""
    pipe = {"wall": "A", "start": 30, "width": 4, "bottom": 0, "height": 8, "kind": "pipe"}
    room = {"obstructions": [{**pipe, "start": start, "projection": 4}]}
    pin = {"wall": "A", "start": 20, "width": 24}
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


def test_a_pinned_end_bay_may_leave_as_much_of_a_corner_as_a_deeper_one() -> None:
    """Two walls: shelves 13-1/2 in deep run into the corner, a rod bay follows, and the other wall
    begins so far out that nothing of it is hidden. A layout without pins may be so."""
    room = {"measuring_tolerance": 0.25}
    rules = {"top_line": "level"}
    needs = {"long_hang": 60, "shelf_length": 200, "shelf_spacing": 10, "shelf_depth": 12}
    item = {"id": "box", "width": 21.5, "depth": 13.5, "height": 42.25, "place": "any"}
    shelves = {"wall": "B", "start": 0, "width": 36, "left": "wall"}
    pins = [
        {"wall": "A", "start": 51.25, "width": 27.625, "pattern": "shelf*9x13.5@4"},
        {**shelves, "pattern": "items:53.25+shelf*4x13.5@54"},
        {"wall": "B", "start": 36.75, "width": 75, "pattern": LONG_UNDER_TENS},
    ]
    brief = brief_of(
        [109.75, 113.5],
        {**needs, "items": [item], "users": [{"stature": 63}]},
        room=room,
        construction={**rules, "material": "particleboard"},
        pins=pins,
    )
    study = propose(brief, repairs=False)
    assert study.layouts, study.warnings
    kept = {(bay.wall, bay.start, bay.width) for bay in study.layouts[0].bays}
    assert {(pin["wall"], pin["start"], pin["width"]) for pin in pins} <= kept


def test_a_bay_on_mid_supports_keeps_what_stands_on_its_floor() -> None:
    """Two boxes that fill its floor, beside one that no shelf of it takes whole."""
    boxes = {"id": "boxes", "width": 22, "depth": 15, "height": 16.75, "count": 2}
    tall = {"id": "tall", "width": 17, "depth": 8, "height": 11.75, "place": "any"}
    needs = {"short_hang": 62, "shelf_spacing": 14, "shelf_depth": 16, "users": [{"stature": 61}]}
    opening = {"wall": "D", "start": 16.5, "width": 76, "height": 80, "kind": "bifold"}
    pattern = "items:29.25+short@66.25+shelf*2x16@70"
    pin = {"wall": "B", "start": 63.5, "width": 45.5, "pattern": pattern, "right": "wall"}
    brief = brief_of(
        [25.25, 109.0, 25.25, 109.0],
        {**needs, "items": [{**boxes, "place": "floor"}, tall]},
        room={"ceiling_height": 106.5, "openings": [opening]},
        pins=[pin],
    )
    layout = propose(brief, repairs=False).layouts[0]
    (kept,) = [bay for bay in layout.bays if bay.start == 63.5]
    assert kept.mid_supports
    assert "boxes" in {item for zone in kept.zones for item in zone.items}


def test_a_pinned_bay_against_both_ends_may_leave_a_scribe() -> None:
    """Its boards reach 96 in, and half an inch is left beside an upright at one end."""
    needs = {"short_hang": 80, "shelf_length": 55, "shelf_spacing": 14, "shelf_depth": 16}
    shelves = "floor:30.75+shelf*4x16@31.5"
    pins = [
        {"wall": "A", "start": 50, "width": 41.5, "pattern": shelves},
        {"wall": "B", "start": 0.75, "width": 96, "pattern": shelves},
        {"wall": "C", "start": 22.75, "width": 40, "pattern": shelves},
    ]
    brief = brief_of(
        [114.25, 98.0, 90.25],
        {**needs, "users": [{"stature": 70}]},
        room={"ceiling_height": 107.75},
        construction={"top_line": "free"},
        pins=pins,
        options={"gap": 0.01},
    )
    layout = propose(brief, repairs=False).layouts[0]
    kept = {(bay.wall, bay.start, bay.width) for bay in layout.bays}
    assert {(pin["wall"], pin["start"], pin["width"]) for pin in pins} <= kept


def _kept(brief: Brief) -> set[tuple[str, float]]:
    """Where the first layout's bays stand."""
    study = propose(brief, repairs=False)
    assert study.layouts, study.warnings
    return {(bay.wall, bay.start) for bay in study.layouts[0].bays}


@pytest.mark.parametrize(("start", "stands"), [(23.0, True), (25.0, False)])
def test_a_pinned_bay_begins_a_scribe_beyond_what_a_corner_takes(
    start: float, stands: bool
) -> None:
    """Shelves 16 in deep run into the corner, hanging 24 in deep further along hides the first 2 in
    of the other wall: its nearest bay is wide enough to be reached, a quarter inch further out.

    Two inches further out there would be a strip of wall behind, which nobody reaches.
    """
    needs = {"long_hang": 30, "medium_hang": 24, "shelf_length": 55, "shelf_depth": 16}
    needs |= {"shelf_spacing": 10, "users": [{"stature": 61}]}
    hanging = {"wall": "A", "start": 1.75, "width": 28.25}
    long = {"wall": "B", "start": start, "width": 35.25, "pattern": LONG_61}
    pins = [{**hanging, "pattern": "floor:19.25+medium@70.25+shelf*2x16@74-84"}, long]
    brief = brief_of([66.75, 96.0], needs, pins=pins, options={"gap": 0.01})
    if stands:
        assert {("A", 1.75), ("B", start)} <= _kept(brief)
    else:
        assert propose(brief, repairs=False).status is Status.INFEASIBLE


LONG_61 = "floor:12.98+long@75.98+shelfx16@84"
"""Long clothes for somebody 61 in tall."""


@pytest.mark.parametrize(("width", "stands"), [(24.375, True), (23.75, False)])
def test_the_scribe_beside_a_pinned_bay_is_part_of_its_opening(width: float, stands: bool) -> None:
    """In the corner 26 in are to be open: bay, upright, and up to an inch of scribe behind it."""
    needs = {"shelf_length": 90, "shelf_spacing": 12, "shelf_depth": 14}
    rules = {"wall_ends": "uprights", "top_line": "free"}
    shelves = "floor:26.75+shelf*3x14@27.5-51.5"
    pins = [
        {"wall": "A", "start": 95.25 - width, "width": width, "pattern": shelves},
        {"wall": "B", "start": 21.75, "width": 60, "pattern": shelves},
    ]
    brief = brief_of(
        [97.0, 99.0], needs, pins=pins, construction=rules, room={"ceiling_height": 65}
    )
    if stands:
        assert {("A", 95.25 - width), ("B", 21.75)} <= _kept(brief)
    else:
        assert propose(brief, repairs=False).status is Status.INFEASIBLE


def test_a_pinned_bay_on_a_mid_support_leaves_the_corner_its_longer_boards() -> None:
    """In a wrapped corner a board that butts is as long as its piece at the corner, up to the mid
    support, and not as long as the bay."""
    needs = {"shelf_length": 60, "shelf_spacing": 12, "shelf_depth": 12}
    shelves = {"pattern": "floor:23.25+shelf*6x12@24-84"}
    pins = [
        {**shelves, "wall": "A", "start": 92.0, "width": 27.75, "right": "wall"},
        {**shelves, "wall": "B", "start": 12.0, "width": 40.5, "left": "corner"},
    ]
    # In the way of triangles under the boards that run through: these get no mid support.
    outlet = {"wall": "A", "start": 100, "width": 3, "bottom": 18.25, "height": 5}
    room = {"obstructions": [{**outlet, "kind": "outlet"}]}
    brief = brief_of([119.75, 89.25], needs, pins=pins, room=room, options={"gap": 0.01})
    assert {("A", 92.0), ("B", 12.0)} <= _kept(brief)

"""How a room is reached: measured with shapely's own geometry, and by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from optimizer.briefs.reader import read_brief
from optimizer.domain.brief import Brief
from optimizer.geometry.access import (
    ClearFloor,
    clear_floors,
    front_distance,
    is_reach_in,
    opened_ranges,
)
from optimizer.geometry.outline import outline_of
from tests.strategies import briefs

CLOSED = ("reach_in", "walk_in", "ell_room", "pier_room")
ROOMS = briefs(shapes=CLOSED, max_items=0, max_obstructions=0)
FEW: dict[str, Any] = {
    "max_examples": 40,
    "suppress_health_check": [HealthCheck.too_slow, HealthCheck.data_too_large],
}


def closed(across: float, deep: float, *openings: dict[str, Any], **rest: Any) -> Brief:
    """A rectangle with walls A (back), B, C (front) and D; openings are in C unless they say."""
    walls = [{"id": n, "length": s} for n, s in zip("ABCD", (across, deep) * 2, strict=True)]
    doors = [{"wall": "C", **opening} for opening in openings]
    room = {"ceiling_height": 96, "walls": walls, "openings": doors, **rest.pop("room", {})}
    return read_brief({"room": room, "needs": {"shelf_length": 40, **rest.pop("needs", {})}})[0]


@settings(**FEW)
@given(ROOMS, st.floats(0.02, 0.98))
def test_what_is_ahead_is_where_a_ray_meets_the_room(brief: Brief, share: float) -> None:
    """From any point of any wall of a closed room, by shapely's intersection."""
    outline = outline_of(brief.room, brief.units)
    room = outline.polygon.exterior
    far = sum(wall.length for wall in outline.walls)
    for index, wall in enumerate(outline.walls):
        along = share * wall.length
        near, out = (outline.to_plan(index, along, d) for d in (1e-4, far))
        met = shapely.LineString([near, out]).intersection(room)
        ahead = shapely.Point(outline.to_plan(index, along, 0.0)).distance(met)
        corners = [outline.to_wall(index, *point)[0] for point in room.coords]
        if min(abs(corner - along) for corner in corners) > 1e-3:
            assert front_distance(outline, index, along) == pytest.approx(ahead, abs=1e-3)


def test_nothing_is_ahead_of_a_single_wall() -> None:
    """An open run of one wall has all the floor before it; of an L, what lies before the other."""
    walls = [{"id": "A", "length": 60}, {"id": "B", "length": 40}]
    raw = {"room": {"ceiling_height": 96, "walls": walls}, "needs": {"shelf_length": 30}}
    outline = outline_of(read_brief(raw)[0].room, read_brief(raw)[0].units)
    assert front_distance(outline, 0, 30.0) == math.inf
    assert front_distance(outline, 1, 20.0) == math.inf


@pytest.mark.parametrize(("deep", "reach_in"), [(47.9, True), (48.0, False)])
def test_a_room_too_shallow_to_stand_in_is_reached_into(deep: float, *, reach_in: bool) -> None:
    """Hanging depth 24 in and an aisle of 24 in: 48 in is where one walks in."""
    brief = closed(72, deep, {"start": 6, "width": 60}, needs={"aisle": 24})
    assert brief.construction.hang_depth == 24
    assert is_reach_in(brief, outline_of(brief.room, brief.units)) is reach_in


def test_one_deep_opening_makes_a_walk_in() -> None:
    """Into the shallow way one reaches, but through the door in the end one walks."""
    side = {"wall": "B", "start": 2, "width": 24}
    brief = closed(72, 30, {"start": 6, "width": 30}, side)
    assert not is_reach_in(brief, outline_of(brief.room, brief.units))


@pytest.mark.parametrize("access", ["walk_in", "reach_in"])
def test_what_the_brief_says_counts(access: str) -> None:
    """Whatever the depth."""
    for deep in (26, 90):
        brief = closed(72, deep, {"start": 6, "width": 30}, room={"access": access})
        found = is_reach_in(brief, outline_of(brief.room, brief.units))
        assert found is (access == "reach_in")


def test_an_open_run_is_no_reach_in() -> None:
    """However near its facing walls are: it is open on one side."""
    walls = [{"id": n, "length": s} for n, s in (("A", 60), ("B", 26), ("C", 60))]
    brief = read_brief({"room": {"ceiling_height": 96, "walls": walls}, "needs": {}})[0]
    assert not is_reach_in(brief, outline_of(brief.room, brief.units))


@pytest.mark.parametrize(
    ("kind", "width", "out"),
    [("cased", 40, 26), ("hinged_in", 40, 40), ("hinged_in", 20, 26), ("hinged_out", 40, 26)],
)
def test_floor_before_a_door_is_as_deep_as_its_leaf_or_the_aisle(
    kind: str, width: float, out: float
) -> None:
    """R6: the opening's width, and out the aisle, or the leaf of a door hinged inwards."""
    opening = {"start": 10, "width": width, "kind": kind}
    brief = closed(90, 80, opening, needs={"aisle": 26})
    assert clear_floors(brief) == (ClearFloor(2, (10.0, 10.0 + width), out),)


def test_only_walls_that_face_an_opening_are_opened() -> None:
    """Across from [10, 40] of the front lies [50, 80] of the back of a room 90 in wide; the side
    walls and the front itself face none."""
    brief = closed(90, 26, {"start": 10, "width": 30})
    outline = outline_of(brief.room, brief.units)
    ranges = [opened_ranges(brief, outline, wall) for wall in range(4)]
    assert ranges == [[(50.0, 80.0)], [], [], []]


@settings(**FEW)
@given(ROOMS)
def test_opened_parts_look_straight_at_an_opening(brief: Brief) -> None:
    """From the middle of each a line straight out comes to the middle of an opening; each is as
    long as that, and a wall has one for each opening it faces."""
    outline = outline_of(brief.room, brief.units)
    (opening,) = brief.room.openings
    source = [wall.id for wall in brief.room.walls].index(opening.wall)
    middle = outline.to_plan(source, opening.start + opening.width / 2, 0.0)
    for index, wall in enumerate(outline.walls):
        ranges = opened_ranges(brief, outline, index)
        along, out = outline.to_wall(index, *middle)
        normal, other = wall.normal, outline.walls[source].normal
        facing = normal[0] == -other[0] and normal[1] == -other[1] and out > 1e-6
        assert len(ranges) == int(facing)
        for low, high in ranges:
            assert (low + high) / 2 == pytest.approx(along)
            assert high - low == pytest.approx(opening.width)

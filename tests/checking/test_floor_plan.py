"""Walls in plan as the checker sees them: closing, facing, and how a room is served."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.checking.case import case_of
from optimizer.checking.floor_plan import FloorPlan, plan_of
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.room import Opening, Room
from optimizer.units import Units
from tests.checking.parts import Data
from tests.checking.samples import SAMPLES, edit


def plan(*lengths: float, outside: str = "") -> FloorPlan:
    """Walls A, B, C... of these lengths; those named in `outside` end at an outside corner."""
    walls = [
        {"id": name, "length": length, "corner": "outside" if name in outside else "inside"}
        for name, length in zip("ABCDEFGH", lengths, strict=False)
    ]
    return plan_of(Room.model_validate({"ceiling_height": 96, "walls": walls}), Units.INCH)


def brief_of(data: Data, changes: dict[str, Any]) -> Brief:
    """The brief of a sample with changes."""
    return Brief.model_validate(edit(data, changes)["brief"])


def served_from_outside(brief: Brief) -> bool:
    """Whether a brief's room counts as a reach-in."""
    return case_of(brief, Layout()).reach_in


def test_rectangle_runs_clockwise_from_the_origin() -> None:
    """Wall 0 along +x, the room on its right, that is below it."""
    box = plan(72, 24, 72, 24)
    assert box.closed
    assert [line.origin for line in box.walls] == [(0, 0), (72, 0), (72, -24), (0, -24)]
    assert [line.normal for line in box.walls] == [(0, -1), (-1, 0), (0, 1), (1, 0)]
    assert box.outline().area == 72 * 24


def test_almost_closed_room_is_closed_by_shortening() -> None:
    """The last wall of the direction that is too long gives way, along x and along y."""
    box = plan(72, 24.25, 72.5, 24)
    assert box.closed
    assert [line.length for line in box.walls] == [72, 24, 72, 24]
    assert box.walls[3].point(24, 0) == (0, 0)


@pytest.mark.parametrize(("length", "closed"), [(72.5, True), (72.51, False)])
def test_half_an_inch_is_the_limit(length: float, closed: bool) -> None:
    """Beyond it the walls are an open run, each of its full length."""
    box = plan(72, 24, length, 24)
    assert box.closed is closed
    assert box.walls[2].length == (72 if closed else length)


def test_corners_decide_on_closing_too() -> None:
    """Four walls that end where they began but turn through less are an open run."""
    assert not plan(40, 20, 40, 20, outside="D").closed
    assert plan(40, 12, 16, 12, 40, 90, 96, 90, outside="BC").closed


def test_inside_corners_of_a_closed_room_include_the_last() -> None:
    """An open run has no corner after its last wall."""

    def pairs(walls: FloorPlan) -> list[str]:
        return [a.wall.id + b.wall.id for a, b in walls.inside_corners()]

    assert pairs(plan(72, 24, 72, 24)) == ["AB", "BC", "CD", "DA"]
    assert pairs(plan(72, 24, 72)) == ["AB", "BC"]
    assert pairs(plan(60, 6, 12, 60, outside="B")) == ["AB", "CD"]


def test_across_is_the_nearest_facing_wall() -> None:
    """Before the pier the room is shallower by its depth."""
    room = plan(40, 12, 16, 12, 40, 90, 96, 90, outside="BC")
    door_wall = room.walls[6]
    seen = [room.across(door_wall, along) for along in (20.0, 48.0, 76.0)]
    assert [(hit[0], hit[1].wall.id) for hit in seen if hit] == [(90, "E"), (78, "C"), (90, "A")]
    assert plan(72, 24).across(plan(72, 24).walls[0], 10.0) is None


def test_pier_hides_what_is_behind_it() -> None:
    """Of the back wall one sees what lies straight across and not behind the pier."""
    room = plan(40, 12, 16, 12, 40, 90, 96, 90, outside="BC")
    opening = Opening.model_validate({"wall": "G", "start": 30, "width": 36})
    seen = {line.wall.id: room.seen_through(opening, line) for line in room.walls}
    # The opening runs from x = 30 to x = 66; A is 0 to 40, the pier 40 to 56, E from 56.
    assert {name: spans for name, spans in seen.items() if spans} == {
        "A": [(30, 40)],
        "C": [(0, 16)],
        "E": [(0, 10)],
    }


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({}, True),
        ({"/brief/room/walls/0/length": 47.9, "/brief/room/walls/2/length": 47.9}, True),
        ({"/brief/room/walls/0/length": 48, "/brief/room/walls/2/length": 48}, False),
        ({"/brief/needs/aisle": 0, "/brief/room/walls/0/length": 24}, False),
        ({"/brief/room/access": "walk_in"}, False),
        ({"/brief/room/openings": []}, False),
        ({"/brief/room/openings/-": {"wall": "A", "start": 0, "width": 20}}, False),
        ({"/brief/room/openings/-": {"wall": "B", "start": 0, "width": 20}}, True),
        ({"/brief/room/walls/3/length": 60}, False),
    ],
)
def test_reach_in_is_what_is_shallow_behind_every_opening(
    changes: dict[str, Any], expected: bool
) -> None:
    """Less than hanging depth and aisle, 48 in here; open runs and rooms without are not."""
    assert served_from_outside(brief_of(SAMPLES["reach_in"](), changes)) is expected


def test_access_of_the_brief_overrules() -> None:
    """A big room is a reach-in when its brief says so."""
    assert not served_from_outside(brief_of(SAMPLES["walk_in"](), {}))
    assert served_from_outside(brief_of(SAMPLES["walk_in"](), {"/brief/room/access": "reach_in"}))


def test_walls_that_cross_are_unsound() -> None:
    """A run that passes through itself, and one that does not."""
    assert plan(60, 30, 60, 20).sound
    assert not plan(60, 30, 30, 90).sound


def test_last_wall_of_a_direction_is_shortened() -> None:
    """Of two walls that go the same way, the later one gives way."""
    room = plan(40, 12, 16, 12, 40.25, 90, 96, 90, outside="BC")
    assert room.closed
    assert [line.length for line in room.walls] == [40, 12, 16, 12, 40, 90, 96, 90]


def test_nearest_of_two_facing_walls_is_across() -> None:
    """Through a spur of wall one does not see the wall behind it."""
    run = plan(60, 30, 40, 30, 40, 30, 60, outside="CD")
    # C stands 30 in before A; the run goes back on its other side and faces A again as G.
    hits = [run.across(run.walls[0], along) for along in (45.0, 10.0)]
    assert [(hit[0], hit[1].wall.id) for hit in hits if hit] == [(30, "C"), (90, "G")]

"""R9: ways through the free floor, from the door or from the open side to every front."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.checking import check_layout
from tests.checking.parts import Data, bay, double_hang, stack
from tests.checking.samples import BETWEEN_UPRIGHTS, parse


def codes(walls: list[Any], bays: list[Data], **more: Any) -> dict[str, set[str]]:
    """Codes found for each bay in a room of these walls (length, or length and corner)."""
    rows = []
    for name, wall in zip("ABCDEFGHIJKL", walls, strict=False):
        length, corner = wall if isinstance(wall, tuple) else (wall, "inside")
        rows.append({"id": name, "length": length, "corner": corner})
    needs = {"aisle": more.pop("aisle", 24), "short_hang": 10}
    brief = {
        "room": {"ceiling_height": 96, "walls": rows, **more},
        "needs": needs,
        "construction": BETWEEN_UPRIGHTS,
    }
    found: dict[str, set[str]] = {}
    for fault in check_layout(*parse({"brief": brief, "layout": {"bays": bays}})):
        step = fault.pointer.split("/")
        found.setdefault(bays[int(step[2])]["id"], set()).add(fault.code)
    return found


def hall_walls(neck: float) -> list[Any]:
    """A room 96 x 72 in with a hall 60 in long and `neck` wide on its far side, wall E its end."""
    side = (96 - neck) / 2
    return [96, 72, (side, "outside"), 60, neck, (60, "outside"), side, 72]


@pytest.mark.parametrize(
    ("neck", "reached"), [(30, True), (24, True), (23, True), (22.9, False), (12, False)]
)
def test_hall_must_be_wide_enough(neck: float, reached: bool) -> None:
    """A way of 24 in less 1 in of tolerance leads through a hall of 23 in and no less."""
    door = {"wall": "E", "start": 0, "width": neck}
    found = codes(
        hall_walls(neck),
        [bay("A1", "A", 30.0, 30.0, double_hang(96.0))],
        openings=[door],
        access="walk_in",
    )
    assert found == ({} if reached else {"A1": {"access"}})


def test_narrower_aisle_asks_for_less() -> None:
    """Who asks for an aisle of 16 in gets through a hall of 15 in."""
    bays = [bay("A1", "A", 30.0, 30.0, double_hang(96.0))]
    room = {"openings": [{"wall": "E", "start": 0, "width": 15}], "access": "walk_in"}
    assert codes(hall_walls(15), bays, aisle=16, **room) == {}
    assert codes(hall_walls(14.9), bays, aisle=16, **room) == {"A1": {"access"}}


def test_wider_aisle_asks_for_no_wider_way() -> None:
    """An aisle of 36 in is for standing before a bay; 24 in are a way."""
    bays = [bay("A1", "A", 30.0, 30.0, double_hang(96.0))]
    room = {"openings": [{"wall": "E", "start": 0, "width": 24}], "access": "walk_in"}
    assert codes(hall_walls(24), bays, aisle=36, **room) == {}


def test_narrow_door_into_a_wide_room_is_a_way_in() -> None:
    """The door itself may be narrower than the way, right beside a corner too."""
    bays = [bay("A1", "A", 30.0, 30.0, double_hang(96.0))]
    for start in (0, 40, 78):
        door = {"wall": "C", "start": start, "width": 18}
        assert codes([96, 72, 96, 72], bays, openings=[door]) == {}


def test_second_door_serves_what_the_first_does_not() -> None:
    """Two rooms joined by a gap of 12 in: each front is reached by its own door."""
    walls = hall_walls(12)
    bays = [bay("A1", "A", 30.0, 30.0, double_hang(96.0))]
    doors = [{"wall": "E", "start": 0, "width": 12}, {"wall": "B", "start": 40, "width": 30}]
    assert codes(walls, bays, openings=doors[:1]) == {"A1": {"access"}}
    assert codes(walls, bays, openings=doors) == {}


def test_shallow_bay_between_deep_ones_is_reached() -> None:
    """One stands in the aisle and reaches in past the neighbours, however narrow it is."""
    bays = [
        bay("A1", "A", 0.75, 30.0, double_hang(96.0)),
        bay("A2", "A", 31.5, 14.0, stack(96.0, 12.0)),
        bay("A3", "A", 46.25, 30.0, double_hang(96.0)),
    ]
    door = {"wall": "C", "start": 30, "width": 30}
    assert codes([96, 84, 96, 84], bays, openings=[door]) == {}
    assert codes([96], bays) == {}


def test_open_run_is_entered_from_its_open_side() -> None:
    """No opening is needed there, however far the last wall goes."""
    bays = [bay("B1", "B", 20.0, 30.0, double_hang(96.0))]
    assert codes([96, 84, 40], bays) == {}
    assert codes([96, 84, 120], bays) == {}


def test_open_run_shut_to_a_gap_is_no_way_in() -> None:
    """Four walls that leave 20 in between the last and the first keep people out; 23 in do not."""
    bays = [bay("B1", "B", 20.0, 30.0, double_hang(96.0))]
    assert codes([96, 84, 96, 64 - 3], bays) == {}
    assert codes([96, 84, 96, 64], bays) == {"B1": {"access"}}
    door = {"wall": "C", "start": 30, "width": 30}
    assert codes([96, 84, 96, 64], bays, openings=[door]) == {}


def test_bays_shut_the_open_side() -> None:
    """Two deep bays at the ends of the walls leave 19 in between them: the rest is shut off."""
    ends = [
        bay("A1", "A", 0.75, 30.0, double_hang(96.0)),
        bay("C1", "C", 65.25, 30.0, double_hang(96.0)),
    ]
    inner = [bay("B1", "B", 20.0, 30.0, stack(96.0, 12.0))]
    assert codes([96, 69, 96], ends + inner, aisle=21) == {}
    assert codes([96, 67, 96], ends + inner, aisle=21) == {
        "A1": {"aisle", "access"},
        "B1": {"access"},
        "C1": {"aisle", "access"},
    }


def test_wall_of_an_open_run_cannot_be_walked_through() -> None:
    """A run bent into a pocket 20 in wide, closed at its end, keeps its inner bay shut."""
    pocket = [60, 20, 60]
    bays = [bay("B1", "B", 0.75, 18.5, stack(96.0, 12.0))]
    assert codes(pocket, bays) == {"B1": {"access"}}
    assert codes(pocket, bays, aisle=20) == {}


def test_narrow_door_between_bays_is_a_way_in() -> None:
    """Where a door of 18 in lets one through, the floor before it does too."""
    bays = [
        bay("C1", "C", 8.25, 30.0, double_hang(96.0)),
        bay("C2", "C", 57.75, 30.0, double_hang(96.0)),
    ]
    # Both bays end 24 in out, as does the floor that stays clear before the door.
    door = {"wall": "C", "start": 39, "width": 18}
    assert codes([96, 72, 96, 72], bays, openings=[door]) == {}


@pytest.mark.parametrize(("depth", "shut"), [(24.0, True), (12.0, False)])
def test_exit_of_the_floor_before_a_door_stays_free(depth: float, shut: bool) -> None:
    """A bay over 8 of the 18 in through which one comes in leaves no way as wide as the door."""
    walls = [96, 72, (16, "outside"), 24, 18, (24, "outside"), 62, 72]
    bays = [bay("B1", "B", 40.5, 30.0, stack(96.0, depth))]
    door = {"wall": "E", "start": 0, "width": 18}
    found = codes(walls, bays, openings=[door], access="walk_in")
    assert found == ({"B1": {"access"}} if shut else {})


def test_bay_across_the_aisle_is_in_front_though_one_can_pass() -> None:
    """26 in between two bays at a corner are a way, but no open front where 36 in are asked."""
    walls = [60, (6, "outside"), 12, 90]
    bays = [
        bay("A1", "A", 44.0, 15.0, stack(96.0, 12.0)),
        bay("D1", "D", 32.75, 30.0, double_hang(96.0)),
    ]
    assert codes(walls, bays, aisle=24) == {}
    assert codes(walls, bays, aisle=36) == {"A1": {"access"}}


@pytest.mark.parametrize(("start", "reached"), [(20.0, True), (21.0, False)])
def test_way_between_two_corners_is_their_distance(start: float, reached: bool) -> None:
    """Slantwise between a bay's corner and another's one passes by the straight distance."""
    # The corners of both are 9.25 in apart one way, 21.25 or 20.25 in the other.
    bays = [
        bay("C1", "C", 34.0, 30.0, stack(96.0, 12.0)),
        bay("B1", "B", start, 30.0, double_hang(96.0)),
    ]
    door = {"wall": "C", "start": 0, "width": 30}
    found = codes([96, 84, 96, 84], bays, openings=[door])
    assert found == ({} if reached else {"B1": {"access"}, "C1": {"access"}})


def test_door_sweeps_no_floor_behind_a_wall() -> None:
    """A leaf longer than its hall is deep does not reach the bay behind the hall's far wall."""
    # Hall 40 in deep above, room below, a wall 2 in thick between them up to a passage.
    walls = [120, 90, 120, 48, (90, "outside"), (2, "outside"), 90, 40]
    door = {"wall": "A", "start": 10, "width": 46, "kind": "hinged_in"}
    bays = [bay("E1", "E", 20.0, 30.0, stack(96.0, 12.0))]
    assert codes(walls, bays, openings=[door], access="walk_in") == {}
    in_the_hall = [bay("G1", "G", 50.0, 30.0, stack(96.0, 12.0))]
    assert codes(walls, in_the_hall, openings=[door], access="walk_in") == {"G1": {"opening_floor"}}

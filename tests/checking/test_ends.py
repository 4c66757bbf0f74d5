"""R16: what may carry a bay's end besides an upright."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.checking import check_layout
from tests.checking.parts import Data, bay, hang_under, levels
from tests.checking.samples import DELETE, drawing, parse
from tests.checking.test_mutations import BAYS, RULES, THINGS, WALLS


def beside(
    side_wall: float, zones: list[Data], construction: Data | None = None, **room: Any
) -> set[str]:
    """Codes for one bay from wall to wall, the side wall on its left of this length."""
    walls = [
        {"id": "A", "length": side_wall},
        {"id": "B", "length": 60, "studs": {"positions": [20, 40]}},
        {"id": "C", "length": 40},
    ]
    row = bay("B1", "B", 0.0, 60.0, zones, left="wall", right="wall", mid_supports=[20.0, 40.0])
    brief = {
        "room": {"ceiling_height": 96, "walls": walls, **room},
        "needs": {"shelf_length": 10},
        "construction": construction or {},
    }
    return {
        fault.code for fault in check_layout(*parse({"brief": brief, "layout": {"bays": [row]}}))
    }


@pytest.mark.parametrize(
    ("length", "carries"), [(10, False), (11.9, False), (12, True), (24, True)]
)
def test_short_return_carries_no_deep_boards(length: float, carries: bool) -> None:
    """A side wall is at least as long as the boards on it are deep."""
    assert beside(length, levels(96.0, 12.0)) == (set() if carries else {"ends"})


@pytest.mark.parametrize(
    ("overlap", "length", "carries"),
    [(2, 13, False), (2, 14, True), (5, 16.5, False), (5, 17, True)],
)
def test_rod_needs_a_side_wall_past_its_socket(
    overlap: float, length: float, carries: bool
) -> None:
    """The cleat of a rod 12 in from the wall reaches as much further as the brief asks for."""
    found = beside(length, hang_under(84.0, 96.0, "short"), {"rod_overlap": overlap})
    assert found == (set() if carries else {"ends"})


def door(start: float, height: float) -> list[Data]:
    """A doorway in the side wall 30 in long, `start` from its far end."""
    return [{"wall": "A", "start": start, "width": 10, "height": height, "casing": 2}]


def test_end_beside_a_door_is_carried_by_an_upright() -> None:
    """A doorway with its casing takes the wall where cleats would go, however far out."""
    boards = levels(96.0, 12.0)
    # The corner is at 30 in: cleats take 18 to 30 in of the wall, the casing ends at `start` + 12.
    assert beside(30, boards, openings=door(5, 80)) == set()
    assert beside(30, boards, openings=door(6.5, 80)) == {"ends"}


def test_board_over_a_door_lies_on_the_wall_over_it() -> None:
    """What is above an opening and its casing is wall again."""
    shelf = [{**levels(96.0, 12.0)[-1]}]
    # The cleat of the board at 84 in starts 81.25 in up.
    assert "ends" not in beside(30, shelf, openings=door(10, 79.25))
    assert "ends" in beside(30, shelf, openings=door(10, 79.5))


def test_upper_rod_hangs_on_the_cleat_of_its_board() -> None:
    """A window that ends between the rod's own cleat and the board is in the way all the same."""
    window = {"wall": "C", "start": 12.5, "width": 1, "height": 0.3, "kind": "window"}
    rods = hang_under(84.0, 96.0, "short", "short")
    # 12.5 in out only a rod's cleat reaches: 78.5 to 83.25 and 38.5 to 42 in up. What hangs
    # there is in the way of the window all along.
    for bottom, wanted in ((82.5, True), (78.6, True), (42.2, False), (41.8, True), (38.3, True)):
        found = beside(30, rods, obstructions=[{**window, "bottom": bottom}])
        assert ("ends" in found) is wanted, bottom


def test_wall_beside_must_turn_inwards() -> None:
    """A wall that ends free, or at an outside corner, has nothing to carry with."""
    first = {f"{BAYS}/0/left": "wall", f"{BAYS}/0/start": 0.0, f"{BAYS}/0/width": 30.75}
    free = drawing("single", {f"{RULES}/wall_ends": "cleats", **first})
    assert [fault.code for fault in check_layout(*free)] == ["ends"]
    face = {f"{BAYS}/1/left": "wall", f"{BAYS}/1/start": 0.0, f"{BAYS}/1/width": 14.75}
    outside = drawing("pier", {f"{RULES}/wall_ends": "cleats", **face})
    assert [fault.code for fault in check_layout(*outside)] == ["ends"]


def test_end_says_where_and_how_much() -> None:
    """The sentence a builder reads."""
    drawn = drawing("pantry", {f"{BAYS}/1/start": 13.0, f"{BAYS}/1/width": 53.0})
    first = check_layout(*drawn)[0]
    assert (first.pointer, first.detail) == (
        "/bays/1/left",
        "the left end of bay B1 lies 13 in from the corner; the board of bay A1 at 12 in is 12 in "
        "deep",
    )
    low = drawing("pantry", {f"{WALLS}/2/height": 83})
    assert check_layout(*low)[0].detail == (
        "the right end of bay B1 has no wall behind the cleat on wall C for the board at 84 in: "
        "it is 83 in high there"
    )


def test_covered_things_leave_room_for_cleats() -> None:
    """What storage may stand before does not keep a cleat away either."""
    plate = {"wall": "C", "start": 2, "width": 4, "bottom": 81.5, "height": 1}
    found = {fault.code for fault in check_layout(*drawing("alcove", {THINGS: [plate]}))}
    assert found == {"ends", "obstruction"}
    assert check_layout(*drawing("alcove", {THINGS: [{**plate, "may_cover": True}]})) == ()


def test_wrapped_corner_may_run_the_other_way() -> None:
    """Either wall's boards may run through; the others end at their front edge."""
    other_way = {
        f"{BAYS}/0/width": 72.0,
        f"{BAYS}/0/right": "corner",
        f"{BAYS}/0/zones/2/items": [],
        f"{BAYS}/1/start": 0.0,
        f"{BAYS}/1/width": 66.0,
        f"{BAYS}/1/left": "wall",
        f"{WALLS}/1/studs/positions": [16, 32, 48],
        f"{BAYS}/1/mid_supports": [16.0, 32.0, 48.0],
    }
    assert check_layout(*drawing("pantry", other_way)) == ()
    neither = drawing("pantry", {**other_way, f"{BAYS}/1/left": "corner"})
    assert "ends" in {fault.code for fault in check_layout(*neither)}


def test_boards_of_two_depths_butt_against_none() -> None:
    """A shallower board of the bay behind ends before those cut to meet the others."""
    shallow = {f"{BAYS}/0/zones/3/depth": 11.0}
    assert {fault.code for fault in check_layout(*drawing("pantry", shallow))} == {"ends"}


def test_bay_behind_may_have_more_boards() -> None:
    """Only the butting boards need one of their height."""
    fewer = {f"{BAYS}/1/zones/2": DELETE}
    assert check_layout(*drawing("pantry", fewer)) == ()
    behind = {f"{BAYS}/0/zones/3": DELETE}
    assert [f.code for f in check_layout(*drawing("pantry", behind))] == ["ends"]

"""R7: what uprights wall off, and what a hand still comes to."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.checking import check_layout
from tests.checking.parts import Data, bay, double_hang, floor, levels, shelf
from tests.checking.samples import drawing, parse
from tests.checking.test_mutations import BAYS, RULES, THINGS, WALLS

CORNER_STUDS = {"A": [16, 32, 48, 64, 80], "B": [17, 34, 51]}

DEEP = {"rod_overlap": 12}
"""Uprights of hanging bays as deep as the clothes: 12 in past a rod 12 in from the wall."""


def room(bays: list[Data], **more: Any) -> Data:
    """A closed room 96 x 84 in with a doorway in wall C, and these bays in it."""
    walls: list[Data] = []
    for name, length in (("A", 96), ("B", 84), ("C", 96), ("D", 84)):
        wall: Data = {"id": name, "length": length}
        if name in CORNER_STUDS:
            wall["studs"] = {"positions": CORNER_STUDS[name]}
        walls.append(wall)
    rules = more.pop("construction", {})
    openings = [{"wall": "C", "start": 30, "width": 30}]
    return {
        "brief": {
            "room": {"ceiling_height": 96, "walls": walls, "openings": openings, **more},
            "needs": {"shelf_length": 10},
            "construction": rules,
        },
        "layout": {"bays": bays},
    }


def found(bays: list[Data], **more: Any) -> list[str]:
    """Codes of what is found in that room."""
    return [fault.code for fault in check_layout(*parse(room(bays, **more)))]


def around_corner(gap: float) -> list[Data]:
    """Shelves 16 in deep that end with uprights `gap` from the corner of walls A and B."""
    boards = levels(96.0, 16.0)
    start = gap + 0.75
    return [
        bay("A1", "A", 96.0 - gap - 0.75 - 24.0, 24.0, boards),
        bay("B1", "B", start, 24.0, boards),
    ]


def wrapped() -> list[Data]:
    """The same corner with shelves that run through on wall A."""
    boards = levels(96.0, 16.0)
    return [
        bay("A1", "A", 56.0, 40.0, boards, right="wall", mid_supports=[64.0, 80.0]),
        bay("B1", "B", 16.0, 24.0, boards, left="corner", mid_supports=[34.0]),
    ]


def test_shaft_in_a_corner_is_refused_and_a_wrapped_corner_is_not() -> None:
    """16 x 16 in between two uprights and two walls; the same corner with boards through it."""
    assert found(around_corner(16.0)) == ["pocket"]
    assert found(wrapped()) == []


@pytest.mark.parametrize(
    ("gap", "open_"), [(16.0, False), (18.8, False), (18.9, True), (22.0, True)]
)
def test_hand_comes_between_two_uprights(gap: float, open_: bool) -> None:
    """From one front edge to the other counts the straight distance, and 4 in is a hand."""
    # Both ways the edges are `gap` - 16 apart: 4 in straight is 2.83 in both ways.
    assert found(around_corner(gap)) == ([] if open_ else ["pocket"])


def test_pocket_is_told_with_its_size_and_its_upright() -> None:
    """The sentence a builder reads; the very corner of a room no round hand comes to anyway."""
    fault = check_layout(*parse(room(around_corner(16.0))))[0]
    assert fault.pointer in ("/bays/0", "/bays/1")
    side = {"/bays/0": "right upright of bay A1", "/bays/1": "left upright of bay B1"}
    assert fault.detail == (
        f"beside the {side[fault.pointer]} 255 sq in of floor are walled off: a hand 4 in wide "
        "does not come there, and less than 60 sq in may be lost in one piece"
    )


@pytest.mark.parametrize(("gap", "lost"), [(2.5, False), (2.7, True), (3.9, True), (4.0, False)])
def test_slit_beside_a_wall(gap: float, lost: bool) -> None:
    """Beside a bay 24 in deep a slit holds 60 sq in from 2-1/2 in on, and a hand from 4 in on."""
    rules = {"wall_ends": "uprights", "top_line": "free"}
    row = [bay("D1", "D", 84.0 - gap - 0.75 - 30.0, 30.0, double_hang(96.0))]
    # Uprights as deep as what hangs; cut short past the rod they hide too little.
    assert found(row, construction=rules | DEEP) == (["pocket"] if lost else [])
    assert found(row, construction=rules) == []


def test_bay_too_narrow_for_a_hand_is_a_pocket_itself() -> None:
    """What lies between the uprights of one bay counts too."""
    rules = {"min_bay_width": 3}
    assert found([bay("D1", "D", 40.0, 3.5, levels(96.0, 24.0))], construction=rules) == ["pocket"]
    assert found([bay("D1", "D", 40.0, 4.0, levels(96.0, 24.0))], construction=rules) == []


def test_what_the_room_itself_keeps_from_a_hand_is_no_fault() -> None:
    """A recess 3 in wide and 30 in deep is there without any layout."""
    walls = [
        {"id": "A", "length": 96}, {"id": "B", "length": 41}, {"id": "C", "length": 30,
        "corner": "inside"}, {"id": "D", "length": 84},
    ]  # fmt: skip
    walls = [
        {"id": name, "length": length, "corner": corner}
        for name, length, corner in (
            ("A", 96, "inside"), ("B", 40, "outside"), ("C", 30, "inside"), ("D", 3, "inside"),
            ("E", 30, "outside"), ("F", 41, "inside"), ("G", 96, "inside"), ("H", 84, "inside"),
        )
    ]  # fmt: skip
    row = [bay("A1", "A", 40.0, 24.0, levels(96.0, 12.0))]
    doors = [{"wall": "G", "start": 30, "width": 30}]
    assert found(row, walls=walls, openings=doors) == []


def duct(**more: Any) -> Data:
    """A duct box in the corner of walls A and B, floor to ceiling."""
    return {
        "wall": "A", "start": 80, "width": 16, "bottom": 0, "height": 96, "projection": 16,
        "kind": "other", **more,
    }  # fmt: skip


def test_duct_box_in_a_corner_is_no_pocket() -> None:
    """What fills the corner from floor to ceiling is not lost; a shelf-high stub is lost above."""
    assert found(around_corner(16.0), obstructions=[duct()]) == []
    assert found(around_corner(16.0), obstructions=[duct(bottom=60, height=36)]) == ["pocket"]


def test_duct_box_walls_off_what_is_behind_it() -> None:
    """A hand does not pass a duct, but over a radiator."""
    # 10 in are left beside the corner; the box in front of them leaves 2 in open.
    bays = [bay("A1", "A", 61.0, 24.0, levels(96.0, 24.0))]
    box = {**duct(), "wall": "B", "start": 16, "width": 8, "projection": 8}
    assert found(bays, obstructions=[box]) == ["pocket"]
    assert found(bays, obstructions=[{**box, "height": 30}]) == []


@pytest.mark.parametrize("kind", ["outlet", "switch", "vent"])
def test_fixture_in_a_slit_is_out_of_reach(kind: str) -> None:
    """A slit too small to be a pocket still hides an outlet or a switch, and no vent is handled."""
    rules = {"wall_ends": "uprights", "top_line": "free", **DEEP}
    row = [bay("D1", "D", 84.0 - 2.25 - 0.75 - 30.0, 30.0, double_hang(96.0))]
    thing = {"wall": "A", "start": 15, "width": 3, "bottom": 40, "height": 5, "kind": kind}
    codes = found(row, construction=rules, obstructions=[thing])
    assert codes == ([] if kind == "vent" else ["out_of_reach"])
    further = {**thing, "start": 24}
    assert found(row, construction=rules, obstructions=[further]) == []


def test_fixture_between_the_uprights_of_a_bay_is_in_reach() -> None:
    """An outlet at the back of a bay is handled from its front."""
    row = [bay("A1", "A", 40.0, 24.0, [floor(30.0), shelf(72.0, 96.0, 12.0), shelf(84, 96, 12.0)])]
    row = [bay("A1", "A", 40.0, 24.0, [floor(60.0), shelf(84.0, 96.0, 12.0)])]
    outlet = {"wall": "A", "start": 50, "width": 3, "bottom": 12, "height": 5, "kind": "outlet"}
    assert found(row, obstructions=[outlet]) == []


def test_hand_comes_into_a_reach_in_through_its_opening() -> None:
    """Uprights as deep as the room is shut off what lies behind a return."""
    deep = {f"{RULES}/rod_overlap": 12, f"{RULES}/min_hang_width": 11}
    behind = {f"{BAYS}/0/width": 11.25, **deep}
    # The opening takes 12 to 60 in of wall D, across from 12 to 60 in of wall B.
    shut = drawing("reach_in", {**behind, f"{BAYS}/1/start": 12.75, f"{BAYS}/1/width": 20.0})
    assert "pocket" in {fault.code for fault in check_layout(*shut)}
    wide = {f"{BAYS}/0/width": 15.25, **deep, THINGS: []}
    assert "pocket" not in {f.code for f in check_layout(*drawing("reach_in", wide))}
    deeper = {f"{WALLS}/0/length": 29, f"{WALLS}/2/length": 29}
    assert "pocket" not in {f.code for f in check_layout(*drawing("reach_in", behind | deeper))}


def test_open_run_is_reached_from_its_open_side() -> None:
    """Two walls that meet: the shaft in their corner is one as in a closed room."""

    def codes(bays: list[Data]) -> list[str]:
        walls = [{"id": "A", "length": 96}, {"id": "B", "length": 84}]
        brief = {"room": {"ceiling_height": 96, "walls": walls}, "needs": {"shelf_length": 10}}
        return [f.code for f in check_layout(*parse({"brief": brief, "layout": {"bays": bays}}))]

    assert codes(around_corner(16.0)) == ["pocket"]
    assert codes(around_corner(22.0)) == []

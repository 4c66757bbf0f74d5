"""What the reader warns of: each warning with its pointer, and silence without cause."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.briefs.reader import read_brief
from optimizer.domain.study import Warned
from tests.briefs.changes import ALCOVE_IN, ALCOVE_MM, REACH_IN, WALK_IN, changed

LAMP = {"wall": "A", "start": 40, "width": 8, "bottom": 90, "height": 6, "kind": "light"}
LAMP_OUT = {"setback": 40, "projection": 48, "luminaire": "open_lamp"}
VENT = {"wall": "A", "start": 40, "width": 8, "bottom": 90, "height": 6, "kind": "vent"}
BLANKETS = {"id": "blankets", "width": 20, "depth": 14, "height": 10, "place": "shelf"}


def warned(data: Any) -> tuple[Warned, ...]:
    """Warnings of sound data."""
    return read_brief(data)[1]


def test_nothing_to_warn_of() -> None:
    """A sound walk-in with studs located draws no warning at all."""
    assert warned(WALK_IN) == ()


CASES: list[tuple[str, dict[str, Any], str, str]] = [
    ("readings", {"/room/walls/0/length": [96.375, 96]}, "reading_spread", "/room/walls/0/length"),
    ("square", {"/room/walls/0/length": 96.25}, "out_of_square", "/room/walls"),
    ("high wall", {"/room/walls/0/height": 98}, "above_ceiling", "/room/walls/0/height"),
    (
        "high slope",
        {"/room/walls/0/height": {"left": 96.5, "right": 96}},
        "above_ceiling",
        "/room/walls/0/height/left",
    ),
    ("soffit", {"/room/walls/0/height": 90}, "lower_wall", "/room/walls/0/height"),
    ("no studs", {"/room/walls/1/studs": None}, "studs_assumed", "/room/walls"),
    (
        "odd studs",
        {"/room/walls/3/studs/spacing": 40},
        "stud_spacing",
        "/room/walls/3/studs/spacing",
    ),
    (
        "first stud",
        {"/room/walls/3/studs": {"spacing": 16}},
        "stud_first_unknown",
        "/room/walls/3/studs",
    ),
    (
        "open lamp",
        {"/room/obstructions": [LAMP | LAMP_OUT]},
        "light_not_allowed",
        "/room/obstructions/0/luminaire",
    ),
    (
        "covered vent",
        {"/room/obstructions": [VENT | {"may_cover": True}]},
        "covered",
        "/room/obstructions/0/may_cover",
    ),
    (
        "casing past the wall",
        {"/room/openings/0/start": 1, "/room/openings/0/casing": 2.25},
        "casing_in_the_way",
        "/room/openings/0/casing",
    ),
    (
        "door swing",
        {"/room/walls/1/length": 90, "/room/walls/3/length": 90, "/room/openings/0/width": 91,
         "/room/openings/0/start": 2},
        "door_swing",
        "/room/openings/0/kind",
    ),
    ("narrow way in", {"/room/openings/0/width": 22}, "narrow_way_in", "/room/openings/0/width"),
    (
        "chair",
        {"/room/openings/0/width": 30, "/needs/accessible_reach": True},
        "narrow_for_chair",
        "/room/openings/0/width",
    ),
    ("aisle", {"/needs/aisle": 30}, "aisle_tight", "/needs/aisle"),
    ("low room", {"/room/ceiling_height": 60, "/room/openings/0/height": 60,
      "/needs/long_hang": 20}, "hang_does_not_fit", "/needs/long_hang"),
    (
        "garment out of reach",
        {"/needs/garments": [{"kind": "gown", "count": 2}], "/needs/accessible_reach": True},
        "hang_does_not_fit",
        "/needs/garments/0",
    ),
    (
        "double hang",
        {"/needs/users": [{"stature": 58}]},
        "double_hang_out_of_reach",
        "/needs/users",
    ),
    (
        "heavy on a shelf",
        {"/needs/items": [BLANKETS | {"weight_lb": 25}]},
        "heavy_on_shelf",
        "/needs/items/0/place",
    ),
]  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "code", "pointer"), [case[1:] for case in CASES], ids=[case[0] for case in CASES]
)
def test_one_warning(changes: Any, code: str, pointer: str) -> None:
    """One cause in a sound walk-in draws one warning there."""
    found = [(w.code, w.pointer) for w in warned(changed(WALK_IN, changes))]
    assert (code, pointer) in found
    assert len(found) == len(set(found)) == 1


def test_aisle_names_the_handbook_and_its_figure() -> None:
    """The warning of an aisle gives the published figure with its source."""
    (warning,) = warned(changed(WALK_IN, {"/needs/aisle": 24}))
    assert "Panero and Zelnik, Human Dimension and Interior Space, 2.3 (36 in)" in warning.detail
    assert "24 in" in warning.detail


@pytest.mark.parametrize(
    ("base", "aisle", "expected"),
    [
        (WALK_IN, 35.9, 1),
        (WALK_IN, 36, 0),
        (ALCOVE_IN, 24, 1),
        (ALCOVE_MM, 899, 1),
        (ALCOVE_MM, 900, 0),
        (REACH_IN, 24, 0),
    ],
)
def test_aisle_limit(base: Any, aisle: float, expected: int) -> None:
    """Under 36 in or 900 mm it is reported, but not in a reach-in, which asks for none."""
    found = warned(changed(base, {"/needs/aisle": aisle}))
    assert sum(w.code == "aisle_tight" for w in found) == expected


@pytest.mark.parametrize(
    ("base", "readings", "expected"),
    [
        (ALCOVE_IN, [60, 60.25], 0),
        (ALCOVE_IN, [60, 60.3125], 1),
        (ALCOVE_MM, [1800, 1806], 0),
        (ALCOVE_MM, [1800, 1807], 1),
    ],
)
def test_spread_limit(base: Any, readings: list[float], expected: int) -> None:
    """A spread above 1/4 in or 6 mm is reported."""
    found = warned(changed(base, {"/room/walls/0/length": readings}))
    assert sum(w.code == "reading_spread" for w in found) == expected


@pytest.mark.parametrize(("slip", "expected"), [(0.0625, 0), (0.125, 1), (0.5, 1)])
def test_square_limit(slip: float, expected: int) -> None:
    """A room that misses closing by more than 1/16 in is reported, up to where it is a fault."""
    found = warned(changed(WALK_IN, {"/room/walls/2/length": 96 + slip}))
    assert sum(w.code == "out_of_square" for w in found) == expected


def test_shallow_reach_in_cannot_hang() -> None:
    """In a closet 20 in deep the wish for hanging is warned of once per class."""
    shallow = {
        "/room/walls/0/length": 20,
        "/room/walls/2/length": 20,
        "/needs/garments/-": {"kind": "coat", "count": 1},
    }
    found = warned(changed(REACH_IN, shallow))
    pointers = [w.pointer for w in found if w.code == "room_too_shallow"]
    assert pointers == ["/needs/garments/1", "/needs/short_hang"]


def test_casing_in_the_next_opening() -> None:
    """Casing that runs into another opening of the wall is reported for that opening."""
    second = {"wall": "C", "start": 67, "width": 28, "height": 80}
    data = changed(WALK_IN, {"/room/openings/0/casing": 2, "/room/openings/-": second})
    found = [(w.code, w.pointer) for w in warned(data)]
    assert found == [("casing_in_the_way", "/room/openings/0/casing")]


def test_studs_assumed_names_the_walls() -> None:
    """One warning for all walls without studs, naming them and the assumption."""
    (warning,) = (w for w in warned(REACH_IN) if w.code == "studs_assumed")
    assert "studs of A, C, D are taken as 16 in on centre" in warning.detail


def test_tall_users_reach_double_hang() -> None:
    """Nobody is warned who reaches the upper rod."""
    assert warned(changed(WALK_IN, {"/needs/users": [{"stature": 72}]})) == ()


@pytest.mark.parametrize(("stature", "expected"), [(65, 0), (64, 1)])
def test_double_hang_limit(stature: float, expected: int) -> None:
    """The upper of two short rods is at 80 in: 3 + 37, 3 of air, 37 more; 65 in reach 80.7."""
    found = warned(changed(WALK_IN, {"/needs/users": [{"stature": stature}]}))
    assert [w.code for w in found] == ["double_hang_out_of_reach"] * expected

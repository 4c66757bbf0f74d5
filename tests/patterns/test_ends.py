"""Which bays a side wall carries: room for every cleat."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.geometry.outline import outline_of
from optimizer.geometry.sidewalls import side_wall
from optimizer.patterns.ends import cleats_of, wall_carries
from tests.model.rooms import brief_of
from tests.patterns.samples import catalogue_of, column, with_label

NEEDS = {"long_hang": 20, "shelf_length": 40}


def _carried(side: Any, *things: dict[str, Any], at_left: bool = True) -> tuple[bool, bool]:
    """Whether shelves, and long clothes, end on a side wall A (left of B) or C (right of it)."""
    walls = [side, 80, 40] if at_left else [40, 80, side]
    brief = brief_of(walls, NEEDS, room={"obstructions": list(things)})
    outline = outline_of(brief.room, brief.units)
    found = side_wall(brief, outline, 1, at_left=at_left)
    assert found is not None
    catalogue = catalogue_of(NEEDS)
    patterns = catalogue.patterns(column())
    shelves = with_label(patterns, "shelf*7x")
    clothes = with_label(patterns, "floor:17.25+long")
    return (
        wall_carries(shelves, found, catalogue.rules),
        wall_carries(clothes, found, catalogue.rules),
    )


@pytest.mark.parametrize("at_left", [True, False])
@pytest.mark.parametrize(
    ("length", "carried"),
    [(11.9, (False, False)), (12, (True, False)), (13.9, (True, False)), (14, (True, True))],
)
def test_side_wall_is_as_long_as_its_cleats(
    length: float, carried: tuple[bool, bool], at_left: bool
) -> None:
    """Boards of 12 in; a rod at 12 in and 2 in beyond it."""
    assert _carried(length, at_left=at_left) == carried


@pytest.mark.parametrize("at_left", [True, False])
def test_things_on_the_side_wall_are_in_the_way_of_cleats(at_left: bool) -> None:
    """A switch 6 in out of the corner: at the height of a cleat, and between two of them."""
    length = 20.0
    place = {"wall": "A" if at_left else "C", "width": 3, "kind": "switch"}
    place["start"] = length - 9.0 if at_left else 6.0
    on_cleat = {**place, "bottom": 57, "height": 5}
    between = {**place, "bottom": 62, "height": 4}
    at_rod = {**place, "bottom": 77, "height": 1}
    for thing, carried in (
        (on_cleat, (False, True)),
        (between, (True, True)),
        (at_rod, (True, True)),
        ({**at_rod, "height": 3}, (True, False)),
        ({**on_cleat, "may_cover": True}, (True, True)),
    ):
        assert _carried(length, thing, at_left=at_left) == carried, thing


@pytest.mark.parametrize(("low", "carried"), [(83.25, True), (83, False)])
def test_side_wall_is_as_high_as_its_cleats(low: float, carried: bool) -> None:
    """Under a ceiling falling along the side wall, 12 in out it is still over the line or not."""
    side = {"length": 20, "height": {"left": 96 - (96 - low) * 20 / 12, "right": 96}}
    assert _carried(side)[0] is carried


@pytest.mark.parametrize("overlap", [2.0, 5.0])
def test_every_board_and_rod_has_its_cleat(overlap: float) -> None:
    """2 in under each board; a rod's from the board over it to 1-3/4 in under its centre, and past
    it as far as the brief asks for."""
    catalogue = catalogue_of(NEEDS, construction={"rod_overlap": overlap})
    clothes = with_label(catalogue.patterns(column()), "floor:17.25+long")
    found = sorted(cleats_of(clothes.zones, clothes.depth, catalogue.rules))
    assert found == [(12.0, 81.25, 83.25), (12.0 + overlap, 78.5, 83.25)]

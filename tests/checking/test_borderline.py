"""Just inside the tolerance of 1e-3 in passes, just outside it fails."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from optimizer.checking import check_layout
from tests.checking.parts import floor, hang_under
from tests.checking.samples import DELETE, drawing
from tests.checking.test_mutations import (
    BAYS,
    KEPT,
    LOW_BEAM,
    NEEDS,
    OPENINGS,
    RULES,
    THINGS,
    TWO_STACKS,
    WALLS,
)

Changes = dict[str, Any]

PIPE = {"wall": "A", "width": 2, "bottom": 0, "height": 3}
LIGHT = {"wall": "A", "start": 43, "width": 0.25, "bottom": 90, "height": 4, "kind": "light"}

EDGES: list[tuple[str, str, Callable[[float], Changes]]] = [
    ("wall_fit", "single", lambda x: {f"{WALLS}/0/length": 87 - x}),
    ("wall_fit", "single", lambda x: {f"{BAYS}/0/start": 0.75 - x, f"{BAYS}/1": DELETE}),
    ("neighbours", "single", lambda x: {f"{BAYS}/2/start": 56.25 + x}),
    ("neighbours", "single", lambda x: {f"{BAYS}/2/start": 57 - x}),
    ("width", "single", lambda x: {f"{RULES}/min_bay_width": 24 + x}),
    ("width", "single",
     lambda x: {f"{WALLS}/0/length": 160, f"{BAYS}/2/width": 96 + x,
                f"{BAYS}/2/zones": [floor(27.0, "hamper", depth=24.0)],
                "/brief/pins": [{"wall": "A", "start": 56.25, "width": 96 + x,
                                 "pattern": "pattern of B3"}]}),
    ("shelf_floor", "single", lambda x: {f"{BAYS}/1/zones/0/bottom": 0.75 - x}),
    ("width_grid", "single", lambda x: {f"{BAYS}/2/width": 30 + x}),
    ("ceiling", "single", lambda x: {"/brief/room/ceiling_height": 96 - x}),
    ("zone_order", "single", lambda x: {f"{BAYS}/1/zones/0/top": 14.75 + x}),
    ("upright_height", "single", lambda x: {f"{BAYS}/1/height": 75.5 - x}),
    ("floor_zone", "reach_in", lambda x: {f"{BAYS}/0/zones/0/bottom": x}),
    ("rod_depth", "single", lambda x: {f"{BAYS}/0/zones/0/depth": 24 - x}),
    ("rod_drop", "single", lambda x: {f"{BAYS}/2/zones/1/bottom": 29 + x}),
    ("rod_clearance", "single", lambda x: {f"{BAYS}/0/zones/1/top": 83 - x}),
    ("rod_height", "single", lambda x: {f"{RULES}/max_rod_height": 80 - x}),
    ("floor_clearance", "single", lambda x: {f"{RULES}/floor_clearance": 3 + x}),
    ("shelf_height", "single", lambda x: {f"{RULES}/max_shelf_height": 83.75 - x}),
    ("shelf_clear", "single", lambda x: {f"{BAYS}/1/zones/2/top": 35.5 - x}),
    ("shelf_clear", "single",
     lambda x: {f"{NEEDS}/shelf_spacing": 8, f"{BAYS}/1/zones/2/top": 34.75 - x}),
    ("bay_depth", "single", lambda x: {f"{BAYS}/1/depth": 12 + x}),
    ("obstruction", "single", lambda x: {THINGS: [{**PIPE, "start": 87 - x}]}),
    ("obstruction", "single",
     lambda x: {THINGS: [{"wall": "A", "start": 1, "width": 29, "bottom": 0, "height": 3 + x}]}),
    ("opening", "reach_in",
     lambda x: {f"{OPENINGS}/-": {"wall": "B", "start": 71.5 - x, "width": 0.25,
                                  "casing": 0.25}}),
    ("opening_floor", "walk_in", lambda x: {f"{OPENINGS}/0/start": 16 - x}),
    ("corner", "walk_in", lambda x: {f"{RULES}/corner_clearance": 6 + x}),
    ("aisle", "walk_in", lambda x: {f"{NEEDS}/aisle": 56 + x}),
    ("room_depth", "reach_in", lambda x: {f"{WALLS}/0/length": 24 - x, f"{WALLS}/2/length": 24}),
    ("access", "walk_in", lambda x: {f"{RULES}/corner_opening": 12.25 + x}),
    ("item_width", "single", lambda x: {f"{NEEDS}/items/0/width": 29 + x}),
    ("item_height", "single", lambda x: {f"{NEEDS}/items/0/height": 26.5 + x}),
    ("item_weight", "walk_in",
     lambda x: {f"{NEEDS}/items/1/weight_lb": 25, f"{BAYS}/0/zones/1/items": [],
                f"{BAYS}/0/zones/2/items": ["box"], f"{BAYS}/0/zones/2/bottom": 36 + x,
                f"{BAYS}/0/zones/2/top": 50, f"{BAYS}/0/zones/3": DELETE}),
    ("item_reach", "walk_in",
     lambda x: {f"{NEEDS}/items/1/use": "daily", f"{BAYS}/0/zones/6/bottom": 72 + x,
                f"{BAYS}/0/zones/5/bottom": 60.5, f"{BAYS}/0/zones/5/top": 71,
                f"{BAYS}/0/zones/4/top": 59.75, f"{BAYS}/0/zones/6/items": ["box"],
                f"{BAYS}/0/zones/1/items": ["box"]}),
    ("corner", "walk_in",
     lambda x: {f"{BAYS}/0/start": 24.75 - x, f"{BAYS}/0/width": 11.5,
                f"{RULES}/min_bay_width": 11, f"{BAYS}/0/zones/1/items": [],
                f"{BAYS}/6/start": 36.25, f"{BAYS}/1": DELETE, f"{THINGS}/1": DELETE}),
    ("item_depth", "single", lambda x: {f"{NEEDS}/items/0/depth": 24 + x}),
    ("light", "single", lambda x: {THINGS: [{**LIGHT, "setback": 24 - x, "projection": 28}]}),
    ("back_to_back", "single",
     lambda x: {BAYS: TWO_STACKS, f"{BAYS}/1/start": 30.25 - x}),
    ("wall_fit", "pantry", lambda x: {f"{BAYS}/2/start": x}),
    ("wall_fit", "pantry", lambda x: {f"{BAYS}/1/width": 54 - x}),
    ("measuring", "single", lambda x: {"/brief/room/measuring_tolerance": 13 + x}),
    ("width", "pantry", lambda x: {f"{RULES}/min_hang_width": 30 + x}),
    ("upright_height", "pantry",
     lambda x: {f"{BAYS}/{place}/height": 84 + x for place in range(3)}),
    ("obstruction", "pantry",
     lambda x: {THINGS: [{"wall": "A", "start": 40, "width": 4, "bottom": 0, "height": 2.25 + x}]}),
    ("item_width", "pantry", lambda x: {f"{NEEDS}/items/0/width": 9.375 + x / 2}),
    ("mid_support", "pantry",
     lambda x: {f"{BAYS}/0/mid_supports/1": 42.75 + x, f"{BAYS}/0/zones/2/items": []}),
    ("mid_support", "pantry",
     lambda x: {f"{WALLS}/3/studs/positions/-": 30, f"{BAYS}/2/mid_supports": [29.625 + x]}),
    ("mid_support", "pantry",
     lambda x: {f"{BAYS}/0/mid_supports": [21.0, 41.5 + x, 42.25, 63.0],
                f"{BAYS}/0/zones/2/items": []}),
    ("ends", "pantry", lambda x: {f"{OPENINGS}/0/start": 13.5 - x}),
    ("ends", "pantry", lambda x: {f"{WALLS}/2/height": 83.25 - x}),
    ("ends", "alcove", lambda x: {f"{RULES}/rod_setback": 22 + x}),
    ("ends", "pantry", lambda x: {f"{BAYS}/1/start": 12 + x, f"{BAYS}/1/width": 54 - x}),
    ("ends", "pantry",
     lambda x: {f"{BAYS}/0/zones/3/bottom": 48 + x, f"{BAYS}/0/zones/2/items": []}),
    ("line", "pantry",
     lambda x: {f"{BAYS}/2/zones": hang_under(72.0, 84.0, "short"), f"{BAYS}/2/height": 72.0,
                THINGS: [{**LOW_BEAM, "bottom": 91.998 + x, "height": 4}]}),
    ("keep_clear", "pantry", lambda x: {"/brief/room/keep_clear": [{**KEPT, "start": 30.75 - x}]}),
    ("pin", "single", lambda x: {"/brief/pins": [{"wall": "A", "start": 0.75, "width": 30 + x,
                                                  "pattern": "pattern of B1"}]}),
]  # fmt: skip


@pytest.mark.parametrize(("code", "sample", "off"), EDGES, ids=[row[0] for row in EDGES])
def test_tolerance_is_a_thousandth_of_an_inch(
    code: str, sample: str, off: Callable[[float], Changes]
) -> None:
    """Off by nothing or by 0.0009 in passes; off by 0.0011 in is found."""
    assert check_layout(*drawing(sample, off(0.0))) == ()
    assert check_layout(*drawing(sample, off(0.0009))) == ()
    assert {fault.code for fault in check_layout(*drawing(sample, off(0.0011)))} == {code}


def test_tolerance_in_millimetres_is_the_same_length() -> None:
    """A metric wall may be 0.025 mm short of what the bays take, not 0.03 mm."""
    one_wall = {f"{BAYS}/2": DELETE, f"{WALLS}/1": DELETE}
    near = drawing("metric", {**one_wall, f"{WALLS}/0/length": 1654 - 0.025})
    far = drawing("metric", {**one_wall, f"{WALLS}/0/length": 1654 - 0.03})
    assert check_layout(*near) == ()
    assert [fault.code for fault in check_layout(*far)] == ["wall_fit"]


def test_pinned_width_need_not_be_on_the_grid() -> None:
    """An odd width stays when a pin asks for exactly it."""
    changes = {f"{BAYS}/2/width": 29.97}
    pin = {"wall": "A", "start": 56.25, "width": 29.97, "pattern": "pattern of B3"}
    assert [f.code for f in check_layout(*drawing("single", changes))] == ["width_grid"]
    assert check_layout(*drawing("single", {**changes, "/brief/pins": [pin]})) == ()


def test_stiffened_boards_span_further() -> None:
    """36-1/2 in is too wide for a plain board and not for a stiffened one."""
    wide = {f"{BAYS}/2/width": 36.5}
    assert [f.code for f in check_layout(*drawing("slope", wide))] == ["span"]
    assert check_layout(*drawing("slope", {**wide, f"{BAYS}/2/stiffened": True})) == ()


def test_covered_and_empty_places_are_free() -> None:
    """What may be covered is no obstruction, and an empty floor zone hides nothing."""
    outlet = {"wall": "A", "start": 10, "width": 5, "bottom": 12, "height": 5}
    covered = drawing("single", {THINGS: [{**outlet, "may_cover": True}]})
    behind_empty_floor = drawing("slope", {THINGS: [{**outlet, "start": 40, "height": 7}]})
    assert check_layout(*covered) == ()
    assert check_layout(*behind_empty_floor) == ()


def test_uncased_door_of_a_walk_in_needs_the_aisle_only() -> None:
    """The floor a leaf would sweep is free where the opening has none."""
    moved = {f"{BAYS}/5": DELETE, f"{OPENINGS}/0/start": 50, f"{OPENINGS}/0/width": 32}
    swinging = drawing("walk_in", moved)
    cased = drawing("walk_in", {**moved, f"{OPENINGS}/0/kind": "cased"})
    assert [f.code for f in check_layout(*swinging)] == ["opening_floor"]
    assert check_layout(*cased) == ()


@pytest.mark.parametrize(
    ("changes", "clear"),
    [
        ({}, 9.25),  # 11.25 in to the board above, less 2 in of cleat
        ({f"{RULES}/cleat_height": 1}, 10.25),
        ({f"{RULES}/stiffener_height": 3}, 9.25),
        ({f"{RULES}/stiffener_height": 3, f"{BAYS}/0/stiffened": True}, 8.25),
        ({f"{BAYS}/0/zones/1/top": 25.25}, 9.25),  # drawn 1-1/2 in lower: the cleat still counts
        ({f"{BAYS}/0/zones/1/top": 24.0}, 8.5),  # drawn lower than the cleat reaches
    ],
)
def test_items_keep_clear_of_what_hangs_under_a_board(changes: Changes, clear: float) -> None:
    """As deep as the board: cleats hang there, a stiffener where the bay has one and it is the
    higher."""
    deep = {f"{NEEDS}/items/1/depth": 11.5}
    for height, codes in ((clear - 0.5, []), (clear - 0.4, ["item_height"] * 2)):
        drawn = drawing("walk_in", {**changes, **deep, f"{NEEDS}/items/1/height": height})
        assert [fault.code for fault in check_layout(*drawn)] == codes


@pytest.mark.parametrize(
    ("changes", "clear"),
    [
        ({}, 11.25),
        ({f"{RULES}/stiffener_height": 3, f"{BAYS}/0/stiffened": True}, 8.25),  # in under it
        ({f"{RULES}/stiffener_height": 1, f"{BAYS}/0/stiffened": True}, 10.25),
        ({f"{BAYS}/0/zones/1/top": 24.0}, 8.5),
    ],
)
@pytest.mark.parametrize(
    ("depth", "width"),
    # Boards 12 in deep, 35-1/2 in wide, cleats 3/4 in thick; two pieces with 1/2 in of air.
    [(11.25, 12.0), (8.0, 16.25)],
)
def test_items_stand_before_the_cleats(
    changes: Changes, clear: float, depth: float, width: float
) -> None:
    """Before the cleat at the back and between those at the sides the opening is as high as it
    looks; a hair deeper or wider it is less the cleat."""
    sizes = {f"{NEEDS}/items/1/depth": depth, f"{NEEDS}/items/1/width": width}

    def codes(height: float, **more: float) -> set[str]:
        own = {f"{NEEDS}/items/1/{name}": size for name, size in more.items()}
        told = {**changes, **sizes, f"{NEEDS}/items/1/height": height - 0.5, **own}
        return {fault.code for fault in check_layout(*drawing("walk_in", told))}

    assert codes(clear) == set()
    assert codes(clear + 0.1) == {"item_height"}
    if clear > 9.25:
        assert codes(clear, depth=11.4) == {"item_height"}
        assert codes(clear, width=16.3) == {"item_width"}

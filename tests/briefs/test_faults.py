"""Each rule over several fields refuses with the exact pointer and code."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import pytest

import optimizer.briefs
from optimizer.briefs.reader import read_brief
from optimizer.briefs.rules.needs import MAX_GARMENTS
from optimizer.errors import BriefError, Fault
from tests.briefs.changes import ALCOVE_IN, ALCOVE_MM, GONE, REACH_IN, WALK_IN, changed
from tests.ready_briefs import load_scenario

WALL = "/room/walls"
OPENING = "/room/openings/0"
THING = "/room/obstructions/0"
ITEM = "/needs/items/0"
BUILD = "/construction"
KEPT = "/room/keep_clear"

BOX = {"wall": "B", "start": 30, "width": 30, "height": 120, "depth": 30, "why": "heater"}

LIGHT = {
    "wall": "B",
    "start": 30,
    "width": 10,
    "bottom": 90,
    "height": 5,
    "kind": "light",
    "setback": 8,
    "projection": 16,
}


def faults(data: Any) -> tuple[Fault, ...]:
    """Faults of some data, which must have some."""
    with pytest.raises(BriefError) as caught:
        read_brief(data)
    return caught.value.faults


STORED = "/needs/stored"
SHOES = {"kind": "shoes", "count": 20}


class Spoilt(NamedTuple):
    """One sound brief spoilt: the changes, and the one fault they bring.

    The fault is at the first of the changes unless `at` says where else.
    """

    name: str
    base: dict[str, Any]
    changes: dict[str, Any]
    code: str
    at: str | None = None

    @property
    def pointer(self) -> str:
        """Where the fault must be."""
        return next(iter(self.changes)) if self.at is None else self.at


HUNG = "/mount_pins"
GLASS: dict[str, Any] = {"id": "glass", "width": 18, "height": 50}
HANGING: dict[str, Any] = {"mount": "glass", "wall": "B", "start": 25.5}
"""Beside the upright of the pinned bay."""


CASES = (
    # Sizes and units.
    Spoilt("low ceiling", WALK_IN, {"/room/ceiling_height": 29}, "too_small"),
    Spoilt("high ceiling", WALK_IN, {"/room/ceiling_height": 250}, "too_large"),
    Spoilt("ceiling in millimetres", WALK_IN, {"/room/ceiling_height": 1100}, "units_mixed_up"),
    Spoilt("96 mm ceiling", ALCOVE_MM, {"/room/ceiling_height": 96}, "units_mixed_up"),
    Spoilt("72 mm wall", ALCOVE_MM, {f"{WALL}/0/length": 72}, "units_mixed_up"),
    Spoilt("9 in wall", ALCOVE_IN, {f"{WALL}/0/length": 9}, "too_small"),
    Spoilt("52 ft wall", WALK_IN, {f"{WALL}/0/length": 624}, "units_mixed_up"),
    Spoilt("high wall", WALK_IN, {f"{WALL}/1/height": 241}, "too_large"),
    Spoilt(
        "high slope",
        WALK_IN,
        {f"{WALL}/1/height": {"left": 60, "right": 241}},
        "too_large",
        f"{WALL}/1/height/right",
    ),
    Spoilt("18 in panel", REACH_IN, {f"{BUILD}/panel_thickness": 18}, "units_mixed_up"),
    Spoilt("thick panel", REACH_IN, {f"{BUILD}/panel_thickness": 4}, "too_large"),
    Spoilt("hang depth", REACH_IN, {f"{BUILD}/hang_depth": 600}, "units_mixed_up"),
    Spoilt("kerf", REACH_IN, {f"{BUILD}/kerf": 3.2}, "units_mixed_up"),
    Spoilt("rod height", REACH_IN, {f"{BUILD}/max_rod_height": 8}, "too_small"),
    Spoilt("shelf height", REACH_IN, {f"{BUILD}/max_shelf_height": 5}, "too_small"),
    Spoilt("aisle", WALK_IN, {"/needs/aisle": 600}, "units_mixed_up"),
    Spoilt(
        "drop", WALK_IN, {"/needs/hang_drop": {"long": 101}}, "too_large", "/needs/hang_drop/long"
    ),
    Spoilt("stature", REACH_IN, {"/needs/users/0/stature": 170}, "too_large"),
    Spoilt("stature mm", REACH_IN, {"/needs/users/0/stature": 1700}, "length_absurd"),
    Spoilt(
        "hair",
        REACH_IN,
        {f"{BUILD}/rod_lengths": [5e-324]},
        "length_not_positive",
        f"{BUILD}/rod_lengths/0",
    ),
    Spoilt("plain span", WALK_IN, {f"{BUILD}/max_plain_span": 900}, "units_mixed_up"),
    Spoilt("rod supports", WALK_IN, {f"{BUILD}/rod_support_spacing": 121}, "too_large"),
    Spoilt("rod cleat", ALCOVE_MM, {f"{BUILD}/rod_cleat_height": 3.5}, "units_mixed_up"),
    Spoilt("hold", WALK_IN, {f"{BUILD}/upright_hold": 5}, "too_small"),
    Spoilt("tape", WALK_IN, {"/room/measuring_tolerance": 30}, "too_large"),
    Spoilt("tape in millimetres", WALK_IN, {"/room/measuring_tolerance": 6}, "units_mixed_up"),
    Spoilt("tape, metric", ALCOVE_MM, {"/room/measuring_tolerance": 26}, "too_large"),
    # Walls.
    Spoilt("wall id twice", WALK_IN, {f"{WALL}/2/id": "A", f"{OPENING}/wall": "A"}, "duplicate_id"),
    Spoilt("room off by 2 in", WALK_IN, {f"{WALL}/2/length": 94}, "room_not_closed", WALL),
    Spoilt(
        "crossing",
        WALK_IN,
        {f"{WALL}/2/length": 50, f"{WALL}/3/length": 130, f"{OPENING}/start": 5},
        "walls_cross",
        f"{WALL}/3",
    ),
    Spoilt(
        "both stud forms",
        REACH_IN,
        {f"{WALL}/1/studs/positions": [9]},
        "studs_form",
        f"{WALL}/1/studs",
    ),
    Spoilt("no stud form", REACH_IN, {f"{WALL}/1/studs": {}}, "studs_form"),
    Spoilt("first of positions", WALK_IN, {f"{WALL}/0/studs/first": 2}, "studs_form"),
    Spoilt("stud beyond", WALK_IN, {f"{WALL}/0/studs/positions/2": 97}, "outside_wall"),
    Spoilt("first stud beyond", REACH_IN, {f"{WALL}/1/studs/first": 73}, "outside_wall"),
    Spoilt("no way in", WALK_IN, {"/room/openings": []}, "no_way_in"),
    Spoilt("served through nothing", ALCOVE_MM, {"/room/access": "reach_in"}, "no_way_in"),
    Spoilt(
        "slope beside a high wall",
        WALK_IN,
        {f"{WALL}/1/height": {"left": 96, "right": 60}},
        "corner_heights",
        f"{WALL}/1/height/right",
    ),
    Spoilt(
        "slope beside a low wall",
        WALK_IN,
        {
            f"{WALL}/0/height": {"left": 60, "right": 96},
            f"{WALL}/3/height": {"left": 96, "right": 60.75},
        },
        "corner_heights",
        f"{WALL}/0/height/left",
    ),
    Spoilt(
        "low wall at the end",
        ALCOVE_MM,
        {f"{WALL}/-": {"id": "B", "length": 900, "height": 2200}},
        "corner_heights",
        f"{WALL}/1/height",
    ),
    # Openings and obstructions.
    Spoilt("opening's wall", REACH_IN, {f"{OPENING}/wall": "E"}, "unknown_wall"),
    Spoilt("opening too wide", REACH_IN, {f"{OPENING}/width": 60.25}, "outside_wall"),
    Spoilt("opening beyond", REACH_IN, {f"{OPENING}/start": 72}, "outside_wall"),
    Spoilt("opening too high", REACH_IN, {f"{OPENING}/height": 97}, "too_high"),
    Spoilt(
        "opening under a slope",
        REACH_IN,
        {
            f"{WALL}/3/height": {"left": 96, "right": 60},
            f"{WALL}/0/height": {"left": 60, "right": 96},
        },
        "too_high",
        f"{OPENING}/height",
    ),
    Spoilt(
        "openings overlap",
        REACH_IN,
        {"/room/openings/-": {"wall": "D", "start": 59, "width": 10}},
        "overlap",
        "/room/openings/1/start",
    ),
    Spoilt("obstruction's wall", REACH_IN, {f"{THING}/wall": "E"}, "unknown_wall"),
    Spoilt("obstruction too wide", REACH_IN, {f"{THING}/width": 43}, "outside_wall"),
    Spoilt("obstruction beyond", REACH_IN, {f"{THING}/start": 80}, "outside_wall"),
    Spoilt("obstruction too high", REACH_IN, {f"{THING}/height": 85}, "too_high"),
    Spoilt("obstruction above", REACH_IN, {f"{THING}/bottom": 96}, "too_high"),
    Spoilt(
        "light above",
        REACH_IN,
        {"/room/obstructions/-": LIGHT | {"height": 7}},
        "too_high",
        "/room/obstructions/1/height",
    ),
    Spoilt("setback", REACH_IN, {f"{THING}/setback": 3}, "setback_beyond_projection"),
    Spoilt("through the door", REACH_IN, {f"{THING}/projection": 28}, "outside_room"),
    Spoilt("in the opening", REACH_IN, {f"{THING}/wall": "D"}, "overlap", f"{THING}/start"),
    # Boxes kept clear.
    Spoilt("box's wall", REACH_IN, {KEPT: [BOX | {"wall": "E"}]}, "unknown_wall", f"{KEPT}/0/wall"),
    Spoilt(
        "box too wide", REACH_IN, {KEPT: [BOX | {"width": 43}]}, "outside_wall", f"{KEPT}/0/width"
    ),
    Spoilt(
        "box beyond", REACH_IN, {KEPT: [BOX | {"start": 72}]}, "outside_wall", f"{KEPT}/0/start"
    ),
    Spoilt("box above", REACH_IN, {KEPT: [BOX | {"bottom": 96}]}, "too_high", f"{KEPT}/0/bottom"),
    # Needs.
    Spoilt(
        "nothing wanted",
        WALK_IN,
        {
            "/needs/short_hang": 0,
            "/needs/shelf_length": GONE,
            "/priorities": {"hanging": 0, "shelving": 0},
        },
        "no_needs",
        "/needs",
    ),
    Spoilt(
        "widgets",
        REACH_IN,
        {STORED: [{"kind": "widgets", "count": 2}]},
        "unknown_stored",
        f"{STORED}/0/kind",
    ),
    Spoilt("shoes twice", REACH_IN, {STORED: [SHOES, SHOES]}, "duplicate_id", f"{STORED}/1/kind"),
    Spoilt(
        "shoes too wide",
        REACH_IN,
        {STORED: [SHOES | {"width": 97}]},
        "fits_nowhere",
        f"{STORED}/0/width",
    ),
    Spoilt(
        "shoes too deep",
        REACH_IN,
        {STORED: [SHOES | {"depth": 90}]},
        "fits_nowhere",
        f"{STORED}/0/depth",
    ),
    Spoilt(
        "shoes too high",
        REACH_IN,
        {STORED: [SHOES | {"pitch": 190}]},
        "fits_nowhere",
        f"{STORED}/0/pitch",
    ),
    Spoilt(
        "shoes too flat",
        REACH_IN,
        {STORED: [SHOES | {"pitch": 0.75}]},
        "shelf_spacing_too_small",
        f"{STORED}/0/pitch",
    ),
    Spoilt("toga", REACH_IN, {"/needs/garments/0/kind": "toga"}, "unknown_garment"),
    Spoilt(
        "too many garments",
        WALK_IN,
        {"/needs/garments": [{"kind": "shirt", "count": 1000}] * 6},
        "too_many",
    ),
    Spoilt("nobody", REACH_IN, {"/needs/users/0": {}}, "user_form"),
    Spoilt("two ways", REACH_IN, {"/needs/users/0/age": 40}, "user_form", "/needs/users/0"),
    Spoilt("thin spacing", REACH_IN, {"/needs/shelf_spacing": 0.75}, "shelf_spacing_too_small"),
    Spoilt("wide spacing", REACH_IN, {"/needs/shelf_spacing": 97}, "shelf_spacing_too_large"),
    Spoilt("deep shelves", REACH_IN, {"/needs/shelf_depth": 27}, "deeper_than_room"),
    # Items.
    Spoilt(
        "item id twice",
        REACH_IN,
        {"/needs/items/-": REACH_IN["needs"]["items"][0]},
        "duplicate_id",
        "/needs/items/1/id",
    ),
    Spoilt(
        "too many pieces",
        WALK_IN,
        {
            "/needs/items": [
                {"id": n, "width": 5, "depth": 5, "height": 5, "count": 31} for n in "ab"
            ]
        },
        "too_many",
    ),
    Spoilt("pounds in mm", ALCOVE_MM, {f"{ITEM}/weight_lb": 5}, "wrong_weight_unit"),
    Spoilt("kilograms in inches", REACH_IN, {f"{ITEM}/weight_kg": 5}, "wrong_weight_unit"),
    Spoilt(
        "wider than a bay",
        REACH_IN,
        {f"{ITEM}/width": 47.5, f"{BUILD}/max_bay_width": 48},
        "fits_nowhere",
    ),
    Spoilt("wider than the room", REACH_IN, {f"{ITEM}/width": 71.5}, "fits_nowhere"),
    Spoilt(
        "wider than uprights leave",
        REACH_IN,
        {f"{ITEM}/width": 70, f"{BUILD}/wall_ends": "uprights"},
        "fits_nowhere",
    ),
    Spoilt(
        "wider than the wall", ALCOVE_MM, {f"{WALL}/0/length": 450}, "fits_nowhere", f"{ITEM}/width"
    ),
    Spoilt("too tall", REACH_IN, {f"{ITEM}/height": 95.75}, "fits_nowhere"),
    Spoilt("deeper than a reach-in", REACH_IN, {f"{ITEM}/depth": 26.5}, "fits_nowhere"),
    Spoilt(
        "unit wider than its bay",
        REACH_IN,
        {
            "/needs/items": [
                {
                    "id": "drawers",
                    "width": 19,
                    "depth": 14,
                    "height": 24,
                    "fits_between": {"least": 18.25, "most": 19.5},
                }
            ]
        },
        "unit_range",
        f"{ITEM}/fits_between/least",
    ),
    Spoilt(
        "does not pass",
        WALK_IN,
        {"/needs/items": [{"id": "chest", "width": 40, "depth": 37, "height": 44}]},
        "cannot_pass_opening",
        ITEM,
    ),
    # Construction and priorities.
    Spoilt("rod setback", REACH_IN, {f"{BUILD}/rod_setback": 24}, "rod_setback_too_large"),
    Spoilt(
        "bay widths",
        WALK_IN,
        {f"{BUILD}/min_bay_width": 49, f"{BUILD}/max_bay_width": 48},
        "bay_widths",
    ),
    Spoilt("hang width", WALK_IN, {f"{BUILD}/min_hang_width": 97}, "bay_widths"),
    Spoilt(
        "boards too short",
        WALK_IN,
        {
            f"{BUILD}/max_plain_span": 11,
            f"{BUILD}/mid_support": "none",
            f"{BUILD}/stiffener_allowed": False,
        },
        "span_too_short",
    ),
    Spoilt(
        "rods too short",
        WALK_IN,
        {f"{BUILD}/rod_support_spacing": 17, f"{BUILD}/mid_support": "none"},
        "span_too_short",
    ),
    Spoilt(
        "no width on the grid",
        WALK_IN,
        {f"{BUILD}/min_bay_width": 20.01, f"{BUILD}/max_bay_width": 20.05},
        "bay_widths",
    ),
    Spoilt("small sheet", WALK_IN, {f"{BUILD}/sheet": [96, 20]}, "sheet_too_small"),
    Spoilt("trim", WALK_IN, {f"{BUILD}/edge_trim": 24}, "sheet_too_small"),
    Spoilt(
        "weightless",
        REACH_IN,
        {
            "/priorities": dict.fromkeys(
                ["hanging", "shelving", "open_floor", "easy_reach", "low_cost", "simple_build"], 0
            )
        },
        "no_priorities",
    ),
    # Pins.
    Spoilt("pin's wall", REACH_IN, {"/pins/0/wall": "E"}, "unknown_wall"),
    Spoilt("pin off the wall", REACH_IN, {"/pins/0/start": 0.5}, "outside_wall"),
    Spoilt(
        "pin at 0",
        REACH_IN,
        {"/pins/0/start": 0, f"{BUILD}/wall_ends": "uprights"},
        "outside_wall",
    ),
    Spoilt(
        "pin at the end of a run",
        ALCOVE_IN,
        {"/pins": [{"wall": "A", "start": 0, "width": 30, "pattern": "x"}]},
        "outside_wall",
        "/pins/0/start",
    ),
    Spoilt("pin too long", REACH_IN, {"/pins/0/start": 47.5}, "outside_wall", "/pins/0/width"),
    Spoilt("pin beyond", REACH_IN, {"/pins/0/start": 90}, "outside_wall"),
    Spoilt(
        "pin too wide", REACH_IN, {"/pins/0/width": 49, f"{BUILD}/max_bay_width": 48}, "bay_widths"
    ),
    Spoilt(
        "pins overlap",
        REACH_IN,
        {"/pins/-": {"wall": "B", "start": 26, "width": 20, "pattern": "x"}},
        "overlap",
        "/pins/1/start",
    ),
    Spoilt("pin over the opening", REACH_IN, {"/pins/0/wall": "D"}, "overlap", "/pins/0/start"),
    *(
        Spoilt(name, REACH_IN, {"/needs/mirrors": [GLASS], HUNG: pins}, code, pointer)
        for name, pins, code, pointer in (
            ("no such mount", [{**HANGING, "mount": "coats"}], "unknown_mount", f"{HUNG}/0/mount"),
            ("mount's wall", [{**HANGING, "wall": "E"}], "unknown_wall", f"{HUNG}/0/wall"),
            (
                "kept twice",
                [HANGING, {**HANGING, "wall": "A", "start": 2}],
                "duplicate_id",
                f"{HUNG}/1/mount",
            ),
            ("mount off the wall", [{**HANGING, "start": 54.5}], "outside_wall", f"{HUNG}/0/start"),
            ("mount on a pinned bay", [{**HANGING, "start": 25}], "overlap", f"{HUNG}/0/start"),
            (
                "mount in the opening",
                [{**HANGING, "wall": "D", "start": 50}],
                "overlap",
                f"{HUNG}/0/start",
            ),
        )
    ),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_one_fault(case: Spoilt) -> None:
    """One value spoilt in a sound brief gives one fault there, and that alone."""
    found = [(fault.pointer, fault.code) for fault in faults(changed(case.base, case.changes))]
    assert found == [(case.pointer, case.code)]


@pytest.mark.parametrize("base", [REACH_IN, WALK_IN, ALCOVE_IN, ALCOVE_MM])
def test_bases_are_sound(base: Any) -> None:
    """The briefs that the cases spoil have no fault of their own."""
    brief, _ = read_brief(base)
    assert brief.room.walls[0].id == "A"


def test_limit_of_garments_is_a_limit() -> None:
    """Exactly as many garments as are taken are taken."""
    lines = [{"kind": "shirt", "count": MAX_GARMENTS // 5}] * 5
    brief, _ = read_brief(changed(WALK_IN, {"/needs/garments": lines}))
    assert sum(line.count for line in brief.needs.garments) == MAX_GARMENTS


def test_pins_may_share_an_upright() -> None:
    """Two pinned bays one panel apart, or two, are fine."""
    for start in (25.5, 26.25):
        pin = {"wall": "B", "start": start, "width": 20, "pattern": "x"}
        brief, _ = read_brief(changed(REACH_IN, {"/pins/-": pin}))
        assert len(brief.pins) == 2


def test_a_mount_may_be_kept_beside_a_pinned_bay() -> None:
    """Where the cases spoil it, it is sound."""
    brief, _ = read_brief(changed(REACH_IN, {"/needs/mirrors": [GLASS], HUNG: [HANGING]}))
    assert [pin.start for pin in brief.mount_pins] == [25.5]


@pytest.mark.parametrize(("start", "width"), [(0, 24), (48, 24), (0, 72)])
def test_pins_may_lie_on_the_side_walls(start: float, width: float) -> None:
    """A pinned bay at the very end of its wall is carried by the next one."""
    brief, _ = read_brief(changed(REACH_IN, {"/pins/0/start": start, "/pins/0/width": width}))
    assert brief.pins[0].start == start


def test_a_box_may_reach_above_the_ceiling_and_out_of_the_door() -> None:
    """The sound box of these cases is higher than the room and deeper than it."""
    brief, _ = read_brief(changed(REACH_IN, {KEPT: [BOX]}))
    assert brief.room.keep_clear[0].why == "heater"


def test_corner_of_two_heights_names_both() -> None:
    """The fault of a slope from 60 to 96 in beside a wall of 96 tells walls and heights."""
    slope = {f"{WALL}/1/height": {"left": 60, "right": 96}}
    (fault,) = faults(changed(WALK_IN, slope))
    assert fault.pointer == f"{WALL}/1/height/left"
    assert "walls A and B meet" in fault.detail
    assert "wall A is 96 in high there" in fault.detail
    assert "wall B is 60 in high there" in fault.detail


@pytest.mark.parametrize(("height", "refused"), [(95.5, False), (95.4, True)])
def test_slope_meets_its_neighbour_within_half_an_inch(height: float, refused: bool) -> None:
    """What is taped agrees within 1/2 in."""
    data = changed(WALK_IN, {f"{WALL}/1/height": {"left": height, "right": 96}})
    if refused:
        assert [fault.code for fault in faults(data)] == ["corner_heights"]
    else:
        assert read_brief(data)[0].room.walls[1].height is not None


def test_item_is_turned_to_pass_the_door() -> None:
    """Of a long thing the two smaller sides count."""
    board = {"id": "board", "width": 40, "depth": 5, "height": 90, "place": "floor"}
    brief, _ = read_brief(changed(WALK_IN, {"/needs/items": [board]}))
    assert brief.needs.items[0].id == "board"


def test_window_over_a_door_is_no_overlap() -> None:
    """Above the head of an opening the wall is free for other things."""
    window = {"wall": "C", "start": 32, "width": 30, "bottom": 82, "height": 10, "kind": "window"}
    brief, _ = read_brief(changed(WALK_IN, {"/room/obstructions": [window]}))
    assert len(brief.room.obstructions) == 1


def test_faults_say_value_and_rule() -> None:
    """A fault shows what was given, what it ran into, and how much that is."""
    (fault,) = faults(changed(REACH_IN, {f"{OPENING}/width": 60.25}))
    assert fault.detail == (
        "the opening from 12 in to 72.25 in reaches beyond wall D, which is 72 in long"
    )
    (fault,) = faults(changed(REACH_IN, {"/needs/garments/0/kind": "toga"}))
    assert "'toga'" in fault.detail
    assert "shirt, men's shirt" in fault.detail


@pytest.mark.parametrize(
    ("base", "ceiling", "question"),
    [
        (ALCOVE_MM, 96, "did you mean inches?"),
        (WALK_IN, 2400, "did you mean millimetres?"),
        (WALK_IN, 900, "did you mean millimetres?"),
    ],
)
def test_mixed_up_units_are_asked_about(base: Any, ceiling: float, question: str) -> None:
    """A ceiling of 96 mm or 2400 in draws the question about the units."""
    (fault,) = faults(changed(base, {"/room/ceiling_height": ceiling}))
    assert question in fault.detail


def _literal(node: ast.expr) -> Iterator[str]:
    """Codes written out in an expression."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.IfExp):
        yield from _literal(node.body)
        yield from _literal(node.orelse)


def _codes_of_rules() -> set[str]:
    """Every code that a rule over several fields may give, read from the source."""
    package = Path(optimizer.briefs.__file__).parent
    files = [package / "rules" / name for name in ("sizes", "rooms", "features", "needs")]
    files += [package / "rules" / name for name in ("items", "stock", "pins")]
    files += [package / "rules" / name for name in ("corners", "kept_clear")]
    files.append(package.parent / "geometry" / "outline")
    codes: set[str] = set()
    for file in files:
        for node in ast.walk(ast.parse(file.with_suffix(".py").read_text())):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Fault":
                codes |= set(_literal(node.args[2]))
            elif isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") == "code":
                codes |= set(_literal(node.value))
    return codes


def test_every_code_has_a_case() -> None:
    """No rule's code is without a case above."""
    assert _codes_of_rules() - {case.code for case in CASES} == set()


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        ("/options/alternatives", 1_000_000, "at most 20 is allowed (got 1000000)"),
        ("/options/gap", -1, "at least 0 is expected here (got -1)"),
        ("/options/alternatives", 2.5, "a whole number is expected here (got 2.5)"),
        ("/construction/material", "gold", "one of these is expected here: 'mdf', "),
        ("/units", "cm", "one of these is expected here: 'in' or 'mm'"),
        ("/name", "x" * 5000, "at most 200 characters are allowed"),
        ("/room/walls", 7, "a list in brackets is expected here"),
    ],
)
def test_faults_are_told_in_plain_words(path: str, value: object, words: str) -> None:
    """What is expected, with its limit, and no word of how the program reads it."""
    data = load_scenario("hall-reach-in").model_dump(mode="json")
    *above, last = path.split("/")[1:]
    here = data
    for step in above:
        here = here[step]
    here[last] = value
    with pytest.raises(BriefError) as caught:
        read_brief(data)
    fault = next(fault for fault in caught.value.faults if fault.pointer == path)
    assert words in fault.detail
    assert "Input should" not in str(caught.value)
    assert len(str(fault)) < 400

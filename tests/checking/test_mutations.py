"""Every rule catches layouts that break it, and nothing else is said of them."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.checking import check_layout
from tests.checking.parts import bay, double_hang, floor, hang_under, rod, shelf, stack
from tests.checking.samples import DELETE, drawing

BAYS = "/layout/bays"
WALLS = "/brief/room/walls"
OPENINGS = "/brief/room/openings"
THINGS = "/brief/room/obstructions"
RULES = "/brief/construction"
NEEDS = "/brief/needs"

BOARD_BEAM = {"wall": "A", "start": 0, "width": 9, "bottom": 83.2, "height": 0.4}
BULKHEAD = {
    "wall": "A", "start": 0, "width": 30, "bottom": 50, "height": 9,
    "setback": 20, "projection": 30,
}  # fmt: skip
OUTLET = {"wall": "A", "start": 10, "width": 5, "bottom": 12, "height": 5}
PIPE = {"wall": "A", "start": 30.8, "width": 0.6, "bottom": 0, "height": 3}
PIPE_ACROSS = {
    "wall": "B", "start": 100, "width": 50, "bottom": 0, "height": 2000,
    "setback": 1600, "projection": 1700,
}  # fmt: skip
STEP = [
    {"id": "A", "length": 60},
    {"id": "B", "length": 6, "corner": "outside"},
    {"id": "C", "length": 12},
    {"id": "D", "length": 60},
]
CROSSED = [
    {"id": "A", "length": 60},
    {"id": "B", "length": 30},
    {"id": "C", "length": 30},
    {"id": "D", "length": 90},
]

KEPT = {"wall": "D", "start": 20, "width": 20, "height": 78, "depth": 30, "why": "the heater"}
LOW_BEAM = {
    "wall": "D", "start": 0, "width": 40, "bottom": 85, "height": 11, "projection": 20,
    "kind": "beam",
}  # fmt: skip
TWO_STACKS = [
    bay("B1", "A", 0.75, 24.0, stack(96.0, 12.0)),
    bay("B2", "A", 27.75, 24.0, stack(96.0, 12.0)),
]

CASES: list[tuple[str, str, dict[str, Any], str]] = [
    # R1 Wall fit
    ("left of the wall", "single",
     {f"{BAYS}/0/start": 0.5, f"{BAYS}/0/width": 30.25}, "wall_fit"),
    ("right of the wall", "single", {f"{BAYS}/2/start": 70.0}, "wall_fit"),
    ("least reading counts", "single", {f"{WALLS}/0/length": [100, 86.5]}, "wall_fit"),
    ("neither shared nor two uprights", "single",
     {f"{BAYS}/1/start": 31.75, f"{BAYS}/1/width": 23.75}, "neighbours"),
    ("uprights that overlap", "single",
     {f"{BAYS}/1/start": 31.0, f"{BAYS}/1/width": 24.5}, "neighbours"),
    ("two uprights where one would do", "single", {BAYS: TWO_STACKS}, "back_to_back"),
    ("two uprights back to back", "single", {BAYS: TWO_STACKS, f"{BAYS}/1/start": 26.25},
     "back_to_back"),
    ("carried by a wall further on", "pantry",
     {f"{BAYS}/2/start": 1.0, f"{BAYS}/2/width": 29.0}, "wall_fit"),
    ("carried by the wall, too short", "pantry", {f"{BAYS}/1/width": 53.0}, "wall_fit"),
    ("a wall that may be shorter", "single", {"/brief/room/measuring_tolerance": 14}, "measuring"),
    ("a wall that may be shorter by a little", "reach_in",
     {"/brief/room/measuring_tolerance": 1}, "measuring"),
    # R2 Width
    ("a rod too narrow to hang on", "single",
     {f"{BAYS}/0/width": 17.5, f"{BAYS}/1": DELETE}, "width"),
    ("too narrow", "single", {f"{BAYS}/1/width": 11.0}, "width"),
    ("too wide", "single",
     {f"{WALLS}/0/length": 160, f"{BAYS}/2/width": 96.5,
      f"{BAYS}/2/zones": [floor(27.0, "hamper", depth=24.0)]}, "width"),
    ("off the inch grid", "single",
     {f"{BAYS}/1/width": 23.97, f"{BAYS}/2/start": 57.0}, "width_grid"),
    ("off the metric grid", "metric", {f"{BAYS}/1/width": 800.4}, "width_grid"),
    # R3 Heights
    ("zone above the ceiling", "single", {f"{BAYS}/1/zones/6/top": 97.0}, "ceiling"),
    ("uprights above the ceiling", "single", {f"{BAYS}/0/height": 97.0}, "ceiling"),
    ("ceiling lower than surveyed", "single", {"/brief/room/ceiling_height": 90}, "ceiling"),
    ("above the low end of a slope", "slope", {f"{BAYS}/0/zones/3/top": 60.5}, "ceiling"),
    ("slope the other way", "slope",
     {f"{WALLS}/0/height": {"left": 96, "right": 60}}, "ceiling"),
    ("shelf space into the next board", "single", {f"{BAYS}/1/zones/1/top": 27.0}, "zone_order"),
    ("clothes through clothes", "single", {f"{BAYS}/0/zones/0/top": 44.0}, "zone_order"),
    ("floor zone upside down", "slope",
     {f"{BAYS}/1/zones/0": {**floor(0.0), "bottom": 0.0009, "top": 0.0},
      f"{BAYS}/1/zones/1/top": 61.0}, "zone_order"),
    ("board in the floor", "single", {f"{BAYS}/1/zones/0/bottom": 0.5}, "shelf_floor"),
    ("metric board in the floor", "metric", {f"{BAYS}/1/zones/0/bottom": 10.0}, "shelf_floor"),
    ("uprights short of the top board", "single", {f"{BAYS}/0/height": 83.0}, "upright_height"),
    ("uprights of a stack too short", "single", {f"{BAYS}/1/height": 70.0}, "upright_height"),
    ("higher than its highest board", "pantry",
     {f"{BAYS}/{place}/height": 86.0 for place in range(3)}, "upright_height"),
    ("no board on the line", "pantry",
     {f"{BAYS}/2/zones": [floor(30.0, depth=24.0)]}, "upright_height"),
    # R4 Zones
    ("floor zone off the floor", "reach_in", {f"{BAYS}/0/zones/0/bottom": 1.0}, "floor_zone"),
    ("floor zone on top", "single",
     {f"{BAYS}/1/zones/6": {**floor(96.0), "bottom": 75.0}}, "floor_zone"),
    ("two floor zones", "reach_in",
     {f"{BAYS}/0/zones": [floor(0.0), floor(40.0), *double_hang(94.0)[1:]]}, "floor_zone"),
    ("shallow clothes", "single", {f"{BAYS}/0/zones/0/depth": 20.0}, "rod_depth"),
    ("coats wanted deeper", "single", {f"{RULES}/hang_depth": 26}, "rod_depth"),
    ("bay said to be deeper", "single", {f"{BAYS}/1/depth": 14.0}, "bay_depth"),
    ("board deeper than its bay", "single", {f"{BAYS}/1/zones/3/depth": 13.0}, "bay_depth"),
    ("clothes said to end higher", "single", {f"{BAYS}/0/zones/0/bottom": 4.0}, "rod_drop"),
    ("clothes that hang less", "single", {f"{NEEDS}/hang_drop": {"short": 36}}, "rod_drop"),
    ("no air over the rod", "single", {f"{BAYS}/0/zones/1/top": 82.5}, "rod_clearance"),
    ("more air wanted", "single", {f"{RULES}/rod_clearance": 3.5}, "rod_clearance"),
    ("clothes too near the floor", "single", {f"{RULES}/floor_clearance": 4}, "floor_clearance"),
    ("coats too near the floor", "slope", {f"{RULES}/floor_clearance": 3.5}, "floor_clearance"),
    ("no board over two rods", "single", {f"{BAYS}/0/zones/2": DELETE}, "rod_board"),
    ("no board over coats", "reach_in", {f"{BAYS}/1/zones/1": DELETE}, "rod_board"),
    ("a board below the rod only", "slope",
     {f"{BAYS}/2/zones": [shelf(12.0, 20.25, 12.0), rod("short", 58.0, 62.0)]}, "rod_board"),
    ("no hang class", "single", {f"{BAYS}/0/zones/1/hang": None}, "rod_unnamed"),
    ("no rod height", "slope", {f"{BAYS}/2/zones/0/rod_height": None}, "rod_unnamed"),
    ("shelf too high", "single",
     {f"{BAYS}/0/zones/2/bottom": 85.0, f"{BAYS}/0/height": 85.0}, "shelf_height"),
    ("highest shelf lowered", "single", {f"{RULES}/max_shelf_height": 80}, "shelf_height"),
    ("top shelf without room", "single", {f"{BAYS}/1/zones/6/top": 80.0}, "shelf_clear"),
    ("shelf without room", "single", {f"{BAYS}/1/zones/2/top": 33.0}, "shelf_clear"),
    ("board of no depth", "single", {f"{BAYS}/1/zones/2/depth": 0.0}, "shelf_depth"),
    ("board of hardly any depth", "single", {f"{BAYS}/1/zones/2/depth": 5e-4}, "shelf_depth"),
    ("no zones", "single", {f"{BAYS}/1/zones": []}, "bay_empty"),
    ("no zones in a corner", "walk_in", {f"{BAYS}/3/zones": []}, "bay_empty"),
    # R5 Obstructions
    ("clothes over an outlet", "single", {f"{THINGS}": [OUTLET]}, "obstruction"),
    ("upright on a pipe", "single", {f"{THINGS}": [PIPE]}, "obstruction"),
    ("board through a beam", "single", {f"{THINGS}": [BOARD_BEAM]}, "obstruction"),
    ("clothes into a bulkhead", "single", {f"{THINGS}": [BULKHEAD]}, "obstruction"),
    ("thing measured from another wall", "metric", {f"{THINGS}": [PIPE_ACROSS]}, "obstruction"),
    ("hamper over an outlet", "single",
     {f"{THINGS}": [{**OUTLET, "start": 60, "bottom": 0, "height": 20}]}, "obstruction"),
    ("light in a shelf zone", "single",
     {f"{THINGS}": [{**OUTLET, "start": 40, "bottom": 90, "kind": "window"}]}, "obstruction"),
    ("support into a heater", "pantry",
     {THINGS: [{"wall": "A", "start": 40, "width": 4, "bottom": 0, "height": 8}]}, "obstruction"),
    # R6 Openings
    ("second opening behind a bay", "reach_in",
     {f"{OPENINGS}/-": {"wall": "B", "start": 60, "width": 10}}, "opening"),
    ("on the casing", "reach_in",
     {f"{OPENINGS}/-": {"wall": "B", "start": 71.4, "width": 0.5, "casing": 0.3}}, "opening"),
    ("before the door", "walk_in", {f"{OPENINGS}/0/start": 0}, "opening_floor"),
    ("within the door's swing", "walk_in",
     {f"{BAYS}/5": DELETE, f"{OPENINGS}/0/start": 50, f"{OPENINGS}/0/width": 32},
     "opening_floor"),
    # R7 Corners
    ("one floor for two bays", "single",
     {WALLS: STEP, f"{NEEDS}/items": [],
      BAYS: [bay("A1", "A", 24.75, 30.0, double_hang(96.0)),
             bay("D1", "D", 0.75, 30.0, double_hang(96.0))]}, "overlap"),
    ("hardly one floor", "single",
     {WALLS: STEP, f"{NEEDS}/items": [],
      BAYS: [bay("A1", "A", 24.75, 30.0, double_hang(96.0)),
             bay("D1", "D", 18.5, 30.0, double_hang(96.0))],
      f"{RULES}/rod_overlap": 12, f"{BAYS}/1/start": 17.25 + 0.75 - 0.125}, "overlap+pocket"),
    ("tight in a corner", "walk_in", {f"{BAYS}/6/start": 37.0, f"{THINGS}/1": DELETE}, "corner"),
    ("more access wanted in corners", "walk_in", {f"{RULES}/corner_clearance": 9}, "corner"),
    ("tight in a metric corner", "metric",
     {f"{WALLS}/0/length": 1654 + 440, f"{BAYS}/2/start": 18.0}, "corner"),
    ("a shaft in a corner", "pantry",
     {f"{BAYS}/0/width": 71.25, f"{BAYS}/0/right": "upright", f"{BAYS}/0/zones/2/items": [],
      f"{BAYS}/1/start": 12.75, f"{BAYS}/1/width": 53.25, f"{BAYS}/1/left": "upright"}, "pocket"),
    ("a slit between uprights", "reach_in",
     {f"{BAYS}/0/width": 31.0, THINGS: [], f"{RULES}/rod_overlap": 12}, "pocket"),
    # R8 Aisle
    ("facing bays too near", "walk_in", {f"{NEEDS}/aisle": 57}, "aisle"),
    ("a facing wall too near", "metric",
     {f"{WALLS}/1/length": 800, f"{WALLS}/-": {"id": "C", "length": 1000}, f"{BAYS}/2": DELETE},
     "aisle"),
    ("a wall too near a pier", "pier",
     {f"{WALLS}/5/length": 47, f"{WALLS}/7/length": 47, "/brief/room/access": "walk_in"},
     "aisle+opening_floor"),
    ("a wall that faces no opening", "reach_in",
     {f"{OPENINGS}/0/start": 2,
      BAYS: [bay("D1", "D", 52.75, 12.0, stack(96.0, 12.0))]}, "reach_in_wall"),
    ("a reach-in without opening", "single", {"/brief/room/access": "reach_in"}, "reach_in_wall"),
    ("deeper than a reach-in", "reach_in",
     {f"{WALLS}/0/length": 23, f"{WALLS}/2/length": 23}, "room_depth"),
    ("shelf deeper than a reach-in", "reach_in",
     {f"{BAYS}/1/zones/1/depth": 26.0, f"{BAYS}/1/depth": 26.0,
      f"{BAYS}/1/start": 46.5, f"{BAYS}/1/width": 24.0},
     "room_depth"),
    # R9 Access
    ("front behind the next wall's bay", "walk_in", {f"{BAYS}/0/width": 30.0}, "access"),
    ("more open front wanted", "walk_in", {f"{RULES}/corner_opening": 15}, "access"),
    ("no way in", "walk_in", {OPENINGS: []}, "access"),
    # R10 Items
    ("unknown piece", "single", {f"{BAYS}/1/zones/1/items": ["ghost"]}, "item_unknown"),
    ("unknown piece among clothes", "slope", {f"{BAYS}/2/zones/0/items": ["ghost"]},
     "item_unknown"),
    ("one piece twice", "walk_in", {f"{NEEDS}/items/1/count": 1}, "item_count"),
    ("a third of two pieces", "walk_in", {f"{BAYS}/2/zones/2/items": ["box"]}, "item_count"),
    ("too wide", "single", {f"{NEEDS}/items/0/width": 30}, "item_width"),
    ("two side by side too wide", "walk_in", {f"{NEEDS}/items/1/width": 17.5}, "item_width"),
    ("too tall", "single", {f"{NEEDS}/items/0/height": 27}, "item_height"),
    ("too tall for a shelf", "walk_in", {f"{NEEDS}/items/1/height": 11}, "item_height"),
    ("too tall for the cleats over it", "walk_in",
     {f"{NEEDS}/items/0/height": 18, f"{NEEDS}/items/0/depth": 12}, "item_height"),
    ("too deep", "single", {f"{NEEDS}/items/0/depth": 25}, "item_depth"),
    ("too deep for a shelf", "metric", {f"{NEEDS}/items/0/depth": 310}, "item_depth"),
    ("on the floor, not on a shelf", "single", {f"{NEEDS}/items/0/place": "shelf"}, "item_place"),
    ("on a shelf, not on the floor", "walk_in", {f"{NEEDS}/items/1/place": "floor"},
     "item_place"),
    ("among clothes", "walk_in",
     {f"{BAYS}/0/zones/1/items": [], f"{BAYS}/5/zones/0/items": ["box"]}, "item_place"),
    ("heavy and high", "metric",
     {f"{BAYS}/1/zones/2/items": [], f"{BAYS}/1/zones/3/items": ["case"]}, "item_weight"),
    ("heavier than thought", "walk_in",
     {f"{BAYS}/0/zones/1/items": [], f"{BAYS}/0/zones/3/items": ["box"],
      f"{NEEDS}/items/1/weight_lb": 25}, "item_weight"),
    ("daily and out of reach", "walk_in",
     {f"{BAYS}/0/zones/6/items": ["box"], f"{BAYS}/0/zones/1/items": ["box"],
      f"{NEEDS}/items/1/use": "daily"}, "item_reach"),
    ("daily and out of a child's reach", "walk_in",
     {f"{BAYS}/0/zones/4/items": ["box"], f"{BAYS}/0/zones/1/items": ["box"],
      f"{NEEDS}/items/1/use": "daily", f"{NEEDS}/users": [{"stature": 66}, {"age": 10}]},
     "item_reach"),
    ("too wide between supports", "pantry", {f"{NEEDS}/items/0/width": 9.5}, "item_width"),
    # R12 Strength
    ("support beside its stud", "pantry",
     {f"{BAYS}/0/mid_supports/1": 43.0, f"{BAYS}/0/zones/2/items": []}, "mid_support"),
    ("support outside its bay", "pantry",
     {f"{WALLS}/3/studs/positions/-": 31, f"{BAYS}/2/mid_supports": [31.0]}, "mid_support"),
    ("support in an upright", "pantry",
     {f"{WALLS}/3/studs/positions/-": 30, f"{BAYS}/2/mid_supports": [29.75]}, "mid_support"),
    ("two supports at one place", "pantry",
     {f"{BAYS}/0/mid_supports": [21.0, 41.5, 42.0, 63.0]}, "mid_support"),
    ("no supports wanted", "pantry", {f"{RULES}/mid_support": "none"}, "mid_support"),
    ("supports and stiffeners", "pantry", {f"{BAYS}/1/stiffened": True}, "mid_support"),
    ("one support less", "pantry", {f"{BAYS}/0/mid_supports": [21.0, 63.0]}, "span"),
    ("rod supports nearer", "alcove", {f"{RULES}/rod_support_spacing": 23}, "span"),
    ("plain boards shorter", "alcove", {f"{RULES}/max_plain_span": 23}, "span"),
    ("board too long", "slope", {f"{BAYS}/2/width": 36.5}, "span"),
    ("rod too weak", "single", {f"{RULES}/rod_stock": "wood_dowel"}, "span"),
    ("shelves for books", "single", {f"{RULES}/shelf_load": 40}, "span"),
    ("uprights of little safety", "single",
     {f"{RULES}/safety_factor": 10, f"{RULES}/upright_hold": 48}, "strength"),
    ("clothes too heavy for sockets", "alcove", {f"{RULES}/rod_load": 80}, "strength"),
    ("no stiffeners wanted", "slope",
     {f"{RULES}/stiffener_allowed": False, f"{BAYS}/2/stiffened": True}, "stiffener"),
    ("no stiffeners on shelves", "single",
     {f"{RULES}/stiffener_allowed": False, f"{BAYS}/1/stiffened": True}, "stiffener"),
    # R13 Reach
    ("rod out of reach", "single", {f"{NEEDS}/users": [{"stature": 60}]}, "rod_height"),
    ("highest rod lowered", "single", {f"{RULES}/max_rod_height": 79}, "rod_height"),
    # R14 Lights
    ("shelf near a light", "walk_in",
     {f"{THINGS}/2/setback": 14, f"{THINGS}/2/projection": 20}, "light"),
    ("shelf near a recessed light", "walk_in",
     {f"{THINGS}/2/setback": 14, f"{THINGS}/2/projection": 20, f"{THINGS}/2/start": 40,
      f"{THINGS}/2/luminaire": "recessed_enclosed"}, "light"),
    ("a light that may be covered is still hot", "walk_in",
     {f"{THINGS}/2/setback": 14, f"{THINGS}/2/projection": 20, f"{THINGS}/2/may_cover": True},
     "light"),
    # R15 Pins
    ("pinned bay moved", "single",
     {"/brief/pins": [{"wall": "A", "start": 1, "width": 30, "pattern": "pattern of B1"}]},
     "pin"),
    ("pinned bay of another pattern", "single",
     {"/brief/pins": [{"wall": "A", "start": 0.75, "width": 30, "pattern": "pattern of B2"}]},
     "pin"),
    # R16 Ends
    ("uprights wanted", "pantry", {f"{RULES}/wall_ends": "uprights"}, "ends"),
    ("the casing of a door beside it", "pantry", {f"{OPENINGS}/0/start": 13}, "ends"),
    ("a door where a rod ends", "pantry",
     {f"{OPENINGS}/0/start": 32, f"{OPENINGS}/0/width": 28, f"{OPENINGS}/0/casing": 10.5}, "ends"),
    ("a window where a cleat goes", "alcove",
     {THINGS: [{"wall": "C", "start": 11, "width": 6, "bottom": 60, "height": 22,
                "kind": "window"}]}, "ends+obstruction"),
    ("a side wall lower than the line", "pantry", {f"{WALLS}/2/height": 83}, "ends"),
    ("no side wall at all", "single",
     {f"{RULES}/wall_ends": "cleats", f"{BAYS}/0/start": 0.0, f"{BAYS}/0/width": 30.75,
      f"{BAYS}/0/left": "wall"}, "ends"),
    ("nothing to butt against", "pantry", {f"{BAYS}/0": DELETE}, "ends"),
    ("rods beside a corner", "pantry",
     {f"{BAYS}/1/zones": hang_under(84.0, 96.0, "medium"),
      f"{RULES}/hang_depth": 12, f"{RULES}/rod_setback": 6, f"{BAYS}/1/zones/0/depth": 12.0,
      f"{BAYS}/1/depth": 12.0, f"{BAYS}/2": DELETE}, "ends"),
    ("boards at other heights", "pantry",
     {f"{BAYS}/0/zones/3/bottom": 49.0, f"{BAYS}/0/zones/2/top": 48.25}, "ends"),
    ("away from the boards to butt against", "pantry",
     {f"{BAYS}/1/start": 13.0, f"{BAYS}/1/width": 53.0}, "ends"),
    ("a narrow bay behind", "pantry",
     {f"{RULES}/min_bay_width": 10, f"{BAYS}/0/start": 73.25, f"{BAYS}/0/width": 10.75,
      f"{BAYS}/0/left": "upright", f"{BAYS}/0/mid_supports": [],
      f"{BAYS}/0/zones/2/items": []}, "ends"),
    # R17 Lines
    ("a line a little lower", "pantry",
     {f"{BAYS}/2/zones": hang_under(82.0, 96.0, "short"), f"{BAYS}/2/height": 82.0}, "line"),
    ("a line lower for no reason", "pantry",
     {f"{BAYS}/2/zones": hang_under(72.0, 96.0, "short"), f"{BAYS}/2/height": 72.0}, "line"),
    ("a beam that leaves room for the line", "pantry",
     {f"{BAYS}/2/zones": hang_under(72.0, 84.0, "short"), f"{BAYS}/2/height": 72.0,
      THINGS: [{**LOW_BEAM, "bottom": 92, "height": 4}]}, "line"),
    # R18 Kept clear
    ("before the heater", "pantry", {"/brief/room/keep_clear": [KEPT]}, "keep_clear"),
    ("an upright before the heater", "pantry",
     {"/brief/room/keep_clear": [{**KEPT, "start": 30.5, "height": 2}]}, "keep_clear"),
    # Names
    ("bay on a wall of no room", "single", {f"{BAYS}/1/wall": "Z"}, "wall_unknown"),
    ("filler on a wall of no room", "single",
     {"/layout/fillers": [{"wall": "Z", "start": 1, "width": 1, "kind": "scribe"}]},
     "wall_unknown"),
    ("two bays of one name", "single", {f"{BAYS}/1/id": "B1"}, "bay_id"),
    ("brief with an opening nowhere", "single",
     {OPENINGS: [{"wall": "Z", "start": 1, "width": 1}]}, "brief"),
    ("brief with an outlet nowhere", "single", {THINGS: [{**OUTLET, "wall": "Z"}]}, "brief"),
    ("brief with a box nowhere", "single",
     {"/brief/room/keep_clear": [{**KEPT, "wall": "Z"}]}, "brief"),
    ("brief of unknown garments", "single",
     {f"{NEEDS}/garments": [{"kind": "suit of armour", "count": 1}]}, "brief"),
    ("brief with two walls of one name", "metric",
     {f"{WALLS}/-": {"id": "A", "length": 10}}, "brief"),
    ("brief with walls that cross", "single",
     {WALLS: CROSSED, BAYS: [], f"{NEEDS}/items": []}, "brief"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("sample", "changes", "codes"),
    [pytest.param(*row[1:], id=f"{row[3]}: {row[0]}") for row in CASES],
)
def test_broken_rule_is_named(sample: str, changes: dict[str, Any], codes: str) -> None:
    """A change that breaks one rule gives findings of that rule's code only."""
    findings = check_layout(*drawing(sample, changes))
    assert {finding.code for finding in findings} == set(codes.split("+"))


@pytest.mark.parametrize("row", CASES, ids=[f"{row[3]}: {row[0]}" for row in CASES])
def test_finding_points_into_the_layout(row: tuple[str, str, dict[str, Any], str]) -> None:
    """Each pointer leads to a value of the layout, and the detail is a sentence of its own."""
    _, layout = drawing(row[1], row[2])
    data: Any = layout.model_dump()
    for finding in check_layout(*drawing(row[1], row[2])):
        here = data
        for step in finding.pointer.split("/")[1:]:
            here = here[int(step)] if isinstance(here, tuple | list) else here[step]
        assert len(finding.detail.split()) >= 4


def test_every_rule_is_broken_at_least_twice() -> None:
    """The table itself covers the codes of a bare drawing twice; `brief` stands for many."""
    counts: dict[str, int] = {}
    for row in CASES:
        for code in row[3].split("+"):
            counts[code] = counts.get(code, 0) + 1
    assert {code for code, count in counts.items() if count < 2} == {"bay_id"}

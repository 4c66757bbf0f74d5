"""Twelve rooms and what a good builder would make of each by hand.

Every function gives a brief and the bays of the layout; the JSON beside this file is written
from them (`python -m tests.hand.rooms`) and is what the tests read. The sketch of each room is
in its docstring: what carries, why there, and what would be waste.

The needs ask for just what the drawing holds, and the priorities are those of a builder who
wants the least work and material for it (`PRIORITIES`): a proposal that scores more then has
no reason to take more parts.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from optimizer.units import Units
from tests.hand.drawing import Data, Line, closed

FOLDER = Path(__file__).parent
Drawn = tuple[Data, list[Data]]

CASED = {"kind": "cased", "height": 80}
DOOR = {"kind": "hinged_out", "height": 80, "casing": 2.25}


PRIORITIES = {
    "hanging": 2,
    "shelving": 2,
    "open_floor": 0,
    "easy_reach": 0,
    "low_cost": 2,
    "simple_build": 4,
}


def _brief(name: str, room: Data, needs: Data, **more: Any) -> Data:
    return {"name": name, "room": room, "needs": needs, "priorities": PRIORITIES, **more}


def alcove_pantry() -> Drawn:
    """36 in wide, 16 in deep, open over its whole front: shelves from wall to wall.

    Both side walls are 16 in deep and the boards 12, so cleats on three sides carry every
    board and there is nothing for an upright to do. Held along its back as well, 36 in of 3/4 in
    MDF does not sag beyond measure. Seven boards every 12 in under 84 in.
    """
    line = Line()
    room = closed(
        {"left": 16, "back": 36, "right": 16, "front": 36},
        [{"wall": "front", "start": 0, "width": 36, **CASED}],
    )
    shelves = line.bay("P1", "back", 0, 36, line.shelves(6), left="wall", right="wall")
    return _brief("Alcove pantry", room, {"shelf_length": 252}), [shelves]


def wrap_pantry() -> Drawn:
    """5 x 5 ft, door in the front wall: shelves round three walls, no upright at all.

    The side runs go from the front wall to the back wall, carried by both; the back boards
    (36 in) butt against their front edges, on joint cleats. The stubs beside the door are 12-3/4
    in, just enough for the 12 in boards. A triangle at the stud at 32 in breaks each side
    run into 32 and 28 in. 12 + 36 + 12: a person stands in the middle and reaches all.
    """
    line = Line()
    room = closed(
        {"left": 60, "back": 60, "right": 60, "front": 60},
        [{"wall": "front", "start": 15, "width": 30, **DOOR}],
    )
    needs = {
        "shelf_length": 1092,
        "items": [
            {"id": "bin", "width": 11, "depth": 11, "height": 8, "count": 4, "place": "shelf",
             "use": "daily", "weight_lb": 8},
        ],
    }  # fmt: skip
    bins = line.shelves(6, on_3=["bin", "bin"], on_4=["bin", "bin"])
    walls = {"left": "wall", "right": "wall"}
    return _brief(
        "Wrap-around pantry",
        room,
        needs,
        construction={"material": "plywood", "shelf_load": 20},
    ), [
        line.bay("L1", "left", 0, 60, line.shelves(6), mid_supports=[32], **walls),
        line.bay("B1", "back", 12, 36, bins, left="corner", right="corner"),
        line.bay("R1", "right", 0, 60, line.shelves(6), mid_supports=[32], **walls),
    ]


def six_foot_reach_in() -> Drawn:
    """72 x 24 in with returns of 12 in: double hang, shelves, long hang; two uprights.

    Shelves stand in the middle, before the opening, where they can be seen; rods reach
    behind the returns, where a hanger slides. The side walls carry the outer ends of both rods.
    The long rod hangs under the second board, at 68-1/4 in, so that two boards go over it. All
    boards are short enough plain.
    """
    line = Line()
    room = closed(
        {"left": 24, "back": 72, "right": 24, "front": 72},
        [{"wall": "front", "start": 12, "width": 48, "kind": "bifold", "height": 80}],
    )
    double = [*line.double(), *line.shelves(0)]
    long = [line.rod("long", 1), *line.shelves(1)]
    return _brief(
        "Six-foot reach-in", room, {"long_hang": 24, "short_hang": 60, "shelf_length": 193.5}
    ), [
        line.bay("B1", "back", 0, 30, double, left="wall"),
        line.bay("B2", "back", 30.75, 16.5, line.shelves(6)),
        line.bay("B3", "back", 48, 24, long, right="wall"),
    ]


def walk_in() -> Drawn:
    """5 x 7 ft, door in a short wall: clothes across the far end, shelves down both sides.

    The rods run across the far wall between the two side walls, with one upright between the
    double and the long hang. The shelves start at the front wall, whose stubs carry their ends,
    and stop 6 in short of the clothes, on an upright each. 12 + 36 + 12 leaves a wide way.
    One triangle breaks each run of shelves.
    """
    line = Line()
    room = closed(
        {"left": 84, "back": 60, "right": 84, "front": 60},
        [{"wall": "front", "start": 15, "width": 30, **DOOR}],
    )
    double = [*line.double(), *line.shelves(0)]
    long = [line.rod("long", 1), *line.shelves(1)]
    return _brief(
        "Walk-in, 5 x 7 ft",
        room,
        {"long_hang": 24, "short_hang": 70.5, "shelf_length": 828.75},
        construction={"material": "plywood"},
    ), [
        line.bay("L1", "left", 0, 53.25, line.shelves(6), left="wall", mid_supports=[32]),
        line.bay("B1", "back", 0, 35.25, double, left="wall"),
        line.bay("B2", "back", 36, 24, long, right="wall"),
        line.bay("R1", "right", 30.75, 53.25, line.shelves(6), right="wall", mid_supports=[64]),
    ]


def childs_closet() -> Drawn:
    """48 x 24 in for a child of six: a low rod, and boards over it to grow into.

    A six-year-old reaches 40 in, so that is where the rod goes; the line is chosen so that a
    board lies one clearance over it: 43-3/4 in, and three more every 12 in up to 79-3/4. The toy
    box stands under the clothes, which end at 16 in. Shelves beside it down to the floor. One
    upright; both boards short enough plain.
    """
    line = Line(top=79.75, drops=(36.0, 30.0, 24.0))
    room = closed(
        {"left": 24, "back": 48, "right": 24, "front": 48},
        [{"wall": "front", "start": 4, "width": 40, "kind": "bifold", "height": 80}],
    )
    needs = {
        "garments": [
            {"kind": "child's shirt", "count": 6},
            {"kind": "child's jacket", "count": 4},
        ],
        "shelf_length": 258.75,
        "items": [
            {"id": "toy box", "width": 22, "depth": 15, "height": 15, "use": "daily",
             "weight_lb": 20},
        ],
        "users": [{"age": 6}],
    }  # fmt: skip
    clothes = [line.floor(16, "toy box"), line.rod("short", 3), *line.shelves(3)]
    return _brief("Child's closet", room, needs), [
        line.bay("B1", "back", 0, 24, clothes, left="wall"),
        line.bay("B2", "back", 24.75, 23.25, line.shelves(6), right="wall"),
    ]


def l_shaped() -> Drawn:
    """An L, 9 ft by 8 ft, 5 ft wide in both legs, the door at the end of one leg.

    Clothes along the longest wall, from the far corner of the other leg to its end; their last
    18 in are left to the shelves on the end wall, which need a way past. Those shelves run from
    wall to wall and those of the inner wall butt against them: a wrapped corner. Shelves on
    both sides of the way in end at the door's wall on cleats. All rods end on a wall or on an
    upright; only the two long runs of shelves take a triangle.
    """
    line = Line(spacing=14.0)
    room = closed(
        {
            "A": 108,
            "B": 96,
            "C": 60,
            "D": {"length": 36, "corner": "outside"},
            "E": 48,
            "F": 60,
        },
        [{"wall": "C", "start": 15, "width": 30, **DOOR}],
    )
    double = [*line.double(), *line.shelves(0)]
    long = [line.rod("long", 1), *line.shelves(1)]
    return _brief(
        "L-shaped walk-in",
        room,
        {"long_hang": 24, "short_hang": 127.5, "shelf_length": 1200, "shelf_spacing": 14},
        construction={"material": "plywood"},
    ), [
        line.bay("A1", "A", 18.75, 30, double),
        line.bay("A2", "A", 49.5, 24, long),
        line.bay("A3", "A", 74.25, 33.75, double, right="wall"),
        line.bay("B1", "B", 30.75, 65.25, line.shelves(5), right="wall", mid_supports=[64]),
        line.bay("D1", "D", 0, 35.25, line.shelves(5), left="wall"),
        line.bay("E1", "E", 0.75, 35.25, line.shelves(5), right="corner"),
        line.bay("F1", "F", 0, 60, line.shelves(5), left="wall", right="wall", mid_supports=[32]),
    ]


def under_a_slope() -> Drawn:
    """A niche under a roof that rises from 60 to 96 in over 9 ft: three steps of one line.

    The line is 72 in where the roof lets it (from 80 in of height on), and one and two spacings
    lower towards the eaves, so that boards meet at the uprights. Dresses hang where it is
    highest, shirts and trousers full length in the middle, shelves fill the low end. The side
    walls carry both ends; two uprights.
    """
    line = Line(top=72.0, ceiling=80.0)
    middle = Line(top=60.0, ceiling=68.0)
    low = Line(top=48.0, ceiling=60.0)
    room = {
        "ceiling_height": 96,
        "walls": [
            {"id": "low side", "length": 30, "height": 60},
            {"id": "back", "length": 108, "height": {"left": 60, "right": 96}},
            {"id": "high side", "length": 30},
        ],
    }
    return _brief(
        "Under a slope",
        room,
        {"long_hang": 47.25, "medium_hang": 35.25, "shelf_length": 178.5},
        construction={"material": "plywood"},
    ), [
        low.bay("S1", "back", 0, 24, low.shelves(3), left="wall"),
        middle.bay("S2", "back", 24.75, 35.25, [middle.rod("medium", 0), *middle.shelves(0)]),
        line.bay(
            "S3",
            "back",
            60.75,
            47.25,
            [line.rod("long", 0), *line.shelves(0)],
            right="wall",
            stiffened=True,
        ),
    ]


def chimney_breast() -> Drawn:
    """Two alcoves beside a chimney breast, 36 in each and 15 in deep: not one upright.

    In both the side wall and the flank of the breast carry. Shelves in the left alcove; double
    hang in the right one: 15 in of flank is enough for a socket 12 in out, and the clothes
    stand out 9 in before the breast. Before the breast itself the hearth keeps clear.
    """
    line = Line()
    room = {
        "ceiling_height": 96,
        "walls": [
            {"id": "left", "length": 24},
            {"id": "left alcove", "length": 36},
            {"id": "flank left", "length": 15, "corner": "outside"},
            {"id": "breast", "length": 54, "corner": "outside"},
            {"id": "flank right", "length": 15},
            {"id": "right alcove", "length": 36},
            {"id": "right", "length": 24},
        ],
        "keep_clear": [
            {"wall": "breast", "start": 0, "width": 54, "height": 96, "depth": 24, "why": "hearth"}
        ],
    }
    walls = {"left": "wall", "right": "wall"}
    double = [*line.double(), *line.shelves(0)]
    return _brief(
        "Round a chimney breast",
        room,
        {"short_hang": 72, "shelf_length": 288},
        construction={"material": "plywood"},
    ), [
        line.bay("L1", "left alcove", 0, 36, line.shelves(6), **walls),
        line.bay("R1", "right alcove", 0, 36, double, **walls),
    ]


def linen_closet() -> Drawn:
    """36 x 18 in behind a door: boards 16 in deep every 14 in, from wall to wall, no upright.

    The basket stands on the floor under the lowest board, clear of its cleats. Plain boards, as
    in the alcove pantry.
    """
    line = Line(spacing=14.0, board_depth=16.0)
    room = closed(
        {"left": 18, "back": 36, "right": 18, "front": 36},
        [{"wall": "front", "start": 4, "width": 28, **DOOR}],
    )
    needs = {
        "shelf_length": 216,
        "shelf_spacing": 14,
        "shelf_depth": 16,
        "items": [
            {"id": "basket", "width": 24, "depth": 15, "height": 10, "weight_lb": 12},
        ],
    }
    zones = [line.floor(13.25, "basket", depth=16), *line.shelves(5)]
    return _brief("Linen closet", room, needs), [
        line.bay("L1", "back", 0, 36, zones, left="wall", right="wall")
    ]


def mudroom() -> Drawn:
    """A 7 ft wall between two short side walls: jackets over the boots, coats, cubbies.

    Jackets hang under the second board over the boot tray, coats beside them on a rod at the
    same height, shelves at the far end. Side walls carry the ends; two uprights.
    """
    line = Line()
    room = {
        "ceiling_height": 96,
        "walls": [
            {"id": "left", "length": 24},
            {"id": "back", "length": 84},
            {"id": "right", "length": 24},
        ],
    }
    needs = {
        "garments": [{"kind": "coat", "count": 6}, {"kind": "jacket", "count": 12}],
        "shelf_length": 277.5,
        "items": [
            {"id": "boot tray", "width": 30, "depth": 14, "height": 14, "weight_lb": 12,
             "use": "daily"},
        ],
    }  # fmt: skip
    jackets = [line.floor(31.25, "boot tray"), line.rod("short", 1), *line.shelves(1)]
    coats = [line.rod("long", 1), *line.shelves(1)]
    return _brief("Mudroom wall", room, needs), [
        line.bay("B1", "back", 0, 36, jackets, left="wall"),
        line.bay("B2", "back", 36.75, 24, coats),
        line.bay("B3", "back", 61.5, 22.5, line.shelves(6), right="wall"),
    ]


def laundry() -> Drawn:
    """7 x 4 ft with a water heater in the far corner: shelves along what it leaves.

    Before the heater 30 in of floor and height stay clear for whoever serves it, and the way in
    takes 3 ft before the door. Shelves run along the back from the left wall up to that space,
    where one upright ends them; the left wall's boards butt against them, from the height where
    the baskets fit under them on. One triangle in the long run.
    """
    line = Line()
    room = closed(
        {"left": 48, "back": 84, "right": 48, "front": 84},
        [{"wall": "front", "start": 6, "width": 30, **DOOR}],
        obstructions=[
            {"wall": "back", "start": 62, "width": 22, "bottom": 0, "height": 60, "kind": "other",
             "projection": 22},
        ],
        keep_clear=[
            {"wall": "back", "start": 54, "width": 30, "height": 96, "depth": 48,
             "why": "working space before the water heater"},
        ],
        access="walk_in",
    )  # fmt: skip
    needs = {
        "shelf_length": 552.75,
        "aisle": 36,
        "items": [
            {"id": "basket", "width": 16, "depth": 12, "height": 24, "count": 2, "weight_lb": 10,
             "use": "daily"},
        ],
    }  # fmt: skip
    baskets = [line.floor(line.under(4), "basket", "basket", depth=12), *line.shelves(4)]
    return _brief(
        "Laundry with a water heater",
        room,
        needs,
        construction={"material": "plywood"},
    ), [
        line.bay("L1", "left", 0, 36, baskets, left="wall", right="corner"),
        line.bay("B1", "back", 0, 53.25, line.shelves(6), left="wall", mid_supports=[32]),
    ]


def millimetres() -> Drawn:
    """2400 x 650 mm behind sliding doors: double hang, shelves, long hang, in round figures.

    As the six-foot reach-in: side walls carry the outer ends of the rods, two uprights, shelves
    in the middle. The long rod hangs under the second board.
    """
    line = Line(
        top=2130.0,
        spacing=300.0,
        ceiling=2440.0,
        panel=18.0,
        rod_clearance=75.0,
        board_depth=300.0,
        hang_depth=600.0,
        drops=(1600.0, 1300.0, 940.0),
        units=Units.MILLIMETRE,
    )
    room = closed(
        {"left": 650, "back": 2400, "right": 650, "front": 2400},
        [{"wall": "front", "start": 100, "width": 2200, "kind": "sliding", "height": 2100}],
    )
    room["ceiling_height"] = 2440
    double = [*line.double(), *line.shelves(0)]
    long = [line.rod("long", 1), *line.shelves(1)]
    return _brief(
        "Wardrobe in millimetres",
        room,
        {"long_hang": 814, "short_hang": 1800, "shelf_length": 7078},
        units="mm",
        construction={"material": "plywood"},
    ), [
        line.bay("B1", "back", 0, 900, double, left="wall"),
        line.bay("B2", "back", 918, 650, line.shelves(6)),
        line.bay("B3", "back", 1586, 814, long, right="wall"),
    ]


ROOMS: dict[str, Callable[[], Drawn]] = {
    "alcove-pantry": alcove_pantry,
    "wrap-pantry": wrap_pantry,
    "six-foot-reach-in": six_foot_reach_in,
    "walk-in": walk_in,
    "childs-closet": childs_closet,
    "l-shaped": l_shaped,
    "under-a-slope": under_a_slope,
    "chimney-breast": chimney_breast,
    "linen-closet": linen_closet,
    "mudroom": mudroom,
    "laundry": laundry,
    "millimetres": millimetres,
}
"""Every room by the name of its files."""


def text_of(data: Data) -> str:
    """JSON as the files hold it."""
    return json.dumps(data, indent=1) + "\n"


def files_of(name: str) -> dict[Path, str]:
    """Files of a room and what they hold."""
    brief, bays = ROOMS[name]()
    return {
        FOLDER / f"{name}.brief.json": text_of(brief),
        FOLDER / f"{name}.layout.json": text_of({"bays": bays}),
    }


if __name__ == "__main__":
    for room in ROOMS:
        for path, text in files_of(room).items():
            path.write_text(text, encoding="utf-8")

"""Rooms with layouts made by hand, one for each thing that is hard to draw."""

from __future__ import annotations

from functools import cache
from typing import Any

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout

Raw = dict[str, Any]
Sample = tuple[Brief, Layout]


def hang_zones(units: str, depth: float, top: float, rods: list[tuple[str, float]]) -> list[Raw]:
    """Rod zones from the floor up with a board above each stack; the board's top is `top`."""
    drops = {
        "in": {"long": 63.0, "medium": 51.0, "short": 37.0},
        "mm": {"long": 1600.0, "medium": 1300.0, "short": 940.0},
    }[units]
    panel = 0.75 if units == "in" else 18.0
    zones = []
    ends = [height - drops[hang] for hang, height in rods[1:]] + [top - panel]
    for (hang, height), end in zip(rods, ends, strict=True):
        zones.append(
            {
                "kind": "rod",
                "hang": hang,
                "bottom": height - drops[hang],
                "rod_height": height,
                "top": end,
                "depth": depth,
            }
        )
    return zones


def shelf_zones(tops: list[float], ceiling: float, depth: float, panel: float = 0.75) -> list[Raw]:
    """Shelf zones on boards with these tops."""
    ends = [top - panel for top in tops[1:]] + [ceiling]
    return [
        {"kind": "shelf", "bottom": bottom, "top": end, "depth": depth}
        for bottom, end in zip(tops, ends, strict=True)
    ]


def bay(id_: str, wall: str, start: float, width: float, zones: list[Raw], **more: Any) -> Raw:
    """A bay as data; its depth and height follow from its zones unless given."""
    depth = max((zone.get("depth", 0.0) for zone in zones), default=12.0)
    height = max((z["bottom"] for z in zones if z["kind"] == "shelf"), default=84.0)
    made = {"id": id_, "wall": wall, "start": start, "width": width, "pattern": "hand-made"}
    return {**made, "depth": depth, "height": height, "zones": zones, **more}


def sample(brief: Raw, bays: list[Raw], fillers: list[Raw] | None = None) -> Sample:
    """A brief and a layout read from data."""
    read = Brief.model_validate(brief)
    return read, Layout.model_validate({"bays": bays, "fillers": fillers or []}, context=read.units)


def reach_in() -> Sample:
    """A reach-in of 72-1/4 in with bifold doors, an outlet, two bays and a scribe strip."""
    brief = {
        "name": "Hall closet",
        "room": {
            "ceiling_height": 96,
            "walls": [
                {"id": "A", "length": 24},
                {"id": "B", "length": 72.25, "height": 94, "studs": {"spacing": 16, "first": 9}},
                {"id": "C", "length": 24},
                {"id": "D", "length": 72.25},
            ],
            "openings": [
                {"wall": "D", "start": 12, "width": 48, "kind": "bifold", "casing": 2.5}
            ],
            "obstructions": [
                {"wall": "B", "start": 50, "width": 3, "bottom": 12, "height": 4.5,
                 "kind": "outlet", "may_cover": True}
            ],
        },
        "needs": {
            "short_hang": 60,
            "shelf_length": 90,
            "items": [
                {"id": "hamper", "width": 18, "depth": 16, "height": 26},
                {"id": "shoe box", "width": 11, "depth": 11, "height": 7, "count": 2,
                 "place": "shelf"},
            ],
        },
    }  # fmt: skip
    hanging = hang_zones("in", 24, 84, [("short", 40), ("short", 80.25)])
    shelves = shelf_zones([36, 48, 60, 72, 84], 94, 12)
    shelves[1]["items"] = ["shoe box", "shoe box"]
    floor = {"kind": "floor", "bottom": 0, "top": 35.25, "depth": 16, "items": ["hamper"]}
    bays = [
        bay("B1", "B", 0.75, 34.5, [*hanging, *shelf_zones([84], 94, 12)]),
        bay("B2", "B", 36, 35, [floor, *shelves], stiffened=True),
    ]
    return sample(brief, bays, [{"wall": "B", "start": 71.75, "width": 0.5, "kind": "scribe"}])


def walk_in() -> Sample:
    """A U-shaped walk-in with window, outlets, vent, ceiling light, sloped wall and a door."""
    brief = {
        "name": "Main bedroom walk-in",
        "construction": {"top_line": "free"},
        "room": {
            "ceiling_height": 98,
            "walls": [
                {"id": "N", "length": 96, "studs": {"spacing": 16, "first": 7.25}},
                {"id": "E", "length": 84, "height": {"left": 98, "right": 62}},
                {"id": "S", "length": 96, "height": 98},
                {"id": "W", "length": 84},
            ],
            "openings": [
                {"wall": "S", "start": 34, "width": 30, "height": 80, "kind": "hinged_in",
                 "casing": 3.25, "hinge": "right"}
            ],
            "obstructions": [
                {"wall": "N", "start": 38, "width": 20, "bottom": 44, "height": 36,
                 "kind": "window"},
                {"wall": "W", "start": 36, "width": 3, "bottom": 14, "height": 4.5,
                 "kind": "outlet", "may_cover": True},
                {"wall": "E", "start": 60, "width": 12, "bottom": 2, "height": 6, "kind": "vent"},
                {"wall": "S", "start": 24, "width": 3, "bottom": 46, "height": 4.5,
                 "kind": "switch"},
                {"wall": "N", "start": 42, "width": 12, "bottom": 94, "height": 4,
                 "kind": "light", "setback": 36, "projection": 48},
            ],
        },
        "needs": {
            "long_hang": 24,
            "short_hang": 60,
            "items": [
                {"id": "suitcase", "width": 20, "depth": 11, "height": 28, "weight_lb": 12},
                {"id": "hamper", "width": 16, "depth": 14, "height": 24},
            ],
        },
    }  # fmt: skip
    floor = {"kind": "floor", "bottom": 0, "top": 31.25, "depth": 16, "items": ["suitcase"]}
    low = {"kind": "floor", "bottom": 0, "top": 29.25, "depth": 14, "items": ["hamper"]}
    bays = [
        bay("W1", "W", 0.75, 24, [*hang_zones("in", 24, 84, [("short", 40), ("short", 80.25)]),
                                  *shelf_zones([84], 98, 12)]),
        bay("W2", "W", 25.5, 30, [*hang_zones("in", 24, 70, [("long", 66)]),
                                   *shelf_zones([70, 84], 98, 12)]),
        bay("N1", "N", 13, 24, [floor, *shelf_zones([32, 44, 56, 68, 80], 98, 16)]),
        bay("N2", "N", 59.25, 36, [low, *shelf_zones([30, 44, 58, 72, 84], 98, 14)],
            stiffened=True),
        bay("E1", "E", 22, 30, [*hang_zones("in", 24, 44, [("short", 40)]),
                                *shelf_zones([44, 58], 70, 12)]),
    ]  # fmt: skip
    return sample(brief, bays)


def pier_room() -> Sample:
    """A room with a pier in its first side: five inside corners, two outside ones, eight walls."""
    brief = {
        "name": "Room with a chimney breast",
        "construction": {"top_line": "free"},
        "room": {
            "ceiling_height": 96,
            "walls": [
                {"id": "1", "length": 40},
                {"id": "2", "length": 9},
                {"id": "3", "length": 24},
                {"id": "4", "length": 9},
                {"id": "5", "length": 44},
                {"id": "6", "length": 90},
                {"id": "7", "length": 108},
                {"id": "8", "length": 90},
            ],
            "openings": [{"wall": "7", "start": 40, "width": 32, "kind": "hinged_out"}],
        },
        "needs": {"shelf_length": 200},
    }
    walls = brief["room"]["walls"]  # type: ignore[index]
    walls[0]["corner"] = "inside"
    # Outside corners stand where the pier comes forward.
    walls[1]["corner"] = walls[2]["corner"] = "outside"
    bays = [
        bay("B-left", "1", 0.75, 36, shelf_zones([3.5, 16, 28, 40, 52, 64, 76], 96, 12),
            stiffened=True),
        bay("B-right", "5", 3, 39, shelf_zones([3.5, 20, 36, 52, 68, 84], 96, 12),
            stiffened=True),
        bay("B-side", "6", 24, 30, [*hang_zones("in", 24, 70, [("long", 66)]),
                                    *shelf_zones([70, 84], 96, 12)]),
    ]  # fmt: skip
    return sample(brief, bays)


def metric() -> Sample:
    """One wall of 2400 mm in millimetres, two bays with their own uprights and a filler."""
    brief = {
        "name": "Nook",
        "construction": {"top_line": "free"},
        "units": "mm",
        "room": {"ceiling_height": 2400, "walls": [{"id": "N", "length": 2000}]},
        "needs": {"short_hang": 800, "shelf_length": 3000},
    }
    bays = [
        bay("N1", "N", 18, 900, shelf_zones([90, 900, 1300, 1800], 2400, 400, 18),
            stiffened=True),
        bay("N2", "N", 1014, 800, [*hang_zones("mm", 600, 2123, [("short", 1015),
                                                                  ("short", 2030)]),
                                   *shelf_zones([2123], 2400, 300, 18)]),
    ]  # fmt: skip
    return sample(brief, bays, [{"wall": "N", "start": 936, "width": 60, "kind": "filler"}])


def single_bay() -> Sample:
    """A wall of one bay and nothing else."""
    brief = {
        "name": "One bay",
        "room": {"ceiling_height": 90, "walls": [{"id": "A", "length": 31.5}]},
        "needs": {"shelf_length": 60},
    }
    return sample(brief, [bay("A1", "A", 0.75, 30, shelf_zones([12, 30, 48, 66], 90, 14))])


def narrow_bays() -> Sample:
    """Bays of 2 to 6 in with hard names and items: nothing has room inside."""
    items = [{"id": f"Umbrella stand no. {n}", "width": 1.5, "depth": 6, "height": 30}
             for n in range(6)]  # fmt: skip
    brief = {
        "name": "A closet with bays that are far too narrow for anything at all",
        "room": {"ceiling_height": 96, "walls": [{"id": "A", "length": 60}]},
        "needs": {"shelf_length": 60, "items": items},
    }
    bays = []
    start = 0.75
    for number, width in enumerate((2, 3, 6, 2.5, 4, 5)):
        floor = {"kind": "floor", "bottom": 0, "top": 40, "depth": 8,
                 "items": [f"Umbrella stand no. {number}"]}  # fmt: skip
        zones = [floor, *shelf_zones([41, 50, 60, 70, 80], 96, 10)]
        if number == 2:
            zones = [*hang_zones("in", 24, 84, [("short", 40), ("short", 80.25)]),
                     *shelf_zones([84], 96, 12)]  # fmt: skip
        bays.append(bay(f"A{number + 1}", "A", start, width, zones))
        start += width + (0.75 if number % 2 else 1.5)
    return sample(brief, bays)


def many_bays() -> Sample:
    """A wall of 240 in with eighteen bays in a row."""
    brief = {
        "name": "Dressing corridor",
        "room": {"ceiling_height": 96, "walls": [{"id": "Long wall", "length": 240}]},
        "needs": {"shelf_length": 600},
    }
    bays = []
    start = 0.75
    for number in range(18):
        tops = [3.5 + 12 * step for step in range(7)]
        zones = shelf_zones(tops, 96, 12)
        if number % 3 == 1:
            zones = [*hang_zones("in", 24, 84, [("short", 40), ("short", 80.25)]),
                     *shelf_zones([84], 96, 12)]  # fmt: skip
        bays.append(bay(f"L{number + 1}", "Long wall", start, 12.4375, zones))
        start += 12.4375 + 0.75
    return sample(brief, bays)


def long_names() -> Sample:
    """Names as long and as hostile as a brief may hold."""
    thing = "The-very-long-name-of-an-item_of-no.note"
    brief = {
        "name": "<script>alert('x')</script> & \"quotes\" %%u ^J \\P {\\fArial;} é 壁橱 "
        + "n" * 120,
        "room": {
            "ceiling_height": 96,
            "walls": [{"id": "Wall of the third guest room on the left", "length": 80}],
        },
        "needs": {
            "shelf_length": 60,
            "items": [{"id": thing, "width": 10, "depth": 10, "height": 12, "place": "any"}],
        },
    }
    wall = "Wall of the third guest room on the left"
    tops = [3.5, 20, 36, 52, 68, 84]
    left = shelf_zones(tops, 96, 12)
    left[2]["items"] = [thing]
    bays = [
        bay("<b>bay & \"one\"</b> %%d ^M \\P {x} 壁橱", wall, 0.75, 24, left),
        bay("A bay whose id runs to forty characters!", wall, 25.5, 14, shelf_zones(tops, 96, 12)),
    ]  # fmt: skip
    return sample(brief, bays)


def alcove_pantry() -> Sample:
    """An alcove 36 in wide and 16 in deep: seven shelves from side wall to side wall."""
    brief = {
        "name": "Alcove pantry",
        "room": {
            "ceiling_height": 96,
            "walls": [
                {"id": "A", "length": 16, "studs": {"positions": [2, 14]}},
                {"id": "B", "length": 36, "studs": {"positions": [4, 20]}},
                {"id": "C", "length": 16, "studs": {"positions": [2, 14]}},
            ],
        },
        "needs": {"shelf_length": 240, "shelf_depth": 16},
    }
    tops = [12, 24, 36, 48, 60, 72, 84]
    one = bay("B1", "B", 0, 36, shelf_zones(tops, 96, 16), left="wall", right="wall")
    return sample(brief, [one])


def wrapped_pantry() -> Sample:
    """A walk-in pantry: the back wall's shelves run to both corners, the sides' butt on them."""
    brief = {
        "name": "Wrap-around pantry",
        "room": {
            "ceiling_height": 96,
            "walls": [
                {"id": "left", "length": 60},
                {"id": "back", "length": 72, "studs": {"spacing": 16, "first": 4}},
                {"id": "right", "length": 60},
                {"id": "front", "length": 72},
            ],
            "openings": [{"wall": "front", "start": 21, "width": 30, "kind": "hinged_out"}],
        },
        "needs": {"shelf_length": 600, "shelf_depth": 14},
    }
    tops = [12, 24, 36, 48, 60, 72, 84]
    back, side = shelf_zones(tops, 96, 14), shelf_zones(tops, 96, 12)
    bays = [
        bay("left1", "left", 16, 30, side, right="corner"),
        bay("back1", "back", 0, 72, back, left="wall", right="wall", mid_supports=[20, 52]),
        bay("right1", "right", 14, 30, side, left="corner"),
    ]
    return sample(brief, bays)


def wall_to_wall() -> Sample:
    """A reach-in of 72 in: double hang and shelves from wall to wall, one shared upright."""
    brief = {
        "name": "Wall to wall reach-in",
        "room": {
            "ceiling_height": 96,
            "walls": [
                {"id": "A", "length": 25},
                {"id": "B", "length": 72, "studs": {"spacing": 16, "first": 8}},
                {"id": "C", "length": 25},
                {"id": "D", "length": 72},
            ],
            "openings": [{"wall": "D", "start": 6, "width": 60, "kind": "bifold"}],
        },
        "needs": {"short_hang": 60, "shelf_length": 150},
    }
    hanging = hang_zones("in", 24, 84, [("short", 41), ("short", 80.25)])
    bays = [
        bay("B1", "B", 0, 36, [*hanging, *shelf_zones([84], 96, 14)], left="wall"),
        bay("B2", "B", 36.75, 35.25, shelf_zones([24, 36, 48, 60, 72, 84], 96, 14), right="wall"),
    ]
    return sample(brief, bays)


def mid_supported() -> Sample:
    """A bay of 60 in from wall to wall, shelves and a rod carried in the middle on a stud."""
    brief = {
        "name": "Mid supports",
        "room": {
            "ceiling_height": 96,
            "walls": [
                {"id": "A", "length": 26},
                {"id": "B", "length": 60, "studs": {"positions": [14, 30, 46]}},
                {"id": "C", "length": 26},
            ],
        },
        "needs": {"long_hang": 60, "shelf_length": 100},
    }
    zones = [*hang_zones("in", 24, 72, [("long", 68.25)]), *shelf_zones([72, 84], 96, 14)]
    one = bay("B1", "B", 0, 60, zones, left="wall", right="wall", mid_supports=[30])
    return sample(brief, [one])


def stepped_lines() -> Sample:
    """Lines of two heights and two depths side by side, and a box kept clear before a heater."""
    brief = {
        "name": "Utility room",
        "room": {
            "ceiling_height": 96,
            "walls": [
                {"id": "N", "length": 120, "studs": {"spacing": 16, "first": 8}},
                {"id": "E", "length": 90},
            ],
            "keep_clear": [
                {"wall": "N", "start": 92, "width": 28, "bottom": 0, "height": 78, "depth": 30,
                 "why": "working space before the water heater"},
                {"wall": "E", "start": 72, "width": 14, "bottom": 40, "height": 20, "depth": 20},
            ],
        },
        "needs": {"shelf_length": 300},
    }  # fmt: skip
    high, low = [12, 24, 36, 48, 60, 72, 84], [12, 24, 36, 48, 60, 72]
    bays = [
        bay("N1", "N", 0.75, 29.25, shelf_zones(high, 96, 14)),
        bay("N2", "N", 30.75, 24, shelf_zones(high, 96, 14)),
        bay("N3", "N", 55.5, 16, shelf_zones(high, 96, 12)),
        bay("N4", "N", 72.25, 18, shelf_zones(low, 96, 12)),
        bay("E1", "E", 31, 39, shelf_zones(low, 96, 12)),
    ]
    return sample(brief, bays)


def free_lines() -> Sample:
    """The reach-in with every bay's top board between its uprights."""
    brief, layout = reach_in()
    rules = brief.construction.model_copy(update={"top_line": "free"})
    return brief.model_copy(update={"construction": rules}), layout


def long_line() -> Sample:
    """A wall of 150 in under one line: longer than a sheet, with a mid support at a joint."""
    brief = {
        "name": "Long line",
        "room": {
            "ceiling_height": 96,
            "walls": [
                {"id": "A", "length": 20},
                {"id": "B", "length": 150, "studs": {"positions": [20, 52, 84, 116, 148]}},
                {"id": "C", "length": 20},
            ],
        },
        "needs": {"shelf_length": 700},
    }
    zones = shelf_zones([36, 60, 84], 96, 12)
    bays = [
        bay("B1", "B", 0, 96, zones, left="wall", mid_supports=[20, 52, 84]),
        bay("B2", "B", 96.75, 53.25, zones, right="wall", mid_supports=[116]),
    ]
    return sample(brief, bays)


def metric_wrapped() -> Sample:
    """Two walls in millimetres, wrapped at their corner, with brackets for mid supports."""
    brief = {
        "name": "Larder",
        "units": "mm",
        "room": {
            "ceiling_height": 2400,
            "walls": [{"id": "L", "length": 1500}, {"id": "R", "length": 2600}],
        },
        "needs": {"shelf_length": 9000},
        "construction": {"mid_support": "bracket"},
    }
    tops = [300, 600, 900, 1200, 1500, 1800, 2100]
    zones = shelf_zones(tops, 2400, 300, 18)
    bays = [
        bay("L1", "L", 300, 1200, zones, right="wall", mid_supports=[812.8]),
        bay("R1", "R", 300, 850, zones, left="corner"),
        bay("R2", "R", 1168, 800, zones),
    ]
    return sample(brief, bays)


SAMPLES = {
    made.__name__: cache(made)
    for made in (
        reach_in,
        walk_in,
        pier_room,
        metric,
        single_bay,
        narrow_bays,
        many_bays,
        long_names,
        alcove_pantry,
        wrapped_pantry,
        wall_to_wall,
        mid_supported,
        stepped_lines,
        metric_wrapped,
        free_lines,
        long_line,
    )
}
"""Each made once: `readback.elevation` draws the walls of one that it knows no second time."""

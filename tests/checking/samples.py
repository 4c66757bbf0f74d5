"""Briefs and layouts drawn by hand, correct by every rule, as plain data to be edited.

Inch layouts use 3/4 in panels: double hang has rods at 40 and 80 in and its board at
83.75 in; a stack of shelves starts at 3.5 in and repeats every 12 in.
"""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from tests.checking.parts import (
    Data,
    bay,
    double_hang,
    floor,
    hang_under,
    levels,
    metrics,
    rod,
    shelf,
    stack,
    unmet,
)

BETWEEN_UPRIGHTS = {"top_line": "free", "wall_ends": "uprights"}
"""Choices under which every bay stands between two uprights, as high as it likes."""

DELETE = object()
"""Value that takes an entry out."""


def single() -> Data:
    """One wall: double hang, shelves, and a rod over a hamper."""
    hamper = {
        "id": "hamper", "width": 18, "depth": 16, "height": 26, "use": "daily", "weight_lb": 20,
    }  # fmt: skip
    return {
        "brief": {
            "construction": dict(BETWEEN_UPRIGHTS),
            "room": {"ceiling_height": 96, "walls": [{"id": "A", "length": 100}]},
            "needs": {"short_hang": 90, "shelf_length": 200, "items": [hamper]},
        },
        "layout": {
            "score": 70.0,
            "terms": [
                {"name": "hanging", "weight": 3, "value": 0.5, "points": 42.5},
                {"name": "shelving", "weight": 2, "value": 0.5, "points": 27.5},
            ],
            "bays": [
                bay("B1", "A", 0.75, 30.0, double_hang(96.0)),
                bay("B2", "A", 31.5, 24.0, stack(96.0, 12.0)),
                bay(
                    "B3",
                    "A",
                    56.25,
                    30.0,
                    [floor(27.0, "hamper"), rod("short", 66.0, 69.0), shelf(69.75, 96.0, 12.0)],
                ),
            ],
            "metrics": metrics(
                short_hang=90.0,
                shelf_length=30.0 + 7 * 24.0 + 30.0,
                shelf_area=228.0 * 12.0,
                easy_length=30.0 + 5 * 24.0 + 30.0 + 30.0,
                items_housed=1,
            ),
        },
    }


def reach_in() -> Data:
    """A shallow closet behind a bifold between returns, an outlet in its back wall."""
    return {
        "brief": {
            "construction": dict(BETWEEN_UPRIGHTS),
            "room": {
                "ceiling_height": 96,
                "walls": [
                    {"id": "A", "length": 24},
                    {"id": "B", "length": [72.25, 72, 72.125], "height": 94},
                    {"id": "C", "length": 24},
                    {"id": "D", "length": 72},
                ],
                "openings": [{"wall": "D", "start": 12, "width": 48, "kind": "bifold"}],
                "obstructions": [{"wall": "B", "start": 30, "width": 5, "bottom": 12, "height": 5}],
            },
            "needs": {"long_hang": 24, "short_hang": 60},
        },
        "layout": {
            "bays": [
                bay(
                    "B1",
                    "B",
                    0.75,
                    34.5,
                    [floor(40.0), rod("short", 80.0, 83.0), shelf(83.75, 94.0, 12.0)],
                ),
                bay("B2", "B", 36.0, 34.5, [rod("long", 66.0, 69.0), shelf(69.75, 94.0, 12.0)]),
            ],
            "metrics": metrics(
                long_hang=34.5,
                short_hang=34.5,
                shelf_length=69.0,
                shelf_area=828.0,
                open_floor=34.5,
                # Of B2, in easy reach with rod and shelf, 36 to 60 in is before the opening.
                easy_length=48.0,
            ),
            "unmet": [unmet("short_hang", 60.0, 34.5)],
        },
    }


def walk_in() -> Data:
    """Three walls of storage round a door that opens inwards; a window, an outlet, a light."""
    stool = {"id": "stool", "width": 16, "depth": 11, "height": 16, "use": "daily"}
    box = {
        "id": "box", "width": 12, "depth": 10, "height": 8, "count": 2, "place": "shelf",
        "weight_lb": 24,
    }  # fmt: skip
    first = stack(96.0, 12.0)
    first[1]["items"] = ["box", "box"]
    under_window = [floor(20.0, "stool"), shelf(20.75, 35.0, 12.0)]
    return {
        "brief": {
            "construction": dict(BETWEEN_UPRIGHTS),
            "room": {
                "ceiling_height": 96,
                "walls": [
                    {"id": "A", "length": 96},
                    {"id": "B", "length": 84},
                    {"id": "C", "length": 96},
                    {"id": "D", "length": 84},
                ],
                "openings": [
                    {"wall": "C", "start": 33, "width": 30, "kind": "hinged_in", "casing": 2.5}
                ],
                "obstructions": [
                    {"wall": "A", "start": 40, "width": 24, "bottom": 36, "height": 40,
                     "kind": "window"},
                    {"wall": "D", "start": 64, "width": 5, "bottom": 12, "height": 5,
                     "kind": "outlet"},
                    {"wall": "A", "start": 46, "width": 4, "bottom": 92, "height": 4,
                     "setback": 40, "projection": 46, "kind": "light"},
                ],
            },
            "needs": {
                "long_hang": 30, "short_hang": 100, "shelf_length": 400, "items": [stool, box],
            },
        },
        "layout": {
            "bays": [
                bay("A1", "A", 0.75, 35.5, first),
                bay("A2", "A", 37.0, 27.0, under_window),
                bay("A3", "A", 64.75, 30.0, stack(96.0, 12.0)),
                bay("B1", "B", 18.75, 30.0, stack(96.0, 16.0)),
                bay("B2", "B", 49.5, 30.0, stack(96.0, 16.0)),
                bay("D1", "D", 0.75, 30.0, double_hang(96.0)),
                bay("D2", "D", 31.5, 30.0, double_hang(96.0)),
            ],
            "metrics": metrics(
                short_hang=120.0,
                shelf_length=7 * 35.5 + 27.0 + 7 * 30.0 + 14 * 30.0 + 60.0,
                shelf_area=(7 * 35.5 + 27.0 + 7 * 30.0 + 60.0) * 12.0 + 420.0 * 16.0,
                easy_length=5 * 35.5 + 27.0 + 5 * 30.0 + 10 * 30.0 + 60.0,
                items_housed=3,
            ),
            "unmet": [unmet("long_hang", 30.0, 0.0)],
        },
    }  # fmt: skip


def pier() -> Data:
    """A walk-in whose back wall has a pier in the middle, with shelves on its face."""
    lengths = {"A": 40, "B": 12, "C": 16, "D": 12, "E": 40, "F": 90, "G": 96, "H": 90}
    walls = [
        {"id": name, "length": length, "corner": "outside" if name in "BC" else "inside"}
        for name, length in lengths.items()
    ]
    return {
        "brief": {
            "construction": dict(BETWEEN_UPRIGHTS),
            "room": {
                "ceiling_height": 96,
                "walls": walls,
                "openings": [{"wall": "G", "start": 30, "width": 36}],
            },
            "needs": {"short_hang": 130},
        },
        "layout": {
            "bays": [
                bay("A1", "A", 0.75, 34.0, double_hang(96.0)),
                bay("C1", "C", 0.75, 14.0, stack(96.0, 12.0)),
                bay("E1", "E", 0.75, 34.0, double_hang(96.0)),
            ],
            "metrics": metrics(
                short_hang=136.0,
                shelf_length=68.0 + 98.0,
                shelf_area=166.0 * 12.0,
                easy_length=68.0 + 70.0,
            ),
        },
    }


def slope() -> Data:
    """One wall under a slope: 60 in high at its left end, 96 in at its right."""
    wall = {"id": "A", "length": 100, "height": {"left": 60, "right": 96}}
    return {
        "brief": {
            "construction": dict(BETWEEN_UPRIGHTS),
            "room": {"ceiling_height": 96, "walls": [wall]},
            "needs": {"long_hang": 30, "short_hang": 30},
        },
        "layout": {
            "bays": [
                bay("S1", "A", 0.75, 30.0, stack(60.0, 12.0, count=4)),
                bay(
                    "S2",
                    "A",
                    31.5,
                    30.0,
                    [floor(20.0), rod("short", 57.0, 60.0), shelf(60.75, 71.0, 12.0)],
                ),
                bay("S3", "A", 62.25, 30.0, [rod("long", 66.0, 69.0), shelf(69.75, 82.0, 12.0)]),
            ],
            "metrics": metrics(
                long_hang=30.0,
                short_hang=30.0,
                shelf_length=180.0,
                shelf_area=2160.0,
                open_floor=30.0,
                easy_length=90.0 + 60.0 + 60.0,
            ),
        },
    }


def metric() -> Data:
    """Two walls of an open run in millimetres, the second one of shelves only."""
    bottoms = [90.0 + 300.0 * step for step in range(7)]
    tops = [*(bottom - 18.0 for bottom in bottoms[1:]), 2440.0]
    shelves = [shelf(low, high, 300.0) for low, high in zip(bottoms, tops, strict=True)]
    case = {"id": "case", "width": 500, "depth": 280, "height": 220, "weight_kg": 11,
            "place": "any"}  # fmt: skip
    housing = copy.deepcopy(shelves)
    housing[2]["items"] = ["case"]
    hanging = [
        rod("short", 1015.0, 1090.0, metric=True),
        rod("short", 2030.0, 2105.0, metric=True),
        shelf(2123.0, 2440.0, 300.0),
    ]
    return {
        "brief": {
            "units": "mm",
            "construction": dict(BETWEEN_UPRIGHTS),
            "room": {
                "ceiling_height": 2440,
                "walls": [{"id": "A", "length": 2400}, {"id": "B", "length": 2000}],
            },
            "needs": {"short_hang": 1600, "shelf_length": 3000, "items": [case]},
        },
        "layout": {
            "bays": [
                bay("A1", "A", 18.0, 800.0, hanging),
                bay("A2", "A", 836.0, 800.0, housing),
                bay("B1", "B", 18.0, 800.0, shelves),
            ],
            "metrics": metrics(
                short_hang=1600.0,
                shelf_length=15 * 800.0,
                shelf_area=15 * 800.0 * 300.0,
                easy_length=800.0 + 2 * 5 * 800.0,
                items_housed=1,
            ),
        },
    }


def pantry() -> Data:
    """A walk-in whose shelves wrap a corner and stand on walls; a rod between wall and upright."""
    bin_ = {"id": "bin", "width": 9, "depth": 10, "height": 8, "count": 8, "place": "shelf"}
    wrapping = levels(96.0, 12.0)
    wrapping[2]["items"] = ["bin"] * 8
    studs = {"A": [21, 42, 63], "B": [30, 48], "C": [16, 32, 48, 64], "D": [16, 32, 48]}
    lengths = {"A": 84, "B": 66, "C": 84, "D": 66}
    return {
        "brief": {
            "room": {
                "ceiling_height": 96,
                "walls": [
                    {"id": name, "length": length, "studs": {"positions": studs[name]}}
                    for name, length in lengths.items()
                ],
                "openings": [{"wall": "C", "start": 20, "width": 30, "casing": 1.5}],
            },
            "needs": {"short_hang": 60, "shelf_length": 900, "items": [bin_]},
        },
        "layout": {
            "bays": [
                bay("A1", "A", 0.0, 84.0, wrapping, left="wall", right="wall",
                    mid_supports=[21.0, 42.0, 63.0]),
                bay("B1", "B", 12.0, 54.0, levels(96.0, 12.0), left="corner", right="wall",
                    mid_supports=[30.0, 48.0]),
                bay("D1", "D", 0.0, 30.0, hang_under(84.0, 96.0, "short", "short"), left="wall"),
            ],
            "lines": {"A": 84.0, "B": 84.0, "D": 84.0},
            "metrics": metrics(
                short_hang=60.0,
                shelf_length=7 * 84.0 + 7 * 54.0 + 30.0,
                shelf_area=996.0 * 12.0,
                easy_length=5 * (84.0 + 54.0) + 30.0,
                items_housed=8,
            ),
        },
    }  # fmt: skip


def alcove() -> Data:
    """A reach-in with one board and one rod from wall to wall, on supports at two studs."""
    return {
        "brief": {
            "room": {
                "ceiling_height": 96,
                "walls": [
                    {"id": "A", "length": 24},
                    {"id": "B", "length": 72, "studs": {"positions": [8, 24, 48, 64]}},
                    {"id": "C", "length": 24},
                    {"id": "D", "length": 72},
                ],
                "openings": [{"wall": "D", "start": 12, "width": 48, "kind": "bifold"}],
            },
            "needs": {"medium_hang": 72},
        },
        "layout": {
            "bays": [
                bay("B1", "B", 0.0, 72.0, [floor(29.25), *hang_under(84.0, 96.0, "medium")],
                    left="wall", right="wall", mid_supports=[24.0, 48.0]),
            ],
            "metrics": metrics(
                medium_hang=72.0, shelf_length=72.0, shelf_area=864.0, open_floor=72.0,
            ),
        },
    }  # fmt: skip


SAMPLES: dict[str, Callable[[], Data]] = {
    "single": single,
    "reach_in": reach_in,
    "walk_in": walk_in,
    "pier": pier,
    "slope": slope,
    "metric": metric,
    "pantry": pantry,
    "alcove": alcove,
}
"""Every sample by name; each call gives data of its own."""


def edit(data: Data, changes: dict[str, Any]) -> Data:
    """`data` with values put at JSON Pointers; `-` appends, DELETE takes out."""
    for pointer, value in changes.items():
        *path, last = pointer.strip("/").split("/")
        here: Any = data
        for step in path:
            here = here[int(step)] if isinstance(here, list) else here.setdefault(step, {})
        if isinstance(here, list) and last == "-":
            here.append(value)
        elif value is DELETE:
            del here[int(last) if isinstance(here, list) else last]
        else:
            here[int(last) if isinstance(here, list) else last] = value
    return data


def parse(data: Data) -> tuple[Brief, Layout]:
    """The brief and the layout of a sample."""
    brief = Brief.model_validate(data["brief"])
    return brief, Layout.model_validate(data["layout"], context=brief.units)


def drawing(name: str, changes: dict[str, Any]) -> tuple[Brief, Layout]:
    """A sample as a bare drawing (no metrics, no unmet needs, no lines), with changes."""
    data = SAMPLES[name]()
    data["layout"].update(metrics=None, unmet=[], lines={})
    return parse(edit(data, changes))


def claimed(name: str, changes: dict[str, Any]) -> tuple[Brief, Layout]:
    """A sample with all that is claimed of it, with changes."""
    return parse(edit(SAMPLES[name](), changes))

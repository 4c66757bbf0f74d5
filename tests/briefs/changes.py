"""Sound briefs to spoil, and a way to change them by JSON Pointer."""

from __future__ import annotations

import copy
from typing import Any

Raw = dict[str, Any]

_GONE = object()
GONE: Any = _GONE
"""In `changed`: take the key away."""

REACH_IN: Raw = {
    "room": {
        "ceiling_height": 96,
        "walls": [
            {"id": "A", "length": 26},
            {"id": "B", "length": 72, "studs": {"spacing": 16, "first": 9}},
            {"id": "C", "length": 26},
            {"id": "D", "length": 72},
        ],
        "openings": [{"wall": "D", "start": 12, "width": 48, "height": 80, "kind": "bifold"}],
        "obstructions": [
            {"wall": "B", "start": 30, "width": 5, "bottom": 12, "height": 5, "kind": "outlet"}
        ],
    },
    "needs": {
        "short_hang": 30,
        "shelf_length": 40,
        "garments": [{"kind": "shirt", "count": 4}],
        "items": [{"id": "hamper", "width": 18, "depth": 16, "height": 26}],
        "users": [{"stature": 72}],
    },
    "construction": {"panel_thickness": 0.75, "hang_depth": 24},
    "priorities": {"hanging": 3},
    "pins": [{"wall": "B", "start": 0.75, "width": 24, "pattern": "any"}],
}
"""A closed reach-in in inches with one of everything."""

WALK_IN: Raw = {
    "room": {
        "ceiling_height": 96,
        "walls": [
            {"id": "A", "length": 96, "studs": {"positions": [1, 17, 33]}},
            {"id": "B", "length": 100, "studs": {"positions": []}},
            {"id": "C", "length": 96, "studs": {"positions": [8]}},
            {"id": "D", "length": 100, "studs": {"spacing": 24, "first": 3}},
        ],
        "openings": [{"wall": "C", "start": 30, "width": 36, "height": 80, "kind": "hinged_in"}],
    },
    "needs": {"short_hang": 60, "shelf_length": 40, "aisle": 36},
}
"""A closed walk-in in inches of which there is nothing to warn."""

ALCOVE_IN: Raw = {
    "room": {"ceiling_height": 96, "walls": [{"id": "A", "length": 60}]},
    "needs": {"shelf_length": 30},
}
"""The shortest brief there is: a single wall and one need."""

ALCOVE_MM: Raw = {
    "units": "mm",
    "room": {"ceiling_height": 2400, "walls": [{"id": "A", "length": 1800}]},
    "needs": {
        "shelf_length": 900,
        "items": [{"id": "box", "width": 400, "depth": 300, "height": 200}],
    },
}
"""A single wall in millimetres."""


def changed(base: Raw, changes: dict[str, Any]) -> Raw:
    """A copy of `base` with values put at JSON Pointers; `-` appends to a list."""
    data = copy.deepcopy(base)
    for pointer, value in changes.items():
        holder: Any = data
        *steps, last = pointer.removeprefix("/").split("/")
        for step in steps:
            holder = holder[int(step)] if isinstance(holder, list) else holder.setdefault(step, {})
        if last == "-":
            holder.append(value)
        elif isinstance(holder, list):
            holder[int(last)] = value
        elif value is GONE:
            del holder[last]
        else:
            holder[last] = value
    return data

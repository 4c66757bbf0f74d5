"""Tightly packed layouts of one or two walls, drawn by chance and knowing nothing of the model."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from tests.checking.parts import Data, bay, floor, shelf

SCALE = {"in": 1.0, "mm": 25.0}
"""Size of a step in each system: an inch, or what is about one in round millimetres."""


@st.composite
def packed_rooms(draw: st.DrawFn) -> tuple[Brief, Layout]:
    """A room of one or two walls and a layout that tries to be full; the checker may refuse it."""
    units = draw(st.sampled_from(["in", "mm"]))
    one = SCALE[units]
    lengths = draw(st.lists(st.integers(40, 100), min_size=1, max_size=2))
    users: list[Data] = (
        [{"stature": draw(st.integers(58, 72)) * one}] if draw(st.booleans()) else []
    )
    case = {"id": "case", "width": 20 * one, "depth": 12 * one, "height": 20 * one, "count": 9}
    room: Data = {
        "ceiling_height": draw(st.integers(80, 110)) * one,
        "walls": [{"id": "AB"[i], "length": w * one} for i, w in enumerate(lengths)],
    }
    if draw(st.booleans()):
        room["obstructions"] = [
            {
                "wall": "A",
                "start": 10 * one,
                "width": 6 * one,
                "bottom": draw(st.integers(5, 70)) * one,
                "height": draw(st.integers(4, 20)) * one,
            }
        ]
    brief = Brief.model_validate(
        {
            "units": units,
            "room": room,
            "needs": {
                "shelf_length": 10 * one,
                "shelf_spacing": draw(st.integers(9, 14)) * one,
                "items": [case],
                "users": users,
            },
            "construction": {
                "top_line": "free",
                "wall_ends": "uprights",
                "floor_clearance": draw(st.integers(1, 4)) * one,
            },
        }
    )
    bays: list[Data] = []
    for number in range(len(lengths)):
        bays += _wall(draw, brief, number, len(lengths))
    return brief, Layout.model_validate({"bays": bays}, context=brief.units)


def _wall(draw: st.DrawFn, brief: Brief, number: int, walls: int) -> list[Data]:
    """Bays from one end of a wall to the other, in one of the ways of meeting in a corner."""
    construction, one = brief.construction, SCALE[brief.units.value]
    panel, length = construction.panel_thickness, brief.room.walls[number].clear_length
    off = draw(st.sampled_from([0.0, construction.hang_depth + construction.corner_clearance]))
    start = panel + (off if number else 0.0)
    limit = length - panel - (off if walls > 1 and not number else 0.0)
    found: list[Data] = []
    kind = draw(st.sampled_from(["short", "medium", "long", "shelves", "cases"]))
    while limit - start >= 18 * one:
        width = min(draw(st.integers(18, 30)) * one, limit - start)
        if limit - start - width < 18 * one + panel:
            width = min(limit - start, 34 * one)
        zones = _zones(draw, brief, kind, width)
        if not zones:
            break
        name = f"{'AB'[number]}{len(found)}"
        found.append(bay(name, "AB"[number], start, width, zones))
        start += width + panel
    return found


def _zones(draw: st.DrawFn, brief: Brief, kind: str, width: float) -> list[Data]:
    """What a bay holds, from the floor up as high as the rules may let it."""
    if kind == "shelves":
        return _boards(brief, draw(st.integers(1, 5)) * SCALE[brief.units.value], 9)
    if kind == "cases":
        return _cases(brief, width)
    return _rods(brief, kind, draw(st.integers(1, 3)))


def _boards(brief: Brief, lowest: float, most: int) -> list[Data]:
    """Shelves at the wished pitch from the lowest up."""
    construction, needs = brief.construction, brief.needs
    panel = construction.panel_thickness
    clear = min(construction.min_shelf_clear, needs.shelf_spacing - panel)
    highest = min(construction.max_shelf_height, brief.room.ceiling_height - clear)
    tops = [lowest + i * needs.shelf_spacing for i in range(most)]
    tops = [top for top in tops if top <= highest]
    if not tops:
        return []
    roofs = [*(top - panel for top in tops[1:]), brief.room.ceiling_height]
    return [shelf(t, r, needs.shelf_depth) for t, r in zip(tops, roofs, strict=True)]


def _rods(brief: Brief, hang: str, count: int) -> list[Data]:
    """Rods over one another from the least air up, a board over them."""
    construction = brief.construction
    drop = getattr(brief.needs.hang_drop, hang)
    zones: list[Data] = []
    bottom = construction.floor_clearance
    for _ in range(count):
        height = bottom + drop
        top = height + construction.rod_clearance
        zones.append(
            {
                "kind": "rod",
                "hang": hang,
                "rod_height": height,
                "bottom": bottom,
                "top": top,
                "depth": construction.hang_depth,
            }
        )
        bottom = top
    board = _boards(brief, bottom + construction.panel_thickness, 1)
    return [*zones, *board] if board else []


def _cases(brief: Brief, width: float) -> list[Data]:
    """As many cases on the floor as go side by side, and shelves above."""
    case, air = brief.needs.items[0], brief.construction.item_clearance
    number = int((width - air) // (case.width + air))
    if not number:
        return []
    top = case.height + air + brief.construction.cleat_height
    under: Any = floor(top, *["case"] * number, depth=brief.needs.shelf_depth)
    board = _boards(brief, top + brief.construction.panel_thickness, 1)
    return [under, *board] if board else []

"""Zones, bays and claims from which the hand-drawn samples are put together, as plain data."""

from __future__ import annotations

from typing import Any

Data = dict[str, Any]

DROPS = {"long": 63.0, "medium": 51.0, "short": 37.0}
METRIC_DROPS = {"long": 1600.0, "medium": 1300.0, "short": 940.0}


def floor(top: float, *items: str, depth: float | None = None) -> Data:
    """An open or a housed floor zone."""
    return {"kind": "floor", "bottom": 0.0, "top": top, "items": list(items), "depth": depth}


def rod(hang: str, height: float, top: float, *, metric: bool = False) -> Data:
    """A rod zone of the default drop and depth."""
    drop = (METRIC_DROPS if metric else DROPS)[hang]
    return {
        "kind": "rod",
        "hang": hang,
        "rod_height": height,
        "bottom": height - drop,
        "top": top,
        "depth": 600.0 if metric else 24.0,
    }


def shelf(bottom: float, top: float, depth: float, *items: str) -> Data:
    """A shelf zone on a board of this depth."""
    return {"kind": "shelf", "bottom": bottom, "top": top, "depth": depth, "items": list(items)}


def stack(ceiling: float, depth: float, count: int = 7) -> list[Data]:
    """Shelves every 12 in from 3.5 in up, the last one open to the ceiling."""
    bottoms = [3.5 + 12.0 * step for step in range(count)]
    tops = [bottom - 0.75 for bottom in bottoms[1:]] + [ceiling]
    return [shelf(low, high, depth) for low, high in zip(bottoms, tops, strict=True)]


def levels(ceiling: float, depth: float, line: float = 84.0) -> list[Data]:
    """Shelves every 12 in down from a line, the lowest at least 12 in up."""
    bottoms = [line - 12.0 * step for step in range(int(line // 12.0))][::-1]
    tops = [bottom - 0.75 for bottom in bottoms[1:]] + [ceiling]
    return [shelf(low, high, depth) for low, high in zip(bottoms, tops, strict=True)]


def hang_under(line: float, ceiling: float, *hangs: str) -> list[Data]:
    """Rods of these classes from bottom to top, the upper 3 in under a board at a line."""
    zones, top = [shelf(line, ceiling, 12.0)], line - 0.75
    for hang in reversed(hangs):
        zones.insert(0, rod(hang, top - 3.0, top))
        top = zones[0]["bottom"]
    return zones


def double_hang(ceiling: float) -> list[Data]:
    """Two rods of short hang, one above the other, and a shelf on top."""
    return [rod("short", 40.0, 43.0), rod("short", 80.0, 83.0), shelf(83.75, ceiling, 12.0)]


def bay(name: str, wall: str, start: float, width: float, zones: list[Data], **more: Any) -> Data:
    """A bay as deep as its deepest zone, its uprights up to its highest board."""
    depths = [zone["depth"] for zone in zones if zone["depth"] is not None]
    boards = [zone["bottom"] for zone in zones if zone["kind"] == "shelf"]
    return {
        "id": name,
        "wall": wall,
        "start": start,
        "width": width,
        "depth": max(depths),
        "pattern": f"pattern of {name}",
        "zones": zones,
        "height": max(boards),
        **more,
    }


def metrics(**figures: float) -> Data:
    """Claimed metrics; cost and counts of parts are free."""
    nothing = dict.fromkeys(
        ("long_hang", "medium_hang", "short_hang", "shelf_length", "shelf_area", "open_floor"), 0.0
    )
    rest = {"items_housed": 0, "material_cost": 100.0, "sheets": 2, "parts": 20}
    return {**nothing, "easy_length": 0.0, **rest, **figures}


def unmet(need: str, required: float, achieved: float) -> Data:
    """One unmet need."""
    return {
        "need": need,
        "required": required,
        "achieved": achieved,
        "shortfall": required - achieved,
        "reason": "traded_off",
        "detail": "",
    }

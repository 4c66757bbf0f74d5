"""Briefs changed with a known effect on the best score: mirrored, in millimetres, longer."""

from __future__ import annotations

import copy
from typing import Any

from optimizer.domain.brief import Brief
from optimizer.domain.construction import Construction
from optimizer.domain.room import Slope, Wall
from optimizer.domain.studs import stud_centres
from optimizer.domain.study import Yardstick
from optimizer.reference.mounted import mounted_of
from optimizer.units import KG_PER_LB, MM_PER_INCH

Raw = dict[str, Any]

_FACTORS = {
    # 1 lb/sq ft in kg/m2 and 1 lb/ft in kg/m, from the exact pound and foot.
    "shelf_load": KG_PER_LB / (12 * MM_PER_INCH / 1000) ** 2,
    "rod_load": KG_PER_LB / (12 * MM_PER_INCH / 1000),
    "deflection_ratio": 1.0,
    "creep_factor": 1.0,
    "safety_factor": 1.0,
}
_COUNTS = {"count", "age", "weight_lb"}


def mirrored(brief: Brief) -> Brief:
    """The brief as seen in a mirror: walls run the other way, and everything on them."""
    raw = brief.model_dump(mode="json")
    walls = list(brief.room.walls)
    lengths = {wall.id: wall.clear_length for wall in walls}
    turned = []
    for number, wall in enumerate(reversed(walls)):
        data = _turned_wall(wall, brief)
        # The corner after a wall of the mirrored room is the one before it in the room.
        data["corner"] = walls[len(walls) - 2 - number].corner
        turned.append(data)
    raw["room"]["walls"] = turned
    room = raw["room"]
    for thing in [*room["openings"], *room["obstructions"], *room["keep_clear"], *raw["pins"]]:
        thing["start"] = max(0.0, lengths[thing["wall"]] - thing["start"] - thing["width"])
    for pin in raw["pins"]:
        pin["left"], pin["right"] = pin["right"], pin["left"]
    widths = {mount.id: mount.width for mount in mounted_of(brief)}
    for kept in raw["mount_pins"]:
        end = kept["start"] + widths[kept["mount"]]
        kept["start"] = max(0.0, lengths[kept["wall"]] - end)
    for opening in raw["room"]["openings"]:
        opening["hinge"] = {"left": "right", "right": "left"}[opening["hinge"]]
    return Brief.model_validate(raw)


def _turned_wall(wall: Wall, brief: Brief) -> Raw:
    data = wall.model_dump(mode="json")
    data["length"] = wall.clear_length
    if isinstance(wall.height, Slope):
        data["height"] = {"left": wall.height.right, "right": wall.height.left}
    centres = stud_centres(wall, brief.units)
    data["studs"] = {"positions": sorted(wall.clear_length - centre for centre in centres)}
    return data


def in_millimetres(brief: Brief) -> Brief:
    """An inch brief with every length and load in metric units, to the last digit."""
    raw = brief.model_dump(mode="json")
    raw["units"] = "mm"
    raw["room"] = _scaled(raw["room"])
    needs = _scaled(raw["needs"])
    for item in needs["items"]:
        if item.pop("weight_lb") is not None:
            raise ValueError("weights are left out: their limits are round in either system")
    raw["needs"] = needs
    raw["construction"] = {
        name: value * _FACTORS[name] if name in _FACTORS and value is not None else _scaled(value)
        for name, value in raw["construction"].items()
    }
    for kept in ("pins", "mount_pins"):
        raw[kept] = [_scaled(pin) for pin in raw[kept]]
    return Brief.model_validate(raw)


def in_millimetres_too(yardstick: Yardstick) -> Yardstick:
    """The yardstick of an inch study for the same room in millimetres."""
    lengths = ("hanging", "shelving", "open_floor", "easy_reach")
    return yardstick.model_copy(
        update={name: getattr(yardstick, name) * MM_PER_INCH for name in lengths}
    )


def tightened(brief: Brief, inches: float) -> Brief:
    """The brief with least bay widths and items wider by so much: whatever fits still fits
    when a width is rounded by no more than that.
    """
    step = brief.units.from_inch(inches)
    construction = brief.construction
    wider = construction.model_copy(update={"min_bay_width": construction.min_bay_width + step})
    items = tuple(i.model_copy(update={"width": i.width + step}) for i in brief.needs.items)
    needs = brief.needs.model_copy(update={"items": items})
    return brief.model_copy(update={"construction": wider, "needs": needs})


def _scaled(value: Any) -> Any:
    """Every length in JSON data times 25.4; counts, words and flags as they are."""
    if isinstance(value, dict):
        return {key: v if key in _COUNTS else _scaled(v) for key, v in value.items()}
    if isinstance(value, list | tuple):
        return [_scaled(entry) for entry in value]
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    return value * MM_PER_INCH


def longer(brief: Brief, by: float) -> Brief:
    """An open run whose last wall goes on at its far end, level there as it was."""
    raw = copy.deepcopy(brief.model_dump(mode="json"))
    last = raw["room"]["walls"][-1]
    last["length"] = brief.room.walls[-1].clear_length + by
    if isinstance(brief.room.walls[-1].height, Slope):
        raise ValueError("a longer wall would slope less steeply")
    return Brief.model_validate(raw)


LENGTHS_OF_CONSTRUCTION = set(Construction.model_fields) - set(_FACTORS)

"""Sizes that no closet has, and units that were mixed up.

The ranges are limits on input of our own, far outside common practice: a value beyond
them is a slip of the pen, most often a number in the other system of units.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimizer.briefs.rules.brief_view import BriefView, Rule, height_pointer
from optimizer.errors import Fault
from optimizer.units import Units


@dataclass(frozen=True, slots=True)
class Sensible:
    """Range that a size may have [in], and from where it is usual."""

    name: str
    least: float
    most: float
    usual: float = 0.0


CEILING = Sensible("ceiling height", 30.0, 240.0)
WALL_HEIGHT = Sensible("wall height", 0.0, 240.0, usual=30.0)
LONGEST_WALL = Sensible("longest wall", 12.0, 600.0)
PANEL = Sensible("panel thickness", 0.2, 3.0)
HANG_DEPTH = Sensible("hang depth", 8.0, 60.0)
SHELF_DEPTH = Sensible("shelf depth", 2.0, 60.0)
KERF = Sensible("kerf", 0.0, 0.5)
AISLE = Sensible("aisle", 6.0, 120.0)
DROP = Sensible("hang drop", 6.0, 100.0)
ROD_HEIGHT = Sensible("highest rod", 12.0, 240.0)
SHELF_HEIGHT = Sensible("highest shelf", 6.0, 240.0)
PLAIN_SPAN = Sensible("span of a board", 6.0, 120.0)
ROD_SPAN = Sensible("distance of rod supports", 12.0, 120.0)
ROD_CLEAT = Sensible("height of a cleat for a rod", 1.5, 12.0)
HOLD = Sensible("distance at which uprights are held", 6.0, 120.0)
MEASURING = Sensible("measuring tolerance", 0.0, 1.0)
STATURE = Sensible("stature", 24.0, 96.0)

_OTHER = {
    Units.INCH: (Units.MILLIMETRE, "millimetres"),
    Units.MILLIMETRE: (Units.INCH, "inches"),
}


def fault_of_size(
    view: BriefView, value: float, pointer: str, sensible: Sensible
) -> Iterator[Fault]:
    """A fault when `value` is outside its range, asking about the units where that explains it."""
    inches = view.units.to_inch(value)
    if sensible.least <= inches <= sensible.most:
        return
    low, high = (view.say(view.units.from_inch(v)) for v in (sensible.least, sensible.most))
    detail = f"{view.say(value)} is no sensible {sensible.name}: it is between {low} and {high}"
    code = "too_small" if inches < sensible.least else "too_large"
    other, name = _OTHER[view.units]
    # From `usual` on only: where the range begins at 0 every small slip would else pass for a size
    # in the other system.
    if max(sensible.least, sensible.usual) <= other.to_inch(value) <= sensible.most:
        code = "units_mixed_up"
        detail += f'; did you mean {name}? write "units": "{other.value}", or give the unit as text'
    yield Fault(pointer, detail, code)


def _ceiling(view: BriefView) -> Iterator[Fault]:
    """Ceiling neither under 30 in nor over 20 ft."""
    yield from fault_of_size(view, view.brief.room.ceiling_height, "/room/ceiling_height", CEILING)


def _walls(view: BriefView) -> Iterator[Fault]:
    """The longest wall long enough to be one, and no wall too high."""
    number = view.wall_index[view.longest.id]
    yield from fault_of_size(
        view, view.longest.clear_length, f"/room/walls/{number}/length", LONGEST_WALL
    )
    for i, wall in enumerate(view.brief.room.walls):
        if wall.height is not None:
            yield from fault_of_size(
                view, view.heights(wall)[1], height_pointer(i, wall), WALL_HEIGHT
            )


def _measuring(view: BriefView) -> Iterator[Fault]:
    """A tape is not off by more than an inch."""
    tolerance = view.brief.room.measuring_tolerance
    yield from fault_of_size(view, tolerance, "/room/measuring_tolerance", MEASURING)


def _construction(view: BriefView) -> Iterator[Fault]:
    """Panels, kerf, depths and heights of the construction."""
    construction = view.brief.construction
    for name, sensible in (
        ("panel_thickness", PANEL),
        ("hang_depth", HANG_DEPTH),
        ("kerf", KERF),
        ("max_rod_height", ROD_HEIGHT),
        ("max_shelf_height", SHELF_HEIGHT),
        ("max_plain_span", PLAIN_SPAN),
        ("rod_support_spacing", ROD_SPAN),
        ("rod_cleat_height", ROD_CLEAT),
        ("upright_hold", HOLD),
    ):
        value = float(getattr(construction, name))
        yield from fault_of_size(view, value, f"/construction/{name}", sensible)


def _needs(view: BriefView) -> Iterator[Fault]:
    """Shelf depth, aisle (0 asks for none) and hang drops."""
    needs = view.brief.needs
    yield from fault_of_size(view, needs.shelf_depth, "/needs/shelf_depth", SHELF_DEPTH)
    if needs.aisle:
        yield from fault_of_size(view, needs.aisle, "/needs/aisle", AISLE)
    for name in ("long", "medium", "short"):
        drop = float(getattr(needs.hang_drop, name))
        yield from fault_of_size(view, drop, f"/needs/hang_drop/{name}", DROP)


def _users(view: BriefView) -> Iterator[Fault]:
    """Statures of people."""
    for i, user in enumerate(view.brief.needs.users):
        if user.stature is not None:
            yield from fault_of_size(view, user.stature, f"/needs/users/{i}/stature", STATURE)


RULES = (
    Rule(_ceiling, ("room.ceiling_height",)),
    Rule(_walls, ("room.walls", "room.ceiling_height")),
    Rule(_measuring, ("room.measuring_tolerance",)),
    Rule(_construction, ("construction",)),
    Rule(_needs, ("needs.shelf_depth", "needs.aisle", "needs.hang_drop")),
    Rule(_users, ("needs.users",)),
)

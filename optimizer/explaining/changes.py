"""Single changes of a brief that might leave less short, by what a person gives up for them.

Every change is a small JSON merge patch (RFC 7396) on the brief.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import IntEnum
from typing import Any

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.need_ids import NeedId
from optimizer.explaining.binding_rules import size_text
from optimizer.explaining.shortfalls import amount_text
from optimizer.geometry.access import is_reach_in
from optimizer.geometry.outline import outline_of
from optimizer.units import Units, floor_to, format_length


class Cost(IntEnum):
    """What a person gives up for a change, the least first: an order of our own choice.

    A little air costs nobody anything; a shelf or an aisle that is tighter is felt every day;
    then comes climbing, then what one goes without, and last what takes a mason.
    """

    AIR = 1
    DEPTH = 2
    PITCH = 3
    AISLE = 4
    CLIMBING = 5
    ASKING_LESS = 6
    GOING_WITHOUT = 7
    BUILDING = 8


AIR_STEPS = {Units.INCH: (0.5, 1.0, 2.0), Units.MILLIMETRE: (12.0, 25.0, 50.0)}
"""How much less air under the clothes is tried; 1 in (25 mm) of it stays, so that nothing drags
(common practice)."""
LEAST_AIR = {Units.INCH: 1.0, Units.MILLIMETRE: 25.0}
PITCH_STEPS = {Units.INCH: (1.0, 2.0), Units.MILLIMETRE: (25.0, 50.0)}
"""How much closer shelves are tried."""
LEAST_PITCH = {Units.INCH: 7.0, Units.MILLIMETRE: 180.0}
"""Closest shelves that are offered (common practice: shoes go 6 to 8 in apart)."""
LEAST_DEPTH = {Units.INCH: 10.0, Units.MILLIMETRE: 250.0}
"""Shallowest shelves that are offered: folded clothes go 10 in deep and more (common practice)."""
STEP = {Units.INCH: 9.0, Units.MILLIMETRE: 230.0}
"""How much higher someone on a step stool reaches (common practice: one step of 9 in)."""
AISLES = {Units.INCH: (30.0, 24.0), Units.MILLIMETRE: (750.0, 600.0)}
"""Aisles that are tried; 24 in is a tight minimum (common practice)."""
WALL_STEP = {Units.INCH: 10.0, Units.MILLIMETRE: 254.0}


@dataclass(frozen=True, slots=True)
class Change:
    """A single change: in words, as a merge patch, what it costs, the need it gives up if any."""

    words: str
    patch: dict[str, Any]
    cost: Cost
    gives_up: NeedId | None = None


def changes(brief: Brief, layout: Layout) -> Iterator[Change]:
    """Changes worth a try for what a layout leaves short, the cheapest first."""
    # Each is tried in this order: where time runs out, what comes last is not tried at all.
    short = {unmet.need for unmet in layout.unmet}
    hanging = any(need.hang_class for need in short)
    if hanging:
        yield from _less_air(brief)
    if not all(need.hang_class for need in short):
        yield from _thriftier_depth(brief)
        yield from _closer_shelves(brief)
    yield from _narrower_aisle(brief)
    yield from _step_stool(brief)
    if hanging and brief.needs.users:
        yield Change(
            "rods beyond the reach of those listed (a pull-down rod or a step)",
            {"needs": {"users": [], "accessible_reach": False}},
            Cost.CLIMBING,
        )
    yield from _less_asked(brief, layout)
    yield from _fewer_stored(brief, layout)
    yield from _without_items(brief, short)
    yield from _without_mounts(brief, layout)
    yield from _longer_walls(brief, layout)


def _less_air(brief: Brief) -> Iterator[Change]:
    """Clothes that hang nearer to the floor."""
    air, units = brief.construction.floor_clearance, brief.units
    for step in AIR_STEPS[units]:
        if air - step >= LEAST_AIR[units] - 1e-9:
            less, left = size_text(step, units), size_text(air - step, units)
            yield Change(
                f"{less} less air under the clothes ({left})",
                {"construction": {"floor_clearance": air - step}},
                Cost.AIR,
            )


def _thriftier_depth(brief: Brief) -> Iterator[Change]:
    """Shelves a little shallower, as many to a sheet's width as the kerfs let it be."""
    construction, units, depth = brief.construction, brief.units, brief.needs.shelf_depth
    width = min(construction.sheet) - 2 * construction.edge_trim
    number = 1
    # One more to the width than go at the depth asked for: the next depth that wastes nothing.
    while (width - (number - 1) * construction.kerf) / number >= depth - 1e-9:
        number += 1
    each = floor_to((width - (number - 1) * construction.kerf) / number, units.grid)
    if each >= LEAST_DEPTH[units]:
        yield Change(
            f"shelves {size_text(each, units)} deep, {number} to the width of a sheet",
            {"needs": {"shelf_depth": each}},
            Cost.DEPTH,
        )


def _closer_shelves(brief: Brief) -> Iterator[Change]:
    """Shelves closer together, step by step."""
    for step in PITCH_STEPS[brief.units]:
        spacing = brief.needs.shelf_spacing - step
        if spacing >= LEAST_PITCH[brief.units]:
            yield Change(
                f"shelf spacing {format_length(spacing, brief.units)}",
                {"needs": {"shelf_spacing": spacing}},
                Cost.PITCH,
            )


def _narrower_aisle(brief: Brief) -> Iterator[Change]:
    """A tighter way between bays, down to the limit; a reach-in has none."""
    if is_reach_in(brief, outline_of(brief.room, brief.units)):
        return
    for aisle in AISLES[brief.units]:
        if aisle < brief.needs.aisle - 1e-9:
            yield Change(
                f"an aisle of {size_text(aisle, brief.units)}",
                {"needs": {"aisle": aisle}},
                Cost.AISLE,
            )


def _step_stool(brief: Brief) -> Iterator[Change]:
    """Rods and shelves a step higher, for what is worth climbing for."""
    construction, units, step = brief.construction, brief.units, STEP[brief.units]
    rod, shelf = construction.max_rod_height + step, construction.max_shelf_height + step
    if construction.max_shelf_height >= brief.room.ceiling_height:
        return
    yield Change(
        f"a step stool (the highest shelf at {size_text(shelf, units)})",
        {"construction": {"max_rod_height": rod, "max_shelf_height": shelf}},
        Cost.CLIMBING,
    )


def _less_asked(brief: Brief, layout: Layout) -> Iterator[Change]:
    """Ask for what the layout reaches, one length at a time."""
    for unmet in layout.unmet:
        if unmet.need.is_counted:
            continue
        explicit = getattr(brief.needs, unmet.need, 0.0)
        # What garments ask for is not in this field: less than nothing cannot be asked.
        if explicit + 1e-6 < unmet.shortfall:
            continue
        less = format_length(unmet.shortfall, brief.units)
        yield Change(
            f"ask for {less} less {unmet.need.words}",
            {"needs": {unmet.need: max(0.0, floor_to(explicit - unmet.shortfall, 1e-3))}},
            Cost.ASKING_LESS,
        )


def _fewer_stored(brief: Brief, layout: Layout) -> Iterator[Change]:
    """Store as many of one kind as the layout has room for, the rest elsewhere."""
    for unmet in layout.unmet:
        if not unmet.need.is_stored or unmet.achieved < 1:
            continue
        kind = unmet.need.thing
        lines = [
            line.model_copy(update={"count": int(unmet.achieved)}) if line.kind == kind else line
            for line in brief.needs.stored
        ]
        less = amount_text(unmet.need, unmet.shortfall, brief)
        stored = [line.model_dump(mode="json") for line in lines]
        yield Change(
            f"keep {less} of the {kind} elsewhere", {"needs": {"stored": stored}}, Cost.ASKING_LESS
        )


def _without_items(brief: Brief, short: set[NeedId]) -> Iterator[Change]:
    """The brief without one of its items: those that are short first, then the widest."""
    items = brief.needs.items
    for item in sorted(items, key=lambda i: (NeedId.item(i.id) not in short, -i.width)):
        rest = [other.model_dump(mode="json") for other in items if other.id != item.id]
        patch = {"needs": {"items": rest}}
        yield Change(f"drop the {item.id}", patch, Cost.GOING_WITHOUT, NeedId.item(item.id))


def _without_mounts(brief: Brief, layout: Layout) -> Iterator[Change]:
    """The wall of hooks or of a mirror for bays; of those that hang and are not kept there."""
    hung = {mount.id for mount in layout.mounts} - {pin.mount for pin in brief.mount_pins}
    for key in ("hooks", "mirrors"):
        lines = getattr(brief.needs, key)
        for line in lines:
            if line.id in hung:
                rest = [other.model_dump(mode="json") for other in lines if other is not line]
                need = NeedId.mounted(line.id)
                yield Change(
                    f"drop the {line.id}", {"needs": {key: rest}}, Cost.GOING_WITHOUT, need
                )


def _longer_walls(brief: Brief, layout: Layout) -> Iterator[Change]:
    """More wall, in a closed room together with the wall that runs back along it."""
    step = WALL_STEP[brief.units]
    outline = outline_of(brief.room, brief.units)
    used = {bay.wall for bay in layout.bays}
    for index, wall in enumerate(brief.room.walls):
        if wall.id not in used:
            continue
        grown = [index]
        if outline.closed:
            back = [
                other
                for other, line in enumerate(outline.walls)
                if line.direction[0] == -outline.walls[index].direction[0]
                and line.direction[1] == -outline.walls[index].direction[1]
            ]
            if not back:
                continue
            # The longest of them grows as well: else the room would not close any more.
            grown.append(max(back, key=lambda other: outline.walls[other].length))
        walls = [w.model_dump(mode="json") for w in brief.room.walls]
        for number in grown:
            walls[number]["length"] = brief.room.walls[number].clear_length + step
        amount = format_length(step, brief.units)
        words = f"{amount} more on wall {wall.id}"
        yield Change(words, {"room": {"walls": walls}}, Cost.BUILDING)

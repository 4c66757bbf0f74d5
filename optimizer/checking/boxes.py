"""What a bay fills, as boxes in the room."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimizer.checking.case import Case, Placed, zone_depth
from optimizer.checking.floor_plan import WallLine
from optimizer.checking.shapes import Box, Interval
from optimizer.domain.layout import Bay, ZoneKind
from optimizer.domain.room import Obstruction

LEAST_PROJECTION_IN = 1.0
"""Even what is flush with the wall keeps this much [in] in front of it clear."""

SUPPORT_HANGS = 0.75
"""How far a triangle or bracket hangs down under its board, in depths of the board."""


@dataclass(frozen=True, slots=True)
class Solid:
    """A box that something of a layout fills: `pointer` and `name` are for messages about it."""

    pointer: str
    name: str
    box: Box


def zone_solids(case: Case, placed: Placed, along: Interval | None = None) -> Iterator[Solid]:
    """Boxes of the zones, each with its board; floor zones that hold nothing are left out.

    `along` takes them over another stretch of the wall than the bay's clear space.
    """
    bay = placed.bay
    for place, zone in enumerate(bay.zones):
        # Open floor takes nothing: a pipe or an outlet may be in it.
        if zone.kind is ZoneKind.FLOOR and not zone.items:
            continue
        low = zone.bottom
        names = {
            ZoneKind.FLOOR: "what stands on the floor",
            ZoneKind.ROD: "hung clothes",
            ZoneKind.SHELF: f"the shelf at {case.say(zone.bottom)}",
        }
        if zone.kind is ZoneKind.SHELF:
            low -= case.thickness
        plan = placed.wall.rect(along or placed.clear, (0.0, zone_depth(bay, zone)))
        yield Solid(
            f"{placed.pointer}/zones/{place}",
            f"{names[zone.kind]} in bay {bay.id}",
            Box(plan, (low, zone.top)),
        )


def upright_solids(placed: Placed, height: float | None = None) -> Iterator[Solid]:
    """Boxes of its uprights, from the floor to the bay's height or to another one."""
    bay = placed.bay
    for side, span in placed.uprights.items():
        plan = placed.wall.rect(span, (0.0, bay.depth))
        yield Solid(
            placed.pointer,
            f"the {side} upright of bay {bay.id}",
            Box(plan, (0.0, bay.height if height is None else height)),
        )


def upright_depth(case: Case, bay: Bay) -> float:
    """How deep an upright is cut: to the deepest board, or past the rod; not beyond the bay."""
    boards = [zone_depth(bay, zone) for zone in bay.zones if zone.kind is ZoneKind.SHELF]
    deepest = max(boards, default=0.0)
    if any(zone.kind is ZoneKind.ROD for zone in bay.zones):
        # A rod asks for panel behind its socket and a little in front, not for the depth of the
        # clothes.
        rules = case.brief.construction
        deepest = max(deepest, rules.rod_setback + rules.rod_overlap)
    return min(bay.depth, deepest) if deepest > 0 else bay.depth


def support_solids(case: Case, placed: Placed) -> Iterator[Solid]:
    """Boxes of the triangles or brackets that hang under each board of a bay.

    They hang down to the next board, or to the floor, where that is nearer.
    """
    half = case.thickness / 2.0
    for place, position in enumerate(placed.bay.mid_supports):
        below = 0.0
        for top, depth in sorted(placed.boards()):
            under = top - case.thickness
            plan = placed.wall.rect((position - half, position + half), (0.0, depth))
            yield Solid(
                f"{placed.pointer}/mid_supports/{place}",
                f"the support at {case.say(position)} under the board at {case.say(top)} of bay "
                f"{placed.bay.id}",
                Box(plan, (max(under - SUPPORT_HANGS * depth, below), under)),
            )
            below = top


def obstruction_box(case: Case, thing: Obstruction, line: WallLine) -> Box:
    """The box of an obstruction, before any clearance."""
    least = thing.setback + case.units.from_inch(LEAST_PROJECTION_IN)
    plan = line.rect(
        (thing.start, thing.start + thing.width),
        (thing.setback, max(thing.projection, least)),
    )
    return Box(plan, (thing.bottom, thing.bottom + thing.height))

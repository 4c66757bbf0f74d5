"""What a bay fills, as boxes in the room."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimizer.checking.case import Case, Placed, zone_depth
from optimizer.checking.plan import WallLine
from optimizer.checking.shapes import Box
from optimizer.domain.layout import ZoneKind
from optimizer.domain.room import Obstruction

LEAST_PROJECTION_IN = 1.0
"""Even what is flush with the wall keeps this much [in] in front of it clear."""


@dataclass(frozen=True, slots=True)
class Solid:
    """One box of a bay with a name for messages."""

    pointer: str
    name: str
    box: Box


def zone_solids(case: Case, placed: Placed) -> Iterator[Solid]:
    """Boxes of the zones, each with its board; floor zones that hold nothing are left out."""
    bay = placed.bay
    for place, zone in enumerate(bay.zones):
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
        plan = placed.wall.rect(placed.clear, (0.0, zone_depth(bay, zone)))
        yield Solid(
            f"{placed.pointer}/zones/{place}",
            f"{names[zone.kind]} in bay {bay.id}",
            Box(plan, (low, zone.top)),
        )


def upright_solids(case: Case, placed: Placed) -> Iterator[Solid]:
    """Boxes of both uprights, from the floor to the bay's height."""
    bay, t = placed.bay, case.thickness
    for side, start in (("left", bay.start - t), ("right", bay.end)):
        plan = placed.wall.rect((start, start + t), (0.0, bay.depth))
        yield Solid(
            placed.pointer, f"the {side} upright of bay {bay.id}", Box(plan, (0.0, bay.height))
        )


def obstruction_box(case: Case, thing: Obstruction, line: WallLine) -> Box:
    """The box of an obstruction, before any clearance."""
    least = thing.setback + case.units.from_inch(LEAST_PROJECTION_IN)
    plan = line.rect(
        (thing.start, thing.start + thing.width),
        (thing.setback, max(thing.projection, least)),
    )
    return Box(plan, (thing.bottom, thing.bottom + thing.height))

"""Things in the way as boxes in the room, and how each wall sees them."""

from __future__ import annotations

from dataclasses import dataclass

from optimizer.domain.brief import Brief
from optimizer.domain.room import ObstructionKind
from optimizer.geometry.outline import Outline
from optimizer.reference.lights import light_clearance

FLUSH_DEPTH_IN = 1.0
"""How far out from the wall a flush outlet or window must stay free (common practice)."""


HAND_IN = 4.0
"""How far out from the wall a fixture stays free, for a hand beside it (common practice)."""
FIXTURES = (ObstructionKind.OUTLET, ObstructionKind.SWITCH)
"""What somebody has to get at."""


@dataclass(frozen=True, slots=True)
class Box:
    """A box that storage stays out of, in the frame of the wall it was measured on.

    `along`, `out` and `up` are (low, high) pairs [brief units], clearances included.
    """

    wall: int
    along: tuple[float, float]
    out: tuple[float, float]
    up: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Block:
    """A range of heights in which nothing may reach further out than `depth`."""

    bottom: float
    top: float
    depth: float


def boxes_of(brief: Brief) -> tuple[Box, ...]:
    """Boxes of every obstruction that may not be covered, lights always, with clearance, and of
    what is kept clear."""
    index = {wall.id: number for number, wall in enumerate(brief.room.walls)}
    units = brief.units
    boxes = []
    for thing in brief.room.obstructions:
        is_light = thing.kind is ObstructionKind.LIGHT
        # A light that may be covered is still hot: only its clearance is not negotiable.
        if thing.may_cover and not is_light:
            continue
        air = light_clearance(thing.luminaire, units) if is_light else 0.0
        least = HAND_IN if thing.kind in FIXTURES else FLUSH_DEPTH_IN
        far = max(thing.projection, thing.setback + units.from_inch(least))
        along = (thing.start - air, thing.start + thing.width + air)
        if thing.kind in FIXTURES:
            length = brief.room.walls[index[thing.wall]].clear_length
            along = _with_hand(along, length, units.from_inch(HAND_IN))
        boxes.append(
            Box(
                wall=index[thing.wall],
                along=along,
                out=(thing.setback - air, far + air),
                up=(thing.bottom - air, thing.bottom + thing.height + air),
            )
        )
    boxes += [
        Box(
            wall=index[kept.wall],
            along=(kept.start, kept.start + kept.width),
            out=(0.0, kept.depth),
            up=(kept.bottom, kept.bottom + kept.height),
        )
        for kept in brief.room.keep_clear
    ]
    return tuple(boxes)


def _with_hand(along: tuple[float, float], length: float, hand: float) -> tuple[float, float]:
    """The place of a fixture, in a corner with room for a hand up to the next wall."""
    low, high = along
    if low < hand:
        # Too near the corner for a hand beside it: then all of the corner is kept free.
        low, high = min(low, 0.0), max(high, min(hand, length))
    if high > length - hand:
        low, high = min(low, max(0.0, length - hand)), max(high, length)
    return low, high


def seen_from(
    outline: Outline, box: Box, wall: int
) -> tuple[tuple[float, float], tuple[float, float]]:
    """`box` as (along, out) ranges in the frame of `wall`."""
    if box.wall == wall:
        return box.along, box.out
    # All four corners, since another wall sees the box turned.
    corners = [
        outline.to_wall(wall, *outline.to_plan(box.wall, a, d)) for a in box.along for d in box.out
    ]
    alongs = [corner[0] for corner in corners]
    outs = [corner[1] for corner in corners]
    return (min(alongs), max(alongs)), (min(outs), max(outs))

"""How the storage is reached, and what floor must stay clear for it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from optimizer.domain.brief import Brief
from optimizer.domain.room import Access, Opening, OpeningKind
from optimizer.geometry.outline import Outline
from optimizer.tolerances import FINE


@dataclass(frozen=True, slots=True)
class ClearFloor:
    """Floor kept clear in front of an opening, in the frame of its wall."""

    wall: int
    along: tuple[float, float]
    out: float


def wall_in_frame(
    outline: Outline, wall: int, other: int
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Ends of wall `other` as (along, out) in the frame of `wall`."""
    left = outline.to_wall(wall, *outline.to_plan(other, 0.0, 0.0))
    right = outline.to_wall(wall, *outline.to_plan(other, outline.walls[other].length, 0.0))
    return left, right


def front_distance(outline: Outline, wall: int, along: float) -> float:
    """Clear distance straight ahead of a point on a wall; infinite when nothing is there."""
    nearest = math.inf
    for other in range(len(outline.walls)):
        if other == wall:
            continue
        (a1, o1), (a2, o2) = wall_in_frame(outline, wall, other)
        # Only walls parallel to this one are ahead of it: the ends of one across lie at other
        # distances.
        crosses = min(a1, a2) < along < max(a1, a2)
        if crosses and abs(o1 - o2) < FINE + abs(a1 - a2) * 1e-3 and min(o1, o2) > FINE:
            nearest = min(nearest, o1, o2)
    return nearest


def _depth_behind(outline: Outline, brief: Brief, opening: Opening) -> float:
    """Distance from an opening straight across to the facing wall."""
    wall = [w.id for w in brief.room.walls].index(opening.wall)
    return front_distance(outline, wall, opening.start + opening.width / 2)


def is_reach_in(brief: Brief, outline: Outline) -> bool:
    """Whether the storage is reached from outside: too shallow to stand in, or said so."""
    if brief.room.access is not Access.AUTO:
        return brief.room.access is Access.REACH_IN
    if not outline.closed or not brief.room.openings:
        return False
    least = brief.construction.hang_depth + brief.needs.aisle
    return all(_depth_behind(outline, brief, opening) < least for opening in brief.room.openings)


def clear_floors(brief: Brief) -> tuple[ClearFloor, ...]:
    """Floor in front of each opening that a walk-in keeps clear: entry and door swing."""
    index = {wall.id: number for number, wall in enumerate(brief.room.walls)}
    floors = []
    for opening in brief.room.openings:
        out = brief.needs.aisle
        # The leaf swings as far in as the opening is wide.
        if opening.kind is OpeningKind.HINGED_IN:
            out = max(out, opening.width)
        along = (opening.start, opening.start + opening.width)
        floors.append(ClearFloor(index[opening.wall], along, out))
    return tuple(floors)


def opened_ranges(brief: Brief, outline: Outline, wall: int) -> list[tuple[float, float]]:
    """Parts of `wall` that lie straight across from an opening, as (along, along) pairs."""
    index = {w.id: number for number, w in enumerate(brief.room.walls)}
    ranges = []
    for opening in brief.room.openings:
        source = index[opening.wall]
        if source == wall:
            continue
        ends = [
            outline.to_wall(wall, *outline.to_plan(source, position, 0.0))
            for position in (opening.start, opening.start + opening.width)
        ]
        # Parallel, in front of the wall, and looking back at it: walls run clockwise.
        parallel = abs(ends[0][1] - ends[1][1]) < FINE
        if parallel and ends[0][1] > FINE and ends[0][0] > ends[1][0]:
            ranges.append((ends[1][0], ends[0][0]))
    return ranges

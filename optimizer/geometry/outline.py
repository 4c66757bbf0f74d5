"""The walls in plan: where each stands, whether they close, and where they do not.

The frame of a wall has `along` from its left end, as one faces it, and `out` from the wall
into the room. In plan wall 0 starts at the origin and runs along +x; the room lies to
the right of a walk along the walls, so a room is drawn below its first wall.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import shapely

from optimizer.domain.room import Room
from optimizer.errors import BriefError, Fault
from optimizer.units import Units, state_length

CLOSING_TOLERANCE_IN = 0.5
"""A room that is off by no more than this closes: common practice for taped walls."""

NEARLY_CLOSED_IN = 24.0
"""Off by less than this, four turns round, a wall was mis-measured; beyond, it is a way in."""

_NOISE = 1e-9

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class WallLine:
    """One wall in plan: its left end, unit vectors along it and into the room, its length."""

    id: str
    origin: Point
    direction: Point
    normal: Point
    length: float


@dataclass(frozen=True, slots=True)
class Outline:
    """Every wall in plan [brief units]; a closed room also has its polygon.

    `closing_offsets` lead from where the last wall as measured ends to where the first
    starts, along x and y; `closing_gap` is the larger of the two.
    """

    walls: tuple[WallLine, ...]
    inside: tuple[bool, ...]
    closed: bool
    polygon: Any
    closing_gap: float
    closing_offsets: Point

    def to_plan(self, wall_index: int, along: float, out: float) -> Point:
        """Plan position of a point given in the frame of a wall."""
        wall = self.walls[wall_index]
        return (
            wall.origin[0] + along * wall.direction[0] + out * wall.normal[0],
            wall.origin[1] + along * wall.direction[1] + out * wall.normal[1],
        )

    def to_wall(self, wall_index: int, x: float, y: float) -> Point:
        """(along, out) in the frame of a wall of a point in plan."""
        wall = self.walls[wall_index]
        dx, dy = x - wall.origin[0], y - wall.origin[1]
        return (
            dx * wall.direction[0] + dy * wall.direction[1],
            dx * wall.normal[0] + dy * wall.normal[1],
        )

    def box(self, wall_index: int, a0: float, a1: float, d0: float, d1: float) -> Any:
        """Shapely rectangle in plan from `a0` to `a1` along a wall, `d0` to `d1` out from it."""
        x0, y0 = self.to_plan(wall_index, a0, d0)
        x1, y1 = self.to_plan(wall_index, a1, d1)
        return shapely.box(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))

    def inside_corners(self) -> tuple[tuple[int, int], ...]:
        """(wall, next wall) at each inside corner; the last to the first in a closed room."""
        count = len(self.walls)
        corners = count if self.closed else count - 1
        return tuple((i, (i + 1) % count) for i in range(corners) if self.inside[i])


def outline_of(room: Room, units: Units) -> Outline:
    """The outline of a room; BriefError when its walls cross or nearly but not quite close."""
    outline, faults = examine(room, units)
    if faults:
        raise BriefError(faults)
    return outline


def examine(room: Room, units: Units) -> tuple[Outline, tuple[Fault, ...]]:
    """The outline of a room as far as it goes, and what is wrong with it."""
    ids = [wall.id for wall in room.walls]
    inside = tuple(wall.corner == "inside" for wall in room.walls)
    directions = _directions(inside)
    lengths = [wall.clear_length for wall in room.walls]
    end = _end_of(lengths, directions)
    offsets = (-end[0], -end[1])
    gap = max(abs(offsets[0]), abs(offsets[1]))
    # Inside corners less outside ones make four on a way once round: such walls are meant to meet.
    turns_round = len(lengths) >= 4 and 2 * sum(inside) - len(inside) == 4
    shortened = _closing(lengths, directions, end) if turns_round else None
    within = units.from_inch(CLOSING_TOLERANCE_IN) + _NOISE
    closed = shortened is not None and gap <= within
    if closed and shortened is not None:
        lengths = shortened
    walls = _placed(ids, lengths, directions)
    polygon = shapely.Polygon([wall.origin for wall in walls]) if closed else None
    outline = Outline(walls, inside, closed, polygon, gap, offsets)
    if turns_round and not closed and gap < units.from_inch(NEARLY_CLOSED_IN):
        return outline, (_gap_fault(walls, offsets, units),)
    return outline, tuple(_crossings(outline))


def _directions(inside: Sequence[bool]) -> list[Point]:
    """Direction of each wall: an inside corner turns right, an outside corner left."""
    # Adding and taking from 0.0 turns -0.0 into 0.0, which would show in messages and drawings.
    dx, dy = 1.0, 0.0
    directions = []
    for turns_right in inside:
        directions.append((dx, dy))
        dx, dy = (dy + 0.0, 0.0 - dx) if turns_right else (0.0 - dy, dx + 0.0)
    return directions


def _end_of(lengths: Sequence[float], directions: Sequence[Point]) -> Point:
    """Where the last wall ends."""
    pairs = list(zip(lengths, directions, strict=True))
    return sum(n * d[0] for n, d in pairs), sum(n * d[1] for n, d in pairs)


def _closing(
    lengths: Sequence[float], directions: Sequence[Point], end: Point
) -> list[float] | None:
    """Lengths that close the room: the last wall of each direction that is too long loses
    the difference, so that of two facing distances the smaller is kept. None if it cannot.
    """
    closing = list(lengths)
    for axis in (0, 1):
        if abs(end[axis]) <= _NOISE:
            continue
        sign = 1.0 if end[axis] > 0 else -1.0
        # Directions are exact ones and zeros, so that they may be compared.
        longer = [i for i, d in enumerate(directions) if d[axis] == sign]
        if not longer or closing[longer[-1]] <= abs(end[axis]):
            return None
        closing[longer[-1]] -= abs(end[axis])
    return closing


def _placed(
    ids: Sequence[str], lengths: Sequence[float], directions: Sequence[Point]
) -> tuple[WallLine, ...]:
    """Walls put end to end from the origin."""
    x, y = 0.0, 0.0
    placed = []
    for name, length, (dx, dy) in zip(ids, lengths, directions, strict=True):
        placed.append(WallLine(name, (x, y), (dx, dy), (dy + 0.0, 0.0 - dx), length))
        x, y = x + length * dx, y + length * dy
    return tuple(placed)


def _gap_fault(walls: Sequence[WallLine], offsets: Point, units: Units) -> Fault:
    """The fault of a room that nearly closes: by how much, where, and which walls to re-measure."""
    parts = []
    for axis in (0, 1):
        if abs(offsets[axis]) > units.from_inch(CLOSING_TOLERANCE_IN) + _NOISE:
            suspects = ", ".join(wall.id for wall in walls if wall.direction[axis])
            parts.append(
                f"{state_length(abs(offsets[axis]), units)} off along the walls {suspects} "
                "(one of them may be mis-measured)"
            )
    detail = (
        f"the room does not close: {' and '.join(parts) or 'a wall is too short to close it'}, "
        f"between the end of wall {walls[-1].id} and the start of wall {walls[0].id}; "
        "measure again, or give a way in as a wall with an opening"
    )
    return Fault("/room/walls", detail, "room_not_closed")


def _crossings(outline: Outline) -> list[Fault]:
    """A fault for each pair of walls that cross or touch elsewhere than at their corner."""
    walls = outline.walls
    count = len(walls)
    lines = [
        shapely.LineString([outline.to_plan(i, 0, 0), outline.to_plan(i, walls[i].length, 0)])
        for i in range(count)
    ]
    faults = []
    for i, j in combinations(range(count), 2):
        # The ends of an open run may meet without the room being closed.
        if j - i == 1 or (i == 0 and j == count - 1 and outline.closing_gap <= _NOISE):
            continue
        if outline.closed and i == 0 and j == count - 1:
            continue
        if lines[i].distance(lines[j]) <= _NOISE:
            faults.append(
                Fault(
                    f"/room/walls/{j}",
                    f"wall {walls[j].id} crosses or touches wall {walls[i].id}; check the "
                    "lengths, and which corners are outside corners",
                    "walls_cross",
                )
            )
    return faults

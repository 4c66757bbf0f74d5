"""The walls in plan: where each runs, whether the room closes, what faces what.

Wall 0 starts at the origin and runs along +x; the room lies to the right of the walk. An
inside corner turns right, an outside corner turns left.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any, Literal

import shapely

from optimizer.checking.shapes import Interval, Rect, common_part, snapped, united
from optimizer.domain.room import Opening, Room, Slope, Wall
from optimizer.tolerances import RULE_IN
from optimizer.units import Units

CLOSING_IN = 0.5
"""A room closes when its end meets its start within this [in], along x and along y."""

Side = Literal["left", "right"]
SIDES: tuple[Side, Side] = ("left", "right")

Vector = tuple[int, int]
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class WallLine:
    """One wall in plan; positions are (along, out): from its left end, and into the room."""

    index: int
    wall: Wall
    origin: Point
    direction: Vector
    length: float

    @property
    def normal(self) -> Vector:
        """Unit vector into the room: to the right of the walk."""
        return (self.direction[1], -self.direction[0])

    def point(self, along: float, out: float) -> Point:
        """Plan position of a point given by wall position and distance from the wall."""
        (dx, dy), (nx, ny) = self.direction, self.normal
        return (
            self.origin[0] + along * dx + out * nx,
            self.origin[1] + along * dy + out * ny,
        )

    def local(self, point: Point) -> Point:
        """(along, out) of a plan position."""
        x, y = point[0] - self.origin[0], point[1] - self.origin[1]
        (dx, dy), (nx, ny) = self.direction, self.normal
        return (x * dx + y * dy, x * nx + y * ny)

    def rect(self, along: Interval, out: Interval) -> Rect:
        """Plan rectangle of a stretch of wall and a range of distances from it."""
        (xa, ya), (xb, yb) = self.point(along[0], out[0]), self.point(along[1], out[1])
        return Rect((min(xa, xb), max(xa, xb)), (min(ya, yb), max(ya, yb)))

    def local_rect(self, rect: Rect) -> tuple[Interval, Interval]:
        """Ranges along and out of a plan rectangle, seen from this wall."""
        (a, m), (b, n) = (
            self.local((rect.x[0], rect.y[0])),
            self.local((rect.x[1], rect.y[1])),
        )
        return (min(a, b), max(a, b)), (min(m, n), max(m, n))

    def segment(self) -> Any:
        """The wall as a line in plan."""
        return shapely.LineString([self.origin, self.point(self.length, 0.0)])

    def faces(self, other: WallLine) -> bool:
        """Whether the two are parallel and look towards each other."""
        # Directions are whole numbers, so that they compare exactly.
        against = self.direction[0] == -other.direction[0]
        against = against and self.direction[1] == -other.direction[1]
        return against and self.local(other.origin)[1] > 0

    def shadow(self, other: WallLine) -> Interval:
        """The stretch of this wall, or of its line, straight across from a facing wall."""
        ends = self.local(other.origin)[0], self.local(other.point(other.length, 0.0))[0]
        return min(ends), max(ends)

    def clear_height(self, along: Interval, ceiling_height: float) -> float:
        """Least height of the ceiling over a stretch of this wall."""
        height = self.wall.height
        if height is None:
            return ceiling_height
        if not isinstance(height, Slope):
            return float(height)
        # The slope belongs to the wall as measured; one shortened to close the room keeps it.
        whole = self.wall.clear_length
        shares = [min(max(position, 0.0), whole) / whole for position in along]
        return min(height.left + (height.right - height.left) * share for share in shares)


@dataclass(frozen=True, slots=True)
class FloorPlan:
    """All walls of a room in plan, laid end to end, and whether they close."""

    walls: tuple[WallLine, ...]
    closed: bool

    @property
    def sound(self) -> bool:
        """Whether every wall has a length and walls never cross or touch but at corners."""
        if min(line.length for line in self.walls) < RULE_IN:
            return False
        outline = self.outline()
        return bool(outline.is_valid if self.closed else outline.is_simple)

    def find(self, wall_id: str) -> WallLine | None:
        """The wall of that id; None when there is none."""
        return next((line for line in self.walls if line.wall.id == wall_id), None)

    def outline(self) -> Any:
        """The room as a polygon if it is closed, else its walls as one line."""
        points = [line.origin for line in self.walls]
        if not self.closed:
            points.append(self.walls[-1].point(self.walls[-1].length, 0.0))
        # Rounded: corners that are apart by float noise alone would make the polygon invalid.
        corners = [(snapped(x), snapped(y)) for x, y in points]
        return shapely.Polygon(corners) if self.closed else shapely.LineString(corners)

    def inside_corners(self) -> Iterator[tuple[WallLine, WallLine]]:
        """Each wall that ends at an inside corner, with the next wall."""
        count = len(self.walls)
        for line in self.walls if self.closed else self.walls[:-1]:
            if line.wall.corner == "inside":
                yield line, self.walls[(line.index + 1) % count]

    def beside(self, line: WallLine, side: Side) -> WallLine | None:
        """The side wall that meets a wall's end at an inside corner; None where there is none."""
        for before, after in self.inside_corners():
            if side == "right" and before is line:
                return after
            if side == "left" and after is line:
                return before
        return None

    def across(self, line: WallLine, along: float) -> tuple[float, WallLine] | None:
        """Distance straight across from a wall to the wall facing it, and that wall."""
        found = [
            (line.local(other.origin)[1], other)
            for other in self.walls
            if line.faces(other) and line.shadow(other)[0] <= along <= line.shadow(other)[1]
        ]
        return min(found, key=lambda pair: pair[0], default=None)

    def seen_through(self, opening: Opening, onto: WallLine) -> list[Interval]:
        """Stretches of wall `onto` that lie straight across from an opening in plain sight."""
        line = self.find(opening.wall)
        if line is None or not line.faces(onto):
            return []
        way = (opening.start, opening.start + opening.width)
        # What lies across changes only where a facing wall begins or ends: one look between each
        # two such places tells of the whole stretch.
        edges = {end for other in self.walls if line.faces(other) for end in line.shadow(other)}
        cuts = [way[0], *sorted(edge for edge in edges if way[0] < edge < way[1]), way[1]]
        seen = []
        for low, high in pairwise(cuts):
            hit = self.across(line, (low + high) / 2.0)
            if hit is not None and hit[1] is onto:
                ends = [onto.local(line.point(end, 0.0))[0] for end in (low, high)]
                seen.append(common_part((min(ends), max(ends)), (0.0, onto.length)))
        return united(seen)


def _turned(direction: Vector, corner: str) -> Vector:
    """Direction after a corner: inside turns right, outside turns left."""
    dx, dy = direction
    return (dy, -dx) if corner == "inside" else (-dy, dx)


def _lines(room: Room) -> list[WallLine]:
    """The walls one after the other, each with its least reading."""
    lines: list[WallLine] = []
    origin: Point = (0.0, 0.0)
    direction: Vector = (1, 0)
    for index, wall in enumerate(room.walls):
        line = WallLine(index, wall, origin, direction, wall.clear_length)
        lines.append(line)
        origin = line.point(line.length, 0.0)
        direction = _turned(direction, wall.corner)
    return lines


def _shortened(lines: list[WallLine], axis: int, excess: float) -> list[WallLine]:
    """The walls, the last of those that run in the direction of the excess shortened by it.

    `axis` is 0 for x and 1 for y, `excess` how far the walk ends beyond its start along it.
    """
    sign = 1 if excess > 0 else -1
    # Which wall gives is a convention, and the same one for everybody: the last that runs that way.
    last = max(line.index for line in lines if line.direction[axis] == sign)
    return [
        replace(line, length=line.length - abs(excess)) if line.index == last else line
        for line in lines
    ]


def _joined(lines: list[WallLine]) -> tuple[WallLine, ...]:
    """The walls moved so that each starts where the one before it ends."""
    joined: list[WallLine] = []
    origin: Point = (0.0, 0.0)
    for line in lines:
        joined.append(replace(line, origin=origin))
        origin = joined[-1].point(line.length, 0.0)
    return tuple(joined)


def plan_of(room: Room, units: Units) -> FloorPlan:
    """The walls of a room in plan, closed by shortening where they nearly close."""
    lines = _lines(room)
    # A walk round a room with square corners turns right four times more often than left.
    turns = sum(1 if wall.corner == "inside" else -1 for wall in room.walls)
    end = lines[-1].point(lines[-1].length, 0.0)
    limit = units.from_inch(CLOSING_IN) + units.from_inch(RULE_IN)
    if turns != 4 or max(abs(end[0]), abs(end[1])) > limit:
        return FloorPlan(tuple(lines), closed=False)
    for axis in (0, 1):
        if end[axis]:
            lines = _shortened(lines, axis, end[axis])
    if min(line.length for line in lines) <= 0:
        return FloorPlan(tuple(_lines(room)), closed=False)
    return FloorPlan(_joined(lines), closed=True)

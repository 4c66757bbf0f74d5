"""Boxes and wedges seen in isometric: which of their edges are seen, and which parts of those.

The boxes around them have their faces along the axes and do not run into each other. Then
one hides part of another only if no gap between them puts it behind, so edges can be
clipped pair by pair: exact, without sorting everything from back to front.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import shapely

from optimizer.drawing.ink.canvas import Point
from optimizer.drawing.ink.layers import Layer
from optimizer.tolerances import FINE

Point3 = tuple[float, float, float]

_COS30 = math.cos(math.radians(30))
_SIN30 = 0.5

_SHORTEST = 1e-3
"""Pieces of edges shorter than this are noise [brief units]."""


@dataclass(frozen=True, slots=True)
class Direction:
    """Where the viewer stands: towards +x or -x, towards +y or -y, always above."""

    x: int
    y: int

    def project(self, point: Point3) -> Point:
        """Place on the drawing; lengths along all three axes are true."""
        x, y, z = point
        return (
            # Both level axes at 30 degrees to the horizontal, upright lines upright: all three are
            # foreshortened alike, and that common factor is left out.
            (self.x * y - self.y * x) * _COS30,
            z - (self.x * x + self.y * y) * _SIN30,
        )

    def faces(self, normal: tuple[float, float]) -> bool:
        """Whether a wall with this normal shows its front."""
        return normal[0] * self.x + normal[1] * self.y > 0


@dataclass(frozen=True, slots=True)
class Solid:
    """A box between two corners, with the layer its edges are drawn on.

    A box of no thickness is a line or a frame; only boxes with volume hide others, and of
    those only `opaque` ones. One that is not `drawn` hides what is behind it all the same.
    """

    low: Point3
    high: Point3
    layer: Layer
    drawn: bool = True
    opaque: bool = True

    @property
    def hides(self) -> bool:
        """Whether it has volume and is no mere outline in the air."""
        return self.opaque and all(b - a > FINE for a, b in zip(self.low, self.high, strict=True))

    @property
    def corners(self) -> tuple[Point3, ...]:
        """Its eight corners."""
        picks = [(i, j, k) for i in (0, 1) for j in (0, 1) for k in (0, 1)]
        return tuple(_corner(self, pick) for pick in picks)


@dataclass(frozen=True, slots=True)
class Wedge:
    """A right triangle, upright on edge, with a thickness: `front` and `back` are its faces.

    Each face lists its corners in the same order: the right angle first. What is hidden of
    its edges is drawn on the layer `hidden`, if one is given.
    """

    front: tuple[Point3, Point3, Point3]
    back: tuple[Point3, Point3, Point3]
    layer: Layer
    hidden: Layer | None = None

    @property
    def corners(self) -> tuple[Point3, ...]:
        """Its six corners."""
        return self.front + self.back

    @property
    def low(self) -> Point3:
        """Least corner of the box around it."""
        xs, ys, zs = zip(*self.corners, strict=True)
        return min(xs), min(ys), min(zs)

    @property
    def high(self) -> Point3:
        """Largest corner of the box around it."""
        xs, ys, zs = zip(*self.corners, strict=True)
        return max(xs), max(ys), max(zs)

    @property
    def hides(self) -> bool:
        """Whether it has volume."""
        return all(b - a > FINE for a, b in zip(self.low, self.high, strict=True))

    @property
    def faces(self) -> tuple[tuple[int, ...], ...]:
        """Its five faces as numbers of corners, in order round each."""
        return (0, 1, 2), (3, 4, 5), (0, 1, 4, 3), (1, 2, 5, 4), (2, 0, 3, 5)


@dataclass(frozen=True, slots=True)
class Slant:
    """A straight line in any direction; it hides nothing."""

    start: Point3
    end: Point3
    layer: Layer

    @property
    def low(self) -> Point3:
        """Least corner of the box around it."""
        (a, b, c), (d, e, f) = self.start, self.end
        return min(a, d), min(b, e), min(c, f)

    @property
    def high(self) -> Point3:
        """Largest corner of the box around it."""
        (a, b, c), (d, e, f) = self.start, self.end
        return max(a, d), max(b, e), max(c, f)


@dataclass(frozen=True, slots=True)
class Edge:
    """A visible piece of an edge on the drawing."""

    start: Point
    end: Point
    layer: Layer


Thing = Solid | Wedge | Slant
"""What can be seen."""


def visible_edges(things: Sequence[Thing], direction: Direction) -> list[Edge]:
    """Pieces of edges that are seen, in the order of `things`."""
    hiders = [thing for thing in things if not isinstance(thing, Slant) and thing.hides]
    outlines = [_outline(solid, direction) for solid in hiders]
    # Each line is held only against the outlines that it may meet.
    tree = shapely.STRtree(outlines)
    seen = []
    for thing in things:
        for start, end in _lines(thing, direction):
            line = shapely.LineString([start, end])
            # Sorted, since a tree gives them in an order of its own: pieces are to come out the
            # same each time.
            found = sorted(int(index) for index in tree.query(line))
            covers = [outlines[i] for i in found if _may_hide(hiders[i], thing, direction)]
            cover = shapely.union_all(covers)
            seen += [Edge(a, b, thing.layer) for a, b in _pieces(line.difference(cover))]
            if isinstance(thing, Wedge) and thing.hidden is not None:
                hidden = line.intersection(cover)
                seen += [Edge(a, b, thing.hidden) for a, b in _pieces(hidden)]
    return seen


def _lines(thing: Thing, direction: Direction) -> Iterable[tuple[Point, Point]]:
    """The edges of a thing that its own faces do not hide, on the drawing."""
    if isinstance(thing, Slant):
        return [(direction.project(thing.start), direction.project(thing.end))]
    if isinstance(thing, Wedge):
        return _wedge_edges(thing, direction)
    return _edges(thing, direction) if thing.drawn else []


def _wedge_edges(wedge: Wedge, direction: Direction) -> Iterable[tuple[Point, Point]]:
    """The edges of the faces that look at the viewer, each once."""
    shown: dict[tuple[int, int], None] = {}
    for face in wedge.faces:
        if _looks_at(wedge, face, direction):
            for a, b in zip(face, (*face[1:], face[0]), strict=True):
                shown[min(a, b), max(a, b)] = None
    corners = [direction.project(corner) for corner in wedge.corners]
    return [(corners[a], corners[b]) for a, b in shown]


def _looks_at(wedge: Wedge, face: tuple[int, ...], direction: Direction) -> bool:
    """Whether a face shows its front: its normal, turned away from the middle, points here."""
    corners = wedge.corners
    a, b, c = (corners[number] for number in face[:3])
    u, v = _minus(b, a), _minus(c, a)
    # The cross product; its sign depends on the order of corners, so the middle decides.
    normal = (u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0])
    middle = tuple(sum(axis) / len(corners) for axis in zip(*corners, strict=True))
    outwards: float = -sum(n * (m - p) for n, m, p in zip(normal, middle, a, strict=True))
    towards: float = normal[0] * direction.x + normal[1] * direction.y + normal[2]
    return towards * outwards > 0


def _minus(a: Point3, b: Point3) -> Point3:
    """The vector from `b` to `a`."""
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


def _may_hide(front: Solid | Wedge, back: Thing, direction: Direction) -> bool:
    """Whether `front` can hide parts of `back`: no axis has it behind."""
    if front is back:
        return False
    # Seen along `direction`, what lies wholly behind on any one axis hides nothing.
    for axis, towards in enumerate((direction.x, direction.y, 1)):
        if towards > 0 and front.high[axis] <= back.low[axis] + FINE:
            return False
        if towards < 0 and front.low[axis] >= back.high[axis] - FINE:
            return False
    return True


def _corner(solid: Solid, pick: Sequence[int]) -> Point3:
    """A corner of a box: 0 or 1 of each axis picks the low or the high end."""
    ends = (solid.low, solid.high)
    return ends[pick[0]][0], ends[pick[1]][1], ends[pick[2]][2]


def _outline(solid: Solid | Wedge, direction: Direction) -> Any:
    """What it covers on the drawing, a hair less so that touching edges stay."""
    points = [direction.project(corner) for corner in solid.corners]
    return shapely.MultiPoint(points).convex_hull.buffer(-FINE * 10)


def _edges(solid: Solid, direction: Direction) -> Iterable[tuple[Point, Point]]:
    """The edges of the faces that look at the viewer, each once."""
    near = (int(direction.x > 0), int(direction.y > 0), 1)
    done = set()
    for axis in range(3):
        for a in (0, 1):
            for b in (0, 1):
                pick = [a, b]
                pick.insert(axis, 0)
                others = [i for i in range(3) if i != axis]
                # An edge is seen when one of the two faces that meet in it is near.
                if not any(pick[i] == near[i] for i in others):
                    continue
                start = list(pick)
                end = list(pick)
                end[axis] = 1
                line = (
                    direction.project(_corner(solid, start)),
                    direction.project(_corner(solid, end)),
                )
                # A box without thickness has two edges in one place.
                key = tuple(sorted((round(p[0], 6), round(p[1], 6)) for p in line))
                if key[0] != key[1] and key not in done:
                    done.add(key)
                    yield line


def _pieces(shape: Any) -> Iterable[tuple[Point, Point]]:
    """The straight pieces of a shape that are long enough to draw."""
    for part in getattr(shape, "geoms", [shape]):
        if part.geom_type == "LineString" and part.length > _SHORTEST:
            points = list(part.coords)
            yield points[0], points[-1]

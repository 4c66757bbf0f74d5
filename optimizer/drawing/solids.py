"""Boxes seen in isometric: which of their edges are seen, and which parts of those.

Boxes have their faces along the axes and do not run into each other. Then one hides part
of another only if no gap between them puts it behind, so edges can be clipped pair by
pair: exact, without sorting everything from back to front.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import shapely

from optimizer.drawing.canvas import Point
from optimizer.drawing.layers import Layer

Point3 = tuple[float, float, float]

_COS30 = math.cos(math.radians(30))
_SIN30 = 0.5
_TOUCH = 1e-6
"""Boxes that touch do not overlap: float noise taken, as a part of a unit."""

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
            (self.x * y - self.y * x) * _COS30,
            z - (self.x * x + self.y * y) * _SIN30,
        )

    def faces(self, normal: tuple[float, float]) -> bool:
        """Whether a wall with this normal shows its front."""
        return normal[0] * self.x + normal[1] * self.y > 0


@dataclass(frozen=True, slots=True)
class Solid:
    """A box between two corners, with the layer its edges are drawn on.

    A box of no thickness is a line or a frame; only boxes with volume hide others. One
    that is not `drawn` hides what is behind it all the same.
    """

    low: Point3
    high: Point3
    layer: Layer
    drawn: bool = True

    @property
    def hides(self) -> bool:
        """Whether it has volume."""
        return all(b - a > _TOUCH for a, b in zip(self.low, self.high, strict=True))


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


def visible_edges(things: Sequence[Solid | Slant], direction: Direction) -> list[Edge]:
    """Pieces of edges that are seen, in the order of `things`."""
    hiders = [thing for thing in things if isinstance(thing, Solid) and thing.hides]
    outlines = [_outline(solid, direction) for solid in hiders]
    tree = shapely.STRtree(outlines)
    seen = []
    for thing in things:
        for start, end in _lines(thing, direction):
            line = shapely.LineString([start, end])
            found = sorted(int(index) for index in tree.query(line))
            covers = [outlines[i] for i in found if _may_hide(hiders[i], thing, direction)]
            left = line.difference(shapely.union_all(covers)) if covers else line
            seen += [Edge(a, b, thing.layer) for a, b in _pieces(left)]
    return seen


def _lines(thing: Solid | Slant, direction: Direction) -> Iterable[tuple[Point, Point]]:
    if isinstance(thing, Slant):
        return [(direction.project(thing.start), direction.project(thing.end))]
    return _edges(thing, direction) if thing.drawn else []


def _may_hide(front: Solid, back: Solid | Slant, direction: Direction) -> bool:
    """Whether `front` can hide parts of `back`: no axis has it behind."""
    if front is back:
        return False
    for axis, towards in enumerate((direction.x, direction.y, 1)):
        if towards > 0 and front.high[axis] <= back.low[axis] + _TOUCH:
            return False
        if towards < 0 and front.low[axis] >= back.high[axis] - _TOUCH:
            return False
    return True


def _corner(solid: Solid, pick: Sequence[int]) -> Point3:
    ends = (solid.low, solid.high)
    return ends[pick[0]][0], ends[pick[1]][1], ends[pick[2]][2]


def _outline(solid: Solid, direction: Direction) -> Any:
    """What the box covers on the drawing, a hair less so that touching edges stay."""
    picks = [(i, j, k) for i in (0, 1) for j in (0, 1) for k in (0, 1)]
    points = [direction.project(_corner(solid, pick)) for pick in picks]
    return shapely.MultiPoint(points).convex_hull.buffer(-_TOUCH * 10)


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
                key = tuple(sorted((round(p[0], 6), round(p[1], 6)) for p in line))
                if key[0] != key[1] and key not in done:
                    done.add(key)
                    yield line


def _pieces(shape: Any) -> Iterable[tuple[Point, Point]]:
    for part in getattr(shape, "geoms", [shape]):
        if part.geom_type == "LineString" and part.length > _SHORTEST:
            points = list(part.coords)
            yield points[0], points[-1]

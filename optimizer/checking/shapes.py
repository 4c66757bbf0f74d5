"""Rectangles and boxes parallel to the axes: enough for rooms with square corners."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import shapely

Interval = tuple[float, float]

DIGITS = 6
"""Decimals kept in polygons: far below any tolerance, and no two points too near to tell apart."""


def snapped(value: float) -> float:
    """A coordinate as it goes into polygons."""
    return round(value, DIGITS)


def gap_between(one: Interval, other: Interval) -> float:
    """Distance between two intervals; minus the common length when they overlap."""
    return max(one[0], other[0]) - min(one[1], other[1])


def common_part(one: Interval, other: Interval) -> Interval:
    """What two intervals share; its end is not above its start when they share nothing."""
    return (max(one[0], other[0]), min(one[1], other[1]))


def united(intervals: Iterable[Interval]) -> list[Interval]:
    """The same points as disjoint intervals in order; empty and reversed ones vanish."""
    merged: list[Interval] = []
    for low, high in sorted(pair for pair in intervals if pair[1] > pair[0]):
        if merged and low <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(merged[-1][1], high))
        else:
            merged.append((low, high))
    return merged


def without(whole: Interval, holes: Iterable[Interval]) -> list[Interval]:
    """What is left of `whole` when the holes are cut out."""
    pieces: list[Interval] = []
    here = whole[0]
    for low, high in united(holes):
        if low > here:
            pieces.append((here, min(low, whole[1])))
        here = max(here, high)
    # Holes may reach past the end: the last piece is then reversed, and dropped below.
    pieces.append((here, whole[1]))
    return [piece for piece in pieces if piece[1] > piece[0]]


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle in plan, parallel to the axes."""

    x: Interval
    y: Interval

    def overlaps(self, other: Rect, tolerance: float) -> bool:
        """Whether both reach into each other by more than `tolerance`, along x and along y."""
        return max(gap_between(self.x, other.x), gap_between(self.y, other.y)) < -tolerance

    def shape(self, inset: float = 0.0) -> Any:
        """The rectangle as a polygon, shrunk by `inset` on every side; empty if nothing is left."""
        low_x, high_x = snapped(self.x[0] + inset), snapped(self.x[1] - inset)
        low_y, high_y = snapped(self.y[0] + inset), snapped(self.y[1] - inset)
        if high_x <= low_x or high_y <= low_y:
            return shapely.Polygon()
        return shapely.box(low_x, low_y, high_x, high_y)


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in plan from `z[0]` to `z[1]` above the floor."""

    plan: Rect
    z: Interval

    def gap(self, other: Box) -> float:
        """Chebyshev distance to another box; negative when they overlap.

        Minus the answer is then how far one must move to come free.
        """
        return max(
            gap_between(self.plan.x, other.plan.x),
            gap_between(self.plan.y, other.plan.y),
            gap_between(self.z, other.z),
        )

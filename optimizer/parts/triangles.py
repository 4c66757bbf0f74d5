"""Triangles on the saw: two come out of one rectangle, cut from corner to corner."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable

from optimizer.domain.pack import Part, PartKind
from optimizer.domain.sheets import PAIRED
from optimizer.units import Units, ceil_to


def blanks(parts: Iterable[Part], kerf: float, units: Units) -> tuple[Part, ...]:
    """Parts as they leave the saw: rectangles for triangles, others as they are.

    A rectangle has the ids of both of its triangles, or of one that is left over, and is longer
    than they are by what the slanting cut takes along it.
    """
    found: list[Part] = []
    waiting: dict[tuple[float, float], list[Part]] = defaultdict(list)
    for part in parts:
        if part.kind is PartKind.TRIANGLE:
            waiting[part.length, part.width].append(part)
        else:
            found.append(part)
    for (length, width), triangles in waiting.items():
        # The slanting cut takes its kerf at right angles to itself: along the length that is more.
        longer = length + kerf * math.hypot(length, width) / width
        blank = round(ceil_to(longer, units.grid), 6)
        # An odd one has a rectangle to itself; its other half is an offcut.
        for place in range(0, len(triangles), 2):
            both = triangles[place : place + 2]
            ids = PAIRED.join(part.id for part in both)
            found.append(both[0].model_copy(update={"id": ids, "length": blank}))
    return tuple(found)

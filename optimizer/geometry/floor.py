"""Whether bays can be got at: the free floor, and how much of each front it reaches.

Someone walking is a disc as wide as the least way. The free floor worn down by half of
that is where the disc's middle can be; what hangs together with an opening (or, in an open
run, with the open side) is reached.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import shapely

from optimizer.domain.brief import Brief
from optimizer.geometry.outline import Outline
from optimizer.tolerances import FINE

WAY_IN = 24.0
"""Least width of a way [in], unless the aisle asked for is less; common practice."""
GIVE_IN = 0.9
"""How much narrower than that a way may be at a tight spot."""

_ROUND = 32


@dataclass(frozen=True, slots=True)
class Footprint:
    """Floor that a bay takes, uprights included, and its clear front, in its wall's frame."""

    wall: int
    start: float
    end: float
    depth: float
    panel: float


def hardly_reached(brief: Brief, outline: Outline, bays: Sequence[Footprint]) -> tuple[int, ...]:
    """Indexes of the bays of which too little front is open and reached; rooms walked into."""
    floor = _Floor(brief, outline, bays)
    return tuple(index for index in range(len(bays)) if not floor.reaches(index))


class _Floor:
    """The floor that bays leave free, and which of it one can walk on coming from outside."""

    def __init__(self, brief: Brief, outline: Outline, bays: Sequence[Footprint]) -> None:
        """Works out at once which floor is walked on; every bay is held against that."""
        self.brief = brief
        self.outline = outline
        self.bays = bays
        self.boxes = [
            outline.box(b.wall, b.start - b.panel, b.end + b.panel, 0.0, b.depth) for b in bays
        ]
        inch = brief.units.from_inch(1.0)
        # A little stricter than the checker's inch (`GIVE_IN`), so that what is found free here
        # passes.
        self.way = max(min(brief.needs.aisle, WAY_IN * inch) - GIVE_IN * inch, 0.1 * inch)
        self.walked = self._walked()

    def _walked(self) -> Any:
        """Floor that is walked on, coming from outside."""
        free = self._room().difference(shapely.union_all(self.boxes))
        worn = free.buffer(-self.way / 2, quad_segs=_ROUND)
        places = [part.buffer(self.way / 2, quad_segs=_ROUND) for part in shapely.get_parts(worn)]
        return shapely.union_all([place for place in places if self._entered(place)])

    def _room(self) -> Any:
        """The floor of a closed room; of an open one a wide area around it, less its walls."""
        if self.outline.closed:
            return self.outline.polygon
        lines = [
            shapely.LineString([line.origin, self.outline.to_plan(i, line.length, 0.0)])
            for i, line in enumerate(self.outline.walls)
        ]
        walls = shapely.union_all([line.buffer(FINE, cap_style="flat") for line in lines])
        west, south, east, north = shapely.union_all([walls, *self.boxes]).bounds
        # Wide enough that walking round outside is never the tight spot.
        margin = 4 * self.way
        around = shapely.box(west - margin, south - margin, east + margin, north + margin)
        return around.difference(walls)

    def _entered(self, place: Any) -> bool:
        """Whether one gets into a place from an opening, or from the open side of a run."""
        if not self.outline.closed:
            room = self._room()
            # The open side of a run is the edge of the floor that was assumed for it.
            if place.distance(room.envelope.exterior) <= 10 * FINE:
                return True
        index = {wall.id: number for number, wall in enumerate(self.brief.room.walls)}
        for opening in self.brief.room.openings:
            wall = index[opening.wall]
            before = self.outline.box(
                wall, opening.start, opening.start + opening.width, 0.0, self.way
            )
            along = self._along(wall, place.intersection(before))
            wanted = min(self.way, opening.width)
            if max((high - low for low, high in along), default=0.0) >= wanted - 1e-3:
                return True
        return False

    def _along(self, wall: int, shape: Any) -> list[tuple[float, float]]:
        """Ranges along a wall that the parts of a shape cover."""
        ranges = []
        for part in shapely.get_parts(shape):
            if part.is_empty:
                continue
            west, south, east, north = part.bounds
            ends = [
                self.outline.to_wall(wall, *corner)[0] for corner in ((west, south), (east, north))
            ]
            ranges.append((min(ends), max(ends)))
        return ranges

    def reaches(self, index: int) -> bool:
        """Whether enough of a bay's front, in one piece, is open and walked on."""
        bay = self.bays[index]
        aisle = max(self.brief.needs.aisle, self.way / 10)
        strip = self.outline.box(bay.wall, bay.start, bay.end, bay.depth, bay.depth + aisle)
        pieces = [(bay.start, bay.end)]
        # Other bays that stand in the aisle right before it close a part of its front.
        for other, box in enumerate(self.boxes):
            overlap = strip.intersection(box)
            if other != index and overlap.area > 1e-3:
                for low, high in self._along(bay.wall, box):
                    pieces = _without(pieces, low, high)
        walked = self._along(bay.wall, strip.intersection(self.walked))
        longest = max(
            (min(high, far) - max(low, near) for low, high in pieces for near, far in walked),
            default=0.0,
        )
        wanted = min(bay.end - bay.start, self.brief.construction.corner_opening)
        return longest >= wanted - 1e-3


def _without(
    pieces: Sequence[tuple[float, float]], low: float, high: float
) -> list[tuple[float, float]]:
    """`pieces` less [low, high]."""
    left = [(a, min(b, low)) for a, b in pieces if a < low]
    right = [(max(a, high), b) for a, b in pieces if b > high]
    return [piece for piece in (*left, *right) if piece[1] - piece[0] > FINE]

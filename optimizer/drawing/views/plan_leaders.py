"""Leaders of a plan: lines from obstructions and walls to their names, round all other names."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

import shapely

from optimizer.domain.room import Obstruction
from optimizer.drawing.ink import layers
from optimizer.drawing.ink.canvas import Point
from optimizer.drawing.ink.labels import Placer, Spot
from optimizer.drawing.ink.lettering import Rect
from optimizer.drawing.views.plan_walls import Ground, obstruction_plan
from optimizer.drawing.views.scene import WallView
from optimizer.units import format_short

_HEIGHTS = (1.8, 1.6)
"""Heights of the names of obstructions [mm]."""

_NEAREST = 4.5
"""How far from an obstruction its name stands at least [mm]."""

_STEPS = tuple(_NEAREST + 3.0 * step for step in range(30))
"""How far out its name may stand [mm]."""

_SHIFTS = (0.0, 8.0, -8.0, 16.0, -16.0, 24.0, -24.0, 32.0, -32.0)
"""How far to the side of it its name may stand [mm]."""

_SHARES = (0.5, 0.25, 0.75)
"""Where along an obstruction its leader may begin, in parts of its width."""

_WIDE = 8.0
"""Width of an obstruction from which its leader may begin beside its middle [mm]."""

_OFF = 1.5
"""How far a leader keeps off other names [mm], which come out wider in another typeface."""

_ASIDE = 1.5
"""How much longer a way to the side counts than one straight ahead."""


class Leaders:
    """Draws leaders that run through no name, and puts names where no leader runs."""

    def __init__(self, placer: Placer, ground: Ground, ways: Sequence[Rect]) -> None:
        """Round the labels that `placer` has put down, and round clear `ways` where they can."""
        self._placer = placer
        self._ground = ground
        self._ways = tuple(ways)
        self._drawn: list[Any] = []
        self._things = tuple(
            obstruction_plan(placer.canvas, ground, view, thing)
            for view in ground.scene.walls.values()
            for thing in view.obstructions
        )

    def name(self, view: WallView, thing: Obstruction) -> None:
        """Write the name of an obstruction near it, on the floor where that can be, with a
        leader to it."""
        placer, places = self._placer, list(self._places(view, thing))
        names, text = tuple(placer.written), thing.kind.value
        for closed, floor in (((*names, *self._ways), True), (names, True), (names, False)):
            for anchor, spot in places:

                def suits(
                    own: Rect,
                    anchor: Point = anchor,
                    closed: Sequence[Rect] = closed,
                    floor: bool = floor,
                ) -> bool:
                    """Whether a name may stand there: where no leader runs and its own one may."""
                    if floor and not self._is_floor(own):
                        return False
                    return self.is_free(own, (anchor, nearest(own, anchor)), closed)

                own = placer.try_text(text, [spot], heights=_HEIGHTS, masked=True, suits=suits)
                if own is not None:
                    self.draw(anchor, nearest(own, anchor))
                    return
        where = f"wall {view.wall.id}, {format_short(thing.start, view.brief.units)} along"
        placer.notes.unplaced.append(f"{where}: {text}")

    def _places(self, view: WallView, thing: Obstruction) -> Iterator[tuple[Point, Spot]]:
        """Where a leader may begin and the name at its end stand, the shortest leaders first; from
        the middle of the obstruction, then from beside it."""
        mm, at = self._placer.canvas.mm, self._ground.at(view)
        far = max(thing.projection, thing.setback)
        steps = sorted(
            ((out, aside) for out in _STEPS for aside in _SHIFTS),
            key=lambda step: math.hypot(step[0], _ASIDE * step[1]),
        )
        for share in _SHARES if thing.width > mm(_WIDE) else _SHARES[:1]:
            along = thing.start + share * thing.width
            for out, aside in steps:
                yield at(along, far), Spot(at(along + mm(aside), far + mm(out)))

    def is_free(self, name: Rect, leader: tuple[Point, Point], closed: Sequence[Rect]) -> bool:
        """Whether no leader runs where a name is to stand, and its own one through nothing
        closed."""
        own, line = box_of(name), shapely.LineString(leader)
        off = self._placer.canvas.mm(_OFF)
        if any(line.distance(box_of(rect)) < off for rect in closed):
            return False
        return not any(drawn.intersects(own) for drawn in self._drawn)

    def draw(self, start: Point, end: Point) -> None:
        """Draw a leader, which later names keep off."""
        self._placer.canvas.line(start, end, layers.DIMENSION)
        self._drawn.append(shapely.LineString((start, end)))

    def _is_floor(self, rect: Rect) -> bool:
        """Whether a rectangle lies in the room and on no obstruction; an open run of walls has no
        outside."""
        outline = self._ground.outline
        inside = not outline.closed or bool(outline.polygon.contains(box_of(rect)))
        return inside and not any(rect.overlaps(other) for other in self._things)


def box_of(rect: Rect) -> Any:
    """A rectangle as a polygon."""
    return shapely.box(rect.left, rect.bottom, rect.right, rect.top)


def nearest(rect: Rect, point: Point) -> Point:
    """The point of `rect` nearest to `point`."""
    x = min(max(point[0], rect.left), rect.right)
    y = min(max(point[1], rect.bottom), rect.top)
    return x, y

"""Dimensions of the plan: openings and walls on the four sides, and the clear ways inside."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import shapely

from optimizer.domain.layout import Bay
from optimizer.domain.room import ObstructionKind
from optimizer.drawing.ink.canvas import Canvas, Point
from optimizer.drawing.ink.chains import Line, Link, draw_chain, draw_whole, links_of
from optimizer.drawing.ink.lettering import Rect
from optimizer.drawing.views.frame import DrawingArea
from optimizer.drawing.views.plan_bays import bay_rect
from optimizer.drawing.views.plan_walls import Ground
from optimizer.drawing.views.scene import WallView
from optimizer.units import format_short

_STEP = 2.4
"""Paper between one chain and the next [mm]."""

_LEAST_WAY_IN = 18.0
"""Ways narrower than this are gaps, not ways, and get no dimension [in]: under what one
can pass sideways, common practice."""

_SHARES = (0.5, 0.35, 0.65, 0.2, 0.8, 0.08, 0.92)
"""Places along a bay's front at which its clear way is looked for."""

_NOISE = 1e-6


@dataclass(frozen=True, slots=True)
class _Side:
    """One side of the drawing: which walls face it, and the line's way across."""

    normal: tuple[float, float]
    upright: bool
    away: int


_SIDES = (
    _Side((0.0, -1.0), False, 1),
    _Side((0.0, 1.0), False, -1),
    _Side((1.0, 0.0), True, -1),
    _Side((-1.0, 0.0), True, 1),
)


def draw_room_sizes(board: DrawingArea, ground: Ground) -> None:
    """On each side: openings and windows, then corners of walls, then the whole."""
    # Taken once: each side's chains are to start from the plan and not from those of the side
    # before.
    drawn = board.canvas.extents or Rect(0, 0, 0, 0)
    for side in _SIDES:
        views = [
            view
            for view in ground.scene.walls.values()
            if ground.outline.walls[view.index].normal == side.normal
        ]
        if views:
            _draw_side(board.canvas, ground, side, views, drawn)


def _draw_side(
    canvas: Canvas, ground: Ground, side: _Side, views: list[WallView], drawn: Rect
) -> None:
    """The chains on one side of the plan, from the room outwards.

    First between the edges of openings and walls, then between the ends of walls where there are
    several, last the whole. `drawn` is what is on the drawing already.
    """
    edge = _edge(side, drawn)
    at = edge + side.away * canvas.mm(2.5 + _over_room(side))
    ends, features, across = set(), set(), []
    for view in views:
        for along in (0.0, ground.outline.walls[view.index].length):
            ends.add(_along(ground, side, view, along))
        features |= {_along(ground, side, view, along) for along in _features(view)}
        across.append(_across(ground, side, view))
    # Of walls at several distances the outermost: extension lines run from it.
    feature = max(across) if side.away > 0 else min(across)
    low, high = min(ends), max(ends)
    # A chain that would only repeat the next one is left out.
    chains = [ends | features] if features - ends else []
    if len(ends) > 2:
        chains.append(ends)
    for points in chains:
        line = Line(at, side.away, side.upright)
        reach = draw_chain(canvas, links_of(sorted(points), canvas.units), line, feature)
        at += side.away * (reach + canvas.mm(_STEP))
        at += side.away * canvas.mm(_over_room(side))
    draw_whole(canvas, low, high, Line(at, side.away, side.upright), feature)


def _over_room(side: _Side) -> float:
    """Paper for figures on the near side of the next line [mm]."""
    over_near_side = side.away < 0 if not side.upright else side.away > 0
    return 2.6 if over_near_side else 0.0


def _edge(side: _Side, drawn: Rect) -> float:
    """The border of what is drawn, on that side."""
    if side.upright:
        return drawn.right if side.away > 0 else drawn.left
    return drawn.top if side.away > 0 else drawn.bottom


def _along(ground: Ground, side: _Side, view: WallView, along: float) -> float:
    """Coordinate along the side of a place on a wall."""
    x, y = ground.outline.to_plan(view.index, along, 0.0)
    return y if side.upright else x


def _across(ground: Ground, side: _Side, view: WallView) -> float:
    """How far out on that side a wall lies."""
    x, y = ground.outline.to_plan(view.index, 0.0, 0.0)
    return x if side.upright else y


def _features(view: WallView) -> Iterable[float]:
    """Edges of openings and windows along a wall."""
    for opening in view.openings:
        yield from (opening.start, opening.start + opening.width)
    for thing in view.obstructions:
        if thing.kind is ObstructionKind.WINDOW:
            yield from (thing.start, thing.start + thing.width)


def draw_clear_ways(canvas: Canvas, ground: Ground, obstacles: Sequence[Rect]) -> list[Rect]:
    """The narrowest clear way in front of each wall's bays; extents of what was drawn.

    It runs to the facing wall or its bays, where it crosses nothing else. Only rooms that
    close have something on the other side.
    """
    if not ground.outline.closed:
        return []
    groups = []
    for view in ground.scene.walls.values():
        ways = [way for bay in view.bays for way in _ways(canvas, ground, view, bay, obstacles)]
        ways = [way for way in ways if way.length >= ground.inches(_LEAST_WAY_IN)]
        if ways:
            # Rounded, so that ways that differ by noise alone count as equally narrow and the one
            # with the best place is drawn.
            least = min(round(way.length, 6) for way in ways)
            groups.append([way for way in ways if round(way.length, 6) == least])
    chosen = chosen_ways(groups, canvas.mm(_FIGURE))
    # Two ways between the same two fronts say the same.
    # Reversed, so that of two the first is the one that stays.
    once = {way.span: way for way in reversed(chosen)}
    return [_draw_way(canvas, way) for way in reversed(once.values())]


@dataclass(frozen=True, slots=True)
class _Way:
    """A clear way straight in front of a bay, with its figure at `share` of its length.

    `order` prefers the middle of bays, and figures in the middle of ways.
    """

    start: Point
    end: Point
    order: int
    share: float = 0.5

    @property
    def length(self) -> float:
        """How far it reaches [brief units]."""
        return abs(self.end[0] - self.start[0]) + abs(self.end[1] - self.start[1])

    def figure(self, size: float) -> Rect:
        """Room that its figure takes: `size` to each side."""
        x, y = self.at
        return Rect(x, y, x, y).grown(size)

    @property
    def at(self) -> Point:
        """Where its figure stands."""
        across, up = self.end[0] - self.start[0], self.end[1] - self.start[1]
        return self.start[0] + self.share * across, self.start[1] + self.share * up

    @property
    def line(self) -> Rect:
        """The line itself, without width."""
        xs, ys = sorted((self.start[0], self.end[0])), sorted((self.start[1], self.end[1]))
        return Rect(xs[0], ys[0], xs[1], ys[1])

    @property
    def span(self) -> tuple[float, ...]:
        """The same for two ways between the same two fronts."""
        upright = abs(self.end[1] - self.start[1]) > abs(self.end[0] - self.start[0])
        low, high = sorted((self.start[upright], self.end[upright]))
        return float(upright), round(low, 3), round(high, 3)


_FIGURE = 5.0
"""Paper to each side of a way's middle that its figure may take [mm]."""


_FIGURES = (0.5, 0.35, 0.65, 0.22, 0.78)
"""Places along a way at which its figure may stand, the most liked first."""

_TRIED = 24
"""Candidates of each wall that are tried together: those liked most."""


def chosen_ways(groups: Sequence[Sequence[_Way]], size: float) -> list[_Way]:
    """One way of each group, so that as few as can be run through each other's figures.

    All groups are chosen together; among equals those liked most. `size` is half a figure.
    """
    tried = [_candidates(group) for group in groups]
    best: tuple[tuple[int, int], list[_Way]] | None = None

    def search(taken: list[_Way], cost: tuple[int, int]) -> None:
        """Take a way of each group in turn, and keep the cheapest set of all.

        A branch ends as soon as it costs as much as the best so far.
        """
        nonlocal best
        # Costs only grow.
        if best is not None and cost >= best[0]:
            return
        if len(taken) == len(tried):
            best = (cost, list(taken))
            return
        for way in tried[len(taken)]:
            crossed = sum(_crosses(way, other, size) for other in taken)
            search([*taken, way], (cost[0] + crossed, cost[1] + way.order))

    search([], (0, 0))
    return best[1] if best else []


def _candidates(group: Sequence[_Way]) -> list[_Way]:
    """The ways of a group with each place for their figure, the most liked first."""
    ways = [
        replace(way, share=share, order=way.order + _ASIDE * number)
        for number, share in enumerate(_FIGURES)
        for way in group
    ]
    return sorted(ways, key=lambda way: way.order)[:_TRIED]


_ASIDE = 4
"""A figure one place aside is liked as much less as a way four places aside."""


def _crosses(way: _Way, other: _Way, size: float) -> bool:
    """Whether one runs through the figure of the other, or the figures touch."""
    if way.span == other.span:
        return False
    # Lines may cross each other; through a figure one of them could not be read.
    own, its = way.figure(size), other.figure(size)
    return own.overlaps(other.line) or its.overlaps(way.line) or own.overlaps(its)


def _draw_way(canvas: Canvas, way: _Way) -> Rect:
    """Draw a way as a dimension; its extents."""
    start, end = way.start, way.end
    upright = abs(end[1] - start[1]) > abs(end[0] - start[0])
    low, high = sorted((start[1], end[1]) if upright else (start[0], end[0]))
    across = start[0] if upright else start[1]
    link = Link(low, high, format_short(high - low, canvas.units), way.at[1 if upright else 0])
    away = -1 if upright else 1
    reach = draw_chain(canvas, [link], Line(across, away, upright), across)
    near, far = sorted((across - away * canvas.mm(1.0), across + away * reach))
    return Rect(near, low, far, high) if upright else Rect(low, near, high, far)


def _ways(
    canvas: Canvas, ground: Ground, view: WallView, bay: Bay, obstacles: Sequence[Rect]
) -> Iterable[_Way]:
    """Clear ways at several places along a bay's front."""
    outline = ground.outline
    # Longer than any way across the room.
    far = sum(wall.length for wall in outline.walls)
    bays = [
        bay_rect(ground, other, there)
        for other in ground.scene.walls.values()
        for there in other.bays
        if there is not bay
    ]
    stops = [outline.polygon.exterior, *(_outline(rect) for rect in bays)]
    facing = _facing(ground, view)
    for order, share in enumerate(_SHARES):
        along = bay.start + share * bay.width
        start = outline.to_plan(view.index, along, bay.depth)
        ray = shapely.LineString([start, outline.to_plan(view.index, along, bay.depth + far)])
        # A ray from the bay's front straight into the room; what it meets first ends the way.
        hits = [stop.intersection(ray) for stop in stops]
        out = min(shapely.Point(start).distance(hit) for hit in hits if not hit.is_empty)
        end = outline.to_plan(view.index, along, bay.depth + out)
        room = _beside(start, end, canvas.mm(3.0))
        blocked = any(room.overlaps(thing) for thing in (*obstacles, *bays))
        if not blocked and any(shape.distance(shapely.Point(end)) < _NOISE for shape in facing):
            yield _Way(start, end, order)


def _outline(rect: Rect) -> Any:
    """The border of a rectangle, for distances to it."""
    return shapely.box(rect.left, rect.bottom, rect.right, rect.top).exterior


def _beside(start: Point, end: Point, by: float) -> Rect:
    """Room that a level or upright line takes with its figure: `by` to both sides."""
    xs, ys = sorted((start[0], end[0])), sorted((start[1], end[1]))
    if xs[1] - xs[0] > ys[1] - ys[0]:
        return Rect(xs[0], ys[0] - by, xs[1], ys[1] + by)
    return Rect(xs[0] - by, ys[0], xs[1] + by, ys[1])


def _facing(ground: Ground, view: WallView) -> list[Any]:
    """Lines of the walls that look back at this one, and the outlines of their bays."""
    normal = ground.outline.walls[view.index].normal
    shapes: list[Any] = []
    for other in ground.scene.walls.values():
        wall = ground.outline.walls[other.index]
        if wall.normal != (-normal[0], -normal[1]):
            continue
        ends = [ground.outline.to_plan(other.index, along, 0.0) for along in (0.0, wall.length)]
        shapes.append(shapely.LineString(ends))
        shapes += [_outline(bay_rect(ground, other, bay)) for bay in other.bays]
    return shapes

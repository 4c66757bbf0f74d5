"""The isometric view: the room cut away on the viewer's side, so that bays show their fronts.

Where bays stand on walls that one view cannot show from the front, a second view from
the other side stands beside the first.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Layout, Zone, ZoneKind
from optimizer.domain.room import Obstruction, ObstructionKind
from optimizer.drawing.formats.drawing import Drawing
from optimizer.drawing.ink import layers
from optimizer.drawing.ink.canvas import Point
from optimizer.drawing.ink.labels import Placer, Spot
from optimizer.drawing.ink.layers import Layer
from optimizer.drawing.ink.lettering import Rect
from optimizer.drawing.ink.solids import (
    Direction,
    Edge,
    Point3,
    Slant,
    Solid,
    Thing,
    Wedge,
    visible_edges,
)
from optimizer.drawing.views.elevation_bays import stiffener_rects
from optimizer.drawing.views.frame import DrawingArea, Title, compose
from optimizer.drawing.views.mounts import mount_spans
from optimizer.drawing.views.picture import compose_picture
from optimizer.drawing.views.plan_walls import Ground, ground_of
from optimizer.drawing.views.scene import Scene, WallView, depth_of, rod_height
from optimizer.drawing.views.supports import (
    Support,
    bracket_top,
    rod_bracket_rects,
    rod_radius,
    supports_of,
)
from optimizer.units import Units

_VIEWS = (Direction(1, -1), Direction(-1, -1), Direction(1, 1), Direction(-1, 1))
"""Where the viewer may stand, in the order of liking: in front of the first wall first."""

_APART = 12.0
"""Paper between two views [mm]."""

_FINEST = 48.0
"""Smaller than 1:48 (1/4 in to the foot) a larger paper is taken."""

_SLAB_IN = 0.25
"""Thickness of the slab behind a wall [in]: enough to hide, drawn nowhere."""

_GARMENT_IN = 3.0
"""Distance of the strokes that stand for hung clothes [in]."""


@dataclass(frozen=True)
class View:
    """One view, worked out once for all scales: its edges, and where bay ids go."""

    edges: list[Edge]
    marks: list[tuple[str, Point]]
    names: list[tuple[str, Point]]

    @property
    def extents(self) -> Rect:
        """Rectangle around all edges."""
        xs = [x for edge in self.edges for x in (edge.start[0], edge.end[0])] or [0.0]
        ys = [y for edge in self.edges for y in (edge.start[1], edge.end[1])] or [0.0]
        return Rect(min(xs), min(ys), max(xs), max(ys))


def draw_isometric(
    brief: Brief,
    layout: Layout,
    views: Sequence[View] | None = None,
    *,
    date: datetime.date | None = None,
    widest: float = math.inf,
) -> Drawing:
    """Isometric view of the room with its bays, hidden lines left out.

    `widest` as for an elevation. `views` are those of `isometric_views`, where there are any
    already. LayoutError where the layout contradicts the brief, BriefError where walls cross.
    """
    views = isometric_views(brief, layout) if views is None else views

    def paint(board: DrawingArea) -> None:
        """The views with what has to be known to read them."""
        _paint_views(board, views)
        board.notes.remark("Isometric: lengths along the three axes are to scale.")
        board.notes.remark("Walls on the viewer's side are cut away.")
        if any(bay.mid_supports for bay in layout.bays):
            board.notes.remark("Dashed under boards: mid supports.")
        if len(views) > 1:
            board.notes.remark(
                "Two views from opposite sides; bays on a wall cut away are dashed on the floor."
            )

    title = Title(brief.name, "Isometric view", brief.units, date)
    return compose("isometric", title, _bare(views), paint, finest=_FINEST, widest=widest)


def picture_isometric(views: Sequence[View], units: Units, room: tuple[float, float]) -> Drawing:
    """The same without frame and notes, as large as `room` (width, height [mm]) takes."""
    return compose_picture(
        "picture",
        units,
        _bare(views),
        lambda board: _paint_views(board, views),
        room,
    )


def isometric_views(brief: Brief, layout: Layout) -> list[View]:
    """The views of a layout, hidden lines found: worked out once for all that shows them."""
    ground = ground_of(Scene(brief, layout))
    return [_seen(ground, direction) for direction in _directions(ground)]


def _bare(views: Sequence[View]) -> tuple[float, float]:
    """Width and height of the views side by side, without lettering."""
    return (
        sum(view.extents.width for view in views),
        max(view.extents.height for view in views),
    )


def _paint_views(board: DrawingArea, views: Sequence[View]) -> None:
    """The views side by side."""
    left = 0.0
    for view in views:
        extents = view.extents
        _paint(board, view, (left - extents.left, -extents.centre[1]))
        left += extents.width + board.canvas.mm(_APART)


def _directions(ground: Ground) -> list[Direction]:
    """The view that shows most bays from the front, and its opposite for the others."""
    weights: dict[tuple[float, float], float] = {}
    for view in ground.scene.walls.values():
        normal = ground.outline.walls[view.index].normal
        wide = sum(bay.width for bay in view.bays) + sum(mount.width for mount in view.mounts)
        weights[normal] = weights.get(normal, 0.0) + wide

    def shown(direction: Direction) -> float:
        """Width of the bays that show their fronts from this direction."""
        return sum(width for normal, width in weights.items() if direction.faces(normal))

    # Among equals the one that comes first in the list.
    first = max(_VIEWS, key=lambda view: (round(shown(view), 6), -_VIEWS.index(view)))
    # Bays that the first view shows from behind, or not at all.
    if sum(weights.values()) - shown(first) > 1e-6:
        return [first, Direction(-first.x, -first.y)]
    return [first]


def _seen(ground: Ground, direction: Direction) -> View:
    """One view worked out: visible edges, and where bays and obstructions get their names."""
    solids: list[Thing] = []
    marks, names = [], []
    for view in ground.scene.walls.values():
        front = direction.faces(ground.outline.walls[view.index].normal)
        if front:
            solids += list(_wall_frames(ground, view))
            solids += list(_kept_clear(ground, view))
            solids += list(_storage(ground, view))
            solids += list(_mounts(ground, view))
            marks += [(bay.id, _mark(ground, view, bay, direction)) for bay in view.bays]
            hanging = (thing for thing in view.obstructions if thing.setback > 0)
            names += [_named(ground, view, thing, direction) for thing in hanging]
        else:
            # The wall is cut away; its bays would show their backs and hide the room.
            solids += [_solid(ground, view, _footprint(bay), layers.BEYOND) for bay in view.bays]
    return View(visible_edges(solids, direction), marks, names)


def _named(
    ground: Ground, view: WallView, thing: Obstruction, direction: Direction
) -> tuple[str, Point]:
    """What an obstruction is, and its middle on the drawing."""
    out = max(thing.projection, thing.setback)
    x, y = ground.at(view)(thing.start + thing.width / 2, out)
    return thing.kind.value, direction.project((x, y, thing.bottom + thing.height / 2))


def _mark(ground: Ground, view: WallView, bay: Bay, direction: Direction) -> Point:
    """The middle of a bay's top."""
    x, y = ground.at(view)((bay.start + bay.end) / 2, bay.depth / 2)
    return direction.project((x, y, bay.height))


@dataclass(frozen=True, slots=True)
class _Span:
    """A box in the frame of a wall: along it, out from it and up from the floor."""

    along: tuple[float, float]
    out: tuple[float, float]
    up: tuple[float, float]


def _solid(ground: Ground, view: WallView, span: _Span, layer: Layer, drawn: bool = True) -> Solid:
    """A box in the frame of a wall as a box in the room."""
    rect = ground.rect(view, span.along, span.out)
    low: Point3 = (rect.left, rect.bottom, span.up[0])
    high: Point3 = (rect.right, rect.top, span.up[1])
    return Solid(low, high, layer, drawn)


def _footprint(bay: Bay) -> _Span:
    """The floor under a bay, without height."""
    return _Span((bay.start, bay.end), (0.0, bay.depth), (0.0, 0.0))


def _wall_frames(ground: Ground, view: WallView) -> Iterable[Solid | Slant]:
    """Outline of a wall, with its openings and windows, as frames without thickness.

    A slab behind it hides what another wall, coming forward as a pier does, has behind it.
    """
    length = ground.outline.walls[view.index].length
    left, right = view.height_at(0.0), view.height_at(length)

    def frame(along: tuple[float, float], up: tuple[float, float], layer: Layer) -> Solid:
        """A rectangle, or a line, on the face of the wall."""
        return _solid(ground, view, _Span(along, (0.0, 0.0), up), layer)

    # As high as the wall's lower end: a slab that rose above a slope would hide what is seen over
    # it.
    slab = _Span((0.0, length), (-ground.inches(_SLAB_IN), 0.0), (0.0, min(left, right)))
    yield _solid(ground, view, slab, layers.WALL, drawn=False)
    yield frame((0.0, length), (0.0, 0.0), layers.WALL)
    yield frame((0.0, 0.0), (0.0, left), layers.WALL)
    yield frame((length, length), (0.0, right), layers.WALL)
    # The upper edge may slope, which no box can.
    ends = ground.at(view)(0.0, 0.0), ground.at(view)(length, 0.0)
    yield Slant((*ends[0], left), (*ends[1], right), layers.WALL)
    for opening in view.openings:
        span = (opening.start, opening.start + opening.width)
        yield frame(span, (0.0, opening.height), layers.OPENING)
    for thing in view.obstructions:
        along = (thing.start, thing.start + thing.width)
        up = (thing.bottom, thing.bottom + thing.height)
        out = (thing.setback, max(thing.projection, thing.setback))
        yield _solid(ground, view, _Span(along, out, up), layers.OBSTRUCTION)
        if thing.kind is ObstructionKind.WINDOW:
            middle = (up[0] + up[1]) / 2
            yield frame(along, (middle, middle), layers.OBSTRUCTION)


def _kept_clear(ground: Ground, view: WallView) -> Iterable[Solid]:
    """Boxes that nothing may stand in: outlines that hide nothing."""
    for box in view.keep_clear:
        up = (box.bottom, box.bottom + box.height)
        span = _Span((box.start, box.start + box.width), (0.0, box.depth), up)
        yield replace(_solid(ground, view, span, layers.KEEP_CLEAR), opaque=False)


def _storage(ground: Ground, view: WallView) -> Iterable[Thing]:
    """Uprights, boards with what carries them, rods, clothes and items of a wall."""
    for upright in view.uprights:
        span = _Span((upright.left, upright.right), (0.0, upright.depth), (0.0, upright.top))
        yield _solid(ground, view, span, layers.UPRIGHT)
    for front in view.board_fronts:
        rect = front.rect
        span = _Span((rect.left, rect.right), (0.0, front.depth), (rect.bottom, rect.top))
        yield _solid(ground, view, span, layers.BOARD)
    for bay in view.bays:
        for support in supports_of(view, bay):
            yield _support(ground, view, support)
        yield from _stiffeners(ground, view, bay)
        for zone in view.rods(bay):
            yield from _hanging(ground, view, bay, zone)
        for piece in view.standing(bay):
            up = (piece.rect.bottom, piece.rect.top)
            span = _Span((piece.rect.left, piece.rect.right), (0.0, piece.item.depth), up)
            yield _solid(ground, view, span, layers.ITEM)


def _mounts(ground: Ground, view: WallView) -> Iterable[Thing]:
    """Boards of hooks, with light strokes for what hangs there, and mirrors."""
    for along, depth, up in mount_spans(view):
        yield _solid(ground, view, _Span(along, (0.0, depth), up), layers.ITEM)
    for mount in view.mounts:
        for place in mount.hooks:
            out, height = mount.depth / 2, mount.hook_height or 0.0
            span = _Span((place, place), (out, out), (mount.bottom, height))
            yield _solid(ground, view, span, layers.CLOTHES)


def _support(ground: Ground, view: WallView, support: Support) -> Wedge:
    """A mid support: the right angle at the wall under its board."""
    at = ground.at(view)

    def face(along: float) -> tuple[Point3, Point3, Point3]:
        """One face of the triangle, `along` the wall."""
        wall, front = at(along, 0.0), at(along, support.out)
        top, foot = support.top, support.top - support.down
        return (*wall, top), (*front, top), (*wall, foot)

    return Wedge(face(support.left), face(support.right), layers.SUPPORT, layers.BEYOND)


def _stiffeners(ground: Ground, view: WallView, bay: Bay) -> Iterable[Solid]:
    """Front stiffeners, each along the front of the board it is on."""
    for rect in stiffener_rects(view, bay, ()):
        near = [zone for zone in bay.zones if zone.kind is ZoneKind.SHELF]
        # Under its board or standing on it: the board nearest to its middle is its own either way.
        zone = min(near, key=lambda z: abs(z.bottom - view.panel / 2 - rect.centre[1]))
        depth = depth_of(zone, bay)
        span = _Span((rect.left, rect.right), (depth - view.panel, depth), (rect.bottom, rect.top))
        yield _solid(ground, view, span, layers.STIFFENER)


def _hanging(ground: Ground, view: WallView, bay: Bay, zone: Zone) -> Iterable[Solid]:
    """A rod, and light strokes for what hangs from it."""
    radius, height = rod_radius(view), rod_height(zone)
    # As far out as the brief says, unless the zone is shallower.
    setback = min(view.brief.construction.rod_setback, depth_of(zone, bay) - radius)
    out = (setback - radius, setback + radius)
    rod = _Span((bay.start, bay.end), out, (height - radius, height + radius))
    yield _solid(ground, view, rod, layers.ROD)
    # Of this rod alone: the other rods of the bay have their own turn.
    for rect in rod_bracket_rects(view, bay.model_copy(update={"zones": (zone,)})):
        up = (height + radius, bracket_top(view, zone))
        bracket = _Span((rect.left, rect.right), out, up)
        yield _solid(ground, view, bracket, layers.SUPPORT)
    count = max(1, int(bay.width / ground.inches(_GARMENT_IN)))
    for number in range(count):
        x = bay.start + (number + 0.5) * bay.width / count
        garment = _Span((x, x), (setback, setback), (zone.bottom, height - radius))
        yield _solid(ground, view, garment, layers.CLOTHES)


def _paint(board: DrawingArea, view: View, shift: Point) -> None:
    """One view, moved by `shift`, with the ids of the bays it shows."""
    canvas = board.canvas

    def moved(point: Point, rise_mm: float = 0.0) -> Point:
        """A point of the view where it stands on the drawing."""
        return point[0] + shift[0], point[1] + shift[1] + canvas.mm(rise_mm)

    for edge in view.edges:
        canvas.line(moved(edge.start), moved(edge.end), edge.layer)
    # Without bounds: the ids lie over the drawing, on masks.
    placer = Placer(canvas, board.notes, None)
    for text, point in view.marks:
        spots = [Spot(moved(point, rise)) for rise in (0.0, 2.2, 4.8, 7.4, -2.6, 10.0)]
        placer.label(text, spots, where="bay", bold=True, masked=True)
    for text, point in view.names:
        spots = [Spot(moved(point, rise)) for rise in (0.0, 3.5, -3.5)]
        placer.try_text(text, spots, heights=(1.6,), masked=True)

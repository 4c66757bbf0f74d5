"""Walls in plan: hatched thickness, studs, openings with their doors, and obstructions."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

import shapely

from optimizer.domain.room import Obstruction, ObstructionKind, Opening, OpeningKind
from optimizer.domain.studs import STUD_WIDTH_IN, stud_centres
from optimizer.drawing.ink import layers
from optimizer.drawing.ink.canvas import Canvas, Point
from optimizer.drawing.ink.layers import Layer
from optimizer.drawing.ink.lettering import Rect
from optimizer.drawing.views.scene import Scene, WallView
from optimizer.geometry.outline import Outline, outline_of

WALL_THICKNESS_IN = 4.5
"""Drawn thickness of walls [in]: 3-1/2 in studs with 1/2 in board on both sides, common
practice; it is not surveyed, and the notes say so."""

_LEAF_IN = 1.375
"""Thickness of an interior door [in]: common practice."""

_OUTLET_MM = 1.1
"""Radius of an outlet's sign [mm]."""

_PRONGS = 2.9
"""How far the lines of an outlet's sign reach out from the wall, in radii."""

FIXTURES = (ObstructionKind.OUTLET, ObstructionKind.SWITCH)
"""What has a small sign at the wall."""

_BIFOLD_PAIR_IN = 36.0
"""Bifolds wider than this fold to both sides [in]: common practice."""


@dataclass(frozen=True)
class Ground:
    """The room in plan with its scene: turns places on a wall into places on the drawing."""

    scene: Scene
    outline: Outline

    @property
    def thickness(self) -> float:
        """Thickness that walls are drawn with [brief units]."""
        return self.inches(WALL_THICKNESS_IN)

    def inches(self, length: float) -> float:
        """`length` [in] in brief units."""
        return self.scene.brief.units.from_inch(length)

    def at(self, view: WallView) -> Callable[[float, float], Point]:
        """Plan position of (along, out) on a wall."""
        return lambda along, out: self.outline.to_plan(view.index, along, out)

    def rect(self, view: WallView, along: tuple[float, float], out: tuple[float, float]) -> Rect:
        """Rectangle between two distances along and two out from a wall."""
        (x0, y0), (x1, y1) = (
            self.outline.to_plan(view.index, along[0], out[0]),
            self.outline.to_plan(view.index, along[1], out[1]),
        )
        return Rect(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))


def ground_of(scene: Scene) -> Ground:
    """The plan of a scene's room; BriefError when its walls cross or nearly close."""
    return Ground(scene, outline_of(scene.brief.room, scene.brief.units))


def wall_rect(ground: Ground, view: WallView) -> Rect:
    """The thickness of a wall, run on behind inside corners so that walls meet."""
    outline, count = ground.outline, len(ground.outline.walls)
    # `inside[i]` tells of the corner after wall i.
    before, after = (view.index - 1) % count, view.index
    joined_before = outline.closed or view.index > 0
    joined_after = outline.closed or view.index < count - 1
    more = ground.thickness
    # At an outside corner walls meet without running on.
    start = -more if joined_before and outline.inside[before] else 0.0
    end = more if joined_after and outline.inside[after] else 0.0
    length = outline.walls[view.index].length
    return ground.rect(view, (start, length + end), (-ground.thickness, 0.0))


def draw_walls(canvas: Canvas, ground: Ground) -> list[Rect]:
    """Everything of the room but its storage; the rectangles that the walls take."""
    views = list(ground.scene.walls.values())
    rects = [wall_rect(ground, view) for view in views]
    # One shape, so that no line is drawn across the joint of two walls.
    solid = shapely.union_all([_box(rect) for rect in rects])
    if ground.outline.closed:
        # Walls run on behind their corners, which beside a pier may be into the room: that is taken
        # off.
        solid = solid.difference(ground.outline.polygon)
    holes = [_box(rect) for view in views for rect in _holes(ground, view)]
    solid = solid.difference(shapely.union_all(holes)) if holes else solid
    for polygon in _polygons(solid):
        rings = [list(polygon.exterior.coords)[:-1]]
        rings += [list(ring.coords)[:-1] for ring in polygon.interiors]
        canvas.hatch(rings)
        for ring in rings:
            canvas.lines(ring, layers.WALL, closed=True)
    for view in views:
        _studs(canvas, ground, view)
        for opening in view.openings:
            _opening(canvas, ground, view, opening)
        for obstruction in view.obstructions:
            _obstruction(canvas, ground, view, obstruction)
    return rects


def _box(rect: Rect) -> Any:
    """A rectangle as a polygon."""
    return shapely.box(rect.left, rect.bottom, rect.right, rect.top)


def _polygons(shape: Any) -> Iterable[Any]:
    """The polygons of a shape in an order that does not change from run to run."""
    parts = getattr(shape, "geoms", [shape])
    return sorted(
        (part for part in parts if part.geom_type == "Polygon" and part.area > 0),
        key=lambda part: part.bounds,
    )


def _holes(ground: Ground, view: WallView) -> Iterable[Rect]:
    """Openings and windows: where a wall is not hatched."""
    through = (-ground.thickness, 0.0)
    for opening in view.openings:
        yield ground.rect(view, (opening.start, opening.start + opening.width), through)
    for thing in view.obstructions:
        if thing.kind is ObstructionKind.WINDOW:
            yield ground.rect(view, (thing.start, thing.start + thing.width), through)


def _studs(canvas: Canvas, ground: Ground, view: WallView) -> None:
    """Studs inside the wall, none in an opening or a window."""
    half = ground.inches(STUD_WIDTH_IN) / 2
    board = ground.inches(0.5)
    gaps = [(o.start, o.start + o.width) for o in view.openings]
    gaps += [
        (o.start, o.start + o.width) for o in view.obstructions if o.kind is ObstructionKind.WINDOW
    ]
    # A stud at the very end of a wall may stick out of what is drawn of it.
    inside = wall_rect(ground, view)
    for centre in stud_centres(view.wall, view.brief.units):
        if any(start - half < centre < end + half for start, end in gaps):
            continue
        stud = ground.rect(view, (centre - half, centre + half), (board - ground.thickness, -board))
        if inside.holds(stud):
            canvas.mask(stud)
            canvas.rect(stud, layers.STUD)


def _opening(canvas: Canvas, ground: Ground, view: WallView, opening: Opening) -> None:
    """Jambs, and how the opening is closed."""
    at, deep = ground.at(view), ground.thickness
    left, right = opening.start, opening.start + opening.width
    if opening.kind in (OpeningKind.HINGED_IN, OpeningKind.HINGED_OUT):
        _hinged(canvas, ground, view, opening)
    elif opening.kind is OpeningKind.BIFOLD:
        _bifold(canvas, ground, view, opening)
    elif opening.kind is OpeningKind.SLIDING:
        _sliding(canvas, ground, view, opening)
    else:
        for out in (0.0, -deep):
            canvas.line(at(left, out), at(right, out), layers.BEYOND)
    if opening.casing:
        trim = ground.inches(0.6)
        for start, end in ((left - opening.casing, left), (right, right + opening.casing)):
            canvas.rect(ground.rect(view, (start, end), (0.0, trim)), layers.OPENING)


def leaf_rect(ground: Ground, view: WallView, opening: Opening) -> Rect | None:
    """The leaf of a hinged door, open at a right angle; None for other openings."""
    if opening.kind not in (OpeningKind.HINGED_IN, OpeningKind.HINGED_OUT):
        return None
    inwards = opening.kind is OpeningKind.HINGED_IN
    out, way = (0.0, 1.0) if inwards else (-ground.thickness, -1.0)
    ends = (opening.start, opening.start + opening.width)
    hinge, inner = (ends[0], 1) if opening.hinge == "left" else (ends[1], -1)
    leaf = hinge + inner * ground.inches(_LEAF_IN)
    return ground.rect(view, (hinge, leaf), (out, out + way * opening.width))


def _hinged(canvas: Canvas, ground: Ground, view: WallView, opening: Opening) -> None:
    """The leaf at a right angle and the quarter circle that its edge sweeps."""
    at = ground.at(view)
    inwards = opening.kind is OpeningKind.HINGED_IN
    out, way = (0.0, 1.0) if inwards else (-ground.thickness, -1.0)
    left, right = opening.start, opening.start + opening.width
    hinge, latch = (left, right) if opening.hinge == "left" else (right, left)
    leaf = leaf_rect(ground, view, opening)
    if leaf is not None:
        canvas.rect(leaf, layers.OPENING)
    centre = at(hinge, out)
    closed, opened = at(latch, out), at(hinge, out + way * opening.width)
    a, b = _angle(centre, closed), _angle(centre, opened)
    # DXF draws arcs counter-clockwise: of the two ways round, the quarter circle.
    start, end = (a, b) if (b - a) % 360 < 180 else (b, a)
    canvas.arc(centre, opening.width, start, end if end >= start else end + 360, layers.SWING)


def _angle(centre: Point, point: Point) -> float:
    """Direction of `point` from `centre` [degrees]."""
    turn = math.degrees(math.atan2(point[1] - centre[1], point[0] - centre[0]))
    # Walls stand at right angles: whole degrees lose nothing, and 89.999 would give an arc of its
    # own.
    return round(turn) % 360


def _bifold(canvas: Canvas, ground: Ground, view: WallView, opening: Opening) -> None:
    """Leaves half folded, away from the room."""
    at, out = ground.at(view), -ground.thickness / 2
    both = opening.width > ground.inches(_BIFOLD_PAIR_IN)
    leaf = opening.width / (4 if both else 2)
    left, right = opening.start, opening.start + opening.width
    sides = [(left, 1), (right, -1)] if both else []
    if not both:
        sides = [(left, 1)] if opening.hinge == "left" else [(right, -1)]
    # Drawn half folded: each leaf at sixty degrees to the opening.
    fold, rise = leaf * 0.5, leaf * math.sqrt(0.75)
    for jamb, way in sides:
        points = [(jamb, out), (jamb + way * fold, out - rise), (jamb + way * 2 * fold, out)]
        canvas.lines([at(*point) for point in points], layers.OPENING)
    canvas.line(at(left, out), at(right, out), layers.BEYOND)


def _sliding(canvas: Canvas, ground: Ground, view: WallView, opening: Opening) -> None:
    """Two panels that lap in the middle."""
    leaf, lap = ground.inches(_LEAF_IN) / 2, opening.width * 0.03
    left, right = opening.start, opening.start + opening.width
    middle = (left + right) / 2
    for share, span in ((0.3, (left, middle + lap)), (0.7, (middle - lap, right))):
        out = -ground.thickness * share
        canvas.rect(ground.rect(view, span, (out - leaf, out + leaf)), layers.OPENING)


def obstruction_plan(canvas: Canvas, ground: Ground, view: WallView, thing: Obstruction) -> Rect:
    """What an obstruction takes in plan; what is flush is drawn a little deep to be seen."""
    # On paper, so that a switch is seen at any scale.
    far = max(thing.projection, thing.setback + canvas.mm(1.2))
    return ground.rect(view, (thing.start, thing.start + thing.width), (thing.setback, far))


def fixture_sign(canvas: Canvas, ground: Ground, view: WallView, thing: Obstruction) -> Rect:
    """What the sign of an outlet or a switch takes on paper."""
    if thing.kind is not ObstructionKind.OUTLET:
        return obstruction_plan(canvas, ground, view, thing)
    middle, radius = thing.start + thing.width / 2, canvas.mm(_OUTLET_MM)
    return ground.rect(view, (middle - radius, middle + radius), (0.0, _PRONGS * radius))


def _obstruction(canvas: Canvas, ground: Ground, view: WallView, thing: Obstruction) -> None:
    """The sign of an obstruction in plan."""
    rect = obstruction_plan(canvas, ground, view, thing)
    at, deep = ground.at(view), ground.thickness
    left, right = thing.start, thing.start + thing.width
    if thing.kind is ObstructionKind.WINDOW:
        # Both faces of the wall, and the two panes in it.
        for share, layer in ((0.0, layers.WALL), (0.4, layers.OBSTRUCTION)):
            for out in (-share * deep, (share - 1.0) * deep):
                canvas.line(at(left, out), at(right, out), layer)
    elif thing.kind is ObstructionKind.OUTLET:
        _outlet(canvas, ground, view, (left + right) / 2)
    elif thing.kind in (ObstructionKind.LIGHT, ObstructionKind.PIPE):
        radius = min(rect.width, rect.height) / 2
        canvas.circle(rect.centre, radius, layers.OBSTRUCTION)
        if thing.kind is ObstructionKind.LIGHT:
            _cross(canvas, rect.centre, radius * 1.35, layers.SWING)
    else:
        # What hangs above the height at which the plan is cut.
        dashed = thing.kind in (ObstructionKind.BEAM, ObstructionKind.HATCH)
        canvas.rect(rect, layers.BEYOND if dashed else layers.OBSTRUCTION)
        if thing.kind is ObstructionKind.HATCH:
            canvas.line((rect.left, rect.bottom), (rect.right, rect.top), layers.BEYOND)


def _outlet(canvas: Canvas, ground: Ground, view: WallView, centre: float) -> None:
    """A circle at the wall with two lines across it, as electricians draw it."""
    radius, at = canvas.mm(_OUTLET_MM), ground.at(view)
    canvas.circle(at(centre, radius), radius, layers.OBSTRUCTION)
    for shift in (-0.35, 0.35):
        x = centre + shift * radius
        canvas.line(at(x, 0.0), at(x, _PRONGS * radius), layers.OBSTRUCTION)


def _cross(canvas: Canvas, centre: Point, arm: float, layer: Layer) -> None:
    """A cross of two lines, each `arm` long to both sides."""
    x, y = centre
    canvas.line((x - arm, y), (x + arm, y), layer)
    canvas.line((x, y - arm), (x, y + arm), layer)

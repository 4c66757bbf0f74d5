"""The wall itself in elevation: floor, ceiling, side walls, openings and obstructions."""

from __future__ import annotations

from optimizer.domain.room import Obstruction, ObstructionKind, Opening, OpeningKind
from optimizer.domain.studs import stud_centres
from optimizer.drawing.ink import layers
from optimizer.drawing.ink.canvas import Canvas, Point
from optimizer.drawing.ink.lettering import Rect
from optimizer.drawing.views.elevation_corner import corners_of, draw_corners
from optimizer.drawing.views.frame import DrawingArea
from optimizer.drawing.views.kept_clear import draw_kept, kept_in_front
from optimizer.drawing.views.scene import WallView

CUT = 2.4
"""Thickness on paper of what is cut: floor, ceiling and side walls, not to scale [mm]."""

TICK = 2.2
"""Length of a stud's tick on paper [mm]."""


def draw_wall(board: DrawingArea, view: WallView) -> None:
    """Everything of the wall that is there before any storage."""
    canvas = board.canvas
    _shell(canvas, view)
    for opening in view.openings:
        _opening(canvas, view, opening)
    for obstruction in view.obstructions:
        draw_obstruction(canvas, obstruction_rect(obstruction), obstruction.kind)
    for kept in kept_in_front(view):
        draw_kept(canvas, kept.rect)
    _studs(canvas, view)
    draw_corners(board, view)


def obstruction_rect(obstruction: Obstruction) -> Rect:
    """Front of an obstruction."""
    return Rect(
        obstruction.start,
        obstruction.bottom,
        obstruction.start + obstruction.width,
        obstruction.bottom + obstruction.height,
    )


def _shell(canvas: Canvas, view: WallView) -> None:
    """Floor and ceiling lines, hatched behind; side walls hatched at inside corners."""
    cut, length = canvas.mm(CUT), view.length
    left_top, right_top = view.height_at(0.0), view.height_at(length)
    before, after = corners_of(view)
    left = -cut if before is not None else 0.0
    right = length + cut if after is not None else length
    floor = [(left, -cut), (right, -cut), (right, 0.0), (left, 0.0)]
    ceiling = [
        (left, left_top),
        (right, right_top),
        (right, right_top + cut),
        (left, left_top + cut),
    ]
    canvas.hatch([floor])
    canvas.hatch([ceiling])
    if before is not None:
        canvas.hatch([[(left, 0.0), (0.0, 0.0), (0.0, left_top), (left, left_top)]])
    if after is not None:
        canvas.hatch([[(length, 0.0), (right, 0.0), (right, right_top), (length, right_top)]])
    outline: list[Point] = [(0.0, 0.0), (length, 0.0), (length, right_top), (0.0, left_top)]
    canvas.lines(outline, layers.WALL, closed=True)


def _opening(canvas: Canvas, view: WallView, opening: Opening) -> None:
    """Clear opening, its casing, and for a hinged leaf the lines that meet at the hinges."""
    left, right = opening.start, opening.start + opening.width
    top = min(opening.height, view.top)
    canvas.lines([(left, 0.0), (left, top), (right, top), (right, 0.0)], layers.OPENING)
    if opening.casing:
        far_left, far_right, over = left - opening.casing, right + opening.casing, top
        over += opening.casing
        trim = [(far_left, 0.0), (far_left, over), (far_right, over), (far_right, 0.0)]
        canvas.lines(trim, layers.SWING)
    middle = (left + right) / 2
    if opening.kind in (OpeningKind.HINGED_IN, OpeningKind.HINGED_OUT):
        hinge, latch = (left, right) if opening.hinge == "left" else (right, left)
        # The point of the two lines is at the hinges, as builders' elevations have it.
        canvas.lines([(latch, 0.0), (hinge, top / 2), (latch, top)], layers.BEYOND)
    elif opening.kind is OpeningKind.BIFOLD:
        for x in (left + opening.width / 4, middle, right - opening.width / 4):
            canvas.line((x, 0.0), (x, top), layers.SWING)
    elif opening.kind is OpeningKind.SLIDING:
        lap = opening.width * 0.03
        for x in (middle - lap, middle + lap):
            canvas.line((x, 0.0), (x, top), layers.SWING)


def draw_obstruction(canvas: Canvas, rect: Rect, kind: ObstructionKind) -> None:
    """The usual sign of what is in the way."""
    canvas.rect(rect, layers.OBSTRUCTION)
    inner = rect.grown(-min(canvas.mm(0.8), rect.width / 4, rect.height / 4))
    x, y = rect.centre
    if kind is ObstructionKind.WINDOW:
        canvas.rect(inner, layers.SWING)
        canvas.line((inner.left, y), (inner.right, y), layers.SWING)
    elif kind is ObstructionKind.OUTLET:
        half = inner.height / 4
        for slot in (inner.left + inner.width / 3, inner.right - inner.width / 3):
            canvas.line((slot, y - half), (slot, y + half), layers.OBSTRUCTION)
    elif kind is ObstructionKind.SWITCH:
        canvas.line((x, inner.bottom), (x, inner.top), layers.OBSTRUCTION)
    elif kind in (ObstructionKind.VENT, ObstructionKind.RADIATOR):
        _louvres(canvas, inner, upright=kind is ObstructionKind.RADIATOR)
    else:
        canvas.line((rect.left, rect.bottom), (rect.right, rect.top), layers.SWING)
        canvas.line((rect.left, rect.top), (rect.right, rect.bottom), layers.SWING)


def _louvres(canvas: Canvas, rect: Rect, *, upright: bool) -> None:
    """Lines across a vent, or the fins of a radiator."""
    span = rect.width if upright else rect.height
    count = max(2, min(12, int(span / canvas.mm(1.2))))
    for number in range(1, count):
        share = number / count
        if upright:
            x = rect.left + share * rect.width
            canvas.line((x, rect.bottom), (x, rect.top), layers.SWING)
        else:
            y = rect.bottom + share * rect.height
            canvas.line((rect.left, y), (rect.right, y), layers.SWING)


def _studs(canvas: Canvas, view: WallView) -> None:
    """A tick at floor and ceiling for each stud, none in an opening."""
    tick, cut = canvas.mm(TICK), canvas.mm(CUT)
    for centre in stud_centres(view.wall, view.brief.units):
        if not any(o.start < centre < o.start + o.width for o in view.openings):
            canvas.line((centre, -cut), (centre, tick - cut), layers.STUD)
        top = view.height_at(centre)
        canvas.line((centre, top + cut - tick), (centre, top + cut), layers.STUD)

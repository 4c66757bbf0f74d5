"""Bays in elevation: uprights, boards, cleats, rods, hung clothes and items in place."""

from __future__ import annotations

from collections.abc import Sequence

from optimizer.domain.layout import Bay, Zone
from optimizer.domain.pack import Part, PartKind
from optimizer.drawing.ink import layers
from optimizer.drawing.ink.canvas import Canvas
from optimizer.drawing.ink.lettering import Rect
from optimizer.drawing.views.cleats import draw_cleats, part_rect
from optimizer.drawing.views.frame import DrawingArea
from optimizer.drawing.views.scene import WallView, rod_height
from optimizer.drawing.views.supports import rod_bracket_rects, rod_radius, support_rects

_GARMENT_MM = 1.3
"""Distance of the strokes that stand for hung clothes, on paper [mm]."""

_HEMS = (1.0, 0.94, 0.97, 0.88, 0.99, 0.92, 0.96)
"""Lengths of neighbouring clothes as a part of what their class allows."""


def draw_bay(board: DrawingArea, view: WallView, bay: Bay, parts: Sequence[Part]) -> None:
    """Everything of one bay but its lettering."""
    canvas = board.canvas
    for zone in view.rods(bay):
        _clothes(canvas, bay, zone)
    for piece in view.standing(bay):
        canvas.rect(piece.rect, layers.ITEM)
    draw_cleats(canvas, view, bay, parts)
    for strip in stiffener_rects(view, bay, parts):
        canvas.rect(strip, layers.STIFFENER)
    # From back to front: what comes later masks what is behind it.
    for strip in support_rects(view, bay, parts):
        _masked(canvas, strip)
    for zone in view.rods(bay):
        _rod(canvas, view, bay, zone)
    for strip in rod_bracket_rects(view, bay):
        _masked(canvas, strip)


def _masked(canvas: Canvas, strip: Rect) -> None:
    """A mid support in front of what is behind it."""
    canvas.mask(strip)
    canvas.rect(strip, layers.SUPPORT)


def draw_panels(canvas: Canvas, view: WallView) -> None:
    """Boards as they are cut, uprights, and the strips that close left-over wall."""
    for front in view.board_fronts:
        canvas.rect(front.rect, layers.BOARD)
    for upright in view.uprights:
        canvas.rect(Rect(upright.left, 0.0, upright.right, upright.top), layers.UPRIGHT)
    for strip in view.fillers:
        near = [u.top for u in view.uprights if _touches(u.left, u.right, strip.start, strip.width)]
        top = max(near, default=view.height_at(strip.start))
        rect = Rect(strip.start, 0.0, strip.start + strip.width, top)
        canvas.rect(rect, layers.FILLER)
        canvas.line((rect.left, rect.bottom), (rect.right, rect.top), layers.FILLER)


def _touches(left: float, right: float, start: float, width: float) -> bool:
    """Whether an upright stands beside a strip, a panel's thickness away at most."""
    slack = right - left
    return start <= right + slack and left <= start + width + slack


def stiffener_rects(view: WallView, bay: Bay, parts: Sequence[Part]) -> list[Rect]:
    """Front stiffeners as in the pack, or of each board of a stiffened bay.

    They hang under their board, but stand on it where a rod is right under it.
    """
    if parts:
        mine = (p for p in parts if p.kind is PartKind.STIFFENER and bay.id in p.bays)
        return [part_rect(part) for part in mine]
    if not bay.stiffened:
        return []
    height = view.brief.construction.stiffener_height
    # A rod zone ends at the underside of the board over it, to within noise.
    over_rods = {round(zone.top, 3) for zone in view.rods(bay)}
    strips = []
    for front in view.boards(bay):
        if round(front.bottom, 3) in over_rods:
            strips.append(Rect(front.left, front.top, front.right, front.top + height))
        elif front.bottom >= height:
            strips.append(Rect(front.left, front.bottom - height, front.right, front.bottom))
    return strips


def rod_rect(view: WallView, bay: Bay, zone: Zone) -> Rect:
    """A rod as it is seen."""
    radius, height = rod_radius(view), rod_height(zone)
    return Rect(bay.start, height - radius, bay.end, height + radius)


def _rod(canvas: Canvas, view: WallView, bay: Bay, zone: Zone) -> None:
    """The rod between its sockets."""
    rect = rod_rect(view, bay, zone)
    canvas.mask(rect)
    canvas.rect(rect, layers.ROD)
    flange = min(view.brief.units.from_inch(0.5), rect.width / 6)
    rise = rect.height * 0.35
    for left in (rect.left, rect.right - flange):
        socket = Rect(left, rect.bottom - rise, left + flange, rect.top + rise)
        canvas.mask(socket)
        canvas.rect(socket, layers.ROD)


def _clothes(canvas: Canvas, bay: Bay, zone: Zone) -> None:
    """Light strokes for clothes seen on edge, hanging from the rod."""
    height = rod_height(zone)
    drop = height - zone.bottom
    pitch = canvas.mm(_GARMENT_MM)
    count = max(1, int((bay.width - pitch) / pitch))
    left = bay.start + (bay.width - (count - 1) * pitch) / 2
    for number in range(count):
        # Hems of uneven length, so that the strokes read as clothes.
        hem = _HEMS[number % len(_HEMS)]
        x = left + number * pitch
        canvas.line((x, height), (x, height - drop * hem), layers.CLOTHES)

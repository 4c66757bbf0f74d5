"""Bays in elevation: uprights, boards, cleats, rods, hung clothes and items in place."""

from __future__ import annotations

from collections.abc import Sequence

from optimizer.domain.construction import RodStock
from optimizer.domain.layout import Bay, Zone
from optimizer.domain.pack import Part, PartKind
from optimizer.domain.studs import stud_centres
from optimizer.drawing import layers
from optimizer.drawing.canvas import Canvas
from optimizer.drawing.lettering import Rect
from optimizer.drawing.sheet import Board
from optimizer.drawing.wallview import WallView, rod_height

ROD_DIAMETER_IN = {RodStock.STEEL_TUBE: 1.3125, RodStock.WOOD_DOWEL: 1.25}
"""Drawn thickness of rods [in]: tube of 1-5/16 in outside, dowel of 1-1/4 in: common sizes."""

_GARMENT_MM = 1.3
"""Distance of the strokes that stand for hung clothes, on paper [mm]."""

_HEMS = (1.0, 0.94, 0.97, 0.88, 0.99, 0.92, 0.96)
"""Lengths of neighbouring clothes as a part of what their class allows."""


def draw_bay(board: Board, view: WallView, bay: Bay, parts: Sequence[Part]) -> None:
    """Everything of one bay but its lettering."""
    canvas = board.canvas
    for zone in view.rods(bay):
        _clothes(canvas, bay, zone)
    for piece in view.standing(bay):
        canvas.rect(piece.rect, layers.ITEM)
    _boards(canvas, view, bay)
    for strip in cleat_rects(view, bay, parts):
        _cleat(canvas, view, strip)
    for strip in stiffener_rects(view, bay, parts):
        canvas.rect(strip, layers.STIFFENER)
    for zone in view.rods(bay):
        _rod(canvas, view, bay, zone)


def draw_uprights(canvas: Canvas, view: WallView) -> None:
    """Edges of the uprights and the strips that close left-over wall."""
    for upright in view.uprights:
        canvas.rect(Rect(upright.left, 0.0, upright.right, upright.top), layers.UPRIGHT)
    for strip in view.fillers:
        near = [u.top for u in view.uprights if _touches(u.left, u.right, strip.start, strip.width)]
        top = max(near, default=view.height_at(strip.start))
        rect = Rect(strip.start, 0.0, strip.start + strip.width, top)
        canvas.rect(rect, layers.FILLER)
        canvas.line((rect.left, rect.bottom), (rect.right, rect.top), layers.FILLER)


def _touches(left: float, right: float, start: float, width: float) -> bool:
    slack = right - left
    return start <= right + slack and left <= start + width + slack


def _boards(canvas: Canvas, view: WallView, bay: Bay) -> None:
    for front in view.boards(bay):
        canvas.rect(front, layers.BOARD)


def cleat_rects(view: WallView, bay: Bay, parts: Sequence[Part]) -> list[Rect]:
    """Back and side cleats as in the pack, or by the brief's construction under each board."""
    kinds = (PartKind.BACK_CLEAT, PartKind.SIDE_CLEAT)
    if parts:
        return [part_rect(part) for part in parts if part.kind in kinds and bay.id in part.bays]
    rules = view.brief.construction
    strips = []
    for front in view.boards(bay):
        foot = front.bottom - rules.cleat_height
        if foot < 0:
            continue
        ends = min(rules.cleat_thickness, bay.width / 4)
        strips.append(Rect(front.left, foot, front.right, front.bottom))
        strips.append(Rect(front.left, foot, front.left + ends, front.bottom))
        strips.append(Rect(front.right - ends, foot, front.right, front.bottom))
    return strips


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
    over_rods = {round(zone.top, 3) for zone in view.rods(bay)}
    strips = []
    for front in view.boards(bay):
        if round(front.bottom, 3) in over_rods:
            strips.append(Rect(front.left, front.top, front.right, front.top + height))
        elif front.bottom >= height:
            strips.append(Rect(front.left, front.bottom - height, front.right, front.bottom))
    return strips


def part_rect(part: Part) -> Rect:
    """Front of a part as it is built in."""
    return Rect(part.box.along, part.box.bottom, part.box.end, part.box.top)


def _cleat(canvas: Canvas, view: WallView, rect: Rect) -> None:
    """A cleat, with a cross where a stud is behind it."""
    canvas.rect(rect, layers.CLEAT)
    arm = canvas.mm(0.5)
    y = rect.centre[1]
    if rect.width < 4 * arm:
        return
    for centre in stud_centres(view.wall, view.brief.units):
        if rect.left + arm < centre < rect.right - arm:
            canvas.line((centre - arm, y - arm), (centre + arm, y + arm), layers.STUD)
            canvas.line((centre - arm, y + arm), (centre + arm, y - arm), layers.STUD)


def rod_radius(view: WallView) -> float:
    """Half the drawn thickness of a rod."""
    stock = view.brief.construction.rod_stock
    return view.brief.units.from_inch(ROD_DIAMETER_IN[stock]) / 2


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
        hem = _HEMS[number % len(_HEMS)]
        x = left + number * pitch
        canvas.line((x, height), (x, height - drop * hem), layers.CLOTHES)

"""Cleats in elevation: those on the wall behind, and the ends of those that run out from it.

As in the pack where there is one, else by the brief's construction under each board.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from optimizer.domain.layout import Bay, Carried, ZoneKind
from optimizer.domain.pack import Part, PartKind
from optimizer.domain.studs import stud_centres
from optimizer.drawing import layers
from optimizer.drawing.canvas import Canvas
from optimizer.drawing.lettering import Rect
from optimizer.drawing.topboards import Side, TopBoard, carried_at, end_of
from optimizer.drawing.wallview import WallView, depth_of, rod_height

SIDES: tuple[Side, Side] = ("left", "right")

_ENDS = frozenset({"side_cleat", "rod_cleat", "joint_cleat"})
"""Kinds of part that are seen on end."""


def draw_cleats(canvas: Canvas, view: WallView, bay: Bay, parts: Sequence[Part]) -> None:
    """Cleats of a bay: dashed along the wall, ends in full unless a stiffener hides them."""
    for strip in back_cleats(view, bay, parts):
        draw_on_studs(canvas, view, strip)
    layer = layers.CLEAT if bay.stiffened else layers.CLEAT_END
    for end in cleat_ends(view, bay, parts):
        canvas.rect(end, layer)


def part_rect(part: Part) -> Rect:
    """Front of a part as it is built in."""
    return Rect(part.box.along, part.box.bottom, part.box.end, part.box.top)


def back_cleats(view: WallView, bay: Bay, parts: Sequence[Part]) -> list[Rect]:
    """Cleats on the wall behind, each under its board."""
    if parts:
        mine = (p for p in parts if p.kind is PartKind.BACK_CLEAT and bay.id in p.bays)
        return [part_rect(part) for part in mine]
    height = view.brief.construction.cleat_height
    fronts = (front for front in view.boards(bay) if front.bottom >= height)
    return [Rect(f.left, f.bottom - height, f.right, f.bottom) for f in fronts]


def cleat_ends(view: WallView, bay: Bay, parts: Sequence[Part]) -> list[Rect]:
    """Ends of side cleats on uprights and walls, of rod cleats and of joint cleats."""
    if parts:
        mine = (p for p in parts if p.kind.value in _ENDS and bay.id in p.bays)
        return [part_rect(part) for part in mine]
    thick = min(view.brief.construction.cleat_thickness, bay.width / 4)
    found = []
    for side in SIDES:
        end = end_of(bay, side)
        near, far = (end, end + thick) if side == "left" else (end - thick, end)
        found += [Rect(near, low, far, high) for low, high in _heights(view, bay, side)]
    return found + [rect for side in SIDES for rect in _joint_cleats(view, bay, side)]


def _heights(view: WallView, bay: Bay, side: Side) -> Iterable[tuple[float, float]]:
    """From where to where the side cleats at one end go up."""
    carried = carried_at(bay, side)
    if carried is Carried.WALL:
        return wall_cleat_heights(view, bay)
    if carried is Carried.CORNER:
        return ()
    height = view.brief.construction.cleat_height
    lying = [
        board.top for board in view.top_boards if bay in board.bays and _lies(board, bay, side)
    ]
    fronts = [f for f in view.boards(bay) if f.bottom >= height and f.top not in lying]
    return [(front.bottom - height, front.bottom) for front in fronts]


def _lies(board: TopBoard, bay: Bay, side: Side) -> bool:
    """Whether the top board lies on the upright at that end of the bay."""
    return board.left < bay.start if side == "left" else board.right > bay.end


def wall_cleat_heights(view: WallView, bay: Bay) -> list[tuple[float, float]]:
    """From where to where cleats on a side wall go up: one under each board, one behind each rod.

    A rod within its clearance of the board over it shares that board's cleat, cut higher.
    """
    rules = view.brief.construction
    half = rules.rod_cleat_height / 2
    near = view.brief.units.grid
    lows = {f.bottom: f.bottom - rules.cleat_height for f in view.boards(bay)}
    alone = []
    for zone in view.rods(bay):
        height = rod_height(zone)
        if zone.top in lows and zone.top - height <= rules.rod_clearance + near:
            lows[zone.top] = min(lows[zone.top], height - half)
        else:
            alone.append((height - half, height + half))
    return [*((low, top) for top, low in lows.items() if low >= 0), *alone]


def wall_cleat_reach(view: WallView, bay: Bay) -> float:
    """How far out from the bay's wall its cleats on a side wall end."""
    rules = view.brief.construction
    boards = [depth_of(zone, bay) for zone in bay.zones if zone.kind is ZoneKind.SHELF]
    reach = max(boards, default=0.0) - rules.side_cleat_setback
    return max(reach, rules.rod_setback + rules.rod_overlap) if view.rods(bay) else reach


def _joint_cleats(view: WallView, bay: Bay, side: Side) -> Iterable[Rect]:
    """Cleats laid flat under both boards of a joint at a wrapped corner."""
    if carried_at(bay, side) is not Carried.CORNER:
        return
    rules = view.brief.construction
    end, half = end_of(bay, side), rules.cleat_height / 2
    for front in view.boards(bay):
        foot = front.bottom - rules.cleat_thickness
        if foot >= 0:
            yield Rect(end - half, foot, end + half, front.bottom)


def draw_on_studs(canvas: Canvas, view: WallView, rect: Rect) -> None:
    """A cleat on this wall, with a cross where a stud is behind it."""
    canvas.rect(rect, layers.CLEAT)
    arm = canvas.mm(0.5)
    y = rect.centre[1]
    if rect.width < 4 * arm:
        return
    for centre in stud_centres(view.wall, view.brief.units):
        if rect.left + arm < centre < rect.right - arm:
            canvas.line((centre - arm, y - arm), (centre + arm, y + arm), layers.STUD)
            canvas.line((centre - arm, y + arm), (centre + arm, y - arm), layers.STUD)

"""Cleats in elevation: those on the wall behind, and the ends of those that run out from it.

As in the pack where there is one, else by the brief's construction under each board.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from optimizer.domain.layout import Bay, Carried
from optimizer.domain.pack import Part, PartKind
from optimizer.domain.studs import stud_centres
from optimizer.drawing.ink import layers
from optimizer.drawing.ink.canvas import Canvas
from optimizer.drawing.ink.lettering import Rect
from optimizer.drawing.views.ends import SIDES, Side, carried_at, end_of
from optimizer.drawing.views.scene import Interval, WallView, rod_height
from optimizer.structure.back_cleats import back_cleats as structure_cleats
from optimizer.structure.designs import wall_cleats
from optimizer.structure.joints import JOINT_CLEAT_IN
from optimizer.structure.members import Board as Carrying
from optimizer.structure.members import rod_cleat_height, rod_cleat_joined

_ENDS = (PartKind.SIDE_CLEAT, PartKind.ROD_CLEAT, PartKind.JOINT_CLEAT)
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


def boards_under(view: WallView, bay: Bay) -> tuple[Carrying, ...]:
    """Boards of a bay from the floor up, with the height of the cleats that there is room for."""
    return view.scene.structure.boards(bay)


def back_cleats(view: WallView, bay: Bay, parts: Sequence[Part]) -> list[Rect]:
    """Cleats on the wall behind, each under its board; one behind several bays with the first."""
    if parts:
        mine = (p for p in parts if p.kind is PartKind.BACK_CLEAT and bay.id == p.bays[0])
        return [part_rect(part) for part in mine]
    return [
        Rect(
            cleat.start, cleat.board.underside - cleat.board.cleat, cleat.end, cleat.board.underside
        )
        for cleat in structure_cleats(view.scene.structure, bay)
    ]


def cleat_ends(view: WallView, bay: Bay, parts: Sequence[Part]) -> list[Rect]:
    """Ends of side cleats on uprights and walls, of rod cleats and of joint cleats."""
    if parts:
        mine = (p for p in parts if p.kind in _ENDS and bay.id in p.bays)
        return [*(part_rect(part) for part in mine), *_shared_ends(view, bay)]
    thick = min(view.brief.construction.cleat_thickness, bay.width / 4)
    found = []
    for side in SIDES:
        end = end_of(bay, side)
        near, far = (end, end + thick) if side == "left" else (end - thick, end)
        found += [Rect(near, low, far, high) for low, high in _heights(view, bay, side)]
        found += _joint_cleats(view, bay, side)
    return found


def _shared_ends(view: WallView, bay: Bay) -> Iterable[Rect]:
    """Next walls' back cleats on which boards of the bay end, seen on end."""
    thick = view.brief.construction.cleat_thickness
    for side in SIDES:
        end = end_of(bay, side)
        near, far = (end, end + thick) if side == "left" else (end - thick, end)
        for cleat in wall_cleats(view.scene.structure, bay, left=side == "left"):
            if cleat.shared:
                yield Rect(near, cleat.top - cleat.height, far, cleat.top)


def _heights(view: WallView, bay: Bay, side: Side) -> Iterable[Interval]:
    """From where to where the side cleats at one end go up."""
    carried = carried_at(bay, side)
    if carried is Carried.WALL:
        return wall_cleat_heights(view, bay)
    if carried is Carried.CORNER:
        return ()
    # An upright carries a board on its top, with no cleat, where it rests there.
    left, structure = side == "left", view.scene.structure
    return [
        (board.underside - board.cleat, board.underside)
        for board in boards_under(view, bay)
        if board.cleat and not structure.rests(bay, board, left=left)
    ]


def wall_cleat_heights(view: WallView, bay: Bay) -> list[Interval]:
    """From where to where cleats on a side wall go up: one under each board, one behind each rod.

    A rod near the board over it shares that board's cleat, cut higher.
    """
    rules, units = view.brief.construction, view.brief.units
    # By underside, so that a rod's cleat finds the board that it may be one with.
    boards = {board.underside: board.cleat for board in boards_under(view, bay)}
    alone = []
    for zone in view.rods(bay):
        height = rod_height(zone)
        over = min((underside for underside in boards if underside >= height), default=None)
        tall = rod_cleat_height(rules, units, height, over)
        if over is not None and rod_cleat_joined(rules, height, over):
            boards[over] = max(boards[over], tall)
        else:
            low = height - rules.rod_cleat_height / 2
            alone.append((low, low + tall))
    return [*((top - tall, top) for top, tall in boards.items() if tall), *alone]


def wall_cleat_reach(view: WallView, bay: Bay) -> float:
    """How far out from the bay's wall the longest of its cleats on a side wall ends."""
    rules = view.brief.construction
    reach = max((board.depth for board in boards_under(view, bay)), default=0.0)
    reach -= rules.side_cleat_setback
    return max(reach, rules.rod_setback + rules.rod_overlap) if view.rods(bay) else reach


def _joint_cleats(view: WallView, bay: Bay, side: Side) -> Iterable[Rect]:
    """Cleats laid flat under both boards of a joint at a wrapped corner."""
    if carried_at(bay, side) is not Carried.CORNER:
        return
    end = end_of(bay, side)
    half = view.brief.units.from_inch(JOINT_CLEAT_IN) / 2
    for board in boards_under(view, bay):
        foot = board.underside - view.panel
        if foot >= board.below:
            yield Rect(end - half, foot, end + half, board.underside)


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

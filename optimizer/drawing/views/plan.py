"""The plan: the room from above, its first wall at the top, with bays and door swings."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Carried, Layout, Mount
from optimizer.domain.pack import BaseboardCut, BuildPack
from optimizer.domain.studs import studs_known
from optimizer.drawing.formats.drawing import Drawing
from optimizer.drawing.ink import layers
from optimizer.drawing.ink.canvas import Point
from optimizer.drawing.ink.labels import Placer, Spot
from optimizer.drawing.ink.lettering import Rect, printable, text_width
from optimizer.drawing.ink.names import wall_title
from optimizer.drawing.views.frame import DrawingArea, Title, compose
from optimizer.drawing.views.kept_clear import draw_kept, kept_text, label_kept
from optimizer.drawing.views.plan_bays import bay_rect, draw_storage, label_bay
from optimizer.drawing.views.plan_leaders import Leaders, nearest
from optimizer.drawing.views.plan_sizes import draw_clear_ways, draw_room_sizes
from optimizer.drawing.views.plan_walls import (
    FIXTURES,
    Ground,
    draw_walls,
    fixture_sign,
    ground_of,
    leaf_rect,
    obstruction_plan,
)
from optimizer.drawing.views.scene import Scene, WallView
from optimizer.units import Units, format_short

_MARK = 2.6
"""Radius of a wall's mark [mm]."""


def draw_plan(
    brief: Brief,
    layout: Layout,
    pack: BuildPack | None = None,
    *,
    date: datetime.date | None = None,
    widest: float = math.inf,
) -> Drawing:
    """Plan of the room with its bays; with a pack, where baseboard comes off. `widest` as for an
    elevation.

    LayoutError where the layout contradicts the brief, BriefError where walls cross.
    """
    ground = ground_of(Scene(brief, layout))

    def paint(board: DrawingArea) -> None:
        """The whole plan at the board's scale."""
        walls = draw_walls(board.canvas, ground)
        for _, rect in _kept(ground):
            draw_kept(board.canvas, rect)
        draw_storage(board.canvas, ground)
        taken = _taken(ground, walls)
        # Before the labels, which go around the ways; a way has fewer places to choose from.
        ways = draw_clear_ways(board.canvas, ground, _obstacles(board, ground))
        _label(board, ground, taken, ways)
        # Last of what is drawn: its chains stand outside of all the rest.
        draw_room_sizes(board, ground)
        _remark(board, ground)
        if pack is not None:
            for cut in pack.baseboard_cuts:
                _baseboard(board, ground, cut)
            _carpet(board, pack)

    corners = [ground.rect(v, (0.0, v.length), (0.0, 0.0)) for v in ground.scene.walls.values()]
    around = corners[0]
    for rect in corners[1:]:
        around = around.joined(rect)
    title = Title(brief.name, "Plan", brief.units, date)
    return compose("plan", title, (around.width, around.height), paint, widest=widest)


def _kept(ground: Ground) -> list[tuple[str, Rect]]:
    """Boxes kept clear: what is written in them, and the floor under them."""
    return [
        (kept_text(box), ground.rect(view, (box.start, box.start + box.width), (0.0, box.depth)))
        for view in ground.scene.walls.values()
        for box in view.keep_clear
    ]


def _obstacles(board: DrawingArea, ground: Ground) -> list[Rect]:
    """Where obstructions lie in plan, which lines of dimensions go around."""
    views = ground.scene.walls.values()
    return [
        obstruction_plan(board.canvas, ground, view, thing)
        for view in views
        for thing in view.obstructions
    ]


def _taken(ground: Ground, walls: list[Rect]) -> list[Rect]:
    """Where no label of the room may stand: in walls and bays, and on the leaves of doors."""
    views = ground.scene.walls.values()
    panel = ground.scene.brief.construction.panel_thickness
    bays = [(view, bay) for view in views for bay in view.bays]
    mounts = [rect for _, _, rect in _mounts(ground)]
    leaves = [leaf_rect(ground, view, opening) for view in views for opening in view.openings]
    walls = walls + [leaf for leaf in leaves if leaf is not None]
    return walls + mounts + [bay_rect(ground, view, bay).grown(panel) for view, bay in bays]


def _mounts(ground: Ground) -> list[tuple[WallView, Mount, Rect]]:
    """Hooks and mirrors with the floor that they take."""
    return [
        (view, mount, ground.rect(view, (mount.start, mount.end), (0.0, mount.depth)))
        for view in ground.scene.walls.values()
        for mount in view.mounts
    ]


def _label_mount(placer: Placer, ground: Ground, view: WallView, mount: Mount) -> None:
    """The name of hooks or of a mirror, in front of them."""
    middle, mm = mount.start + mount.width / 2, placer.canvas.mm
    at = ground.at(view)
    turn = 90 if abs(at(1.0, 0.0)[1] - at(0.0, 0.0)[1]) > 0.5 else 0
    spots = [Spot(at(middle, mount.depth + mm(off)), rotation=turn) for off in (1.8, 4.0, 6.5)]
    spots += [Spot(at(middle, mount.depth + mm(off))) for off in (4.0, 7.0, 10.0)]
    placer.label(printable(mount.id), spots, where=mount.kind, masked=True)


def _label(board: DrawingArea, ground: Ground, taken: list[Rect], ways: list[Rect]) -> None:
    """Names of bays, mounts, walls and obstructions; what takes most room first.

    Leaders go around the names, and around the clear `ways` where they can.
    """
    signs = [sign for view in ground.scene.walls.values() for sign in _signs(board, ground, view)]
    placer = Placer(board.canvas, board.notes, None, [*taken, *ways, *signs])
    views = list(ground.scene.walls.values())
    sizes: dict[str, list[str]] = {}
    for view in views:
        for bay in view.bays:
            size = label_bay(placer, ground, view, bay)
            if size is not None:
                sizes.setdefault(size, []).append(printable(bay.id))
    # Sizes that found no room in their bay stand in the notes.
    for size, ids in sizes.items():
        board.notes.remark(f"{size}: {', '.join(ids)}")
    for text, rect in _kept(ground):
        label_kept(placer, rect, text, "kept clear")
    for view, mount, _ in _mounts(ground):
        _label_mount(placer, ground, view, mount)
    leaders = Leaders(placer, ground, ways)
    for view in views:
        _mark_wall(placer, leaders, ground, view)
    for view in views:
        for thing in view.obstructions:
            leaders.name(view, thing)


def _signs(board: DrawingArea, ground: Ground, view: WallView) -> Iterator[Rect]:
    """Where signs of outlets and switches stand, which are small and would be hidden."""
    for thing in view.obstructions:
        if thing.kind in FIXTURES:
            yield fixture_sign(board.canvas, ground, view, thing)


def _mark_wall(placer: Placer, leaders: Leaders, ground: Ground, view: WallView) -> None:
    """The wall's id in a circle behind it (in front where there is no room)."""
    canvas, text = placer.canvas, view.wall.id
    radius = canvas.mm(_MARK)
    behind = -ground.thickness - radius - canvas.mm(1.0)
    before = radius + canvas.mm(1.5)
    at = ground.at(view)
    short = text_width(text, 2.2, bold=True) <= 2 * _MARK - 1.0
    if not short:
        # A name too long for the circle stands along the wall.
        words = [at(view.length * share, behind) for share in (0.5, 0.3, 0.7)]
        # Along a wall that runs up and down on paper lettering reads upwards.
        turn = 90 if abs(at(1.0, 0.0)[1] - at(0.0, 0.0)[1]) > 0.5 else 0
        spots = [Spot(point, rotation=turn) for point in words]
        placer.label(wall_title(text), spots, where="wall", bold=True, heights=(2.0, 1.6))
        return
    shares = (0.5, 0.4, 0.6, 0.25, 0.75, 0.1, 0.9)
    # Close behind the wall, close before it, then further off; last anywhere around its middle,
    # with a line to it.
    further = [canvas.mm(6.0 * step) for step in range(1, 8)]
    outs = [behind, before, *(behind - more for more in further[:3])]
    outs += [before + more for more in further]
    places = [at(view.length * share, out) for out in outs for share in shares]
    middle = at(view.length / 2, 0.0)
    ringed = [_around(middle, canvas.mm(mm), turn) for mm in range(8, 34, 3) for turn in _TURNS]
    for place in (*places, *ringed):
        circle = Rect(*place, *place).grown(radius + canvas.mm(0.7))
        leader = (middle, nearest(circle, middle)) if place in ringed else (place, place)
        if placer.free(circle) and leaders.is_free(circle, leader, placer.written):
            canvas.circle(place, radius, layers.TEXT)
            canvas.text(text, place, 2.2, bold=True)
            placer.block(circle)
            placer.written.append(circle)
            if place in ringed:
                leaders.draw(*leader)
            return
    placer.notes.unplaced.append(f"wall no. {view.index + 1}: {text}")


_TURNS = tuple(math.radians(angle) for angle in range(0, 360, 30))


def _around(centre: Point, distance: float, turn: float) -> Point:
    """The point `distance` from a centre in the direction `turn` [radians]."""
    return centre[0] + distance * math.cos(turn), centre[1] + distance * math.sin(turn)


def _baseboard(board: DrawingArea, ground: Ground, cut: BaseboardCut) -> None:
    """A strip along the wall where its baseboard comes off, told in the notes."""
    view, units = ground.scene.walls[cut.wall], ground.scene.brief.units
    out = max(ground.scene.brief.construction.baseboard_thickness, board.canvas.mm(0.8))
    board.canvas.rect(ground.rect(view, (cut.start, cut.end), (0.0, out)), layers.BEYOND)
    places = f"{format_short(cut.start, units)} to {format_short(cut.end, units)}"
    board.notes.remark(
        f"Baseboard of wall {cut.wall} comes off from {places}, "
        f"{format_short(cut.length, units)} long (dashed), for {cut.part}."
    )


def _carpet(board: DrawingArea, pack: BuildPack) -> None:
    """Where carpet is cut, if it is: under the uprights, which are drawn."""
    for wall in dict.fromkeys(cut.wall for cut in pack.carpet_cuts):
        places = ", ".join(
            f"{format_short(cut.start, pack.units)} to {format_short(cut.end, pack.units)} "
            f"({format_short(cut.depth, pack.units)} out)"
            for cut in pack.carpet_cuts
            if cut.wall == wall
        )
        board.notes.remark(f"Carpet of wall {wall} under uprights, if it is cut: {places}.")


def _remark(board: DrawingArea, ground: Ground) -> None:
    """General notes of the plan."""
    brief, notes = ground.scene.brief, board.notes
    units = "inches" if brief.units is Units.INCH else "millimetres"
    notes.remark(f"Sizes in {units}. Bays: clear width x depth.")
    if any(view.rods(bay) for view in ground.scene.walls.values() for bay in view.bays):
        notes.remark("Chain lines: rods.")
    bays = [bay for view in ground.scene.walls.values() for bay in view.bays]
    if any(bay.mid_supports for bay in bays):
        notes.remark("Dashed strips across bays: mid supports, each on a stud.")
    if any(Carried.CORNER in (bay.left, bay.right) for bay in bays):
        notes.remark("At a wrapped corner one wall's boards run through, the other's butt.")
    thickness = format_short(ground.thickness, brief.units)
    notes.remark(f"Walls are drawn {thickness} thick: their thickness was not measured.")
    if not all(studs_known(wall) for wall in brief.room.walls):
        notes.remark("Stud places not given are assumed: find the studs before fastening.")

"""Both ends of an elevation: what the adjoining walls' bays show at the corner.

Bays that stand near are outlined. Boards that run through a wrapped corner are shown cut,
and where boards butt against this wall's own, their ends are outlined. Cleats by which an
adjoining bay hangs on this wall are drawn as they are fastened here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from optimizer.domain.layout import Bay, Carried, ZoneKind
from optimizer.drawing.ink import layers
from optimizer.drawing.ink.canvas import Canvas, corners
from optimizer.drawing.ink.lettering import Rect
from optimizer.drawing.views.cleats import draw_on_studs, wall_cleat_heights, wall_cleat_reach
from optimizer.drawing.views.ends import Side, carried_at
from optimizer.drawing.views.frame import DrawingArea
from optimizer.drawing.views.scene import WallView, depth_of
from optimizer.geometry.outline import outline_of
from optimizer.structure.designs import wall_cleats


def corners_of(view: WallView) -> tuple[int | None, int | None]:
    """Walls that meet this one at inside corners: before its left end, after its right."""
    outline = outline_of(view.brief.room, view.brief.units)
    before = after = None
    for first, second in outline.inside_corners():
        if second == view.index:
            before = first
        if first == view.index:
            after = second
    return before, after


@dataclass(frozen=True)
class Corner:
    """One end of a wall at an inside corner, with the wall that it meets there."""

    view: WallView
    other: WallView
    side: Side

    def span(self, near: float, far: float) -> tuple[float, float]:
        """Places on this wall `near` to `far` from the corner, from left to right."""
        if self.side == "left":
            return near, far
        return self.view.length - far, self.view.length - near

    def gap(self, start: float, end: float) -> float:
        """Free wall between a stretch of the other wall and the corner."""
        return self.other.length - end if self.side == "left" else start

    @property
    def other_side(self) -> Side:
        """The end of the other wall's bays that looks at this corner."""
        return "right" if self.side == "left" else "left"

    def ending(self, carried: Carried) -> list[Bay]:
        """Bays of the other wall whose end at this corner is carried like that."""
        return [bay for bay in self.other.bays if carried_at(bay, self.other_side) is carried]

    @property
    def wrapped_here(self) -> bool:
        """Whether this wall's boards butt against the other's."""
        return any(carried_at(bay, self.side) is Carried.CORNER for bay in self.view.bays)


def corner_ends(view: WallView) -> list[Corner]:
    """The ends of this wall at inside corners."""
    walls = list(view.scene.walls.values())
    before, after = corners_of(view)
    left = [Corner(view, walls[before], "left")] if before is not None else []
    right = [Corner(view, walls[after], "right")] if after is not None else []
    return left + right


def draw_corners(board: DrawingArea, view: WallView) -> None:
    """What stands at both ends of the wall, with notes on how to read it."""
    # Bays of the next wall further from the corner than this wall's are deep cannot meet them.
    reach = max((bay.depth for bay in view.bays), default=0.0) + view.panel
    for corner in corner_ends(view):
        _outline_bays(board, corner, reach)
        for strip in _cleats_here(corner):
            draw_on_studs(board.canvas, view, strip)
        _draw_wrapped(board, corner)


def _outline_bays(board: DrawingArea, corner: Corner, reach: float) -> None:
    """Outlines of the other wall's bays that stand nearer to the corner than `reach`."""
    panel = corner.view.panel
    for bay in corner.other.bays:
        # Its upright stands before its clear space, towards the corner.
        if corner.gap(bay.start, bay.end) - panel >= reach:
            continue
        wall, front = _from_corner(corner, bay.depth)
        points = [(front, 0.0), (front, bay.height), (wall, bay.height)]
        board.canvas.lines(points, layers.BEYOND)
        board.notes.remark("Dashed outlines at a corner: bays of the adjoining wall.")


def _from_corner(corner: Corner, depth: float) -> tuple[float, float]:
    """The corner, and the place on this wall `depth` from it."""
    left, right = corner.span(0.0, depth)
    return (left, right) if corner.side == "left" else (right, left)


def _cleats_here(corner: Corner) -> Iterator[Rect]:
    """Cleats on this wall that carry the other wall's bay, and are not this wall's own back cleats
    as well."""
    start = corner.other.brief.construction.cleat_thickness
    for bay in corner.ending(Carried.WALL):
        structure = corner.view.scene.structure
        on_left = corner.other_side == "left"
        shared = {c.top for c in wall_cleats(structure, bay, left=on_left) if c.shared}
        left, right = corner.span(start, wall_cleat_reach(corner.other, bay))
        for low, high in wall_cleat_heights(corner.other, bay):
            if right > left and high not in shared:
                yield Rect(left, low, right, high)


def _draw_wrapped(board: DrawingArea, corner: Corner) -> None:
    """Boards of the other wall at a wrapped corner: cut where they run through, else on end."""
    canvas, notes = board.canvas, board.notes
    if corner.wrapped_here:
        for rect in _board_ends(corner, corner.ending(Carried.WALL)):
            _cut(canvas, rect)
            notes.remark(
                f"Hatched boards run through from wall {corner.other.wall.id}: the boards here "
                "butt against them, on joint cleats."
            )
    for rect in _board_ends(corner, corner.ending(Carried.CORNER)):
        canvas.rect(rect, layers.BEYOND)
        notes.remark(f"Boards of wall {corner.other.wall.id} butt against the dashed ends.")


def _board_ends(corner: Corner, bays: Iterable[Bay]) -> Iterator[Rect]:
    """Boards of the other wall seen on end."""
    for bay in bays:
        for zone in bay.zones:
            if zone.kind is ZoneKind.SHELF:
                left, right = corner.span(0.0, depth_of(zone, bay))
                yield Rect(left, zone.bottom - corner.view.panel, right, zone.bottom)


def _cut(canvas: Canvas, rect: Rect) -> None:
    """A board that is cut: outlined and hatched."""
    canvas.hatch([corners(rect)], spacing_mm=0.7)
    canvas.rect(rect, layers.SECTION)

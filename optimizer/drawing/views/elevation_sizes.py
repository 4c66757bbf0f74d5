"""Dimension chains around an elevation, with the rows of bay and upright ids under it."""

from __future__ import annotations

from collections.abc import Sequence

from optimizer.domain.layout import Bay
from optimizer.domain.pack import Part, PartKind
from optimizer.drawing.ink.chains import Line, draw_chain, draw_whole, links_of
from optimizer.drawing.ink.tags import Tag, draw_row, fit_level
from optimizer.drawing.views.elevation_wall import CUT
from optimizer.drawing.views.frame import DrawingArea
from optimizer.drawing.views.running_dimensions import KEY, draw_running
from optimizer.drawing.views.scene import WallView

_STEP = 2.2
"""Paper between one row or chain and the next [mm]."""


def draw_sizes(board: DrawingArea, view: WallView, parts: Sequence[Part]) -> None:
    """Ids and widths below the floor, heights at both sides, openings above the ceiling."""
    level = _rows(board, view, parts)
    _widths(board, view, parts, level)
    _heights(board, view)
    _surroundings(board, view)


def _rows(board: DrawingArea, view: WallView, parts: Sequence[Part]) -> float:
    """Bay ids, then ids of uprights and strips; the level below them."""
    canvas, notes = board.canvas, board.notes
    level = -canvas.mm(CUT + 0.6)
    bays = [Tag((bay.start + bay.end) / 2, bay.id, bold=True) for bay in view.bays]
    standing = _standing_tags(view, parts)
    # One row where all of it fits; else that of the bays, and the other below it.
    if fit_level(canvas, [*bays, *standing]):
        return draw_row(canvas, notes, [*bays, *standing], level)
    return draw_row(canvas, notes, standing, draw_row(canvas, notes, bays, level))


def _standing_tags(view: WallView, parts: Sequence[Part]) -> list[Tag]:
    """Ids of uprights and strips as in the pack; without one, what each strip is."""
    if not parts:
        return [Tag(strip.start + strip.width / 2, strip.kind) for strip in view.fillers]
    kinds = (PartKind.UPRIGHT, PartKind.FILLER, PartKind.SCRIBE, PartKind.HOOK_BOARD)
    standing = (part for part in parts if part.kind in kinds)
    return [Tag(part.box.along + part.box.size_along / 2, part.id) for part in standing]


def _widths(board: DrawingArea, view: WallView, parts: Sequence[Part], level: float) -> None:
    """Uprights, clear widths and left-overs end to end, then mid supports, then the whole wall."""
    canvas = board.canvas
    at = level - canvas.mm(_STEP)
    if view.bays or view.mounts:
        links = links_of(view.chain_points(), canvas.units)
        at -= canvas.mm(1.0)
        reach = draw_chain(canvas, links, Line(at, -1), 0.0)
        at -= reach + canvas.mm(_STEP + 1.0)
    places = [place for bay in view.bays for place in bay.mid_supports]
    if places:
        links = links_of((0.0, *sorted(places), view.length), canvas.units)
        at -= draw_chain(canvas, links, Line(at, -1), 0.0) + canvas.mm(_STEP + 1.0)
        board.notes.remark("The chain without uprights is to the middle of mid supports.")
    at -= draw_whole(canvas, 0.0, view.length, Line(at, -1), 0.0) + canvas.mm(_STEP)
    if parts:
        draw_running(canvas, parts, view.length, at, view.brief.construction.rod_allowance)
        board.notes.remark(KEY)


def _heights(board: DrawingArea, view: WallView) -> None:
    """Boards and rods of the end bays from the floor to the ceiling; then the whole height."""
    canvas = board.canvas
    left_top, right_top = view.height_at(0.0), view.height_at(view.length)
    first = view.bays[0] if view.bays else None
    last = view.bays[-1] if view.bays else None
    left = Line(-canvas.mm(CUT + 3.0), -1, upright=True)
    _stack(board, view, first, top=left_top, line=left, feature=0.0)
    # The right side only where it says something else than the left.
    other = last is not None and view.heights(last) != view.heights(view.bays[0])
    if other or right_top != left_top:
        at = view.length + canvas.mm(CUT + 5.5)
        bay = last if other else None
        line = Line(at, 1, upright=True)
        _stack(board, view, bay, top=right_top, line=line, feature=view.length)


def _stack(
    board: DrawingArea, view: WallView, bay: Bay | None, *, top: float, line: Line, feature: float
) -> None:
    """Heights of one bay from the floor up, and beyond them the whole height `top`.

    Without a bay the whole height alone. `feature` is where along the wall the heights are taken.
    """
    canvas = board.canvas
    inner = [h for h in view.heights(bay) if 0.0 < h < top] if bay is not None else []
    at = line.at
    if inner:
        reach = draw_chain(canvas, links_of((0.0, *inner, top), canvas.units), line, feature)
        at += line.away * (reach + canvas.mm(_STEP))
        # Figures of an upright line stand left of it: on this side between it and the one before.
        if line.away > 0:
            at += canvas.mm(2.5)
    draw_whole(canvas, 0.0, top, Line(at, line.away, upright=True), feature)


def _surroundings(board: DrawingArea, view: WallView) -> None:
    """Where openings, obstructions and boxes kept clear begin and end, over the ceiling."""
    canvas = board.canvas
    points = {0.0, view.length}
    spans = [(opening.start, opening.width) for opening in view.openings]
    spans += [(obstruction.start, obstruction.width) for obstruction in view.obstructions]
    spans += [(box.start, box.width) for box in view.keep_clear]
    for start, width in spans:
        points |= {start, start + width}
    # Nothing but the wall itself.
    if len(points) == 2:
        return
    inside = sorted(min(max(point, 0.0), view.length) for point in points)
    line = Line(view.top + canvas.mm(CUT + 4.0), 1)
    draw_chain(canvas, links_of(inside, canvas.units), line, view.top)

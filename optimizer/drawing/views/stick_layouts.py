"""Rods and strips as drawings: each length with the pieces cut from it."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

from optimizer.domain.sheets import StickLayout, StickResult
from optimizer.drawing.formats.drawing import Drawing
from optimizer.drawing.ink import layers
from optimizer.drawing.ink.canvas import Canvas
from optimizer.drawing.ink.labels import Placer, Spot
from optimizer.drawing.ink.lettering import Rect
from optimizer.drawing.views.frame import DrawingArea, Title, compose
from optimizer.drawing.views.picture import compose_picture
from optimizer.drawing.views.sheet_layouts import size_text
from optimizer.units import Units, format_short

STICKS_PER_PAGE = 14

_BAR = 4.6
"""Height of a stick on paper, not to scale [mm]."""

_PITCH = 8.6
"""Distance of sticks on paper [mm]."""


def draw_sticks(
    result: StickResult,
    units: Units,
    project: str = "",
    *,
    what: str = "Rods and strips",
    date: datetime.date | None = None,
) -> tuple[Drawing, ...]:
    """Sticks with the pieces cut from them, from the left end; several to a drawing."""
    sticks = result.sticks
    pages = [sticks[i : i + STICKS_PER_PAGE] for i in range(0, len(sticks), STICKS_PER_PAGE)]
    drawings = []
    for number, page in enumerate(pages, 1):
        tail = f", {number} of {len(pages)}" if len(pages) > 1 else ""
        title = Title(project, f"{what}{tail}", units, date)
        name = f"{what.lower().replace(' ', '-')}-{number}"
        drawings.append(_draw_sticks(name, title, page, result.statement))
    return tuple(drawings)


def _draw_sticks(name: str, title: Title, sticks: Sequence[StickLayout], statement: str) -> Drawing:
    """One page of sticks."""
    longest = max(stick.length for stick in sticks)

    def paint(board: DrawingArea) -> None:
        """The sticks, and how they are cut."""
        _paint_rows(board, sticks)
        board.notes.remark(f"{statement[:1].upper()}{statement[1:]}.")
        board.notes.remark("Cut from the left end. Only lengths are to scale.")

    # Sticks are to scale in length alone: their height is on paper and says nothing of the scale.
    return compose(name, title, (longest, longest / 1000), paint)


def picture_sticks(
    result: StickResult, units: Units, what: str, room: tuple[float, float]
) -> tuple[Drawing, ...]:
    """The same without frame and notes, on pictures of at most `room` (width, height [mm])."""
    rows = max(1, int(room[1] / _PITCH))
    pages = [result.sticks[i : i + rows] for i in range(0, len(result.sticks), rows)]
    return tuple(_picture(f"{what.lower()}-{n}", page, units, room) for n, page in enumerate(pages))


def _picture(
    name: str, sticks: Sequence[StickLayout], units: Units, room: tuple[float, float]
) -> Drawing:
    """One page of sticks without frame and notes."""
    longest = max(stick.length for stick in sticks)
    bare = (longest, longest / 1000)
    return compose_picture(name, units, bare, lambda board: _paint_rows(board, sticks), room)


def _paint_rows(board: DrawingArea, sticks: Sequence[StickLayout]) -> None:
    """The sticks one under the other."""
    for row, stick in enumerate(sticks):
        _paint_stick(board, stick, -row * board.canvas.mm(_PITCH))


def _paint_stick(board: DrawingArea, stick: StickLayout, top: float) -> None:
    """One stick with its pieces; `top` is the level of its upper edge."""
    canvas: Canvas = board.canvas
    units = canvas.units
    bottom = top - canvas.mm(_BAR)
    canvas.rect(Rect(0.0, bottom, stick.length, top), layers.FRAME)
    for part in stick.parts:
        rect = Rect(part.start, bottom, part.end, top)
        canvas.rect(rect, layers.PART)
        placer = Placer(canvas, board.notes, rect)
        x, y = rect.centre
        gap = canvas.mm(1.15)
        # On one line, else on two, else the id alone, else a number for the notes.
        size = size_text(part.length, units)
        if placer.try_text(f"{part.part}, {size}", [Spot((x, y))]):
            continue
        if placer.try_text(part.part, [Spot((x, y + gap))], heights=(1.6,)):
            placer.try_text(size, [Spot((x, y - gap))], heights=(1.6,))
            continue
        placer.label(f"{part.part}, {size}", [Spot((x, y))], where=f"length {stick.number}")
    head = f"{stick.number}: {format_short(stick.length, units)}"
    if stick.stock.name:
        head = f"{head} {stick.stock.name}"
    if stick.offcut:
        head = f"{head}, {size_text(stick.offcut, units)} left over"
    canvas.text(head, (0.0, top + canvas.mm(1.7)), 1.6, align="left")

"""Stick-on labels, one for each piece, on sheets of labels in the usual sizes."""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import Any

from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.units import inch, mm
from reportlab.pdfgen.canvas import Canvas

from optimizer.delivery.delivery import Delivery
from optimizer.domain.pack import Part
from optimizer.drawing.formats.pdf import draw_words
from optimizer.drawing.formats.typeface import runs
from optimizer.drawing.ink.lettering import CAP_HEIGHT, printable, text_width
from optimizer.drawing.ink.names import wall_title
from optimizer.units import Units, format_short


@dataclass(frozen=True, slots=True)
class _Grid:
    """Labels on a page [points]: so many across and down, from the upper left corner."""

    page: tuple[float, float]
    across: int
    down: int
    size: tuple[float, float]
    left: float
    top: float
    gap: float


_GRIDS = {
    Units.INCH: _Grid(LETTER, 3, 10, (2.625 * inch, 1.0 * inch), 0.1875 * inch, 0.5 * inch, 9.0),
    Units.MILLIMETRE: _Grid(A4, 3, 8, (70.0 * mm, 37.0 * mm), 0.0, 0.5 * mm, 0.0),
}
"""30 labels of 2-5/8 x 1 in on Letter, 24 of 70 x 37 mm on A4: common practice."""

_INSET = 7.0
_LARGE = (15.0, 12.0, 10.0, 8.0, 6.0)
"""Sizes tried for the mark, from the largest [points]."""


def labels_document(delivery: Delivery) -> bytes:
    """A label for each piece in the order of the cut list: its mark, what it is, its size."""
    grid = _GRIDS[delivery.brief.units]
    target = io.BytesIO()
    # Invariant: no date and no random id in the file, so that equal packs are equal bytes.
    canvas = Canvas(target, pagesize=grid.page, invariant=1, pageCompression=1)
    canvas.setTitle(f"{delivery.brief.name or 'Closet'}: part labels")
    canvas.setCreator("closet layout optimizer")
    each = grid.across * grid.down
    pieces = _pieces(delivery)
    for number, (row, part) in enumerate(pieces):
        place = number % each
        if number and not place:
            canvas.showPage()
        down, across = divmod(place, grid.across)
        x = grid.left + across * (grid.size[0] + grid.gap)
        # The page counts from its foot up, labels from the top down.
        y = grid.page[1] - grid.top - (down + 1) * grid.size[1]
        _label(canvas, (x, y), grid, _words(row, part, delivery.brief.units), part.id)
    canvas.showPage()
    canvas.save()
    return target.getvalue()


def _pieces(delivery: Delivery) -> list[tuple[int, Part]]:
    """Every single piece with the row of the cut list that it is in."""
    parts = {part.id: part for part in delivery.pack.parts}
    return [
        (row.row, parts[name])
        for row in delivery.pack.cut_list
        for name in row.parts
        for _ in range(parts[name].count)
    ]


def _words(row: int, part: Part, units: Units) -> tuple[str, ...]:
    """The lines of small print on a label."""
    size = " x ".join(format_short(one, units) for one in (part.length, part.width, part.thickness))
    bays = ", ".join(part.bays)
    shows = f"shows: {', '.join(part.shown)}" if part.shown else ""
    return (
        f"{part.name}, cut list row {row}",
        size,
        f"{wall_title(part.wall)}, {bays}",
        shows,
    )


def _label(
    canvas: Any, at: tuple[float, float], grid: _Grid, words: tuple[str, ...], mark: str
) -> None:
    """One label at its place on the sheet."""
    room = grid.size[0] - 2 * _INSET
    x, y = at[0] + _INSET, at[1] + grid.size[1] - _INSET
    name = printable(mark)
    # As large as the label takes: a piece is found by its mark.
    size = next((s for s in _LARGE if text_width(name, s * CAP_HEIGHT, True) <= room), _LARGE[-1])
    y -= size * CAP_HEIGHT
    text = canvas.beginText(x, y)
    for font, piece in runs(name, True):
        text.setFont(font, size)
        text.textOut(piece)
    canvas.drawText(text)
    for line in words:
        y -= 10.0
        draw_words(canvas, line, (x, y), size=7.5, room=room)

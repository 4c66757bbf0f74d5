"""A drawing on a PDF page: vectors with real text, in points of the page."""

from __future__ import annotations

import io
from functools import cache
from typing import TYPE_CHECKING, Any

from reportlab.lib.colors import Color, HexColor
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

from optimizer.drawing.formats.strokes import Fill, Letters, Look, Step, settled
from optimizer.drawing.formats.typeface import runs
from optimizer.drawing.ink.layers import font_size
from optimizer.drawing.ink.lettering import CAP_HEIGHT, printable, shortened, text_width

if TYPE_CHECKING:
    from optimizer.drawing.formats.drawing import Drawing

_DOT_MM = 0.01
"""Length given to a stroke of none, so that every reader shows its round cap [mm]."""


def pdf_of(drawing: Drawing) -> bytes:
    """The drawing as a PDF of one page in its paper's size, the same bytes each time."""
    paper = drawing.page.paper
    target = io.BytesIO()
    size = (paper.width * mm, paper.height * mm)
    canvas = Canvas(target, pagesize=size, invariant=1, pageCompression=1)
    canvas.setTitle(drawing.title)
    canvas.setCreator("closet layout optimizer")
    paint(drawing, canvas)
    canvas.showPage()
    canvas.save()
    return target.getvalue()


def paint(drawing: Drawing, canvas: Any) -> None:
    """Paint the drawing on a reportlab canvas, its paper's lower left corner at the origin."""
    painter = _Painter(drawing, canvas)
    canvas.saveState()
    # Round, as in SVG, so that strokes which meet at a corner leave no notch.
    canvas.setLineCap(1)
    canvas.setLineJoin(1)
    for primitive in drawing.strokes:
        if isinstance(primitive, Letters):
            painter.letters(primitive)
        else:
            painter.path(primitive.path, primitive.look, filled=isinstance(primitive, Fill))
    canvas.restoreState()


def draw_words(
    canvas: Any, words: str, at: tuple[float, float], *, size: float, room: float
) -> None:
    """One line of words from `at`, cut short where it has no more `room` [points]."""
    height = size * CAP_HEIGHT
    text = canvas.beginText(*at)
    for font, piece in runs(shortened(printable(words), room, height)):
        text.setFont(font, size)
        text.textOut(piece)
    canvas.drawText(text)


@cache
def _colour(name: str) -> Color:
    """A colour by its #rrggbb, read once."""
    return HexColor(name)


class _Painter:
    """Paints the primitives of one drawing on a canvas of reportlab."""

    def __init__(self, drawing: Drawing, canvas: Any) -> None:
        """The canvas's origin is the lower left corner of the drawing's paper."""
        self.page = drawing.page
        self.canvas = canvas

    def _at(self, point: tuple[float, float]) -> tuple[float, float]:
        """A point of the drawing on the page [points]."""
        x, y = self.page.to_mm(*point)
        return settled(x * mm), settled(y * mm)

    def path(self, steps: tuple[Step, ...], look: Look, *, filled: bool) -> None:
        """A stroke in its weight, or an area in its colour."""
        canvas = self.canvas
        path = canvas.beginPath()
        for number, (command, points) in enumerate(steps):
            places = [self._at(point) for point in points]
            if command == "M":
                # Each outline of an area with holes closed before the next begins: an open one
                # would be joined to it.
                if filled and number:
                    path.close()
                path.moveTo(*places[0])
            elif command == "L":
                here = self._at(steps[number - 1][1][-1])
                # A stroke without length would print nothing: a dot.
                dot = _DOT_MM * mm if places[0] == here else 0.0
                path.lineTo(places[0][0] + dot, places[0][1])
            else:
                (x1, y1), (x2, y2), (x3, y3) = places
                path.curveTo(x1, y1, x2, y2, x3, y3)
        if filled:
            path.close()
            canvas.setFillColor(_colour(look.colour))
        else:
            canvas.setStrokeColor(_colour(look.colour))
            canvas.setLineWidth(look.weight * mm)
        # Fill mode 0 is even-odd: an outline within another one is a hole.
        canvas.drawPath(path, stroke=int(not filled), fill=int(filled), fillMode=0)

    def letters(self, letters: Letters) -> None:
        """A line of text, squeezed or stretched to the width that the drawing reckons with."""
        canvas = self.canvas
        height = letters.height / self.page.unit_per_mm * mm
        size = font_size(height)
        width = text_width(letters.text, height, letters.bold)
        pieces = runs(letters.text, letters.bold)
        # Reader and drawing may count letters of other scripts differently: the width is forced.
        natural = sum(stringWidth(piece, font, size) for font, piece in pieces)
        canvas.saveState()
        canvas.translate(*self._at(letters.at))
        canvas.rotate(letters.rotation)
        canvas.setFillColor(_colour(letters.look.colour))
        # Aligned by the width that the drawing reckons with; reportlab's own alignment would use
        # the font's.
        start = {"left": 0.0, "centre": -width / 2, "right": -width}[letters.align]
        text = canvas.beginText(start, -height / 2)
        if natural > 0:
            text.setHorizScale(100.0 * width / natural)
        for font, piece in pieces:
            text.setFont(font, size)
            text.textOut(piece)
        canvas.drawText(text)
        canvas.restoreState()

"""A drawing without frame, notes and title block, made to fit a box on a page of text."""

from __future__ import annotations

from optimizer.drawing.formats.drawing import Drawing, Page
from optimizer.drawing.ink.canvas import Canvas
from optimizer.drawing.ink.lettering import Rect
from optimizer.drawing.ink.paper import Paper
from optimizer.drawing.views.frame import DrawingArea, Paint
from optimizer.units import Units

_TRIES = 8
"""Steps at most until lettering, whose size on paper is fixed, fits in as well."""

_AIR = 1.0
"""Free paper around the picture [mm]."""


def compose_picture(
    name: str,
    units: Units,
    bare: tuple[float, float],
    paint: Paint,
    room: tuple[float, float],
) -> Drawing:
    """The drawing that `paint` makes, as large as `room` (width, height [mm]) takes.

    `bare` is the width and height of the thing itself [brief units]. The picture is to no
    round scale, and its paper is just as large as it is; what `paint` notes is left out.
    """
    # As if there were no lettering; never 0, for a picture of nothing.
    per_mm = max(bare[0] / room[0], bare[1] / room[1], 1e-6)
    for _ in range(_TRIES):
        extents = _extents(units, per_mm, paint)
        over = max(
            extents.width / per_mm / (room[0] - 2 * _AIR),
            extents.height / per_mm / (room[1] - 2 * _AIR),
        )
        if over <= 1.0:
            break
        # A little more than asked, for lettering does not shrink with the picture.
        per_mm *= max(over, 1.005)
    board = DrawingArea(Canvas(units, per_mm))
    paint(board)
    extents = (board.canvas.extents or Rect(0, 0, 1, 1)).grown(_AIR * per_mm)
    paper = Paper(name, extents.width / per_mm, extents.height / per_mm)
    # The paper is cut to the picture: what holds it need know no margins.
    page = Page(paper, (extents.left, extents.bottom), per_mm)
    return Drawing(name, name, page, board.canvas.doc)


def _extents(units: Units, per_mm: float, paint: Paint) -> Rect:
    """How large a picture gets at a scale, lettering included [drawing units]."""
    board = DrawingArea(Canvas(units, per_mm, dry=True))
    paint(board)
    return board.canvas.extents or Rect(0, 0, 1, 1)

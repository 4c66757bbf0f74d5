"""The sheet: frame, title block and notes column, and the choice of paper and scale."""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from optimizer.drawing.formats.drawing import Drawing, Page
from optimizer.drawing.ink import layers
from optimizer.drawing.ink.canvas import Canvas
from optimizer.drawing.ink.labels import Notes
from optimizer.drawing.ink.lettering import Rect, fitting_height, shortened, wrapped
from optimizer.drawing.ink.paper import PAPERS, SCALES, Paper, Scale
from optimizer.units import Units

MARGIN = 7.0
"""Free edge of the paper around the frame [mm]."""

TITLE_HEIGHT = 13.0
"""Title block along the foot of the frame [mm]."""

COLUMN = 50.0
"""Width of a column of notes [mm]."""

_GAP = 2.5
"""Paper between the drawing and the lines around it [mm]."""

_NOTE_HEIGHT = 1.8
_NOTE_LINE = 3.2
_SITE = "Check all sizes on site before cutting."


@dataclass(frozen=True, slots=True)
class Title:
    """What the title block says."""

    project: str
    sheet: str
    units: Units
    date: datetime.date | None = None
    to_scale: bool = True


@dataclass
class DrawingArea:
    """A canvas with its notes: what a drawing is painted on."""

    canvas: Canvas
    notes: Notes = field(default_factory=Notes)


Paint = Callable[[DrawingArea], None]


def compose(
    name: str,
    title: Title,
    bare: tuple[float, float],
    paint: Paint,
    *,
    finest: float = math.inf,
    widest: float = math.inf,
) -> Drawing:
    """The drawing that `paint` makes, on the smallest paper that holds it: Letter or A4, which
    every printer has, for anything but a very large room.

    `bare` is the width and height of the thing itself [brief units], used to leave out
    scales at which it could not fit. The largest scale that holds everything is taken. The
    next larger paper is taken where that shows the thing at no less than 1:`finest`. It is no
    wider on paper than `widest` [mm] wherever a smaller scale keeps all lettering in its place.
    """
    found: tuple[Paper, Scale] | None = None
    for size, paper in enumerate(PAPERS[title.units]):
        # Larger paper than is at hand only for what fits on none of that.
        if found is not None and size >= _AT_HAND:
            break
        scale = _largest(paper, title.units, bare, paint)
        if scale is not None and (found is None or scale.ratio <= finest):
            found = (paper, scale)
            if scale.ratio <= finest:
                break
    paper, scale = found or _on_a_roll(title.units, paint)
    if widest < math.inf:
        paper, scale = _narrower(paper, scale, title.units, paint, widest)
    # Painted once more, at the scale chosen.
    board = DrawingArea(Canvas(title.units, scale.unit_per_mm(title.units)))
    paint(board)
    return _finished(name, title, paper, scale, board)


_AT_HAND = 2
"""Sizes of paper, from the smallest, that most can print."""


def _scales(paper: Paper, units: Units, bare: tuple[float, float]) -> Iterator[Scale]:
    """Scales at which the bare thing fits into the frame, from the largest."""
    # Without notes: how many there will be is known only once it is painted at that scale.
    view = _view(paper, 0)
    for scale in SCALES[units]:
        per_mm = scale.unit_per_mm(units)
        if bare[0] <= view.width * per_mm and bare[1] <= view.height * per_mm:
            yield scale


def _largest(paper: Paper, units: Units, bare: tuple[float, float], paint: Paint) -> Scale | None:
    """The largest scale at which all fits beside its notes."""
    for scale in _scales(paper, units, bare):
        # Dry: labels are placed and measured all the same, and no document is made for a scale that
        # is only tried.
        board = DrawingArea(Canvas(units, scale.unit_per_mm(units), dry=True))
        paint(board)
        if _fits(board, paper):
            return scale
        # Smaller still there would only be more notes.
        if _columns(board.notes, paper) * COLUMN > _MOST_NOTES * paper.width:
            return None
    return None


_MOST_NOTES = 0.6
"""Largest share of a paper's width that notes may take."""


def _narrower(
    paper: Paper, scale: Scale, units: Units, paint: Paint, widest: float
) -> tuple[Paper, Scale]:
    """The largest scale, from `scale` on, at which the drawing is no wider than `widest` [mm], or
    the last one before more of its lettering moves to the notes, if that comes first; with its
    smallest paper."""
    most: int | None = None
    for other in SCALES[units]:
        if other.ratio < scale.ratio:
            continue
        board = DrawingArea(Canvas(units, other.unit_per_mm(units), dry=True))
        paint(board)
        moved = len(board.notes.keyed) + len(board.notes.unplaced)
        most = moved if most is None else most
        extents = board.canvas.extents
        # Never at the cost of lettering: what stands at its place stays there.
        if moved > most:
            break
        paper = next((own for own in PAPERS[units] if _fits(board, own)), paper)
        scale = other
        if extents is None or extents.width <= board.canvas.mm(widest):
            break
    return paper, scale


def _fits(board: DrawingArea, paper: Paper) -> bool:
    """Whether a drawing goes into the frame of a paper, beside its own notes."""
    view = _view(paper, _columns(board.notes, paper))
    extents = board.canvas.extents
    if extents is None:
        return True
    mm = board.canvas.mm
    return extents.width <= mm(view.width) and extents.height <= mm(view.height)


def _on_a_roll(units: Units, paint: Paint) -> tuple[Paper, Scale]:
    """The last resort for a drawing that no sheet holds: paper from a roll, as it takes."""
    scale = SCALES[units][-1]
    # Painted dry, to learn its size and its notes.
    board = DrawingArea(Canvas(units, scale.unit_per_mm(units), dry=True))
    paint(board)
    extents = board.canvas.extents or Rect(0, 0, 1, 1)
    per_mm = board.canvas.unit_per_mm
    height = max(extents.height / per_mm + 2 * MARGIN + TITLE_HEIGHT + 2 * _GAP, 400.0)
    columns = _columns(board.notes, Paper("Roll", 0.0, height))
    width = extents.width / per_mm + 2 * MARGIN + 2 * _GAP + columns * COLUMN
    return Paper("Roll", max(width, 600.0), height), scale


def _view(paper: Paper, columns: int) -> Rect:
    """Room for the drawing inside the frame [mm from the paper's lower left corner]."""
    return Rect(
        MARGIN + _GAP,
        MARGIN + TITLE_HEIGHT + _GAP,
        paper.width - MARGIN - _GAP - columns * COLUMN,
        paper.height - MARGIN - _GAP,
    )


def _note_lines(notes: Notes) -> list[tuple[str, bool]]:
    """Lines of the notes column with whether each is a heading."""
    width = COLUMN - 2 * _GAP
    lines: list[tuple[str, bool]] = []
    groups = (
        ("KEY", [f"{n}  {text}" for n, text in enumerate(notes.keyed, 1)] + notes.told_apart),
        ("NOTES", [*notes.general, _SITE]),
        ("CAUTION", notes.cautions),
    )
    for heading, texts in groups:
        if texts:
            lines += [("", False)] if lines else []
            lines.append((heading, True))
        for text in texts:
            lines += [(line, False) for line in wrapped(text, width, _NOTE_HEIGHT)]
    return lines


def _lines_per_column(paper: Paper) -> int:
    """How many lines of notes a column has room for."""
    return int((paper.height - 2 * MARGIN - TITLE_HEIGHT - 2 * _GAP) / _NOTE_LINE)


def _columns(notes: Notes, paper: Paper) -> int:
    """Columns that the notes take on `paper`."""
    return -(-len(_note_lines(notes)) // _lines_per_column(paper))


def _finished(name: str, title: Title, paper: Paper, scale: Scale, board: DrawingArea) -> Drawing:
    """Put the painted board in the middle of its paper, with frame, notes and title block."""
    canvas = board.canvas
    columns = _columns(board.notes, paper)
    view = _view(paper, columns)
    extents = canvas.extents or Rect(0, 0, 0, 0)
    centre, middle = extents.centre, view.centre
    origin = (centre[0] - canvas.mm(middle[0]), centre[1] - canvas.mm(middle[1]))
    page = Page(paper, origin, canvas.unit_per_mm)
    furniture = _Furniture(canvas, page)
    furniture.frame(columns)
    furniture.notes(board.notes, columns)
    furniture.title_block(title, scale)
    return Drawing(name, title.sheet, page, canvas.doc, len(board.notes.unplaced))


class _Furniture:
    """Frame, notes and title block, placed in mm from the paper's lower left corner."""

    def __init__(self, canvas: Canvas, page: Page) -> None:
        """Draws on the canvas of the drawing itself, at its scale, around what is painted."""
        self.canvas = canvas
        self.page = page

    def _at(self, x: float, y: float) -> tuple[float, float]:
        """A place of the drawing [drawing units] by its place on paper [mm]."""
        return self.page.origin[0] + self.canvas.mm(x), self.page.origin[1] + self.canvas.mm(y)

    def _rect(self, rect: Rect, layer: layers.Layer) -> None:
        """The outline of a rectangle given on paper [mm]."""
        left, bottom = self._at(rect.left, rect.bottom)
        right, top = self._at(rect.right, rect.top)
        self.canvas.rect(Rect(left, bottom, right, top), layer)

    def frame(self, columns: int) -> None:
        """The frame, and lines beside the columns of notes."""
        paper = self.page.paper
        self._rect(Rect(MARGIN, MARGIN, paper.width - MARGIN, paper.height - MARGIN), layers.FRAME)
        for column in range(1, columns + 1):
            x = paper.width - MARGIN - column * COLUMN
            foot, top = MARGIN + TITLE_HEIGHT, paper.height - MARGIN
            self.canvas.line(self._at(x, foot), self._at(x, top), layers.BLOCK)

    def notes(self, notes: Notes, columns: int) -> None:
        """The notes, from the top of the leftmost column."""
        paper = self.page.paper
        per_column = _lines_per_column(paper)
        for number, (line, heading) in enumerate(_note_lines(notes)):
            column, row = divmod(number, per_column)
            x = paper.width - MARGIN - (columns - column) * COLUMN + _GAP
            y = paper.height - MARGIN - _GAP - (row + 0.5) * _NOTE_LINE
            self.canvas.text(
                line, self._at(x, y), _NOTE_HEIGHT, align="left", bold=heading, layer=layers.BLOCK
            )

    def title_block(self, title: Title, scale: Scale) -> None:
        """Cells along the foot of the frame, the project's name in the widest."""
        paper = self.page.paper
        units = "inches" if title.units is Units.INCH else "millimetres"
        date = title.date.isoformat() if title.date else ""
        cells = (
            ("SHEET", title.sheet, 0.30),
            ("SCALE", scale.text if title.to_scale else "not to scale", 0.14),
            ("UNITS", units, 0.11),
            ("PAPER", paper.name, 0.09),
            ("DATE", date, 0.10),
        )
        width = paper.width - 2 * MARGIN
        left = MARGIN
        # What the other cells leave.
        project = ("PROJECT", title.project, 1.0 - sum(share for *_, share in cells))
        for heading, text, share in (project, *cells):
            right = left + share * width
            self._cell(Rect(left, MARGIN, right, MARGIN + TITLE_HEIGHT), heading, text)
            left = right

    def _cell(self, cell: Rect, heading: str, text: str) -> None:
        """One field of the title block: a small heading, and a text as large as fits."""
        self._rect(cell, layers.BLOCK)
        x = cell.left + 2.0
        top = cell.top - 2.2
        self.canvas.text(heading, self._at(x, top), 1.5, align="left", layer=layers.BLOCK)
        room = cell.width - 4.0
        height = fitting_height(text, room, (3.2, 2.8, 2.4, 2.0))
        if height is not None:
            self._words(text, x, cell.bottom + 4.4, height)
            return
        lines = wrapped(text, room, 1.8)
        if len(lines) > _MOST_LINES:
            rest = " ".join(lines[_MOST_LINES - 1 :])
            lines = [*lines[: _MOST_LINES - 1], shortened(rest, room, 1.8)]
        for number, line in enumerate(lines):
            self._words(line, x, cell.top - 5.0 - number * 2.8, 1.8)

    def _words(self, text: str, x: float, y: float, height: float) -> None:
        """A line of lettering from a place on paper [mm]."""
        # Bold is wider than what was measured: only short texts get it.
        self.canvas.text(text, self._at(x, y), height, align="left", layer=layers.BLOCK)


_MOST_LINES = 3

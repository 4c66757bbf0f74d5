"""Sheet layouts as drawings: parts with their ids, cuts by number."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from itertools import groupby

from optimizer.domain.sheets import (
    PAIRED,
    CutStage,
    NestingResult,
    Offcut,
    PlacedPart,
    SheetCut,
    SheetLayout,
)
from optimizer.domain.sheets import Box as SheetBox
from optimizer.drawing.formats.drawing import Drawing
from optimizer.drawing.ink import layers
from optimizer.drawing.ink.canvas import Point
from optimizer.drawing.ink.chains import Line, draw_whole
from optimizer.drawing.ink.labels import Placer, Spot
from optimizer.drawing.ink.lettering import Rect, text_width
from optimizer.drawing.views.frame import DrawingArea, Title, compose
from optimizer.tolerances import TOUCH
from optimizer.units import Units, format_inches

_WORDS = {CutStage.EDGE: "trim edge", CutStage.TRIM: "trim to"}
"""Cuts that bring to size; of the others those along the sheet are rips, those across crosscuts."""

_FROM_OFFCUTS = "from offcuts: "
_MARK = 1.7
"""Radius of a cut's number on paper [mm]."""

_SMALL_MARK = 1.25
"""The same where cuts are many."""

_TWO_LINES = 7.0
"""Shortest side of a piece that takes two lines [mm]."""

_SMALL = (2.0, 1.8, 1.6, 1.4)
"""Heights tried for labels of small pieces [mm]."""

_BESIDE = (1.6, 1.4)
"""Heights tried for labels beside the sheet [mm]: long ones would make the sheet smaller."""

_LEADER = 35.0
"""Longest line from a piece to its label beside the sheet [mm]."""

_TIGHT = 0.2
"""Paper kept free around labels of small pieces [mm]."""

_PAIR_IN = 96.0
"""Two whole sheets share a drawing for paper: so much of their width is on it [in]."""

_GAP_IN = 9.5
"""What the paper between two sheets takes of that [in]."""

_BETWEEN = 15.0
"""Paper between two sheets on one drawing [mm]: room for a dimension and the cuts' numbers."""


def draw_sheets(
    result: NestingResult,
    units: Units,
    project: str = "",
    *,
    date: datetime.date | None = None,
    cautions: Sequence[str] = (),
) -> tuple[Drawing, ...]:
    """One drawing for each sheet, its cuts numbered in cutting order and listed beside it.

    `cautions` stand in the notes of every sheet.
    """
    total = len(result.sheets)
    copies = _with_copies(result)
    drawings = []
    for sheet in result.sheets:
        title = Title(project, f"Sheet {sheet.number} of {total}", units, date)
        drawings.append(_draw_sheet(sheet, title, copies, cautions))
    return tuple(drawings)


def draw_sheet_pairs(
    result: NestingResult,
    units: Units,
    project: str = "",
    *,
    date: datetime.date | None = None,
    cautions: Sequence[str] = (),
) -> tuple[Drawing, ...]:
    """The same sheets two to a drawing, or more narrow ones, one over the other: for paper, where
    pages count. One with pieces too small to be marked beside another has a drawing to itself."""
    copies, drawings = _with_copies(result), []

    def drawn(some: Sequence[SheetLayout]) -> Drawing:
        """One drawing of these sheets, with their numbers in its title."""
        first, last = some[0].number, some[-1].number
        numbers = f"{first} to {last}" if len(some) > 2 else f"{first} and {last}"
        numbers = str(first) if first == last else numbers
        # One sheet may be left alone, at the end or where pieces are too small.
        words = f"Sheet{'s' if len(some) > 1 else ''} {numbers} of {len(result.sheets)}"
        return _draw_pair(some, Title(project, words, units, date), copies, cautions)

    left = list(result.sheets)
    while left:
        some = left[: _to_a_page(left, units)]
        drawing = drawn(some)
        # Apart where that leaves fewer pieces unmarked.
        # A sheet by itself is drawn larger, so that more of its labels find room.
        if drawing.unplaced and len(some) > 1:
            apart = [drawn(some[:1]), drawn(some[1:])]
            if sum(one.unplaced for one in apart) < drawing.unplaced:
                some, drawing = some[:1], apart[0]
        drawings.append(drawing)
        del left[: len(some)]
    return tuple(drawings)


def _to_a_page(sheets: Sequence[SheetLayout], units: Units) -> int:
    """How many of the first sheets share a drawing: two, or more narrow ones."""
    room, many = _PAIR_IN + 2 * _GAP_IN, 0
    for sheet in sheets:
        room -= units.to_inch(sheet.height) + _GAP_IN
        if room < -TOUCH:
            break
        many += 1
    return max(many, 1)


def _draw_pair(
    pair: Sequence[SheetLayout], title: Title, copies: frozenset[str], cautions: Sequence[str]
) -> Drawing:
    """Two sheets one over the other, or the last one alone."""

    def paint(board: DrawingArea) -> None:
        """The sheets from the bottom up, then the notes of each."""
        lift = 0.0
        # From the bottom of the page up, so that the first stands on top.
        for sheet in reversed(pair):
            _SheetPainter(board, sheet, copies, lift).paint()
            name = f"Sheet {sheet.number}"
            at = (-board.canvas.mm(12.5), lift + sheet.height / 2)
            board.canvas.text(name, at, 2.2, rotation=90, bold=True)
            lift += sheet.height + board.canvas.mm(_BETWEEN)
        for sheet in pair:
            remark_sheet(board, sheet, heading=True)
        board.notes.cautions += cautions

    size = (max(sheet.width for sheet in pair), sum(sheet.height for sheet in pair))
    return compose(f"sheets-{pair[0].number}", title, size, paint)


def _with_copies(result: NestingResult) -> frozenset[str]:
    """Parts of which there is more than one piece."""
    pieces = (part for sheet in result.sheets for part in sheet.parts)
    return frozenset(part.part for part in pieces if part.copy_number > 1)


def _draw_sheet(
    sheet: SheetLayout, title: Title, copies: frozenset[str], cautions: Sequence[str]
) -> Drawing:
    """One sheet by itself."""

    def paint(board: DrawingArea) -> None:
        """The sheet with its notes."""
        _SheetPainter(board, sheet, copies).paint()
        remark_sheet(board, sheet)
        board.notes.cautions += cautions

    return compose(f"sheet-{sheet.number}", title, (sheet.width, sheet.height), paint)


def size_text(length: float, units: Units) -> str:
    """A length on a sheet: to 1/32 in, where trims come to that, or to 0.1 mm."""
    if units is Units.INCH:
        return format_inches(length, 32)
    return f"{length:.1f}".removesuffix(".0")


def cut_lines(cuts: Sequence[SheetCut], units: Units) -> list[str]:
    """What to set the saw to, cut by cut; cuts in a row at one setting share a line, and those
    of offcuts, which come last, a heading."""
    lines, told = [], False
    settings = groupby(cuts, key=lambda cut: (_word(cut), size_text(cut.size, units), _late(cut)))
    for (word, size, late), same in settings:
        numbers = [cut.number for cut in same]
        span = str(numbers[0]) if len(numbers) == 1 else f"{numbers[0]}-{numbers[-1]}"
        lines.append(f"{_FROM_OFFCUTS if late and not told else ''}{span} {word} {size}")
        told = told or late
    return lines


def _word(cut: SheetCut) -> str:
    """What a cut is called."""
    return _WORDS.get(cut.stage, "rip" if cut.along_x else "crosscut")


def _late(cut: SheetCut) -> bool:
    """Whether a cut is made in an offcut."""
    return cut.stage is CutStage.OFFCUT


class _SheetPainter:
    """Paints one sheet on a board, its lower left corner at (0, `lift`)."""

    def __init__(
        self, board: DrawingArea, sheet: SheetLayout, copies: frozenset[str], lift: float = 0.0
    ) -> None:
        """`copies` are the parts of which there are several pieces: only those are numbered."""
        self.board = board
        self.canvas = board.canvas
        self.units = board.canvas.units
        self.sheet = sheet
        self.copies = copies
        self.lift = lift
        self.placer = Placer(board.canvas, board.notes, None)

    def _rect(self, box: SheetBox) -> Rect:
        """A piece of the sheet as a rectangle of the drawing."""
        return Rect(box.x, box.y + self.lift, box.right, box.top + self.lift)

    def paint(self) -> None:
        """Sheet, offcuts, parts and cuts, then lettering."""
        canvas, sheet = self.canvas, self.sheet
        foot, top = self.lift, self.lift + sheet.height
        outline = Rect(0.0, foot, sheet.width, top)
        canvas.rect(outline, layers.FRAME)
        if sheet.edge_trim:
            canvas.rect(outline.grown(-sheet.edge_trim), layers.OFFCUT)
        for offcut in sheet.offcuts:
            self._offcut(offcut)
        for part in sheet.parts:
            canvas.rect(self._rect(part), layers.PART)
        for cut in sheet.cuts:
            canvas.line(*self._ends(cut), layers.CUT)
        self._lettering()
        below, left = foot - canvas.mm(7.5), -canvas.mm(7.0)
        draw_whole(canvas, 0.0, sheet.width, Line(below, -1), foot)
        draw_whole(canvas, foot, top, Line(left, -1, upright=True), 0.0)

    def _lettering(self) -> None:
        """What is too small for its name comes first: the numbers of cuts have more places."""
        sheet = self.sheet
        small = [part for part in sheet.parts if not self._roomy(part)]
        for part in small:
            self._label_small(part)
        for cut in sheet.cuts:
            self._number(cut)
        for part in sheet.parts:
            if part not in small and not self._label(part):
                self._label_small(part)
        for offcut in sheet.offcuts:
            if offcut.reusable:
                self._keep(offcut)

    def _offcut(self, offcut: Offcut) -> None:
        """An offcut, hatched where it is wide enough to show it."""
        rect = self._rect(offcut)
        self.canvas.rect(rect, layers.OFFCUT)
        # Hatch in a sliver would be one grey smear.
        if min(rect.width, rect.height) > self.canvas.mm(1.0):
            corners = [
                (rect.left, rect.bottom),
                (rect.right, rect.bottom),
                (rect.right, rect.top),
                (rect.left, rect.top),
            ]
            self.canvas.hatch([corners], spacing_mm=3.0)

    def _ends(self, cut: SheetCut) -> tuple[Point, Point]:
        """A cut's line over the whole piece."""
        kerf = self._rect(cut.kerf)
        x, y = kerf.centre
        if cut.along_x:
            return (kerf.left, y), (kerf.right, y)
        return (x, kerf.bottom), (x, kerf.top)

    def _number(self, cut: SheetCut) -> None:
        """The number of a cut, at an end outside the sheet if it reaches the sheet's edge, else on
        its line; smaller where that is crowded."""
        start, end = self._ends(cut)
        for radius in (_MARK, _SMALL_MARK):
            for at in self._cut_places(cut, start, end):
                circle = Rect(*at, *at).grown(self.canvas.mm(radius))
                if self.placer.free(circle):
                    self._mark(cut.number, at, radius)
                    self.placer.block(circle)
                    return

    def _cut_places(self, cut: SheetCut, start: Point, end: Point) -> list[Point]:
        """Where the number may stand, from the liked to the less liked places."""
        out = self.canvas.mm(_MARK + 0.6)
        places: list[Point] = []
        if cut.along_x and start[0] <= 1e-6:
            places += [(start[0] - out, start[1]), (end[0] + out, end[1])]
        if not cut.along_x and end[1] >= self.lift + self.sheet.height - 1e-6:
            places.append((end[0], end[1] + out))
        if not cut.along_x and start[1] <= self.lift + 1e-6:
            places.append((start[0], start[1] - out))
        for share in (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9, 0.03, 0.97):
            places.append(
                (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
            )
        return places

    def _mark(self, number: int, at: Point, size: float) -> None:
        """The number of a cut in a circle."""
        canvas = self.canvas
        text = str(number)
        radius = canvas.mm(size)
        # A square mask that stays within the circle but for its corners.
        canvas.mask(Rect(*at, *at).grown(radius * 0.8))
        canvas.circle(at, radius, layers.CUT)
        height = 1.6 if text_width(text, 1.6) <= 2 * size - 0.6 else 1.3
        canvas.text(text, at, height)

    def _words(self, part: PlacedPart) -> tuple[str, str]:
        """Id and size of a piece."""
        name = part.part
        if part.part in self.copies:
            name = f"{part.part} no. {part.copy_number}"
        length, width = (part.height, part.width) if part.turned else (part.width, part.height)
        return name, f"{size_text(length, self.units)} x {size_text(width, self.units)}"

    def _lines(self, part: PlacedPart) -> tuple[str, str]:
        """Id and size, or the ids of two triangles: their size is that of the cut list."""
        first, joined, second = part.part.partition(PAIRED)
        return (first, f"{joined} {second}") if joined else self._words(part)

    def _roomy(self, part: PlacedPart) -> bool:
        """Whether a piece is large enough for its id and size in two lines."""
        rect, mm = self._rect(part), self.canvas.mm
        longest = max(text_width(words, 1.6) for words in self._lines(part))
        sides = sorted((rect.width, rect.height))
        return sides[0] >= mm(_TWO_LINES) and sides[1] >= mm(longest + 2.0)

    def _label(self, part: PlacedPart) -> bool:
        """Id and size of a piece inside it, in two lines; False without room for them."""
        rect = self._rect(part)
        inside = Placer(self.canvas, self.board.notes, rect, self.placer.taken)
        name, size = self._lines(part)
        gap = self.canvas.mm(1.6)
        for rotation in _turns(rect):
            if not inside.as_large(self.canvas.measure(size, (0.0, 0.0), 1.6, rotation=rotation)):
                continue
            for x, y in self._places(rect):
                first, second = ((x - gap, y), (x + gap, y)) if rotation else (
                    (x, y + gap), (x, y - gap))  # fmt: skip
                probe = self.canvas.measure(size, second, 1.6, rotation=rotation)
                if not inside.free(probe.grown(self.canvas.mm(0.4))):
                    continue
                placed = inside.try_text(name, [Spot(first, rotation=rotation)], masked=True)
                if placed is not None:
                    self.placer.block(placed)
                    below = [Spot(second, rotation=rotation)]
                    under = inside.try_text(size, below, heights=(1.6,), masked=True)
                    self.placer.block(under or placed)
                    return True
        return False

    def _label_small(self, part: PlacedPart) -> None:
        """One line in a piece too small for two, the id alone where its size finds no room; a
        thin strip's stands beside the sheet, where its leader meets no other text, and else in
        the key."""
        rect = self._rect(part)
        inside = Placer(self.canvas, self.board.notes, rect, self.placer.taken)
        inside.clear = _TIGHT
        # The id tells which piece it is; its size is in the cut list too.
        name, text = self._words(part)[0], ", ".join(self._words(part))
        spots = [Spot(at, rotation=turn) for turn in _turns(rect) for at in self._places(rect)]
        for words in (text, name):
            if placed := inside.try_text(words, spots, heights=_SMALL):
                self.placer.block(placed)
                return
        edge, far = self.sheet.width, self.canvas.mm(2 * _MARK + 3.0)
        y, thin = rect.centre[1], self.canvas.mm(0.2)
        path = Rect(rect.right, y - thin, edge + far - self.canvas.mm(0.6), y + thin)
        beside = [Spot((edge + far, y), "left")]
        near = path.width <= self.canvas.mm(_LEADER)
        if near and self.placer.free(path) and self.placer.try_text(name, beside, heights=_BESIDE):
            self.placer.block(path)
            leader = ((rect.right, y), (edge + far - self.canvas.mm(0.5), y))
            self.canvas.line(*leader, layers.DIMENSION)
            return
        if keyed := inside.key(text, spots, where=f"sheet {self.sheet.number}"):
            self.placer.block(keyed)

    def _places(self, rect: Rect) -> list[Point]:
        """Places for a label in a piece: its middle first, then around it."""
        x, y = rect.centre
        across, up = rect.width / 6, rect.height / 6
        shifts = [(0, 0), (1, 0), (-1, 0), (0, 1), (0, -1), (2, 0), (-2, 0), (0, 2), (0, -2)]
        return [(x + i * across, y + j * up) for i, j in shifts]

    def _keep(self, offcut: Offcut) -> None:
        """The size of an offcut that is worth keeping."""
        rect = self._rect(offcut)
        inside = Placer(self.canvas, self.board.notes, rect, self.placer.taken)
        text = (
            f"keep {size_text(offcut.width, self.units)} x {size_text(offcut.height, self.units)}"
        )
        x, y = rect.centre
        inside.label(text, [Spot((x, y)), Spot((x, y), rotation=90)], where="offcut", masked=True)


def _turns(rect: Rect) -> tuple[int, int]:
    """Ways that text may run in a piece, along its long side first."""
    return (90, 0) if rect.height > rect.width else (0, 90)


def remark_sheet(board: DrawingArea, sheet: SheetLayout, *, heading: bool = False) -> None:
    """What a sheet is and its cuts, in the notes; under its number where several share them."""
    units, notes = board.canvas.units, board.notes
    what = "Offcut on hand" if sheet.stock.offcut else "Sheet"
    name = f" {sheet.stock.name}" if sheet.stock.name else ""
    size = f"{size_text(sheet.width, units)} x {size_text(sheet.height, units)}"
    notes.remark("Numbers in circles: cuts, in cutting order. Grain runs along the long way.")
    number = f"No. {sheet.number}. " if heading else ""
    notes.remark(f"{number}{what}{name}: {size}. {sheet.yield_ratio:.0%} becomes parts.")
    lines = cut_lines(sheet.cuts, units)
    if heading:
        # Not as a remark: two sheets cut alike would be told once.
        notes.general.append("; ".join(lines))
        return
    for line in lines:
        notes.remark(line)

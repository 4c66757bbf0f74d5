"""Small pieces out of the offcuts of sheets that are cut up anyway.

A further cut or two divides an offcut. Pieces go from long to short, each into the smallest
offcut that takes it, so that large ones stay whole.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field

from optimizer.domain.sheets import (
    Box,
    CutStage,
    NestingResult,
    Offcut,
    PlacedPart,
    SheetCut,
    SheetLayout,
    SheetPart,
)
from optimizer.nesting.grid import Grid
from optimizer.nesting.sheet_layout import Rect, is_reusable
from optimizer.units import Units


@dataclass(slots=True)
class _Open:
    """A sheet with what is left of it, and what more comes off it: in steps, since most of what is
    tried is given up again."""

    layout: SheetLayout
    grid: Grid
    kerf: int
    left: list[Rect]
    parts: list[tuple[str, int, bool, Rect]] = field(default_factory=list)
    cuts: list[tuple[bool, Rect, Rect, int]] = field(default_factory=list)

    def part_off(self, piece: Rect, size: int, along_x: bool) -> Rect:
        """Cut `size` off the low side of a piece; what is left goes to the offcuts."""
        x, y, width, height = piece
        full = height if along_x else width
        if size == full:
            return piece
        # At the far edge the blade may run out over it.
        blade = min(self.kerf, full - size)
        rest = full - size - blade
        if along_x:
            kept, kerf = (x, y, width, size), (x, y + size, width, blade)
            over = (x, y + size + blade, width, rest)
        else:
            kept, kerf = (x, y, size, height), (x + size, y, blade, height)
            over = (x + size + blade, y, rest, height)
        self.cuts.append((along_x, piece, kerf, size))
        if rest > 0:
            self.left.append(over)
        return kept

    def box(self, rect: Rect) -> Box:
        """A rectangle in lengths."""
        x, y, width, height = (self.grid.back(steps) for steps in rect)
        return Box(x=x, y=y, width=width, height=height)

    def closed(self, units: Units) -> SheetLayout:
        """The layout with what was cut from its offcuts."""
        if not self.parts:
            return self.layout
        offcuts = tuple(
            Offcut(**box.model_dump(), reusable=is_reusable(box, units))
            for box in map(self.box, self.left)
        )
        return self.layout.model_copy(
            update={
                "parts": (*self.layout.parts, *self._placed()),
                "cuts": (*self.layout.cuts, *self._made()),
                "offcuts": offcuts,
            }
        )

    def _placed(self) -> Iterator[PlacedPart]:
        """The pieces, in lengths."""
        for part, copy_number, turned, rect in self.parts:
            box = self.box(rect).model_dump()
            yield PlacedPart(part=part, copy_number=copy_number, turned=turned, **box)

    def _made(self) -> Iterator[SheetCut]:
        """The cuts, in lengths, numbered on from those of the sheet."""
        for number, (along_x, piece, kerf, size) in enumerate(self.cuts, len(self.layout.cuts) + 1):
            yield SheetCut(
                number=number,
                stage=CutStage.OFFCUT,
                along_x=along_x,
                piece=self.box(piece),
                kerf=self.box(kerf),
                size=self.grid.back(size),
            )


def fill_offcuts(
    result: NestingResult,
    parts: Sequence[SheetPart],
    units: Units = Units.INCH,
    among: Collection[int] | None = None,
) -> tuple[NestingResult, tuple[SheetPart, ...]]:
    """The layouts with as many of `parts` as their offcuts give, and the parts that they do not.

    `among` are the numbers of the sheets whose offcuts may be used, all without it. Pieces of one
    part stay together: all of them are cut from offcuts or none. What is proved of the sheets is
    proved of the parts nested before.
    """
    grid = Grid(units)
    kerf = grid.up(result.kerf)
    sheets = [
        _Open(layout, grid, kerf, [_rect(o, grid) for o in layout.offcuts])
        for layout in result.sheets
    ]
    allowed = [s for s in sheets if among is None or s.layout.number in among]
    left_over = []
    # Largest first, as these find a place in the fewest offcuts.
    for part in sorted(parts, key=lambda p: (-max(p.length, p.width), -p.width, p.id)):
        if not _place_all(part, allowed, grid):
            left_over.append(part)
    layouts = _renumbered([sheet.closed(units) for sheet in sheets])
    return result.model_copy(update={"sheets": tuple(layouts)}), tuple(left_over)


def _rect(box: Box, grid: Grid) -> Rect:
    """A box in whole steps of the grid."""
    sides = (box.x, box.y, box.width, box.height)
    x, y, width, height = (round(side * grid.per_unit) for side in sides)
    return x, y, width, height


def _place_all(part: SheetPart, sheets: Sequence[_Open], grid: Grid) -> bool:
    """Cut every piece of a part, or none."""
    before = [(list(s.left), len(s.parts), len(s.cuts)) for s in sheets]
    for copy_number in range(1, part.count + 1):
        if not _place(part, copy_number, sheets, grid):
            for sheet, (left, placed, cut) in zip(sheets, before, strict=True):
                sheet.left = left
                del sheet.parts[placed:], sheet.cuts[cut:]
            return False
    return True


def _place(part: SheetPart, copy_number: int, sheets: Sequence[_Open], grid: Grid) -> bool:
    """Cut one piece from the smallest offcut that takes it."""
    fitting = list(_fitting(part, sheets, grid))
    if not fitting:
        return False
    _, number, piece, turned, size = min(fitting)
    sheet = sheets[number]
    sheet.left.remove(piece)
    # The cut that leaves the larger rest in one piece comes first.
    (width, height), along = size, (piece[2] - size[0]) * size[1] < (piece[3] - size[1]) * size[0]
    for along_x in (along, not along):
        piece = sheet.part_off(piece, height if along_x else width, along_x)
    sheet.parts.append((part.id, copy_number, turned, piece))
    return True


def _fitting(
    part: SheetPart, sheets: Sequence[_Open], grid: Grid
) -> Iterator[tuple[int, int, Rect, bool, tuple[int, int]]]:
    """Area, sheet, offcut and position of every way to cut a piece."""
    length, width = grid.up(part.length), grid.up(part.width)
    ways = [(False, (length, width))]
    if part.can_turn and length != width:
        ways.append((True, (width, length)))
    for number, sheet in enumerate(sheets):
        for piece in sheet.left:
            for turned, size in ways:
                if size[0] <= piece[2] and size[1] <= piece[3]:
                    yield piece[2] * piece[3], number, piece, turned, size


def _renumbered(layouts: Sequence[SheetLayout]) -> Iterator[SheetLayout]:
    """Layouts with patterns by how they are cut now."""
    patterns: dict[object, int] = {}
    for layout in layouts:
        cut = Counter((c.stage, c.piece, c.size, c.along_x) for c in layout.cuts)
        key = (layout.stock, layout.across, frozenset(cut.items()))
        pattern = patterns.setdefault(key, len(patterns) + 1)
        yield layout.model_copy(update={"pattern": pattern})

"""From strips to a sheet layout: where parts lie, every cut in order, what is left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from optimizer.domain.sheets import (
    Box,
    CutStage,
    Offcut,
    PlacedPart,
    SheetCut,
    SheetLayout,
    StockSheet,
)
from optimizer.nesting.cutting_problem import CuttingProblem, Packed, Strip
from optimizer.nesting.grid import Grid
from optimizer.nesting.pieces import Pieces
from optimizer.units import Units

REUSABLE = {Units.INCH: (6.0, 18.0), Units.MILLIMETRE: (150.0, 450.0)}
"""Least short and long side of an offcut worth keeping: our choice, not a rule of the trade."""

Rect = tuple[int, int, int, int]
"""x, y, width and height in steps."""


@dataclass(slots=True)
class _Bench:
    """A sheet being cut: what came off it so far."""

    cutting: CuttingProblem
    pieces: Pieces
    grid: Grid
    kerf: int
    across: bool
    parts: list[PlacedPart] = field(default_factory=list)
    cuts: list[SheetCut] = field(default_factory=list)
    offcuts: list[Offcut] = field(default_factory=list)

    def cut(self, stage: CutStage, along_x: bool, piece: Rect, kerf: Rect, size: int) -> None:
        """Number a cut."""
        cut = SheetCut(
            number=len(self.cuts) + 1,
            stage=stage,
            along_x=along_x != self.across,
            piece=self.box(piece),
            kerf=self.box(kerf),
            size=self.grid.back(size),
        )
        self.cuts.append(cut)

    def part_off_lower(self, stage: CutStage, piece: Rect, height: int) -> Rect | None:
        """Cut `height` off the lower side of a piece; what is left above, None if nothing."""
        x, y, width, full = piece
        if height == full:
            return None
        blade = min(self.kerf, full - height)
        self.cut(stage, True, piece, (x, y + height, width, blade), height)
        return _some((x, y + height + blade, width, full - height - blade))

    def part_off_left(self, stage: CutStage, piece: Rect, width: int) -> Rect | None:
        """Cut `width` off the left side of a piece; what is left of it, None if nothing."""
        x, y, full, height = piece
        if width == full:
            return None
        blade = min(self.kerf, full - width)
        self.cut(stage, False, piece, (x + width, y, blade, height), width)
        return _some((x + width + blade, y, full - width - blade, height))

    def keep(self, piece: Rect | None) -> None:
        """Lay an offcut aside."""
        if piece is None:
            return
        box = self.box(piece)
        reusable = is_reusable(box, self.grid.units)
        self.offcuts.append(Offcut(**box.model_dump(), reusable=reusable))

    def box(self, rect: Rect) -> Box:
        """A rectangle in lengths, turned back where the first cuts run across."""
        x, y, width, height = (self.grid.back(steps) for steps in rect)
        if self.across:
            return Box(x=y, y=x, width=height, height=width)
        return Box(x=x, y=y, width=width, height=height)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A stock sheet in steps, with the trim of each edge."""

    stock: StockSheet
    width: int
    height: int
    trim: int


def is_reusable(box: Box, units: Units) -> bool:
    """True for an offcut that is large enough to keep."""
    short, long = REUSABLE[units]
    sides = sorted((box.width, box.height))
    return sides[0] >= short and sides[1] >= long


def lay_out(
    cutting: CuttingProblem,
    packed: Sequence[Packed],
    *,
    sheets: Sequence[Sheet],
    pieces: Pieces,
    grid: Grid,
    kerf: int,
) -> tuple[SheetLayout, ...]:
    """Layouts of all sheets in the order of the stock, equal ones together."""
    ordered = sorted((Packed(p.bin, _strips_in_order(cutting, p)) for p in packed), key=_sort_key)
    patterns: dict[Packed, int] = {}
    layouts = []
    for number, sheet in enumerate(ordered, start=1):
        cut = cutting.bins[sheet.bin]
        bench = _Bench(cutting, pieces, grid, kerf, cut.across)
        pattern = patterns.setdefault(sheet, len(patterns) + 1)
        layouts.append(_one(bench, sheet, sheets[cut.stock], number, pattern))
    return tuple(layouts)


def _strips_in_order(cutting: CuttingProblem, sheet: Packed) -> tuple[Strip, ...]:
    """Highest strips first; the fuller of two before the other."""

    def key(strip: Strip) -> tuple[int, int, tuple[tuple[int, int], ...]]:
        """The highest strip first, then the fullest."""
        return -strip.height, -_filled(cutting, strip), strip.counts

    return tuple(sorted(sheet.strips, key=key))


def _filled(cutting: CuttingProblem, strip: Strip) -> int:
    """Area of the parts of a strip."""
    return sum(n * cutting.items[i].width * cutting.items[i].height for i, n in strip.counts)


def _sort_key(sheet: Packed) -> tuple[int, list[tuple[int, tuple[tuple[int, int], ...]]]]:
    """Order of sheets."""
    return sheet.bin, [(-strip.height, strip.counts) for strip in sheet.strips]


def _one(bench: _Bench, packed: Packed, sheet: Sheet, number: int, pattern: int) -> SheetLayout:
    """The layout of one sheet."""
    left: Rect | None = _trim_edges(bench, sheet)
    cut: list[tuple[Strip, Rect]] = []
    for strip in packed.strips:
        # Sizes in the problem include a kerf each; on the bench the blade takes it.
        height = strip.height - bench.kerf
        assert left is not None  # noqa: S101 - strips were packed to fit
        cut.append((strip, (left[0], left[1], left[2], height)))
        left = bench.part_off_lower(CutStage.RIP, left, height)
    bench.keep(left)
    trims: list[tuple[Rect, int]] = []
    # In the order of a shop: all rips, then all crosscuts, then what has to be trimmed.
    for strip, piece in cut:
        trims += _crosscut(bench, strip, piece)
    for piece, height in trims:
        bench.keep(bench.part_off_lower(CutStage.TRIM, piece, height))
    return SheetLayout(
        number=number,
        stock=sheet.stock,
        width=bench.grid.back(sheet.width),
        height=bench.grid.back(sheet.height),
        edge_trim=bench.grid.back(sheet.trim),
        across=bench.across,
        pattern=pattern,
        parts=tuple(bench.parts),
        cuts=tuple(bench.cuts),
        offcuts=tuple(bench.offcuts),
    )


def _crosscut(bench: _Bench, strip: Strip, piece: Rect) -> list[tuple[Rect, int]]:
    """Cut the parts of a strip, highest first; pieces still to be trimmed, with their heights."""
    left: Rect | None = piece
    trims: list[tuple[Rect, int]] = []
    for index in _from_high_to_low(bench.cutting, strip):
        item = bench.cutting.items[index]
        width, height = item.width - bench.kerf, item.height - bench.kerf
        assert left is not None  # noqa: S101 - parts were packed to fit
        x, y = left[:2]
        handed = bench.pieces.hand_out(item)
        bench.parts.append(
            PlacedPart(
                part=handed.part,
                copy_number=handed.copy_number,
                turned=handed.turned,
                **bench.box((x, y, width, height)).model_dump(),
            )
        )
        if height < piece[3]:
            trims.append(((x, y, width, piece[3]), height))
        left = bench.part_off_left(CutStage.CROSS, left, width)
    bench.keep(left)
    return trims


def _from_high_to_low(cutting: CuttingProblem, strip: Strip) -> list[int]:
    """Items of a strip, one for each piece, highest and then longest first."""
    items = cutting.items
    order = sorted(strip.counts, key=lambda pair: (-items[pair[0]].height, -items[pair[0]].width))
    return [index for index, count in order for _ in range(count)]


def _trim_edges(bench: _Bench, sheet: Sheet) -> Rect:
    """Trim the four edges; what is left to use.

    The trim includes the blade, which runs on the waste side of the line.
    """
    width, height, trim = sheet.width, sheet.height, sheet.trim
    if bench.across:
        width, height = height, width
    if not trim:
        return 0, 0, width, height
    blade = min(bench.kerf, trim)
    # The blade runs on the waste side, ending at the line of the trim.
    near, rest = trim - blade, (width, height)
    edge = CutStage.EDGE
    bench.cut(edge, True, (0, 0, *rest), (0, near, width, blade), height - trim)
    rest = width, height - trim
    bench.cut(edge, True, (0, trim, *rest), (0, height - trim, width, blade), height - 2 * trim)
    rest = width, height - 2 * trim
    bench.cut(edge, False, (0, trim, *rest), (near, trim, blade, rest[1]), width - trim)
    rest = width - trim, height - 2 * trim
    bench.cut(
        edge, False, (trim, trim, *rest), (width - trim, trim, blade, rest[1]), width - 2 * trim
    )
    return trim, trim, width - 2 * trim, rest[1]


def _some(piece: Rect) -> Rect | None:
    """The piece if anything is left of it."""
    return piece if piece[2] > 0 and piece[3] > 0 else None

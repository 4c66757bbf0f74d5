"""Sheets and sticks laid out by hand: strips ripped from the lower edge, then crosscut."""

from __future__ import annotations

from collections.abc import Sequence

from optimizer.domain.sheets import (
    Box,
    CutStage,
    NestingResult,
    Offcut,
    PlacedPart,
    PlacedStick,
    SheetCut,
    SheetLayout,
    StickLayout,
    StickResult,
    StockSheet,
    StockStick,
)

Strip = tuple[float, Sequence[tuple[str, float]]]


def sheet(number: int, width: float, height: float, kerf: float, strips: Sequence[Strip]):
    """One sheet whose strips lie on one another from the lower edge, parts from the left."""
    parts: list[PlacedPart] = []
    cuts: list[SheetCut] = []
    offcuts: list[Offcut] = []
    y = 0.0
    for strip, _ in strips:
        rest = Box(x=0, y=y, width=width, height=height - y)
        band = Box(x=0, y=y + strip, width=width, height=min(kerf, height - y - strip))
        cuts.append(_cut(len(cuts), CutStage.RIP, rest, band, strip))
        y += strip + kerf
    if y < height:
        offcuts.append(Offcut(x=0, y=y, width=width, height=height - y, reusable=height - y > 6))
    y = 0.0
    for strip, pieces in strips:
        x = 0.0
        for name, length in pieces:
            parts.append(PlacedPart(x=x, y=y, width=length, height=strip, part=name, copy_number=1))
            piece = Box(x=x, y=y, width=width - x, height=strip)
            band = Box(x=x + length, y=y, width=min(kerf, width - x - length), height=strip)
            cuts.append(_cut(len(cuts), CutStage.CROSS, piece, band, length))
            x += length + kerf
        if x < width:
            offcuts.append(Offcut(x=x, y=y, width=width - x, height=strip, reusable=width - x > 20))
        y += strip + kerf
    return SheetLayout(
        number=number,
        stock=StockSheet(width=width, height=height, name="MDF 3/4"),
        width=width,
        height=height,
        edge_trim=0,
        pattern=number,
        parts=tuple(parts),
        cuts=tuple(cuts),
        offcuts=tuple(offcuts),
    )


def _cut(made: int, stage: CutStage, piece: Box, band: Box, size: float) -> SheetCut:
    along_x = stage is CutStage.RIP
    return SheetCut(
        number=made + 1, stage=stage, along_x=along_x, piece=piece, kerf=band, size=size
    )


def result(*sheets: SheetLayout) -> NestingResult:
    """Sheets as a result whose number is proved."""
    count = len(sheets)
    return NestingResult(
        sheets=sheets, bought=count, lower_bound=count, cost=count, cost_bound=count,
        proved=True, method="by hand", kerf=0.125, step=0.03125,
    )  # fmt: skip


def inch_sheets() -> NestingResult:
    """Two sheets of 96 x 48 in: wide parts, and a crowd of narrow ones."""
    wide = sheet(1, 96, 48, 0.125, [
        (24, [("A-U1", 84), ("B1-K1", 11)]),
        (15.9375, [("B1-S1", 39.9375), ("B2-S1", 29.4375), ("B2-S2", 24)]),
        (4, [("B1-N1", 40), ("B2-N1", 29.5)]),
    ])  # fmt: skip
    cleats = [(2.0, [(f"B{row}-K{n}L", 7.5) for n in range(1, 13)]) for row in range(1, 20)]
    narrow = sheet(2, 96, 48, 0.125, [*cleats, (3, [("The-bay-with-the-long-name-S1", 12)])])
    return result(wide, narrow)


def sticks() -> StickResult:
    """Sixteen rods of 96 in, the first crowded, so that two drawings come out."""
    layouts = []
    for number in range(1, 17):
        lengths = [2.5, 40, 29, 3, 20] if number == 1 else [46.875, 46.875]
        start, pieces = 0.0, []
        for piece, length in enumerate(lengths, 1):
            name = f"B{number}-R{piece}"
            pieces.append(PlacedStick(part=name, copy_number=1, start=start, length=length))
            start += length + 0.125
        layouts.append(
            StickLayout(
                number=number,
                stock=StockStick(length=96, name="tube 1-5/16"),
                length=96,
                parts=tuple(pieces),
                kerf_loss=0.125 * len(lengths),
                offcut=max(0.0, 96 - start),
            )
        )
    return StickResult(
        sticks=tuple(layouts), bought=16, lower_bound=16, cost=16, cost_bound=16, proved=True,
        method="by hand", kerf=0.125, step=0.03125,
    )  # fmt: skip

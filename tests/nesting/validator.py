"""An own check of sheet and stick layouts that shares no code with what made them.

Everything is turned into whole steps of the grid, so that all comparisons are exact. The
cuts are carried out one by one on the sheet: each must divide a piece that is there, from
edge to edge, and what is left in the end must be the parts, the offcuts and the edges.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

from optimizer.domain.sheets import (
    Box,
    NestingResult,
    SheetCut,
    SheetLayout,
    SheetPart,
    StickPart,
    StickResult,
    StockSheet,
    StockStick,
)

Rect = tuple[int, int, int, int]


def steps(length: float, step: float) -> int:
    """Length in whole steps; fails when it is between two."""
    count = round(length / step)
    assert math.isclose(count * step, length, rel_tol=0, abs_tol=1e-9 * max(1.0, length)), length
    return count


def rect(box: Box, step: float) -> Rect:
    """Box as (x, y, width, height) in steps."""
    return (
        steps(box.x, step),
        steps(box.y, step),
        steps(box.width, step),
        steps(box.height, step),
    )


def area(box: Rect) -> int:
    """Area in square steps."""
    return box[2] * box[3]


def overlap(a: Rect, b: Rect) -> bool:
    """True when two rectangles share some area."""
    return a[0] < b[0] + b[2] and b[0] < a[0] + a[2] and a[1] < b[1] + b[3] and b[1] < a[1] + a[3]


def check_nesting(
    result: NestingResult, parts: Sequence[SheetPart], stock: Sequence[StockSheet]
) -> None:
    """Fail unless every sheet and the whole are right."""
    step = result.step
    kerf = steps(result.kerf, step)
    for layout in result.sheets:
        _check_no_overlap(layout, step)
        _check_cuts(layout, step, kerf)
        _check_area(layout, step)
    _check_pieces(result, parts)
    _check_stock(result, stock)
    assert [layout.number for layout in result.sheets] == list(range(1, len(result.sheets) + 1))
    assert result.bought == sum(not layout.stock.offcut for layout in result.sheets)
    assert result.lower_bound <= result.bought
    assert result.cost_bound <= result.cost + 1e-6
    assert result.proved == (result.cost_bound >= result.cost - 1e-5)


def _check_no_overlap(layout: SheetLayout, step: float) -> None:
    """Parts lie inside the trimmed sheet and nowhere on each other."""
    trim = steps(layout.edge_trim, step)
    right, top = steps(layout.width, step) - trim, steps(layout.height, step) - trim
    boxes = [rect(part, step) for part in layout.parts]
    for index, box in enumerate(boxes):
        assert box[0] >= trim
        assert box[1] >= trim
        assert box[0] + box[2] <= right
        assert box[1] + box[3] <= top
        assert not any(overlap(box, other) for other in boxes[:index])


def _check_cuts(layout: SheetLayout, step: float, kerf: int) -> None:
    """Cutting the sheet as numbered gives the parts, the offcuts and the edges."""
    width, height = steps(layout.width, step), steps(layout.height, step)
    pieces: Counter[Rect] = Counter([(0, 0, width, height)])
    assert [cut.number for cut in layout.cuts] == list(range(1, len(layout.cuts) + 1))
    assert [cut.stage for cut in layout.cuts] == sorted(cut.stage for cut in layout.cuts)
    waste: Counter[Rect] = Counter()
    for cut in layout.cuts:
        assert cut.along_x == ((cut.stage in (1, 3)) != layout.across) or cut.stage in (0, 4)
        whole = rect(cut.piece, step)
        assert pieces[whole] > 0, f"cut {cut.number} divides a piece that is not there"
        pieces[whole] -= 1
        low, high = _divide(cut, whole, step, kerf)
        kept = steps(cut.size, step)
        if cut.stage == 0:
            edge = _edge_waste(low, high, layout, step)
            waste[edge] += area(edge) > 0
            low = high if edge is low else low
            high = (0, 0, 0, 0)
        assert (low[3] if cut.along_x else low[2]) == kept
        pieces.update(piece for piece in (low, high) if area(piece) > 0)
    found = Counter(rect(part, step) for part in layout.parts)
    found.update(rect(offcut, step) for offcut in layout.offcuts)
    assert +pieces == found


def _divide(cut: SheetCut, whole: Rect, step: float, kerf: int) -> tuple[Rect, Rect]:
    """The two sides of a cut that runs from edge to edge of its piece."""
    x, y, width, height = whole
    kx, ky, kw, kh = rect(cut.kerf, step)
    if cut.along_x:
        assert (kx, kw) == (x, width)
        assert y <= ky
        assert ky + kh <= y + height
        low, high = (x, y, width, ky - y), (x, ky + kh, width, y + height - ky - kh)
        full = kh == kerf
    else:
        assert (ky, kh) == (y, height)
        assert x <= kx
        assert kx + kw <= x + width
        low, high = (x, y, kx - x, height), (kx + kw, y, x + width - kx - kw, height)
        full = kw == kerf
    # The blade may be wider than what it takes only where nothing is left beyond it.
    assert full or area(low) == 0 or area(high) == 0
    return low, high


def _edge_waste(low: Rect, high: Rect, layout: SheetLayout, step: float) -> Rect:
    """The side of an edge cut that is thrown away: the one outside the trimmed sheet."""
    trim = steps(layout.edge_trim, step)
    middle = steps(layout.width, step) // 2, steps(layout.height, step) // 2
    inside = low[0] <= middle[0] < low[0] + low[2] and low[1] <= middle[1] < low[1] + low[3]
    waste = high if inside else low
    assert min(waste[2], waste[3]) <= trim
    return waste


def _check_area(layout: SheetLayout, step: float) -> None:
    """Parts, kerf, offcuts and edge trim add up to the sheet, exactly."""
    width, height = steps(layout.width, step), steps(layout.height, step)
    trim = steps(layout.edge_trim, step)
    used = sum(area(rect(part, step)) for part in layout.parts)
    left = sum(area(rect(offcut, step)) for offcut in layout.offcuts)
    lost = sum(area(rect(cut.kerf, step)) for cut in layout.cuts if cut.stage > 0)
    edges = width * height - (width - 2 * trim) * (height - 2 * trim)
    assert used + left + lost + edges == width * height


def _check_pieces(result: NestingResult, parts: Sequence[SheetPart]) -> None:
    """Every piece of every part is there once, at its size and turned only if it may be."""
    step = result.step
    wanted: Counter[str] = Counter()
    for part in parts:
        wanted[part.id] += part.count
    placed = [piece for layout in result.sheets for piece in layout.parts]
    assert Counter(piece.part for piece in placed) == wanted
    for name, count in wanted.items():
        copies = sorted(piece.copy_number for piece in placed if piece.part == name)
        assert copies == list(range(1, count + 1))
    sizes: Counter[tuple[str, int, int]] = Counter()
    free: set[str] = {part.id for part in parts if part.can_turn}
    for part in parts:
        length = math.ceil(part.length / step - 1e-6)
        width = math.ceil(part.width / step - 1e-6)
        sizes[part.id, length, width] += part.count
    for piece in placed:
        box = rect(piece, step)
        length, width = (box[3], box[2]) if piece.turned else (box[2], box[3])
        sizes[piece.part, length, width] -= 1
        assert not piece.turned or piece.part in free
    assert not any(sizes.values())


def _check_stock(result: NestingResult, stock: Sequence[StockSheet]) -> None:
    """No more of a size than there is, and each sheet of its stock's size."""
    for sheet in set(stock):
        used = sum(layout.stock == sheet for layout in result.sheets)
        there = sum(
            math.inf if s.count is None and not s.offcut else s.count or 1
            for s in stock
            if s == sheet and s.count != 0
        )
        assert used <= there
    for layout in result.sheets:
        assert layout.stock in stock
        assert 0 <= layout.stock.width - layout.width < result.step
        assert 0 <= layout.stock.height - layout.height < result.step


def check_sticks(
    result: StickResult, parts: Sequence[StickPart], stock: Sequence[StockStick]
) -> None:
    """Fail unless every stick and the whole are right."""
    step = result.step
    kerf = steps(result.kerf, step)
    for stick in result.sticks:
        end, lost = 0, 0
        full = steps(stick.length, step)
        for piece in stick.parts:
            start = steps(piece.start, step)
            assert start - end == (kerf if end else 0)
            lost += start - end
            end = start + steps(piece.length, step)
        last = steps(stick.kerf_loss, step) - lost
        assert 0 <= last <= kerf
        assert last == min(kerf, full - end)
        assert end + last + steps(stick.offcut, step) == full
        assert stick.stock in stock
    wanted: Counter[tuple[str, int]] = Counter()
    for part in parts:
        wanted[part.id, math.ceil(part.length / step - 1e-6)] += part.count
    placed = [piece for stick in result.sticks for piece in stick.parts]
    assert Counter((p.part, steps(p.length, step)) for p in placed) == wanted
    assert result.bought == sum(not stick.stock.offcut for stick in result.sticks)
    assert result.lower_bound <= result.bought
    assert result.proved == (result.cost_bound >= result.cost - 1e-5)

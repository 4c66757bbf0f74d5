"""Rods, cleats and other lengths cut from sticks: the same search with one strip a sheet."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass

from optimizer.domain.sheets import PlacedStick, StickLayout, StickPart, StickResult, StockStick
from optimizer.errors import BuildError
from optimizer.nesting.costs import costs_of, count_of
from optimizer.nesting.cutting_problem import Bin, CuttingProblem, Packed
from optimizer.nesting.effort import STEPS, Effort
from optimizer.nesting.grid import Grid
from optimizer.nesting.pieces import Piece, Pieces
from optimizer.nesting.search import Found, search
from optimizer.nesting.sheets import least_count
from optimizer.units import Units


@dataclass(frozen=True, slots=True)
class _Bench:
    """What is cut and how."""

    cutting: CuttingProblem
    pieces: Pieces
    grid: Grid
    blade: int


def cut_sticks(
    parts: Sequence[StickPart],
    stock: Sequence[StockStick],
    *,
    kerf: float,
    units: Units = Units.INCH,
    steps: int = STEPS,
) -> StickResult:
    """Pieces of all `parts` cut from sticks of `stock` at the least cost; lengths in `units`.

    With a budget of `steps` (`effort`); at its end the best so far comes with the bound proved.
    Raises BuildError naming the part when one is longer than all stock, or when the stock on
    hand does not hold them all.
    """
    started = time.perf_counter()
    grid = Grid(units)
    blade = grid.up(kerf)
    sticks = [s for s in stock if count_of(s) != 0 and grid.down(s.length) > 0]
    lengths = [grid.down(s.length) for s in sticks]
    pieces = [Piece(p.id, grid.up(p.length), 1, p.count, False) for p in parts]
    _refuse_long(pieces, lengths, grid)
    costs = costs_of(sticks, lengths)
    # A stick is a sheet of one strip, one step high.
    bins = tuple(
        Bin(length + blade, 1, count_of(s), cost, number)
        for number, (s, length, cost) in enumerate(zip(sticks, lengths, costs.each, strict=True))
    )
    by_kind = Pieces(pieces)
    cutting = CuttingProblem(by_kind.kinds(blade, 0), bins)
    found = search(cutting, Effort(steps)) if parts else Found((), 0.0, 0.0, "nothing to cut")
    if found.sheets is None:
        names = ", ".join(dict.fromkeys(piece.part for piece in pieces[:5]))
        raise BuildError(f"the stock on hand does not hold the parts {names}: allow more lengths")
    ordered = sorted(found.sheets, key=lambda packed: (packed.bin, packed.strips[0].counts))
    layouts = tuple(
        _layout(_Bench(cutting, by_kind, grid, blade), packed, sticks[packed.bin], number)
        for number, packed in enumerate(ordered, start=1)
    )
    bought = sum(not layout.stock.offcut for layout in layouts)
    return StickResult(
        sticks=layouts,
        bought=bought,
        lower_bound=least_count(bins, found, bought),
        cost=round(found.cost * costs.unit, 6),
        cost_bound=round(found.bound * costs.unit, 6),
        proved=found.proved,
        method=found.method,
        kerf=grid.back(blade),
        step=grid.step,
        seconds=time.perf_counter() - started,
    )


def _refuse_long(pieces: Sequence[Piece], lengths: Sequence[int], grid: Grid) -> None:
    """Raise BuildError naming the first part that is longer than all stock."""
    longest = max(lengths, default=0)
    for piece in pieces:
        if piece.length > longest:
            raise BuildError(
                f"part {piece.part}: {grid.text(piece.length)} is longer than any stock length; "
                f"the longest is {grid.text(longest)}"
            )


def _layout(bench: _Bench, packed: Packed, stock: StockStick, number: int) -> StickLayout:
    """One stick: its pieces from long to short, what the blade takes, what is left."""
    items, grid, blade = bench.cutting.items, bench.grid, bench.blade
    full = grid.down(stock.length)
    parts, start, lost = [], 0, 0
    for index, count in sorted(packed.strips[0].counts, key=lambda c: -items[c[0]].width):
        for _ in range(count):
            handed = bench.pieces.hand_out(items[index])
            length = items[index].width - blade
            parts.append(
                PlacedStick(
                    part=handed.part,
                    copy_number=handed.copy_number,
                    start=grid.back(start),
                    length=grid.back(length),
                )
            )
            taken = min(blade, full - start - length)
            start, lost = start + length + taken, lost + taken
    return StickLayout(
        number=number,
        stock=stock,
        length=grid.back(full),
        parts=tuple(parts),
        kerf_loss=grid.back(lost),
        offcut=grid.back(full - start),
    )

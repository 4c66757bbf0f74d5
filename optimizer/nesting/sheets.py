"""Sheet layouts: parts on stock sheets, fewest sheets proved or the gap stated."""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from optimizer.domain.sheets import NestingResult, SheetPart, StockSheet
from optimizer.errors import BuildError
from optimizer.nesting.costs import costs_of, count_of
from optimizer.nesting.cutting_problem import Bin, CuttingProblem
from optimizer.nesting.effort import STEPS, Effort
from optimizer.nesting.grid import Grid
from optimizer.nesting.pieces import Piece, Pieces
from optimizer.nesting.search import Found, search
from optimizer.nesting.sheet_layout import Sheet, lay_out
from optimizer.units import Units

FirstCut = Literal["along", "across", "either"]
"""Which way the first cuts of a sheet run: along its width, across it, or as is best for each."""

METHOD = "strips, then parts{trims}: {how}"
"""The kind of cutting, and how the answer and its bound came about."""

COVERS = "that cuts into strips {ways} and then into parts{trims} allow"
"""What a proof is about."""

WAYS: dict[FirstCut, str] = {
    "along": "along the sheet",
    "across": "across the sheet",
    "either": "along or across each sheet",
}


def nest(
    parts: Sequence[SheetPart],
    stock: Sequence[StockSheet],
    *,
    kerf: float,
    trim: float = 0.0,
    units: Units = Units.INCH,
    steps: int = STEPS,
    trimmed: bool = True,
    first_cut: FirstCut = "either",
    gathering: bool = True,
    below: float = math.inf,
) -> NestingResult:
    """Layouts that hold all `parts` on sheets of `stock` at the least cost.

    Each sheet is cut into strips by its `first_cut` and strips into parts; with `trimmed` a
    part lower than its strip is trimmed by a last cut. Among layouts of the same sheets one with
    a large offcut is looked for (`gathering`). The search ends once nothing can cost less than
    `below`. `kerf` is the width of the
    blade, `trim` what is taken off each edge of a sheet, blade included; lengths in `units`.
    With a budget of `steps` (`effort`); at its end the best so far comes with the bound proved.

    Raises BuildError naming the part when one is larger than all stock, or when the stock
    on hand does not hold them all.
    """
    started = time.perf_counter()
    grid = Grid(units)
    blade = grid.up(kerf)
    sheets = _usable([s for s in stock if count_of(s) != 0], grid, grid.up(trim))
    pieces = [Piece(p.id, grid.up(p.length), grid.up(p.width), p.count, p.can_turn) for p in parts]
    _refuse_oversize(pieces, sheets, grid)
    costs = costs_of([s.stock for s in sheets], [s.width * s.height for s in sheets])
    bins = _bins(sheets, costs.each, blade, first_cut)
    by_kind = Pieces(pieces)
    cutting = CuttingProblem(by_kind.kinds(blade, blade), bins, trimmed=trimmed)
    found = (
        search(cutting, Effort(steps), gathering=gathering, below=below / costs.unit)
        if parts
        else Found((), 0.0, 0.0, "nothing to cut")
    )
    if found.sheets is None:
        raise _short_of_stock(pieces)
    layouts = lay_out(cutting, found.sheets, sheets=sheets, pieces=by_kind, grid=grid, kerf=blade)
    bought = sum(not layout.stock.offcut for layout in layouts)
    return NestingResult(
        sheets=layouts,
        bought=bought,
        lower_bound=least_count(bins, found, bought),
        cost=round(found.cost * costs.unit, 6),
        cost_bound=round(found.bound * costs.unit, 6),
        proved=found.proved,
        method=METHOD.format(trims=" and trims" if trimmed else "", how=found.method),
        covers=COVERS.format(ways=WAYS[first_cut], trims=", each trimmed," if trimmed else ""),
        kerf=grid.back(blade),
        step=grid.step,
        seconds=time.perf_counter() - started,
    )


def _bins(
    sheets: Sequence[Sheet], costs: Sequence[float], blade: int, first_cut: FirstCut
) -> tuple[Bin, ...]:
    """Each sheet with its first cuts along, then each with them across, as far as asked for."""
    usable = [
        # With a kerf more than the sheet has, as every part in it has one more than it needs.
        (s.width - 2 * s.trim + blade, s.height - 2 * s.trim + blade, count_of(s.stock))
        for s in sheets
    ]
    along = [
        Bin(width, height, count, cost, number)
        for number, ((width, height, count), cost) in enumerate(zip(usable, costs, strict=True))
    ]
    turned = [replace(b, width=b.height, height=b.width, across=True) for b in along]
    wanted = {"along": along, "across": turned, "either": [*along, *turned]}
    return tuple(wanted[first_cut])


def least_count(bins: Sequence[Bin], found: Found, bought: int) -> int:
    """Bound on the number of sheets bought: the bound on cost over the dearest sheet's cost."""
    # So much money buys at least so many sheets, were they all of the dearest.
    dearest = max((b.cost for b in bins), default=0.0)
    if dearest <= 0:
        return 0
    return min(bought, math.ceil(found.bound / dearest - 1e-6))


def _usable(stock: Sequence[StockSheet], grid: Grid, trim: int) -> list[Sheet]:
    """Stock in steps; sheets that the trim leaves nothing of are left out."""
    sheets = [Sheet(s, grid.down(s.width), grid.down(s.height), trim) for s in stock]
    return [s for s in sheets if min(s.width, s.height) > 2 * trim]


def _refuse_oversize(pieces: Sequence[Piece], sheets: Sequence[Sheet], grid: Grid) -> None:
    """Raise BuildError naming the first part that fits no sheet."""
    for piece in pieces:
        ways = [(piece.length, piece.width)]
        if piece.can_turn:
            ways.append((piece.width, piece.length))
        if any(
            w <= s.width - 2 * s.trim and h <= s.height - 2 * s.trim
            for w, h in ways
            for s in sheets
        ):
            continue
        size = f"{grid.text(piece.length)} x {grid.text(piece.width)}"
        turn = "" if piece.can_turn else ", which must not be turned,"
        raise BuildError(f"part {piece.part}: {size}{turn} is larger than {_largest(sheets, grid)}")


def _largest(sheets: Sequence[Sheet], grid: Grid) -> str:
    """The largest usable stock, for a message."""
    if not sheets:
        return "all stock: there is no usable sheet"
    s = max(sheets, key=lambda s: s.width * s.height)
    usable = f"{grid.text(s.width - 2 * s.trim)} x {grid.text(s.height - 2 * s.trim)}"
    return f"any stock sheet; the largest has {usable} to use"


def _short_of_stock(pieces: Sequence[Piece]) -> BuildError:
    """Error for stock on hand that does not hold the parts; names them from large to small."""
    by_size = sorted(pieces, key=lambda piece: -piece.length * piece.width)
    names = ", ".join(dict.fromkeys(piece.part for piece in by_size[:5]))
    more = "" if len(pieces) <= 5 else f" and {len(pieces) - 5} more"
    return BuildError(f"the stock on hand does not hold the parts {names}{more}: allow more sheets")

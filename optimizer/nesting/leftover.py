"""Second objective: of the answers with the same sheets, one with a large offcut.

One sheet of the dearest stock bought is left as empty as the strips found allow: the program
of `master` with all other sheets kept, and on that one sheet free slots whose heights together
are the least. The offcut is the rest of the sheet, in one piece. It is the largest for these
strips and not proved the largest of all.
"""

from __future__ import annotations

from collections.abc import Sequence

from optimizer.nesting.cutting_problem import Bin, CuttingProblem, Packed, Rips, Strip
from optimizer.nesting.effort import TICK, Effort
from optimizer.nesting.integer import assemble, columns_used
from optimizer.nesting.master import Columns, Master
from optimizer.solving import solve, weighted_sum


def gathered(
    cutting: CuttingProblem, sheets: tuple[Packed, ...], columns: Columns, effort: Effort
) -> tuple[Packed, ...]:
    """As many sheets of each stock as `sheets`, with a larger offcut where one is found."""
    bought = [sheet for sheet in sheets if cutting.bins[sheet.bin].cost > 0]
    if not bought:
        return sheets
    last = max(bought, key=lambda sheet: cutting.bins[sheet.bin].cost)
    stock = cutting.bins[last.bin].stock
    # A sheet may be cut first along or first across: each way is a bin of its own.
    for number in (b for b, own in enumerate(cutting.bins) if own.stock == stock):
        other = _emptied(cutting, sheets, columns, number, effort.part(0.5))
        if other is not None and largest(cutting, other) > largest(cutting, sheets):
            sheets = other
    return sheets


def largest(cutting: CuttingProblem, sheets: Sequence[Packed]) -> int:
    """Area of the largest offcut beside or over the strips of the sheets."""
    found = 0
    for sheet in sheets:
        stock = cutting.bins[sheet.bin]
        over = stock.height - sum(strip.height for strip in sheet.strips)
        found = max(found, over * stock.width, *(_beside(cutting, s) for s in sheet.strips))
    return found


def _beside(cutting: CuttingProblem, strip: Strip) -> int:
    """Area that a strip leaves at its end."""
    taken = sum(count * cutting.items[item].width for item, count in strip.counts)
    return (strip.lane[1] - taken) * strip.height


def _emptied(
    cutting: CuttingProblem,
    sheets: Sequence[Packed],
    columns: Columns,
    number: int,
    effort: Effort,
) -> tuple[Packed, ...] | None:
    """The sheets with one of bin `number` as empty as can be."""
    emptied = cutting.bins[number]
    master = Master(cutting, columns, emptied.lane)
    problem, slots = master.problem, master.free_slots
    # All parts are to be there, and no more sheets of any stock than before.
    for missing in master.missing:
        missing.upBound = 0.0
    used: dict[int, int] = {}
    for sheet in sheets:
        own = cutting.bins[sheet.bin].stock
        used[own] = used.get(own, 0) + 1
    used[emptied.stock] -= 1
    for stock in cutting.stocks:
        cut = [
            (y, 1)
            for p, y in zip(master.rips, master.uses, strict=True)
            if cutting.bins[p.bin].stock == stock.stock
        ]
        if cut:
            problem += weighted_sum(cut) <= used.get(stock.stock, 0), f"kept_{stock.stock}"
    filled = weighted_sum((slot, height) for height, slot in slots.items())
    problem += filled <= emptied.height - _reached(cutting, sheets, emptied), "larger"
    problem.setObjective(filled)
    tick = TICK * (1.0 + (len(master.strips) + len(master.rips)) / 1000.0)
    outcome = solve(problem, ticks=int(effort.left / tick), gap=0.01)
    effort.spend(outcome.ticks * tick)
    if not outcome.has_solution:
        return None
    rips, strips = columns_used(master)
    last = tuple((h, n) for h, slot in sorted(slots.items()) if (n := round(slot.value() or 0)))
    return assemble(cutting, [*rips, (Rips(number, last), 1)], strips)


def _reached(cutting: CuttingProblem, sheets: Sequence[Packed], emptied: Bin) -> int:
    """Height of the offcut that a sheet of this bin must have to be larger than any found."""
    return largest(cutting, sheets) // emptied.width + 1

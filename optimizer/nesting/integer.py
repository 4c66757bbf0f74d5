"""Whole numbers of the columns found: the cheapest answer they hold."""

from __future__ import annotations

import math
from collections import Counter, deque
from collections.abc import Sequence
from dataclasses import dataclass

from optimizer.nesting.cutting_problem import CuttingProblem, Lane, Packed, Rips, Strip
from optimizer.nesting.effort import TICK, Effort
from optimizer.nesting.master import Columns, Master
from optimizer.solving import solve

STEP = 1e-6
"""An answer is cheaper when it is by more than this."""

MANY = 100
"""With more columns than these HiGHS has a second thread."""


@dataclass(frozen=True, slots=True)
class Decided:
    """The cheapest answer found, and whether it is proved that the columns hold no cheaper."""

    sheets: tuple[Packed, ...] | None
    none_cheaper: bool


def decide(
    cutting: CuttingProblem, columns: Columns, *, below: float, bound: float, effort: Effort
) -> Decided:
    """The cheapest answer of cost under `below` that the columns hold.

    The search ends early at `bound`, under which there is none, and when the effort is spent.
    """
    master = Master(cutting, columns)
    if below < math.inf:
        master.problem += master.cost <= below - STEP, "cheaper"
    master.problem += master.cost >= bound - STEP, "bound"
    # A whole answer must hold every piece.
    for missing in master.missing:
        missing.upBound = 0.0
    columns_at_hand = len(master.strips) + len(master.rips)
    tick = TICK * (1.0 + columns_at_hand / 1000.0)
    ticks = int(effort.left / tick)
    if ticks <= 0:
        return Decided(None, none_cheaper=False)
    # Of the published lists one more is proved with a second thread; programs with fewer columns
    # end alike with one, in half of the processor's time.
    outcome = solve(master.problem, ticks=ticks, threads=2 if columns_at_hand > MANY else 1)
    effort.spend(outcome.ticks * tick)
    sheets = sheets_of(cutting, master) if outcome.has_solution else None
    return Decided(sheets, outcome.status in ("optimal", "infeasible"))


def sheets_of(cutting: CuttingProblem, master: Master) -> tuple[Packed, ...]:
    """Sheets from the values of a master program: strips from high to low into their slots."""
    return assemble(cutting, *columns_used(master))


def columns_used(master: Master) -> tuple[list[tuple[Rips, int]], list[tuple[Strip, int]]]:
    """How often each column of a solved program is used."""
    rips = [(rips, round(y.value() or 0)) for rips, y in zip(master.rips, master.uses, strict=True)]
    strips = [
        (strip, round(x.value() or 0)) for strip, x in zip(master.strips, master.cuts, strict=True)
    ]
    return rips, strips


def assemble(
    cutting: CuttingProblem,
    used: Sequence[tuple[Rips, int]],
    cut: Sequence[tuple[Strip, int]],
) -> tuple[Packed, ...]:
    """Put strips into the slots of sheets, drop pieces beyond the demand and empty sheets."""
    waiting: dict[Lane, deque[Strip]] = {lane: deque() for lane in cutting.lanes}
    for strip, count in sorted(cut, key=lambda pair: -pair[0].height):
        waiting[strip.lane].extend([strip] * count)
    sheets = [rips for rips, count in used for _ in range(count)]
    filled: list[list[Strip]] = [[] for _ in sheets]
    # Highest strips into the highest slots: the program counts, for each height, as many slots of
    # that height or more as strips, so that each strip finds one high enough.
    slots = sorted(
        (-height, number)
        for number, rips in enumerate(sheets)
        for height, count in rips.counts
        for _ in range(count)
    )
    for _, number in slots:
        queue = waiting[cutting.bins[sheets[number].bin].lane]
        if queue:
            filled[number].append(queue.popleft())
    # The columns may cut more pieces than are wanted: these are left out.
    left = Counter({i: kind.demand for i, kind in enumerate(cutting.kinds)})
    answer = []
    for rips, strips in zip(sheets, filled, strict=True):
        kept = tuple(s for strip in strips if (s := _wanted(cutting, strip, left)) is not None)
        if kept:
            answer.append(Packed(rips.bin, kept))
    return tuple(answer)


def _wanted(cutting: CuttingProblem, strip: Strip, left: Counter[int]) -> Strip | None:
    """The strip without pieces that nobody wants any more."""
    counts = []
    for item, count in reversed(strip.counts):
        kind = cutting.items[item].kind
        kept = min(count, left[kind])
        left[kind] -= kept
        if kept:
            counts.append((item, kept))
    return cutting.strip_of(strip.lane, tuple(sorted(counts))) if counts else None

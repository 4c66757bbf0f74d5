"""From a cutting problem to sheets with a proof: bounds, first fit, columns, whole numbers."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from optimizer.nesting.bounds import TOLERANCE, area_bound, reachable
from optimizer.nesting.columns import Relaxed, generate
from optimizer.nesting.cutting_problem import CuttingProblem, Packed
from optimizer.nesting.effort import Effort
from optimizer.nesting.enumeration import columns_up_to
from optimizer.nesting.firstfit import first_fit
from optimizer.nesting.integer import Decided, decide
from optimizer.nesting.leftover import gathered
from optimizer.nesting.master import Columns, Prices

STRETCHES = (1.5, 2.0, 3.0, 5.0)
"""Factors on the demand of parts that come for nothing, one after another."""

GATHERING = 400
"""Steps for gathering what is left into one offcut, beside those for the sheets."""

FEW = 60
"""With fewer strips than this at hand, more are made before an offcut is gathered."""

NOTHING = 1e-7
"""Price up to which a part comes for nothing."""

STEPS = ((0.0, 0.1), (0.1, 0.2), (0.3, 0.3), (1.0, 1.0))
"""Share of the columns of an answer that meets the bound, and of the effort left, step by step."""


@dataclass(frozen=True, slots=True)
class Found:
    """The cheapest sheets found (None: the stock on hand does not hold the parts, as far as
    was searched), the bound on the cost of any, and how both came about."""

    sheets: tuple[Packed, ...] | None
    cost: float
    bound: float
    method: str

    @property
    def proved(self) -> bool:
        """True when nothing can be cheaper."""
        return self.cost <= self.bound + TOLERANCE


def search(
    cutting: CuttingProblem, effort: Effort, *, gathering: bool = False, below: float = math.inf
) -> Found:
    """The cheapest sheets found with this effort, each step taken only while a gap is open;
    with `gathering` then those with a large offcut. The search ends as well once the bound says
    that nothing costs less than `below`."""
    columns = Columns()
    found = _cheapest(cutting, effort, columns, below)
    if not gathering or found.sheets is None:
        return found
    columns.add_sheets(found.sheets)
    least = Effort(GATHERING)
    if len(columns.strips) < FEW:
        generate(cutting, columns, least.part(0.5))
    return replace(found, sheets=gathered(cutting, found.sheets, columns, least))


def _cheapest(cutting: CuttingProblem, effort: Effort, columns: Columns, below: float) -> Found:
    """The cheapest sheets; the columns made on the way are added to `columns`."""
    bound = reachable(cutting, area_bound(cutting))
    sheets = first_fit(cutting, bound)
    found = _found(cutting, sheets, bound, "first fit meets the area bound")
    if found.proved or bound >= below - TOLERANCE:
        return found
    # Each step is dearer than the one before, and taken only while there is no proof.
    columns.add_sheets(sheets or ())
    enough = min(found.cost, below)
    relaxed = generate(cutting, columns, effort.part(0.4), enough=enough)
    bound = max(bound, reachable(cutting, relaxed.bound))
    found = replace(found, bound=bound, method="column generation")
    if bound >= below - TOLERANCE:
        return found
    if not found.proved:
        found = _round(cutting, columns, found, effort.part(0.5))
    if not found.proved:
        found = _stretch(cutting, relaxed, found, effort.part(0.4))
    while not found.proved and found.bound <= cutting.cost_of_all + TOLERANCE:
        further = _close(cutting, relaxed, found, effort)
        if further is None:
            break
        found = further
    return found


def _round(cutting: CuttingProblem, columns: Columns, found: Found, effort: Effort) -> Found:
    """Whole numbers over the columns generated."""
    decided = decide(cutting, columns, below=found.cost, bound=found.bound, effort=effort)
    return _improved(cutting, found, decided, "column generation")


def _stretch(cutting: CuttingProblem, relaxed: Relaxed, found: Found, effort: Effort) -> Found:
    """More columns, from demands stretched where parts come for nothing.

    Small parts fit beside large ones until there are too many of them: their price is zero
    and columns hold them by chance. With more of them asked for, columns hold them well.
    """
    if relaxed.prices is None or min(relaxed.prices.kinds) > NOTHING:
        return found
    for factor in STRETCHES:
        if effort.left <= 0:
            break
        stretched = _stretched(cutting, relaxed.prices, factor)
        generate(stretched, relaxed.columns, effort.part(0.3))
        found = _round(cutting, relaxed.columns, found, effort.part(0.5))
        if found.proved:
            break
    return found


def _stretched(cutting: CuttingProblem, prices: Prices, factor: float) -> CuttingProblem:
    """The problem with more of the parts that come for nothing."""
    kinds = (
        replace(kind, demand=math.ceil(factor * kind.demand)) if price <= NOTHING else kind
        for price, kind in zip(prices.kinds, cutting.kinds, strict=True)
    )
    return replace(cutting, kinds=tuple(kinds))


def _close(cutting: CuttingProblem, relaxed: Relaxed, found: Found, effort: Effort) -> Found | None:
    """Find an answer that costs no more than the bound, or raise the bound; None if neither.

    The likeliest columns are tried first, then all that such an answer can use.
    """
    if relaxed.prices is None:
        return None
    target = found.bound + 2 * TOLERANCE
    for share, effort_share in STEPS:
        columns = columns_up_to(cutting, relaxed.prices, found.bound, effort=effort, share=share)
        if columns is None:
            return None
        columns.add(relaxed.columns.strips, relaxed.columns.rips)
        decided = decide(
            cutting,
            columns,
            below=target,
            bound=found.bound,
            effort=effort.part(effort_share),
        )
        if decided.sheets is not None:
            return _improved(cutting, found, decided, "columns enumerated")
        # All columns were there and none will do: every answer costs more than the bound.
        if share == 1.0 and decided.none_cheaper:
            higher = reachable(cutting, found.bound + 3 * TOLERANCE)
            if higher <= found.bound:
                return None
            return replace(found, bound=min(higher, found.cost), method="columns enumerated")
    return None


def _improved(cutting: CuttingProblem, found: Found, decided: Decided, method: str) -> Found:
    """The better of what was found before and now."""
    if decided.sheets is None:
        return found
    better = _found(cutting, decided.sheets, found.bound, method)
    return better if better.cost < found.cost else found


def _found(
    cutting: CuttingProblem, sheets: tuple[Packed, ...] | None, bound: float, method: str
) -> Found:
    """Sheets with their cost."""
    cost = math.inf if sheets is None else cutting.cost_of(sheets)
    return Found(sheets, cost, bound, method)

"""What a layout takes to build: sheets, parts and money, at the prices of its build pack."""

from __future__ import annotations

from dataclasses import dataclass

from optimizer.buildpack.pack import shopping_of
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.sheets import NestingResult
from optimizer.errors import BuildError
from optimizer.nesting import nest
from optimizer.parts.job import Job
from optimizer.parts.part_list import parts_of_job
from optimizer.reference.prices import PriceBook, invented_prices
from optimizer.stocking.plan import CHOOSING_STEPS, Stocked, StockPlan, stocked
from optimizer.stocking.stock import sheet_parts, stock_sheets

QUICK_STEPS = 300
"""Steps for a first look at whether fewer sheets do."""

ROUGH_ERROR = 0.25
"""Share by which a cost without sheet layouts may be off: 15 % of waste is reckoned with, and
layouts of the shipped scenarios lose 5 to 35 %."""


@dataclass(frozen=True, slots=True)
class Takings:
    """Material, sheets bought and parts of a layout.

    `cost` is the sum of the shopping list: whole sheets, strips and rods, hardware, fasteners,
    finish, sundries; no labour, margin or tax. `error` is the share by which the build pack's
    own sum may differ: 0 where the sheets are laid out with proof.
    """

    cost: float
    sheets: int
    parts: int
    error: float = 0.0


def takings_of(
    brief: Brief, layout: Layout, book: PriceBook | None = None, steps: int = CHOOSING_STEPS
) -> Takings:
    """What a layout takes, its sheets, strips and rods laid out and everything priced.

    `steps` limit the search for a better layout of the sheets. A thickness that the price book has
    not is priced as the nearest one; what cannot be laid out is estimated. Raises BuildError for
    what cannot be cut or has no price.
    """
    prices = (book or invented_prices()).stretched(brief)
    try:
        found = stocked(brief, layout, prices, steps, gathering=False)
    except BuildError:
        # Parts too large for any sheet, say: counted and priced by area instead.
        job = Job(brief, layout)
        found = Stocked(job, parts_of_job(job), StockPlan())
    shopping = shopping_of(found.job, found.parts, found.plan, prices)
    cost = round(sum(line.amount for line in shopping), 2)
    sheets = found.plan.sheets
    # Offcuts at hand are laid out but not bought.
    bought = sum(line.quantity for line in shopping if line.section == "sheet")
    return Takings(
        cost=cost,
        sheets=int(bought),
        parts=sum(part.count for part in found.parts),
        error=ROUGH_ERROR if sheets is None and bought else _open(sheets, cost),
    )


def _open(sheets: NestingResult | None, cost: float) -> float:
    """What a better layout of the sheets may still save, as a share of the cost."""
    if sheets is None or sheets.proved or cost <= 0:
        return 0.0
    # At most so much is open; the build pack searches longer and may find part of it.
    return (sheets.cost - sheets.cost_bound) / cost


def takes_fewer(brief: Brief, layout: Layout, sheets: int, steps: int = QUICK_STEPS) -> bool:
    """Whether the parts of a layout are found to fit on fewer than `sheets` sheets.

    A quick look, which ends as soon as it is proved that they do not. Errors as of `takings_of`.
    """
    rules, book = brief.construction, invented_prices().stretched(brief)
    panels = sheet_parts(parts_of_job(Job(brief, layout)), rules.kerf, brief.units)
    if not panels:
        return sheets > 0
    stock = stock_sheets(brief, book)
    result = nest(
        panels,
        stock,
        kerf=rules.kerf,
        trim=rules.edge_trim,
        units=brief.units,
        steps=steps,
        gathering=False,
        below=sheets * max(sheet.price or 0.0 for sheet in stock),
    )
    return result.bought < sheets

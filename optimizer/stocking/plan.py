"""From parts to sheets, strips and rods laid out for cutting."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from optimizer.domain.brief import Brief
from optimizer.domain.construction import Material
from optimizer.domain.layout import Layout
from optimizer.domain.pack import Part, PartKind, Stock
from optimizer.domain.sheets import (
    PAIRED,
    NestingResult,
    SheetLayout,
    SheetPart,
    StickResult,
    StockSheet,
    StockStick,
)
from optimizer.errors import BuildError
from optimizer.nesting import cut_sticks, fill_offcuts, nest
from optimizer.parts.job import Job
from optimizer.parts.part_list import parts_of_job
from optimizer.reference.prices import PriceBook
from optimizer.stocking.stock import (
    refuse_oversize,
    rod_sticks,
    sheet_parts,
    stick_parts,
    stock_sheets,
    strip_sticks,
)
from optimizer.tolerances import FINE

NESTING_STEPS = 2_500
"""Steps (`nesting.effort`) for laying out the sheets of a pack; again for each kind of stick."""

CHOOSING_STEPS = 600
"""Steps for the sheets of each layout that is proposed: of 40 made-up lists 34 need fewer."""

SMALL = frozenset(
    {
        PartKind.ROD_CLEAT,
        PartKind.JOINT_CLEAT,
        PartKind.TRIANGLE,
        PartKind.STIFFENER,
        PartKind.FILLER,
        PartKind.SCRIBE,
    }
)
"""Parts of sheet stock that buy no sheet where offcuts give them."""

CLEATS = frozenset({PartKind.BACK_CLEAT, PartKind.SIDE_CLEAT})
"""Parts of strip that sheet stock of the same thickness replaces."""

RIP_MINUTES = 1.0
"""What a cleat from an offcut takes longer than one from a strip: a rip at a fence that is set.
Our choice."""

HOLDING = frozenset(set(Material) - {Material.PARTICLEBOARD})
"""Sheet goods that cleats are cut from: at least as heavy as the softwood that their fasteners
are reckoned with. Particleboard splits along narrow strips (common practice)."""


@dataclass(frozen=True, slots=True)
class StockPlan:
    """Sheet and stick layouts of the parts, as far as they are at hand."""

    sheets: NestingResult | None = None
    strips: StickResult | None = None
    rods: StickResult | None = None


@dataclass(frozen=True)
class Stocked:
    """A layout's parts, worked out once, with the stock they are cut from.

    Of the parts, cleats that offcuts of sheets give are cut from sheet.
    """

    job: Job
    parts: tuple[Part, ...]
    plan: StockPlan


def stocked(
    brief: Brief,
    layout: Layout,
    book: PriceBook,
    steps: int = NESTING_STEPS,
    *,
    gathering: bool = True,
) -> Stocked:
    """Parts of a layout and the stock they are cut from.

    With `gathering` large offcuts are kept in one piece. Raises BuildError, naming the part, for
    what cannot be cut, is larger than any stock or has no price.
    """
    job = Job(brief, layout)
    if not job.bays_by_wall:
        raise BuildError("the layout has no bays: there is nothing to build")
    parts = parts_of_job(job)
    refuse_oversize(brief, parts, book)
    return on_stock(job, parts, book, steps, gathering=gathering)


def on_stock(
    job: Job,
    parts: Sequence[Part],
    book: PriceBook,
    steps: int = NESTING_STEPS,
    *,
    gathering: bool = True,
) -> Stocked:
    """As `stocked`, of parts at hand.

    What is bought is settled alike for choosing and for building. More steps buy less only where
    the sheets are not proved the fewest, which an estimate says of itself; `gathering` chooses
    among layouts that buy the same.
    """
    # First as choosing does it, so that the cost told of a proposal is the one that is built.
    found = _laid_out(job, parts, book, min(steps, CHOOSING_STEPS), gathering=False)
    proved = found.plan.sheets is None or found.plan.sheets.proved
    if gathering or (not proved and steps > CHOOSING_STEPS):
        finer = _laid_out(job, parts, book, steps, gathering=gathering)
        # A finer layout is taken where it buys the same, or less: choosing and building must not
        # tell different costs of one layout.
        same = finer.parts == found.parts and abs(_cost(finer) - _cost(found)) <= FINE
        if same or (not proved and _cost(finer) < _cost(found) - FINE):
            found = finer
    return found


def _laid_out(
    job: Job, parts: Sequence[Part], book: PriceBook, steps: int, *, gathering: bool
) -> Stocked:
    """The parts on sheets, strips and rods in one go."""
    brief = job.brief
    sheets = _sheets(brief, parts, book, steps, gathering)
    strips = _sticks(brief, parts, Stock.STRIP, strip_sticks(brief, book), steps)
    found = Stocked(job, tuple(parts), StockPlan(sheets=sheets, strips=strips))
    if sheets is not None and strips is not None and cleats_from_sheet(brief):
        found = _with_cleats(found, book, steps)
    # Rods share nothing with sheets or strips: they are cut last, whatever becomes of the cleats.
    rods = None
    if any(part.stock is Stock.ROD for part in parts):
        rods = _sticks(brief, parts, Stock.ROD, rod_sticks(brief, book), steps)
    return replace(found, plan=replace(found.plan, rods=rods))


def _cost(found: Stocked) -> float:
    """What the stock costs."""
    plan = found.plan
    return sum(one.cost for one in (plan.sheets, plan.strips, plan.rods) if one is not None)


def cleats_from_sheet(brief: Brief) -> bool:
    """True where the sheet stock is as thick as cleats and holds their fasteners."""
    rules = brief.construction
    same = abs(rules.cleat_thickness - rules.panel_thickness) <= brief.units.grid / 2.0 + FINE
    return same and rules.material in HOLDING


def _sheets(
    brief: Brief, parts: Sequence[Part], book: PriceBook, steps: int, gathering: bool
) -> NestingResult | None:
    """The fewest sheets for all parts; small ones from offcuts where that saves a sheet."""
    rules = brief.construction
    panels = sheet_parts(parts, rules.kerf, brief.units)
    if not panels:
        return None
    stock = stock_sheets(brief, book, panels[0].id)

    def cut(some: Sequence[SheetPart], below: float = math.inf) -> NestingResult:
        """Lay some parts out on sheets."""
        return nest(
            some,
            stock,
            kerf=rules.kerf,
            trim=rules.edge_trim,
            units=brief.units,
            steps=steps,
            gathering=gathering,
            below=below,
        )

    # All parts at once, which is proved the fewest; then the large ones alone, if fewer sheets
    # could hold these and the small ones come out of what is left.
    every = cut(panels)
    least = {part.id for part in parts if part.kind in SMALL}
    small = [panel for panel in panels if panel.id.split(PAIRED)[0] in least]
    others = [panel for panel in panels if panel not in small]
    # Not fewer than the area of the large parts takes: nothing to be gained then.
    if not small or every.bought <= _by_area(others, stock):
        return every
    large = cut(others, every.cost)
    if large.cost >= every.cost - FINE:
        return every
    filled, left = fill_offcuts(large, small, brief.units)
    return every if left else filled


def _by_area(panels: Sequence[SheetPart], stock: Sequence[StockSheet]) -> int:
    """Sheets of the largest size that the area of parts takes at least."""
    area = sum(panel.length * panel.width * panel.count for panel in panels)
    return math.ceil(area / max(sheet.width * sheet.height for sheet in stock) - FINE)


def _with_cleats(found: Stocked, book: PriceBook, steps: int) -> Stocked:
    """Cleats from the offcuts of the sheets, as far as that pays: strips that are saved are weighed
    against a setting of the saw for each sheet with cleats, and a rip for each cleat."""
    brief, plan = found.job.brief, found.plan
    sheets, strips = plan.sheets, plan.strips
    assert sheets is not None  # noqa: S101 - asked by the caller
    assert strips is not None  # noqa: S101 - asked by the caller
    can_turn = brief.construction.grain == "none"
    wanted = [
        SheetPart(
            id=part.id,
            length=part.length,
            width=part.width,
            count=part.count,
            can_turn=can_turn,
        )
        for part in found.parts
        if part.stock is Stock.STRIP and part.kind in CLEATS
    ]
    minute = book.quote.labour_rate / 60.0
    order, best, least, before = _scraps_first(sheets), found, strips.cost, set[str]()
    # Cleats from the offcuts of one sheet, of two, of three, ...: each sheet more costs a setting.
    for many in range(1, len(order) + 1):
        filled, left = fill_offcuts(sheets, wanted, brief.units, order[:many])
        taken = {part.id for part in wanted} - {part.id for part in left}
        # One sheet more that gives no cleat more is not worth the look at the strips.
        if taken == before:
            continue
        before = taken
        parts = tuple(_of_sheet(p, brief) if p.id in taken else p for p in found.parts)
        fewer = _sticks(brief, parts, Stock.STRIP, strip_sticks(brief, book), steps)
        pieces = sum(part.count for part in wanted if part.id in taken)
        work = book.minutes.saw_setting * _with_any(filled, taken) + RIP_MINUTES * pieces
        cost = (0.0 if fewer is None else fewer.cost) + work * minute
        if cost < least - FINE:
            least = cost
            best = replace(found, parts=parts, plan=replace(plan, sheets=filled, strips=fewer))
    return best


def _scraps_first(sheets: NestingResult) -> list[int]:
    """Numbers of sheets by what is left of them, from much to little; the one with the largest
    offcut, which is worth keeping, comes last."""

    def left(sheet: SheetLayout) -> list[float]:
        """Areas of a sheet's offcuts."""
        return [offcut.width * offcut.height for offcut in sheet.offcuts]

    keeper = max(sheets.sheets, key=lambda sheet: max(left(sheet), default=0.0))
    ordered = sorted(sheets.sheets, key=lambda sheet: (sheet is keeper, -sum(left(sheet))))
    return [sheet.number for sheet in ordered]


def _with_any(sheets: NestingResult, parts: Collection[str]) -> int:
    """Sheets with any of these parts: each asks for settings of its own."""
    return sum(any(placed.part in parts for placed in sheet.parts) for sheet in sheets.sheets)


def _of_sheet(part: Part, brief: Brief) -> Part:
    """A cleat cut from a sheet's offcut."""
    rules = brief.construction
    return part.model_copy(
        update={"stock": Stock.SHEET, "material": rules.material.value, "grain": rules.grain}
    )


def _sticks(
    brief: Brief,
    parts: Sequence[Part],
    stock: Stock,
    lengths: Sequence[StockStick],
    steps: int,
) -> StickResult | None:
    """Strips or rods cut from their lengths; None where there are none."""
    pieces = stick_parts(parts, stock)
    if not pieces:
        return None
    return cut_sticks(pieces, lengths, kerf=brief.construction.kerf, units=brief.units, steps=steps)

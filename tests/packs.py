"""Build packs for tests that read no sheet layouts, and pieces of them: made without nesting."""

from __future__ import annotations

from optimizer.buildpack.markout import markout_of_job
from optimizer.buildpack.pack import pack_of
from optimizer.buildpack.structure_report import checks_of_job
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.pack import BuildPack, MarkoutLine, Part, StructuralCheck
from optimizer.parts.job import Job
from optimizer.parts.part_list import parts_of_job
from optimizer.reference.prices import PriceBook, QuoteRates, invented_prices
from optimizer.stocking import StockPlan
from optimizer.stocking.stock import refuse_oversize


def quick_pack(
    brief: Brief,
    layout: Layout,
    *,
    book: PriceBook | None = None,
    plan: StockPlan | None = None,
    rates: QuoteRates | None = None,
) -> BuildPack:
    """The pack of a layout; sheets and sticks are estimated but for those that `plan` brings."""
    job, prices = Job(brief, layout), book or invented_prices()
    parts = parts_of_job(job)
    refuse_oversize(brief, parts, prices)
    return pack_of(job, parts, plan or StockPlan(), prices, rates)


def parts_of(brief: Brief, layout: Layout) -> tuple[Part, ...]:
    """The parts of a layout."""
    return parts_of_job(Job(brief, layout))


def structural_checks(brief: Brief, layout: Layout) -> tuple[StructuralCheck, ...]:
    """The structural checks of a layout."""
    return checks_of_job(Job(brief, layout))


def markout(brief: Brief, layout: Layout) -> tuple[MarkoutLine, ...]:
    """The mark-out schedule of a layout."""
    return markout_of_job(Job(brief, layout))

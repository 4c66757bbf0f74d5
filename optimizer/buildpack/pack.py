"""The whole build pack of one layout, put together."""

from __future__ import annotations

from collections.abc import Sequence

from optimizer.buildpack.cautions import cautions_of
from optimizer.buildpack.chains import wall_chains
from optimizer.buildpack.cutlist import cut_list, cuts
from optimizer.buildpack.finish import finish_needs, surfaces_of
from optimizer.buildpack.hardware import SOCKETS_PER_ROD, hardware_of
from optimizer.buildpack.labour import hours_of, quote_of
from optimizer.buildpack.markout import markout_of_job
from optimizer.buildpack.roomwork import (
    baseboard_cuts,
    carpet_cuts,
    room_surfaces,
    site_checks,
)
from optimizer.buildpack.shopping import shopping_list
from optimizer.buildpack.sitenotes import site_notes
from optimizer.buildpack.structure_report import checks_of_job
from optimizer.buildpack.weights import weights_of
from optimizer.buildpack.work import RoomWork, order_of_work
from optimizer.domain.pack import BuildPack, Part, PartKind, PriceLine, RodPiece
from optimizer.parts.job import Job
from optimizer.reference.prices import PriceBook, QuoteRates
from optimizer.stocking.plan import StockPlan


def shopping_of(
    job: Job, parts: Sequence[Part], plan: StockPlan, book: PriceBook
) -> tuple[PriceLine, ...]:
    """What to buy for these parts and what it costs.

    Raises BuildError that names the part for which the price book has no price.
    """
    hardware, surfaces = hardware_of(job, parts), surfaces_of(job, parts)
    return shopping_list(job, parts, hardware, surfaces, plan=plan, book=book)


def pack_of(
    job: Job,
    parts: tuple[Part, ...],
    plan: StockPlan,
    prices: PriceBook,
    rates: QuoteRates | None = None,
) -> BuildPack:
    """The build pack of a job with its parts and their stock plan, without drawings.

    Where `plan` has no layouts of sheets or sticks, their number is estimated. `prices` is the
    price book; `rates` replace its rates for labour, margin and tax. Raises BuildError that names
    the part for which the book has no price.
    """
    brief, layout = job.brief, job.layout
    # Checks first: what cannot be built raises before anything is priced.
    checks, settings = checks_of_job(job), cuts(parts, brief.construction.kerf, brief.units)
    hardware, surfaces = hardware_of(job, parts), surfaces_of(job, parts)
    shopping = shopping_list(job, parts, hardware, surfaces, plan=plan, book=prices)
    hours = hours_of(job, parts, settings, surfaces, prices)
    weights = weights_of(brief, parts)
    baseboard, carpet, room = baseboard_cuts(job), carpet_cuts(job), room_surfaces(job)
    return BuildPack(
        name=brief.name,
        units=brief.units,
        rank=layout.rank,
        parts=parts,
        cut_list=cut_list(parts),
        cuts=settings,
        rods=tuple(rod_piece(part) for part in parts if part.kind is PartKind.ROD),
        hardware=hardware,
        checks=checks,
        datum=brief.construction.datum_height,
        markout=markout_of_job(job),
        chains=wall_chains(job),
        finish=finish_needs(job, surfaces, prices),
        shopping=shopping,
        hours=hours,
        quote=quote_of(shopping, hours, prices, rates),
        weights=weights,
        cautions=cautions_of(job, parts, checks, weights),
        notes=(prices.about.note, *site_notes(job, parts))
        if prices.about.note
        else site_notes(job, parts),
        work=order_of_work(job, parts, RoomWork(baseboard, carpet, room)),
        site_checks=site_checks(job),
        baseboard_cuts=baseboard,
        carpet_cuts=carpet,
        room_surfaces=room,
    )


def rod_piece(part: Part) -> RodPiece:
    """A rod part as a piece to cut and hang."""
    return RodPiece(
        part=part.id,
        bay=part.bays[0],
        wall=part.wall,
        length=part.length,
        diameter=part.width,
        height=part.box.bottom + part.box.size_up / 2.0,
        setback=part.box.out + part.box.size_out / 2.0,
        sockets=SOCKETS_PER_ROD,
    )

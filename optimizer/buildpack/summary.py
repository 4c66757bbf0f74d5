"""What a layout takes at a glance: cheap enough to be asked of every layout found."""

from __future__ import annotations

from collections.abc import Iterable

from optimizer.buildpack.hardware import (
    ROD_BRACKET_KEY,
    SHELF_BRACKET_KEY,
    SOCKET_KEY,
    SOCKETS_PER_ROD,
)
from optimizer.buildpack.parts import parts_of
from optimizer.buildpack.prices import PriceBook, invented_prices
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Layout, ZoneKind
from optimizer.domain.pack import PackSummary, Part, PartKind, Stock


def summary_of(brief: Brief, layout: Layout, book: PriceBook | None = None) -> PackSummary:
    """Material cost, number of parts and sheet area of a layout.

    The cost is that of what ends up in the parts: sheet goods by area, strips and rods by
    length, sockets and the brackets of mid supports by the piece; no waste, no whole sheets, no
    finish, so that it is linear in every size; a thickness that is not in the book is priced
    from the nearest one. Raises BuildError for what cannot be cut or has no price.
    """
    prices = book or invented_prices()
    found = summary_of_parts(brief, parts_of(brief, layout), prices)
    brackets = sum(_bracket_cost(brief, bay, prices) for bay in layout.bays if bay.mid_supports)
    return found.model_copy(update={"material_cost": round(found.material_cost + brackets, 2)})


def _bracket_cost(brief: Brief, bay: Bay, book: PriceBook) -> float:
    """Price of the brackets at the mid supports of a bay."""
    bought = brief.construction.mid_support == "bracket"
    keys = {ZoneKind.ROD: ROD_BRACKET_KEY} | ({ZoneKind.SHELF: SHELF_BRACKET_KEY} if bought else {})
    cost = 0.0
    for zone in bay.zones:
        if zone.kind in keys:
            piece = book.piece_of(keys[zone.kind], f"bay {bay.id}")
            cost += piece.price / piece.pack
    return cost * len(bay.mid_supports)


def summary_of_parts(brief: Brief, parts: Iterable[Part], book: PriceBook) -> PackSummary:
    """As `summary_of`, of parts at hand and without bought brackets."""
    everything = tuple(parts)
    sheet = [part for part in everything if part.stock is Stock.SHEET]
    area = sum(part.area * part.count for part in sheet)
    cost = _sheet_cost(brief, sheet, area, book) + _stick_cost(brief, everything, book)
    return PackSummary(
        material_cost=round(cost, 2),
        parts=sum(part.count for part in everything),
        sheet_area=area,
    )


def _sheet_cost(brief: Brief, sheet: list[Part], area: float, book: PriceBook) -> float:
    if not sheet:
        return 0.0
    rules, to_inch = brief.construction, brief.units.to_inch
    rate = book.rough_sheet_rate(rules.material, to_inch(rules.panel_thickness), sheet[0].id)
    return area * to_inch(1.0) ** 2 * rate


def _stick_cost(brief: Brief, parts: Iterable[Part], book: PriceBook) -> float:
    to_inch, cost = brief.units.to_inch, 0.0
    for part in parts:
        if part.stock is Stock.STRIP:
            cost += to_inch(part.length) * part.count * book.strip.per_inch
        if part.kind is PartKind.ROD:
            rate = book.rod_rate(brief.construction.rod_stock, part.id)
            socket = book.piece_of(SOCKET_KEY, part.id)
            fittings = SOCKETS_PER_ROD * socket.price / socket.pack
            cost += (to_inch(part.length) * rate + fittings) * part.count
    return cost

"""Prices of the price book as rates by area, length and piece, for a score that is linear in
widths."""

from __future__ import annotations

from dataclasses import dataclass

from optimizer.domain.brief import Brief
from optimizer.reference.prices import invented_prices


@dataclass(frozen=True, slots=True)
class Rates:
    """Money for a square inch of panel, an inch of strip or rod, and fittings.

    `rod_fittings` are the two sockets of a rod; the brackets are those of one mid support.
    """

    panel: float
    strip: float
    rod: float
    rod_fittings: float
    rod_bracket: float
    board_bracket: float


def rates_of(brief: Brief) -> Rates:
    """Rates of the brief's own stock in the price book shipped with the program.

    A thickness that is not in the book is priced from the nearest one.
    """
    rules, book = brief.construction, invented_prices()
    thickness = brief.units.to_inch(rules.panel_thickness)

    def each(key: str) -> float:
        """The price of a single piece, of a pack its part."""
        piece = book.piece_of(key, key)
        # Fittings come in packs, and a layout pays for its part of one.
        return piece.price / piece.pack

    return Rates(
        panel=book.rough_sheet_rate(rules.material, thickness, "any panel"),
        strip=book.strip.per_inch,
        rod=book.rod_rate(rules.rod_stock, "any rod"),
        rod_fittings=2.0 * each("rod_socket"),
        rod_bracket=each("rod_bracket"),
        board_bracket=each("shelf_bracket"),
    )

"""The whole build pack as one printable PDF."""

from __future__ import annotations

from typing import Any

from optimizer.delivering import cover, cutting, onsite, report
from optimizer.delivering.building import Delivery
from optimizer.delivering.pages import Places, drawing_pages, render
from optimizer.drawing import Drawing

HEADINGS = (
    "Cut list", "Strips and rods", "Before the first cut", "Mark-out", "Order of work",
    "Structural checks", "Shopping and quote",
)  # fmt: skip
"""Sections of text in their order; plan, elevations and sheets are between them."""

_RUNS = 3
"""Runs at most until contents and page numbers agree; the second nearly always does."""


def pack_document(delivery: Delivery) -> bytes:
    """Cover, plan, elevations, cut list, sheets, mark-out, order of work, strength, shopping.

    Text pages are Letter or A4; drawings keep their own paper. The same delivery gives the
    same bytes.
    """
    places, drawn = Places(), cutting.stick_pictures(delivery)
    on_pages = _drawn(delivery)
    for _ in range(_RUNS):
        content, found = render(
            _story(delivery, places, drawn),
            on_pages,
            units=delivery.brief.units,
            title=f"{delivery.brief.name or 'Closet'}: build pack",
            places=places,
        )
        if found == places:
            break
        places = found
    return content


def _drawn(delivery: Delivery) -> tuple[Drawing, ...]:
    """Drawings that have a page each: plan and elevations, then sheets two by two."""
    return (*delivery.room_drawings[:-1], *delivery.sheet_pairs)


def _story(delivery: Delivery, places: Places, drawn: cutting.StickPictures) -> list[Any]:
    """Every flowable of the document; contents come from where sections lay before."""
    return [
        *cover.cover(delivery, places),
        *drawing_pages(delivery.room_drawings[:-1]),
        *cutting.cut_list(delivery),
        *drawing_pages(delivery.sheet_pairs),
        *cutting.sticks(drawn),
        *onsite.checks(delivery),
        *onsite.markout(delivery),
        *onsite.assembly(delivery),
        *report.structure(delivery),
        *report.shopping(delivery),
    ]

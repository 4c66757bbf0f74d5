"""The whole build pack as one printable PDF."""

from __future__ import annotations

from typing import Any

from optimizer.delivering import sections
from optimizer.delivering.building import Delivery
from optimizer.delivering.pages import Places, drawing_pages, render

_RUNS = 3
"""Runs at most until contents and page numbers agree; the second nearly always does."""


def pack_document(delivery: Delivery) -> bytes:
    """Cover, quote, drawings, cut list, sheets, shopping, mark-out, assembly and structure.

    Text pages are Letter or A4; drawings keep their own paper. The same delivery gives the
    same bytes.
    """
    places = Places()
    for _ in range(_RUNS):
        content, found = render(
            _story(delivery, places),
            delivery.drawings,
            units=delivery.brief.units,
            title=f"{delivery.brief.name or 'Closet'}: build pack",
            places=places,
        )
        if found == places:
            break
        places = found
    return content


def _story(delivery: Delivery, places: Places) -> list[Any]:
    """Every flowable of the document; contents come from where sections lay before."""
    return [
        *sections.cover(delivery, places),
        *sections.quote(delivery),
        *drawing_pages(delivery.room_drawings),
        *sections.cut_list(delivery),
        *sections.sheet_layouts(delivery),
        *drawing_pages(delivery.sheet_drawings),
        *drawing_pages(delivery.stick_drawings),
        *(flowable for part in sections.text_sections() for flowable in part(delivery)),
    ]

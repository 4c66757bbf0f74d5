"""The whole build pack as one printable PDF."""

from __future__ import annotations

from typing import Any

from optimizer.delivering import cover, cutting, onsite, report
from optimizer.delivering.building import Delivery
from optimizer.delivering.pages import drawing_pages, render
from optimizer.drawing import Drawing

HEADINGS = (
    "Cut list", "Strips and rods", "Before the first cut", "Mark-out", "Order of work",
    "Structural checks", "Shopping and quote",
)  # fmt: skip
"""Sections of text in their order; plan, elevations and sheets are between them."""


def pack_document(delivery: Delivery) -> bytes:
    """Cover, plan, elevations, cut list, sheets, mark-out, order of work, strength, shopping.

    Text pages are Letter or A4; drawings keep their own paper. The same delivery gives the
    same bytes.
    """
    return render(
        _story(delivery),
        _drawn(delivery),
        units=delivery.brief.units,
        title=f"{delivery.brief.name or 'Closet'}: build pack",
    )


def _drawn(delivery: Delivery) -> tuple[Drawing, ...]:
    """Drawings that have a page each: plan and elevations, then sheets two by two."""
    return (*delivery.wall_drawings, *delivery.sheet_pairs)


def _story(delivery: Delivery) -> list[Any]:
    """Every flowable of the document."""
    sections = [*(drawing.title for drawing in _drawn(delivery)), *HEADINGS]
    return [
        *cover.cover(delivery, sections),
        *drawing_pages(delivery.wall_drawings),
        *cutting.cut_list(delivery),
        *drawing_pages(delivery.sheet_pairs),
        *cutting.sticks(delivery),
        *onsite.checks(delivery),
        *onsite.markout(delivery),
        *onsite.assembly(delivery),
        *report.structure(delivery),
        *report.shopping(delivery),
    ]

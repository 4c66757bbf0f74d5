"""The whole build pack as one printable PDF."""

from __future__ import annotations

from typing import Any

from optimizer.delivery import cover, report_pages, saw_pages, site_pages
from optimizer.delivery.delivery import Delivery
from optimizer.delivery.pages import drawing_pages, render
from optimizer.drawing import Drawing

HEADINGS = (
    "Before the first cut", "Cut list", "Strips and rods", "Mark-out", "Order of work",
    "Structural checks", "Shopping and quote",
)  # fmt: skip
"""Sections of text. The first is on the cover where that has room, else before the mark-out."""


def pack_document(delivery: Delivery) -> bytes:
    """Cover and checks on site, plan, elevations, sheets, cut list, mark-out, order of work,
    strength, shopping.

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
    drawings = _drawn(delivery)
    sections = [*(drawing.title for drawing in drawings), *HEADINGS]
    checks = site_pages.checks(delivery)
    first = cover.cover(delivery, sections, checks)
    return [
        *first,
        *drawing_pages(drawings),
        *saw_pages.cut_list(delivery),
        *saw_pages.sticks(delivery),
        # `cover` has put them below its figures where there was room.
        *(() if checks[-1] in first else checks),
        *site_pages.markout(delivery),
        *site_pages.assembly(delivery),
        *report_pages.structure(delivery),
        *report_pages.shopping(delivery),
    ]

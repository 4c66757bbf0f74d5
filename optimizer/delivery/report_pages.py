"""Structural checks with their sources; what to buy, hours and the quote."""

from __future__ import annotations

from typing import Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Spacer

from optimizer.buildpack import tables
from optimizer.delivery.delivery import Delivery
from optimizer.delivery.pages import further_down, text_height, text_page, text_width
from optimizer.delivery.styles import (
    CELL,
    FINE,
    SMALL,
    SUBHEADING,
    caution_boxes,
    heading,
    in_columns,
    pack_table,
    paragraph,
    table,
    tall,
)

_GAP = 6
_GUTTER = 12
"""Paper between two columns [points]."""

_LONG = 28
"""Lines of shopping and hardware from which they are in small type."""

CODES = (
    "These checks use published values and common practice. They do not replace local codes, "
    "a building department or a licensed engineer; electrical and plumbing work belongs to "
    "those licensed for it."
)


def structure(delivery: Delivery) -> list[Any]:
    """Cautions on loads, every check, formulas and sources by number.

    Figures are told of checks that come near their limit; of all in the pack's data.
    """
    pack, width = delivery.pack, text_width(delivery.brief.units)
    sources: dict[tuple[str, str], int] = {}
    for check in pack.checks:
        sources.setdefault((check.formula, check.source), len(sources) + 1)
    story = [
        *further_down(),
        heading("Structural checks"),
        *caution_boxes([c for c in pack.cautions if c.where == "structure"]),
        *pack_table(tables.checks_on_paper(pack, sources), width, style=FINE),
    ]
    if sources:
        story.append(paragraph("Formulas and sources", SUBHEADING))
        story += [
            paragraph(f"({number}) {formula}. Source: {source}.", FINE)
            for (formula, source), number in sources.items()
        ]
    story.append(Spacer(1, _GAP))
    story.append(
        paragraph(
            f"{CODES} Checks that use up to {tables.TOLD_FROM:.0%} of their limit share a row with "
            "others of their kind, which tells of the worst; each by itself, with its figures, is "
            "in the table of structural checks beside this document.",
            SMALL,
        )
    )
    return story


def shopping(delivery: Delivery) -> list[Any]:
    """What to buy, finishes with their cautions, the quote; beside them hardware and hours."""
    width = text_width(delivery.brief.units)
    cautions = caution_boxes([c for c in delivery.pack.cautions if c.where == "finish"])
    top = [heading("Shopping and quote"), *cautions]
    long = len(delivery.pack.shopping) + len(delivery.pack.hardware) > _LONG
    # The first type in which it all goes on one page; else one column that runs over pages.
    for style in (FINE,) if long else (CELL, FINE):
        blocks = _blocks(delivery, (width - _GUTTER) / 2, style)
        columns, high = in_columns(blocks, width, _GUTTER)
        high += tall(top, width)
        if high <= text_height(delivery.brief.units):
            return [*further_down(), *top, columns]
    flat = (one for block in _blocks(delivery, width, FINE) for one in block)
    return [*text_page(), *top, *flat]


def _blocks(delivery: Delivery, width: float, style: ParagraphStyle) -> list[list[Any]]:
    """Tables of what the job takes and comes to, each of such a width."""
    pack = delivery.pack
    return [
        pack_table(tables.shopping_table(pack, proofs=False), width, style=style, loose=True),
        [paragraph("Quote", SUBHEADING), *_quote(delivery, width)],
        [paragraph("Finish", SUBHEADING), *_finish(delivery, width)],
        pack_table(tables.hardware_table(pack), width, style=style, loose=True),
        pack_table(tables.hours_table(pack), width, style=style, loose=True),
    ]


def _quote(delivery: Delivery, width: float) -> list[Any]:
    """The quote, with what its hours mean."""
    made = tables.quote_table(delivery.pack)
    words = "Hours are those of one person; what they rest on is listed with the hours."
    return [table(made.columns, made.rows, width), Spacer(1, 3), paragraph(words, SMALL)]


def _finish(delivery: Delivery, width: float) -> list[Any]:
    """How much of each finish is needed."""
    rows = [
        (need.name, f"{need.area:.1f} {need.area_unit}", str(need.coats),
         f"{need.amount:.2f} {need.unit}")
        for need in delivery.pack.finish
    ]  # fmt: skip
    return [table(("Finish", "Surface", "Coats", "Amount"), rows, width)] if rows else []

"""What the saw needs: cut list, settings, what each sheet gives, rods and strips."""

from __future__ import annotations

from typing import Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, KeepTogether, Spacer

from optimizer.buildpack import tables
from optimizer.delivery.delivery import Delivery
from optimizer.delivery.pages import (
    Picture,
    further_down,
    text_height,
    text_page,
    text_width,
)
from optimizer.delivery.styles import (
    CELL,
    FINE,
    beside,
    caution_boxes,
    folded,
    heading,
    pack_table,
    paragraph,
    tall,
)
from optimizer.drawing import picture_sticks

_LIST_SHARE = 0.64
"""Share of the page's width for the cut list, where the settings fit beside it."""

_SETTINGS_LEAST = 30 * mm
"""Paper that the settings want to begin on."""

_STICKS_HEIGHT = 165.0
"""Height of a picture of sticks [mm]."""


def cut_list(delivery: Delivery) -> list[Any]:
    """Cautions at the saw, the parts in cutting order, the settings beside them or below."""
    cautions = [c for c in delivery.pack.cautions if c.where == "cut_list"]
    top = [heading("Cut list"), *caution_boxes(cautions)]
    width = text_width(delivery.brief.units)
    room = text_height(delivery.brief.units) - tall(top, width)
    # The larger type in either arrangement before the smaller one in any: it is read standing at
    # the saw.
    for style in (CELL, FINE):
        for arranged in (_side_by_side, _over_each_other):
            story = arranged(delivery, width, style)
            if tall(story, width) <= room:
                return [*text_page(), *top, *story]
    return [
        *text_page(),
        *top,
        *pack_table(tables.cut_list_table(delivery.pack), width, style=FINE),
        CondPageBreak(_SETTINGS_LEAST),
        *folded(tables.cuts_table(delivery.pack, by_row=True), width, 3, FINE),
    ]


def _side_by_side(delivery: Delivery, width: float, style: ParagraphStyle) -> list[Any]:
    """Cut list and saw settings in two columns."""
    left, right = width * _LIST_SHARE, width * (1 - _LIST_SHARE)
    parts = tables.cut_list_table(delivery.pack)
    settings = tables.cuts_table(delivery.pack, by_row=True)
    columns = (
        pack_table(parts, left - 6, style=style, loose=True),
        pack_table(settings, right, style=style, loose=True),
    )
    return [beside(*columns, (left, right))]


def _over_each_other(delivery: Delivery, width: float, style: ParagraphStyle) -> list[Any]:
    """Cut list first, saw settings under it."""
    settings = tables.cuts_table(delivery.pack, by_row=True)
    return [
        *pack_table(tables.cut_list_table(delivery.pack), width, style=style, loose=True),
        *folded(settings, width, 3, style),
    ]


def sticks(delivery: Delivery) -> list[Any]:
    """Strips and rods with what is cut from each, drawn among the text."""
    units, made = delivery.brief.units, []
    room = (text_width(units) / mm, _STICKS_HEIGHT)
    for what, result in (("Strips", delivery.plan.strips), ("Rods", delivery.plan.rods)):
        if result is not None:
            words = f"{what}: {result.statement}. Cut from the left end; only lengths are to scale."
            first, *others = [Picture(d) for d in picture_sticks(result, units, what, room)]
            made += [KeepTogether([paragraph(words), Spacer(1, 3), first]), Spacer(1, 8), *others]
    return [*further_down(), heading("Strips and rods"), *made] if made else []

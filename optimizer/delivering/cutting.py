"""What the saw needs: cut list, settings, what each sheet gives, rods and strips."""

from __future__ import annotations

from typing import Any

from reportlab.lib.units import mm
from reportlab.platypus import KeepTogether, Spacer

from optimizer.buildpack import tables
from optimizer.delivering.building import Delivery
from optimizer.delivering.pages import Picture, text_height, text_page, text_width
from optimizer.delivering.styles import (
    beside,
    caution_boxes,
    heading,
    in_columns,
    pack_table,
    paragraph,
    tall,
)
from optimizer.domain.sheets import StickResult
from optimizer.drawing import picture_sticks

_LIST_SHARE = 0.64
"""Share of the page's width for the cut list, where the settings fit beside it."""

_GUTTER = 12
"""Paper between two columns [points]."""

_STICKS_HEIGHT = 150.0
"""Height of a picture of sticks [mm]."""


def cut_list(delivery: Delivery) -> list[Any]:
    """Cautions at the saw, the parts in cutting order, the settings beside them or below."""
    cautions = [c for c in delivery.pack.cautions if c.where == "cut_list"]
    top = [*text_page(), heading("Cut list"), *caution_boxes(cautions)]
    width = text_width(delivery.brief.units)
    left, right = width * _LIST_SHARE, width * (1 - _LIST_SHARE)
    parts = pack_table(tables.cut_list_table(delivery.pack), left - 6, loose=True)
    settings = pack_table(tables.cuts_table(delivery.pack, by_row=True), right, loose=True)
    used = tall(top[2:], width)
    room = text_height(delivery.brief.units)
    if used + max(tall(parts, left - 6), tall(settings, right)) <= room:
        return [*top, beside(parts, settings, (left, right))]
    return [
        *top,
        *pack_table(tables.cut_list_table(delivery.pack), width),
        *_settings(delivery, width),
    ]


def _settings(delivery: Delivery, width: float) -> list[Any]:
    """Saw settings in two columns, where a page holds them so."""
    made = tables.cuts_table(delivery.pack, by_row=True)
    middle = (len(made.rows) + 1) // 2
    halves = [
        tables.Table(made.title if not n else f"{made.title}, go on", made.columns, rows)
        for n, rows in enumerate((made.rows[:middle], made.rows[middle:]))
    ]
    column = (width - _GUTTER) / 2
    blocks = [pack_table(half, column, loose=True) for half in halves if half.rows]
    columns, high = in_columns(blocks, width, _GUTTER)
    if high <= text_height(delivery.brief.units):
        return [columns]
    return pack_table(made, width)


def sticks(delivery: Delivery) -> list[Any]:
    """Strips and rods with what is cut from each, drawn among the text."""
    made: list[Any] = []
    for what, result in (("Strips", delivery.plan.strips), ("Rods", delivery.plan.rods)):
        if result is not None:
            made += _sticks(delivery, what, result)
    if not made:
        return []
    first = made[0]
    return [*text_page(), heading("Strips and rods"), first, *made[1:]]


def _sticks(delivery: Delivery, what: str, result: StickResult) -> list[Any]:
    room = (text_width(delivery.brief.units) / mm, _STICKS_HEIGHT)
    said = result.statement
    words = paragraph(f"{what}: {said}. Cut from the left end; only lengths are to scale.")
    pictures = [Picture(d) for d in picture_sticks(result, delivery.brief.units, what, room)]
    return [KeepTogether([words, Spacer(1, 3), pictures[0]]), Spacer(1, 8), *pictures[1:]]

"""A short document for the customer: a picture, what goes where, the price."""

from __future__ import annotations

from typing import Any

from reportlab.platypus import Spacer

from optimizer.delivery.cover import storage
from optimizer.delivery.delivery import Delivery
from optimizer.delivery.pages import Picture, further_down, render, text_width
from optimizer.delivery.styles import BODY, SMALL, SUBHEADING, TITLE, beside, paragraph, table
from optimizer.domain.layout import Zone
from optimizer.drawing.ink.names import wall_title
from optimizer.printing.words import count_words, describe_bay, stored_words
from optimizer.units import format_length, format_short

_SHARE = 0.45
"""Share of the page's width for what it comes to in all; the price is beside it."""

_GAP = 6


def customer_document(delivery: Delivery) -> bytes:
    """Letter or A4: no score, no part numbers, no more of the work than it takes to decide."""
    return render(
        _story(delivery),
        (),
        units=delivery.brief.units,
        title=delivery.brief.name or "Closet",
    )


def _story(delivery: Delivery) -> list[Any]:
    """Everything on the customer's page, from top to bottom."""
    brief, width = delivery.brief, text_width(delivery.brief.units)
    date = delivery.date.isoformat() if delivery.date else "____________"
    picture = Picture(delivery.picture)
    picture.hAlign = "CENTER"
    return [
        paragraph(brief.name or "Closet", TITLE),
        paragraph(f"Proposal. Date: {date}"),
        Spacer(1, _GAP),
        picture,
        *further_down(),
        paragraph("What goes where", SUBHEADING),
        table(("Wall", "Place", "Size", "What it is", "What goes in"), _rows(delivery), width),
        *further_down(),
        beside(
            [table(("In all", ""), storage(delivery), width * _SHARE - 12, full=False)],
            _price(delivery),
            (width * _SHARE, width * (1 - _SHARE)),
        ),
    ]


def _rows(delivery: Delivery) -> list[tuple[str, ...]]:
    """A row for each bay, in the order of the walls."""
    units = delivery.brief.units
    walls = {wall.id: n for n, wall in enumerate(delivery.brief.room.walls)}
    bays = sorted(delivery.layout.bays, key=lambda bay: (walls[bay.wall], bay.start))
    return [
        (
            wall_title(bay.wall),
            bay.id,
            f"{format_short(bay.width, units)} wide, {format_short(bay.depth, units)} deep",
            describe_bay(bay),
            "; ".join(_inside(zone, delivery) for zone in bay.zones if zone.items or zone.stored),
        )
        for bay in bays
    ]


def _inside(zone: Zone, delivery: Delivery) -> str:
    """What stands on one level, and how high it is."""
    said = [count_words(zone.items)] if zone.items else []
    said += stored_words(zone)
    where = (
        f"at {format_length(zone.bottom, delivery.brief.units)}" if zone.bottom else "on the floor"
    )
    return f"{', '.join(said)} {where}"


def _price(delivery: Delivery) -> list[Any]:
    """The price, what it includes, and the line to sign on."""
    quote, rules = delivery.pack.quote, delivery.brief.construction
    money = f" {quote.currency}" if quote.currency else ""
    coats = ", ".join(need.name for need in delivery.pack.finish)
    stock = rules.material.value.replace("_", " ").replace("mdf", "MDF")
    made = f"made of {stock}" + (f"; {coats}" if coats else "")
    tax = f", {quote.tax:.2f} of it tax" if quote.tax else ""
    return [
        paragraph("Price", SUBHEADING),
        paragraph(f"{quote.total:.2f}{money}{tax}, material and work, made and fitted.", BODY),
        paragraph(f"{made[:1].upper()}{made[1:]}.", BODY),
        paragraph(
            f"Planned for {rules.shelf_load:g} {_load(delivery)} on shelves. Sizes are checked on "
            "site before the work begins and may change by a little. Painting the room, electrical "
            "and plumbing work are not part of this.",
            SMALL,
        ),
        Spacer(1, 4 * _GAP),
        paragraph("Agreed, date and name: ________________________________________", BODY),
    ]


def _load(delivery: Delivery) -> str:
    """The unit of a load by area, in words."""
    return "lb a square foot" if delivery.brief.units.value == "in" else "kg a square metre"

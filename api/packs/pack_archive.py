"""The build pack of a layout as one archive, made in a child process."""

from __future__ import annotations

import datetime
import io
import json
import zipfile

from api.http.wire import JsonObject
from api.packs.archive import DATA, FILES
from optimizer.delivery import Delivery, build_pack, pack_files
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.reference.prices import PriceBook, QuoteRates, invented_prices

_MADE = (2020, 1, 1, 0, 0, 0)
"""A fixed date: the same layout gives the same bytes."""


def packed(
    brief: Brief, layout: Layout, pricing: JsonObject | None = None, fewer_sheets: str = ""
) -> bytes:
    """Every file of the build pack in an archive, and beside it the JSON of it all, in another.

    `pricing` is a request for it as JSON: a price book, rates of the quote, a date; what it
    does not have is that of the program. `fewer_sheets` tells of the nearest layout that takes a
    sheet less.

    CheckFailedError for a layout that breaks a rule, BuildError for what cannot be cut.
    """
    given = pricing or {}
    book, rates = _prices(given)
    day = datetime.date.fromisoformat(given["date"]) if given.get("date") else None
    delivery = build_pack(
        brief, layout, book=book, rates=rates, date=day, fewer_sheets=fewer_sheets
    )
    files = pack_files(delivery)
    data = json.dumps(_data(delivery, list(files)), allow_nan=False).encode()
    # The archive that is handed out lies ready inside, not compressed twice.
    inner = _zipped({name: (content, zipfile.ZIP_DEFLATED) for name, content in files.items()})
    return _zipped({FILES: (inner, zipfile.ZIP_STORED), DATA: (data, zipfile.ZIP_DEFLATED)})


def _zipped(members: dict[str, tuple[bytes, int]]) -> bytes:
    """An archive of members with the way each is packed."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as target:
        for name, (content, method) in members.items():
            target.writestr(zipfile.ZipInfo(name, _MADE), content, method)
    return made.getvalue()


def _prices(given: JsonObject) -> tuple[PriceBook, QuoteRates]:
    """The price book to reckon with, and its rates with those that were sent put in."""
    book = invented_prices()
    if given.get("prices"):
        book = PriceBook.model_validate(given["prices"])
    # A rate that was not sent is that of the book; 0 is a rate.
    sent = {name: rate for name, rate in (given.get("quote") or {}).items() if rate is not None}
    return book, QuoteRates.model_validate({**book.quote.model_dump(), **sent})


def _data(delivery: Delivery, names: list[str]) -> JsonObject:
    """The pack with its sheet and stick layouts, and the names of its files."""
    plan = delivery.plan
    nested = {"sheets": plan.sheets, "strips": plan.strips, "rods": plan.rods}
    return {
        "pack": delivery.pack.model_dump(mode="json"),
        **{
            name: None if result is None else result.model_dump(mode="json")
            for name, result in nested.items()
        },
        "drawings": [
            {"name": drawing.name, "title": drawing.title} for drawing in delivery.drawings
        ],
        "files": names,
    }

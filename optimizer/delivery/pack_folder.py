"""The build pack as files in a folder: the document, tables, data and drawings."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

from pydantic import BaseModel
from pydantic_core import to_json

from optimizer.buildpack import tables
from optimizer.delivery.customer import customer_document
from optimizer.delivery.delivery import Delivery, build_pack
from optimizer.delivery.document import pack_document
from optimizer.delivery.labels import labels_document
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.drawing import drawing_files
from optimizer.files import safe_name, write_files
from optimizer.reference.prices import PriceBook, QuoteRates
from optimizer.stocking import NESTING_STEPS


def write_pack(
    brief: Brief,
    layout: Layout,
    folder: Path | str,
    *,
    book: PriceBook | None = None,
    rates: QuoteRates | None = None,
    date: datetime.date | None = None,
    steps: int = NESTING_STEPS,
) -> list[Path]:
    """Build a layout and write everything into `folder`; the paths written.

    Errors as of `build_pack`, OptimizerError where the folder cannot be written; then
    nothing is written.
    """
    delivery = build_pack(brief, layout, book=book, rates=rates, date=date, steps=steps)
    return write_files(folder, pack_files(delivery))


def pack_files(delivery: Delivery) -> dict[str, bytes]:
    """File names with contents, the document first."""
    return {
        "build-pack.pdf": pack_document(delivery),
        "customer.pdf": customer_document(delivery),
        "part-labels.pdf": labels_document(delivery),
        **_data_files(delivery),
        **_table_files(delivery),
        **drawing_files(delivery.drawings),
    }


def _data_files(delivery: Delivery) -> dict[str, bytes]:
    """Pack, cut list and sheet layouts as JSON."""
    plan = delivery.plan
    nested = {
        name: _plain(result)
        for name, result in (
            ("sheets", plan.sheets), ("strips", plan.strips), ("rods", plan.rods)
        )
    }  # fmt: skip
    return {
        "build-pack.json": _json(delivery.pack),
        "cut-list.json": (tables.cut_list_json(delivery.pack.cut_list) + "\n").encode(),
        "sheets.json": _json(nested),
    }


def _plain(result: BaseModel | None) -> Any:
    """A nesting result as data, without how long it took: that differs each time."""
    return None if result is None else result.model_dump(mode="json", exclude={"seconds"})


def _json(data: Any) -> bytes:
    """A record as a JSON file."""
    # Pydantic's own JSON would write null for an infinite number, which a reader would take for a
    # missing one.
    return to_json(data, indent=2, inf_nan_mode="constants") + b"\n"


def _table_files(delivery: Delivery) -> dict[str, bytes]:
    """Tables as CSV for a spreadsheet."""
    pack = delivery.pack
    files = {
        "cut-list.csv": tables.cut_list_csv(pack.cut_list, pack.units),
        "shopping-list.csv": tables.as_csv(tables.shopping_table(pack)),
        "structural-checks.csv": tables.as_csv(tables.checks_table(pack)),
    }
    walls = list(dict.fromkeys(line.wall for line in pack.markout))
    for wall in walls:
        files[f"mark-out-{safe_name(wall, walls)}.csv"] = tables.as_csv(
            tables.markout_table(pack, wall)
        )
    return {name: text.encode() for name, text in files.items()}

"""The build pack of a layout as one archive, made in a child process."""

from __future__ import annotations

import io
import json
import zipfile
from typing import Any

from api.jobs.archive import DATA
from optimizer.delivering import Delivery, build_pack, pack_files
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout

NESTING_SECONDS = 8.0
"""Longest that laying out sheets may take; the same again goes to each kind of stick."""
_MADE = (2020, 1, 1, 0, 0, 0)
"""A fixed date: the same layout gives the same bytes."""


def packed(brief: Brief, layout: Layout) -> bytes:
    """Every file of the build pack, and the JSON of it all, in one archive.

    CheckFailedError for a layout that breaks a rule, BuildError for what cannot be cut.
    """
    delivery = build_pack(brief, layout, seconds=NESTING_SECONDS)
    files = pack_files(delivery)
    data = json.dumps(_data(delivery, list(files)), allow_nan=False).encode()
    archive = io.BytesIO()
    with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED) as target:
        for name, content in {**files, DATA: data}.items():
            target.writestr(zipfile.ZipInfo(name, _MADE), content, zipfile.ZIP_DEFLATED)
    return archive.getvalue()


def _data(delivery: Delivery, names: list[str]) -> dict[str, Any]:
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

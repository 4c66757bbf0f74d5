"""Which drawings a layout has, and where they are."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote

from api.studies.reading import Chosen
from api.studies.views import address

FORMS = ("svg", "dxf", "pdf")


def drawings_of(chosen: Chosen, rank: int) -> dict[str, Any]:
    """Plan, an elevation of each wall with bays, in the room's order, and isometric view."""
    layout = chosen.layouts[0]
    used = {bay["wall"] for bay in layout["bays"]}
    walls = [wall["id"] for wall in chosen.brief["room"]["walls"] if wall["id"] in used]
    here = f"{address(chosen.study_id)}/layouts/{rank}/drawings"
    items = [
        _entry(here, "plan", None),
        *(_entry(here, "elevation", wall) for wall in walls),
        _entry(here, "isometric", None),
    ]
    return {"study": chosen.study_id, "layout": rank, "items": items}


def _entry(here: str, view: str, wall: str | None) -> dict[str, Any]:
    query = "" if wall is None else f"?wall={quote(wall)}"
    files = {form: f"{here}/{view}.{form}{query}" for form in FORMS}
    return {"view": view, "wall": wall, **files}

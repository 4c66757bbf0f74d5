"""Build packs: made once for each layout, then served file by file."""

from __future__ import annotations

import io
import json
import zipfile
from typing import Any
from urllib.parse import quote

from api.http.errors import ServiceError
from api.packs.archive import DATA
from api.state import State
from api.studies.calculating import kept
from api.studies.reading import Chosen
from api.studies.views import address

DOCUMENT = "build-pack.pdf"
CUT_LIST = "cut-list.csv"
TYPES = {
    "csv": "text/csv",
    "dxf": "image/vnd.dxf",
    "json": "application/json",
    "pdf": "application/pdf",
    "svg": "image/svg+xml",
}
"""Media type by the end of a file's name."""


async def archive_of(state: State, chosen: Chosen, pricing: dict[str, Any] | None = None) -> bytes:
    """The archive of a layout's build pack under these prices, made now or before."""
    if pricing is None:
        return await kept(state, chosen, "build")
    return await kept(state, chosen, "build", pricing=pricing)


def read_file(archive: bytes, name: str) -> bytes:
    """A file of the pack; 404 for a name that it does not have."""
    with zipfile.ZipFile(io.BytesIO(archive)) as source:
        if name == DATA or name not in source.namelist():
            raise ServiceError("not_found", f"the build pack has no file {name[:60]!r}")
        return source.read(name)


def take_away(archive: bytes) -> bytes:
    """The archive as it is handed out: the files of the pack alone."""
    made = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(archive)) as source,
        zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as target,
    ):
        for entry in source.infolist():
            if entry.filename != DATA:
                target.writestr(entry, source.read(entry))
    return made.getvalue()


def pack_view(
    archive: bytes, chosen: Chosen, rank: int, pricing: str | None = None
) -> dict[str, Any]:
    """The whole pack as JSON, with the addresses of its files."""
    with zipfile.ZipFile(io.BytesIO(archive)) as source:
        data = json.loads(source.read(DATA))
    here = pack_address(chosen, rank)
    asked = "" if pricing is None else f"?pricing={pricing}"
    return {
        "study": chosen.study_id,
        "layout": rank,
        "pricing": pricing,
        **{name: data[name] for name in ("pack", "sheets", "strips", "rods")},
        "drawings": [
            {
                **entry,
                "svg": _link(here, f"{entry['name']}.svg") + asked,
                "dxf": _link(here, f"{entry['name']}.dxf") + asked,
            }
            for entry in data["drawings"]
        ],
        "files": [
            {"name": name, "media_type": media_type_of(name), "href": _link(here, name) + asked}
            for name in data["files"]
        ],
        "archive": f"{here}.zip{asked}",
    }


def media_type_of(name: str) -> str:
    """Media type of a file of the pack."""
    return TYPES[name.rsplit(".", 1)[-1]]


def pack_address(chosen: Chosen, rank: int) -> str:
    """Path of a layout's build pack."""
    return f"{address(chosen.study_id)}/layouts/{rank}/build-pack"


def _link(here: str, name: str) -> str:
    return f"{here}/files/{quote(name, safe='')}"

"""Build packs: made once for each layout, then served file by file."""

from __future__ import annotations

import io
import json
import zipfile
from typing import Any
from urllib.parse import quote

from api.jobs.archive import DATA
from api.problems import ServiceError
from api.services.calculating import kept
from api.services.reading import Chosen
from api.services.views import address
from api.state import State

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


async def archive_of(state: State, chosen: Chosen) -> bytes:
    """The archive of a layout's build pack, made now or before."""
    return await kept(state, chosen, "build")


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


def pack_view(archive: bytes, chosen: Chosen, rank: int) -> dict[str, Any]:
    """The whole pack as JSON, with the addresses of its files."""
    with zipfile.ZipFile(io.BytesIO(archive)) as source:
        data = json.loads(source.read(DATA))
    here = f"{address(chosen.study_id)}/layouts/{rank}/build-pack"
    return {
        "study": chosen.study_id,
        "layout": rank,
        **{name: data[name] for name in ("pack", "sheets", "strips", "rods")},
        "drawings": [
            {
                **entry,
                "svg": _link(here, f"{entry['name']}.svg"),
                "dxf": _link(here, f"{entry['name']}.dxf"),
            }
            for entry in data["drawings"]
        ],
        "files": [_file(here, name) for name in data["files"]],
        "archive": f"{here}.zip",
    }


def media_type_of(name: str) -> str:
    """Media type of a file of the pack."""
    return TYPES[name.rsplit(".", 1)[-1]]


def _file(here: str, name: str) -> dict[str, Any]:
    return {"name": name, "media_type": media_type_of(name), "href": _link(here, name)}


def _link(here: str, name: str) -> str:
    return f"{here}/files/{quote(name, safe='')}"

"""Build packs: made once for each layout, then served file by file."""

from __future__ import annotations

import io
import json
import zipfile

from api.http.errors import ServiceError
from api.http.wire import JsonObject
from api.packs.archive import DATA, FILES
from api.packs.schemas import PackDrawing, PackFile, PackPlace
from api.state import State
from api.studies.calculations import kept
from api.studies.lookup import Chosen
from optimizer.domain.study import Leaner
from optimizer.units import Units

DOCUMENT = "build-pack.pdf"
CUT_LIST = "cut-list.csv"


async def archive_of(state: State, chosen: Chosen, pricing: JsonObject | None = None) -> bytes:
    """The archive of a layout's build pack under these prices, made now or before."""
    asked: JsonObject = {} if pricing is None else {"pricing": pricing}
    if told := _fewer_sheets(chosen):
        asked["fewer_sheets"] = told
    return await kept(state, chosen, "build", **asked)


def _fewer_sheets(chosen: Chosen) -> str:
    """A word on the nearest layout that takes fewer sheets, where the study has one."""
    rank = chosen.layouts[0]["rank"]
    found = next((one for one in chosen.result.get("leaner") or () if one["rank"] == rank), None)
    if found is None:
        return ""
    return Leaner.model_validate(found, context=Units(chosen.brief["units"])).told


def read_file(archive: bytes, name: str) -> bytes:
    """A file of the pack; 404 for a name that it does not have."""
    with zipfile.ZipFile(io.BytesIO(take_away(archive))) as source:
        # The service's own member is no file of the pack.
        if name == DATA or name not in source.namelist():
            raise ServiceError("not_found", f"the build pack has no file {name[:60]!r}")
        return source.read(name)


def take_away(archive: bytes) -> bytes:
    """The archive as it is handed out: the files of the pack alone, as they were packed."""
    with zipfile.ZipFile(io.BytesIO(archive)) as source:
        # What an earlier version kept has the files themselves.
        return source.read(FILES) if FILES in source.namelist() else archive


def pack_view(archive: bytes, place: PackPlace) -> JsonObject:
    """Members of a `BuildPackResource`: the pack as it is stored, with addresses of its files."""
    with zipfile.ZipFile(io.BytesIO(archive)) as source:
        data = json.loads(source.read(DATA))
    drawings = (PackDrawing.of(place, one["name"], one["title"]) for one in data["drawings"])
    files = (PackFile.of(place, name) for name in data["files"])
    return {
        "study": place.study_id,
        "layout": place.rank,
        "pricing": place.pricing,
        **{name: data[name] for name in ("pack", "sheets", "strips", "rods")},
        "drawings": [drawing.members() for drawing in drawings],
        "files": [file.members() for file in files],
        "archive": f"{place.address}.zip{place.query}",
    }

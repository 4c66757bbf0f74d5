"""The planner page and the viewer of the interface: static files under a strict policy."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import TYPE_CHECKING

from fastapi import FastAPI, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import FileResponse, HTMLResponse, Response

from api.http.conditional import answer, conditional, json_bytes
from api.http.deps import StateDep
from api.http.errors import ServiceError
from api.http.wire import JsonObject
from api.reference.examples import service_examples
from api.reference.openapi import with_examples
from api.reference.page_files import AGAIN, Folder, PageFiles
from api.state import State
from api.studies.calculations import calculated
from api.versions import API_VERSION

if TYPE_CHECKING:
    from api.worker.calculators import Result

FOLDER = Path(__file__).resolve().parent.parent / "page"
VIEWER = Path(__file__).resolve().parent / "viewer"
ENTRY = "index.html"
LONGEST_WAIT_S = 2.0
"""Longest wait for the examples of the OpenAPI page: readers of such pages wait for 5 s or so."""


def add_page(app: FastAPI, folder: Path = FOLDER) -> None:
    """Serve `index.html` at / and the folder under /page/; a short index where there is none."""
    page = Folder(folder)
    if folder.is_dir():
        app.mount("/page", PageFiles(page), name="page")

    @app.get("/", include_in_schema=False)
    def entry() -> Response:
        """The page, or where to find the service's description."""
        if (folder / ENTRY).is_file():
            return HTMLResponse(page.entry(ENTRY), headers={"Cache-Control": AGAIN})
        return answer(json_bytes(_index()))


def _index() -> JsonObject:
    """What a client that asks for JSON is told at the root: where things are."""
    return {
        "name": "Closet layout optimizer",
        "api": API_VERSION,
        "openapi": "/openapi.json",
        "docs": "/docs",
        "studies": "/v1/studies",
        "scenarios": "/v1/scenarios",
    }


def add_description(app: FastAPI) -> None:
    """Serve the OpenAPI page at /openapi.json."""
    made: list[bytes] = []
    under_way: list[asyncio.Task[Result]] = []

    async def examples(state: State) -> JsonObject | None:
        """Examples of answers; none where they cannot be had soon, later they may be there."""
        if not under_way:
            under_way.append(asyncio.create_task(calculated(state, "examples")))
        try:
            # Shielded: a reader who does not wait must not end it for the next.
            done = await asyncio.wait_for(asyncio.shield(under_way[0]), LONGEST_WAIT_S)
        except TimeoutError:
            return None
        except ServiceError:
            under_way.clear()
            return None
        return {**service_examples(), **done.value}

    @app.get("/openapi.json", include_in_schema=False)
    async def description(request: Request, state: StateDep) -> Response:
        """The OpenAPI page; without examples, and not kept, where none can be had now."""
        if not made:
            page = await run_in_threadpool(app.openapi)
            found = await examples(state)
            if found is None:
                return conditional(request, json_bytes(page))
            made.append(json_bytes(with_examples(page, found)))
        return conditional(request, made[0])


def add_viewer(app: FastAPI) -> None:
    """Serve the OpenAPI page at /docs, to be read and tried by people."""
    app.mount("/docs/files", PageFiles(Folder(VIEWER)), name="viewer")

    @app.get("/docs", include_in_schema=False)
    def viewer() -> Response:
        """A viewer of /openapi.json; its files are this server's own."""
        return FileResponse(VIEWER / ENTRY, headers={"Cache-Control": AGAIN})

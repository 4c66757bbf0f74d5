"""The page's files: kept for good under their version, so that a page opened again loads none."""

from __future__ import annotations

import asyncio
import re
from pathlib import Path

import httpx
from starlette.applications import Starlette
from starlette.routing import Mount

from api.reference.page_files import Folder, PageFiles
from api.reference.site import FOLDER
from tests.service.harness import Server

MARKUP = '<script type="module" src="/page/js/main.js"></script><img src="/page/icon.svg">'


def _folder(path: Path) -> Folder:
    (path / "js").mkdir(parents=True)
    (path / "index.html").write_text(MARKUP)
    (path / "js" / "main.js").write_text('import "./store.js";')
    (path / "js" / "store.js").write_text("export const state = 1;")
    return Folder(path)


def _get(folder: Folder, address: str) -> httpx.Response:
    """What is answered where the folder is served under /page."""
    app = Starlette(routes=[Mount("/page", PageFiles(folder))])

    async def ask() -> httpx.Response:
        transport = httpx.ASGITransport(app)
        async with httpx.AsyncClient(transport=transport, base_url="http://page") as client:
            return await client.get(address)

    return asyncio.run(ask())


def test_a_version_is_that_of_what_is_in_the_files(tmp_path: Path) -> None:
    """Another for another content or name of any file; the same in another place."""
    one, other = _folder(tmp_path / "one"), _folder(tmp_path / "other")
    first = one.version()
    assert re.fullmatch("[0-9a-f]{16}", first)
    assert other.version() == one.version() == first
    (tmp_path / "one" / "js" / "store.js").write_text("export const state = 22;")
    changed = one.version()
    (tmp_path / "one" / "js" / "store.js").rename(tmp_path / "one" / "js" / "stored.js")
    assert len({first, changed, one.version()}) == 3
    assert one.told_last(one.version())
    assert not one.told_last(changed)


def test_only_files_of_the_version_told_are_kept(tmp_path: Path) -> None:
    """A file under an older version, or none, is served as it is now and asked for again."""
    folder = _folder(tmp_path / "page")
    markup = folder.entry("index.html")
    (address,) = re.findall(r'"(/page/v[^"]+)"', markup)
    assert address.endswith("/js/main.js")
    # What is named without a version stays so.
    assert '"/page/icon.svg"' in markup
    kept = _get(folder, address)
    assert kept.headers["cache-control"] == "public, max-age=31536000, immutable"
    assert kept.text == 'import "./store.js";'
    assert _get(folder, "/page/js/main.js").headers["cache-control"] == "no-cache"
    (tmp_path / "page" / "js" / "main.js").write_text('import "./other.js";')
    assert folder.entry("index.html") != markup
    old = _get(folder, address)
    assert (old.text, old.headers["cache-control"]) == ('import "./other.js";', "no-cache")
    assert _get(folder, address.replace("main.js", "none.js")).status_code == 404


def test_the_page_names_all_of_its_files_by_version(shared_server: Server) -> None:
    """Styles and modules alike, each to be kept; the page itself is asked for again."""
    page = httpx.get(f"{shared_server.url}/", headers={"Accept": "text/html"}).raise_for_status()
    assert page.headers["cache-control"] == "no-cache"
    named = set(re.findall(r'(?:src|href)="(/page/[^"]+\.(?:js|css))"', page.text))
    assert len(named) == len(list(FOLDER.rglob("*.js"))) + len(list(FOLDER.rglob("*.css"))) - 1
    for address in sorted(named):
        found = shared_server.client.get(address).raise_for_status()
        assert "immutable" in found.headers["cache-control"], address

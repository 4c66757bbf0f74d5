"""A real browser against a real server, for tests of the page."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Literal

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Page,
    expect,
    sync_playwright,
)

from tests.browser.steps import OPTIONS, PATIENCE_MS, units
from tests.service.harness import Server


def _chromium() -> str:
    """Path of a Chromium; skips, saying why, where there is none, but never in CI."""
    for name in ("chromium", "chromium-browser", "google-chrome"):
        found = shutil.which(name)
        if found:
            return found
    reason = "no Chromium here: the page's tests need one (Debian's package chromium)"
    if os.environ.get("CI", "").lower() in {"1", "true", "yes"}:
        pytest.fail(reason)
    pytest.skip(reason)


@pytest.fixture(scope="package")
def browser() -> Iterator[Browser]:
    """A browser for all tests of the page, closed after the last of them."""
    path = _chromium()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(OPTIONS))
        yield browser
        browser.close()


@pytest.fixture(scope="package")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server whose workers run the optimizer itself."""
    folder = tmp_path_factory.mktemp("page")
    server = Server(
        folder,
        runner="api.worker.optimizer_runner:OptimizerRunner",
        max_active_per_client=100,
        max_streams_per_client=100,
        # A loaded machine must not pass for a dead worker.
        lease_s=20,
        heartbeat_s=1,
        stop_grace_s=10,
    )
    try:
        yield server.start()
    finally:
        server.close()


KEY = "a-key-of-the-tests-0123456789"


@pytest.fixture(scope="package")
def _guarded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    folder = tmp_path_factory.mktemp("guarded")
    server = Server(folder, api_keys=f"us={KEY}", max_active_per_client=1, workers=1)
    server.client.headers["X-API-Key"] = KEY
    try:
        yield server.start()
    finally:
        server.close()


@pytest.fixture
def guarded(_guarded: Server) -> Server:
    """A server that asks for an access key and takes one study at a time; nothing is solved; it
    is emptied."""
    _guarded.empty()
    return _guarded


OURS = """window.ours = (name) =>
  import(new URL(name, document.querySelector("script[type=module]").src).href);"""
"""A module of the page by its name under `js`, the one that the page itself runs."""


@pytest.fixture(scope="package")
def still_page(browser: Browser, server: Server) -> Iterator[Page]:
    """One page for all tests that only call its functions: loading a page costs most of a test."""
    context = browser.new_context(base_url=server.url)
    context.add_init_script(OURS)
    page = context.new_page()
    page.goto("/")
    page.get_by_role("main").wait_for()
    yield page
    context.close()


NO_SCRIPTS = "/page/icon.svg"
"""What is of the page's origin, so that its process stays, and keeps nothing."""

WITHOUT_WORKER = "delete Navigator.prototype.serviceWorker"


class Everyday:
    """The page of most tests: its process, which has read and compiled what the page is made of,
    goes on from test to test, since that is two thirds of what opening a page costs. Of what the
    page keeps and of what a test makes of its window nothing is left.
    """

    def __init__(self, context: BrowserContext, server: Server) -> None:
        self.context = context
        self._server = server
        self._page: Page | None = None

    def page(self) -> Page:
        """The page, not yet at an address of the service's."""
        if self._page is None:
            self._page = self.context.new_page()
            self._page.add_init_script(WITHOUT_WORKER)
        return self._page

    def forget(self, *, keeps_page: bool) -> None:
        """Close all other pages and leave nothing that they or this one keep; without `keeps_page`
        this one is closed too."""
        page = self.page()
        origins = {self._server.url, page.url.split("/#")[0].rstrip("/")}
        # At another service it may have kept what is out of reach from here.
        keeps_page = keeps_page and page.url.startswith(f"{self._server.url}/")
        for other in self.context.pages:
            if other is not page:
                # Whatever a page keeps when it is left is kept by now.
                other.goto("about:blank")
                other.close()
        page.goto(NO_SCRIPTS if keeps_page else "about:blank")
        if keeps_page:
            page.evaluate("localStorage.clear(); sessionStorage.clear();")
            page.mouse.move(0, 0)
        session = self.context.new_cdp_session(page)
        kinds = "cookies,indexeddb,local_storage,service_workers,cache_storage"
        for origin in origins:
            session.send("Storage.clearDataForOrigin", {"origin": origin, "storageTypes": kinds})
        session.detach()
        page.unroute_all()
        self.context.unroute_all()
        if not keeps_page:
            page.close()
            self._page = None


@pytest.fixture(scope="package")
def everyday(browser: Browser, server: Server) -> Iterator[Everyday]:
    """The page of most tests."""
    context = _context(browser, server)
    yield Everyday(context, server)
    context.close()


def _context(browser: Browser, server: Server, **options: Any) -> BrowserContext:
    context = browser.new_context(
        base_url=server.url, accept_downloads=True, reduced_motion="reduce", **options
    )
    context.set_default_timeout(PATIENCE_MS)
    context.add_init_script(OURS)
    return context


@pytest.fixture
def open_page(
    request: pytest.FixtureRequest, browser: Browser, server: Server, everyday: Everyday
) -> Iterator[Callable[..., Page]]:
    """A maker of pages, each as on a machine of its own; none may raise an error of its own.

    The page's service worker fetches all of its files once more: it is there where `offline` asks
    for it. Other options are those of a context.
    """
    made: list[Page] = []
    errors: list[str] = []
    failed = request.session.testsfailed
    told: list[tuple[Page, Any, Any]] = []

    def hear(page: Page, event: Any, what: Callable[[Any], None]) -> None:
        page.on(event, what)
        told.append((page, event, what))

    def make(
        hash_: str = "",
        *,
        width: int = 1280,
        dark: bool = False,
        offline: bool = False,
        **options: Any,
    ) -> Page:
        # A second page of a test is on another machine, and so is one that asks for more.
        own = made or offline or options
        page = _context(browser, server, **options).new_page() if own else everyday.page()
        made.append(page)
        page.set_viewport_size({"width": width, "height": 900})
        scheme: Literal["dark", "light"] = "dark" if dark else "light"
        if own:
            page.emulate_media(color_scheme=scheme)
        else:
            page.emulate_media(color_scheme=scheme, media="null", reduced_motion="reduce")
        if own and not offline:
            page.add_init_script(WITHOUT_WORKER)
        hear(page, "pageerror", lambda error: errors.append(str(error) + (error.stack or "")))
        hear(page, "console", lambda message: _note(errors, message))
        page.goto(f"/{hash_}")
        page.get_by_role("main").wait_for()
        return page

    yield make
    for page in made:
        if page.context is not everyday.context:
            page.context.close()
            continue
        everyday.forget(keeps_page=request.session.testsfailed == failed)
    for page, event, what in told:
        page.remove_listener(event, what)
    assert errors == []


@pytest.fixture(scope="package")
def _form(browser: Browser, server: Server) -> Iterator[tuple[Page, list[str], list[str]]]:
    context = _context(browser, server)
    page, errors = context.new_page(), list[str]()
    page.set_viewport_size({"width": 1280, "height": 900})
    page.add_init_script(WITHOUT_WORKER)
    page.on("pageerror", lambda error: errors.append(str(error) + (error.stack or "")))
    page.on("console", lambda message: _note(errors, message))
    yield page, errors, ["not loaded yet"]
    context.close()


@pytest.fixture
def form_page(
    request: pytest.FixtureRequest, _form: tuple[Page, list[str], list[str]]
) -> Iterator[Page]:
    """The form of one page for many tests, started over for each as a person does.

    For tests that neither go on to a study nor speak of a page just opened; after one that
    failed the page is loaded anew.
    """
    page, errors, failed = _form
    if failed:
        page.goto("about:blank")
        errors.clear()
        page.goto("/")
    before = request.session.testsfailed
    failed[:] = [request.node.name]
    units(page, "Inches")
    page.get_by_role("button", name="Start over").click()
    expect(page.get_by_label("Name of the job")).to_have_value("")
    expect(page.locator("#checked")).to_contain_text("Still missing")
    yield page
    assert errors == []
    if request.session.testsfailed == before:
        failed.clear()


def _note(errors: list[str], message: ConsoleMessage) -> None:
    """Keep what the console complains of; a refused request is no fault of the page."""
    refused = "Failed to load resource" in message.text
    if message.type in {"error", "warning"} and not refused:
        errors.append(message.text)


@pytest.fixture(scope="package")
def solved(server: Server) -> dict[str, Any]:
    """A study of a reach-in with two layouts and a need that is not met."""
    study = server.wait_for(server.accept(TIGHT_REACH_IN)["id"], timeout_s=150)
    # What the tests look for must be there, or they would blame the page.
    assert [layout["rank"] for layout in study["layouts"]] == [1, 2]
    assert study["repairs"]
    return study


TIGHT_REACH_IN: dict[str, Any] = {
    "name": "Tight reach-in",
    "room": {
        "ceiling_height": 96,
        "walls": [
            {"id": "Back", "length": 72},
            {"id": "Right", "length": 25},
            {"id": "Front", "length": 72},
            {"id": "Left", "length": 25},
        ],
        "openings": [{"wall": "Front", "start": 10, "width": 52, "kind": "bifold"}],
    },
    "needs": {"long_hang": 40, "short_hang": 80, "shelf_length": 60},
    "options": {"alternatives": 2, "time_limit_s": 120},
}


@pytest.fixture(scope="package")
def pictures() -> Path | None:
    """Folder for screenshots, where the environment names one."""
    folder = os.environ.get("PAGE_PICTURES")
    if not folder:
        return None
    Path(folder).mkdir(parents=True, exist_ok=True)
    return Path(folder)

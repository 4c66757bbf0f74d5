"""The page for everyone: by keyboard, by screen reader, small and dark, and closed to others."""

from __future__ import annotations

import json
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import KEY
from tests.browser.make_page_files import entry, listed
from tests.browser.steps import (
    SOLVE_MS,
    await_end,
    broken_tables,
    field,
    fill,
    findings,
    open_study,
    overflow,
)
from tests.service.harness import Server

PAGE = Path(str(files("api"))) / "page"


WIDTHS = (360, 768, 1280, 1920)
"""Widths of windows: a phone, a tablet, a laptop, a desk."""


@pytest.mark.parametrize(("width", "dark"), [(360, True), (1280, False)])
def test_axe_finds_nothing_and_nothing_sticks_out(
    open_page: Callable[..., Page],
    solved: dict[str, Any],
    pictures: Path | None,
    width: int,
    dark: bool,
) -> None:
    """Every sheet, empty, faulty and full: small and dark, large and light; nothing is wider than
    its window at any width, whatever its colours."""
    page = open_page(width=width, dark=dark)
    widths = WIDTHS if dark or pictures else (width,)

    def look(name: str) -> None:
        assert (name, findings(page)) == (name, [])
        for wide in widths:
            page.set_viewport_size({"width": wide, "height": 900})
            assert (name, wide, overflow(page)) == (name, wide, 0)
            assert (name, wide, broken_tables(page)) == (name, wide, 0)
            if pictures:
                theme = "dark" if dark else "light"
                page.screenshot(path=pictures / f"{wide}-{theme}-{name}.png", full_page=True)
        page.set_viewport_size({"width": width, "height": 900})

    look("empty")
    page.get_by_role("button", name="Propose layouts").click()
    page.locator("#faults").wait_for()
    look("faulty")
    page.get_by_label("Start from an example").select_option("attic-walk-in")
    expect(page.locator("#checked")).to_contain_text("Complete")
    look("full")
    open_study(page, solved)
    page.locator("table.compare").wait_for()
    expect(page.locator("p.wait")).to_have_count(0)
    look("study")
    page.goto(f"/#study={solved['id']}&pack=1")
    page.get_by_role("heading", name="Cut list").wait_for()
    expect(page.locator("p.wait")).to_have_count(0)
    look("pack")
    page.goto(f"/#study={solved['id']}&hand=1")
    expect(page.locator("#beside")).to_be_visible()
    page.get_by_role("slider", name="Upright 1").press("Shift+ArrowRight")
    look("hand")
    page.goto(f"/#study={solved['id']}&customer=1")
    page.locator(".price").wait_for()
    expect(page.locator("p.wait")).to_have_count(0)
    look("customer")


MARKS = Path(__file__).parent / "focus_marks.js"
"""A script that gives each thing with a focus and the contrast of its mark (WCAG 2.2, 1.4.11)."""


@pytest.mark.parametrize("dark", [False, True])
def test_focus_is_seen_on_every_ground(
    open_page: Callable[..., Page], solved: dict[str, Any], dark: bool
) -> None:
    """Every mark of the focus has 3:1 against what is around it, in both themes."""
    page = open_page(dark=dark)

    def weak() -> list[Any]:
        marks = page.evaluate(MARKS.read_text(encoding="utf-8"))
        assert len(marks) > 10
        return [mark for mark in marks if mark[1] < 3]

    page.get_by_role("button", name="Propose layouts").click()
    page.locator("#faults").wait_for()
    assert weak() == []
    page.get_by_label("Start from an example").select_option("attic-walk-in")
    page.get_by_role("button", name="Add a box to keep clear").click()
    assert weak() == []
    open_study(page, solved)
    page.locator("#layout-1 .bay").first.wait_for()
    page.locator("#layout-1 .bay").first.click()
    assert weak() == []
    page.goto(f"/#study={solved['id']}&hand=1")
    expect(page.locator("#beside")).to_be_visible()
    # As far as it goes: narrower than any bay may be.
    for _ in range(32):
        page.get_by_role("slider", name="Upright 1").press("Shift+ArrowLeft")
    expect(page.locator("#verdict li").first).to_be_visible()
    assert weak() == []


def _tab_to(page: Page, wanted: str, most: int = 120) -> None:
    """Press Tab until what has the focus is called so."""
    for _ in range(most):
        page.keyboard.press("Tab")
        name = page.evaluate(
            "(document.activeElement.labels?.[0] ?? document.activeElement).textContent.trim()"
            " || document.activeElement.getAttribute('aria-label') || ''"
        )
        if name.startswith(wanted):
            return
    raise AssertionError(f"Tab does not reach {wanted!r}")


def test_the_whole_way_by_keyboard_alone(open_page: Callable[..., Page]) -> None:
    """From the empty form to a kept bay and the build pack without a mouse."""
    page = open_page()
    for label, text in (
        ("Name of the job", "By hand"),
        ("Back wall, length", "60"),
        ("Right wall, length", "25"),
        ("Ceiling height", "96"),
        ("Clear width", "48"),
        ("From the left corner", "6"),
        ("Short hang", "50"),
    ):
        _tab_to(page, label)
        page.keyboard.type(text)
    _tab_to(page, "8 What counts")
    page.keyboard.press("Enter")
    for label, text in (("Layouts wanted", "1"), ("Longest search", "10")):
        _tab_to(page, label)
        page.keyboard.press("Control+a")
        page.keyboard.type(text)
    expect(page.locator("#checked")).to_contain_text("Complete")
    _tab_to(page, "Propose layouts")
    page.keyboard.press("Enter")
    await_end(page)
    page.locator("#layout-1 .bay").first.wait_for()
    _tab_to(page, "Keep ")
    page.keyboard.press("Enter")
    expect(page.locator("#layout-1 .bay.held")).to_have_count(1)
    _tab_to(page, "Build this one")
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="Cut list").wait_for(timeout=SOLVE_MS)
    _tab_to(page, "Take the PDF")
    with page.expect_download() as waiting:
        page.keyboard.press("Enter")
    assert waiting.value.suggested_filename == "by-hand-1.pdf"


def test_skipping_to_the_content_keeps_the_address(
    open_page: Callable[..., Page], solved: dict[str, Any]
) -> None:
    """The first Tab leads past the sheets' names, the study stays, and the title names it."""
    page = open_page()
    open_study(page, solved)
    expect(page).to_have_title("Tight reach-in, layouts")
    before = page.url
    page.get_by_role("link", name="Skip to the content").press("Enter")
    expect(page.get_by_role("main")).to_be_focused()
    assert page.url == before


def test_progress_and_results_are_announced(
    open_page: Callable[..., Page], solved: dict[str, Any]
) -> None:
    """What changes without the focus is said in the live region."""
    page = open_page()
    open_study(page, solved)
    page.locator("#layout-1").get_by_role("button", name="Keep ").first.click()
    expect(page.locator("#said")).to_contain_text("is kept in the next run")


def test_nobody_else_is_asked_and_the_policy_is_strict(
    open_page: Callable[..., Page], server: Server, solved: dict[str, Any]
) -> None:
    """Every request goes to the service itself; inline scripts and styles are forbidden."""
    page = open_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    open_study(page, solved)
    page.reload()
    page.locator("#layout-1 svg.sheet image").first.wait_for()
    strangers = [url for url in asked if not url.startswith((server.url, "blob:", "data:"))]
    assert strangers == []
    policy = server.client.get("/").headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "script-src 'self'" in policy
    assert "style-src 'self'" in policy
    assert "unsafe" not in policy
    markup = (PAGE / "index.html").read_text(encoding="utf-8")
    assert " style=" not in markup
    assert "http:" not in markup


def test_print_is_black_on_white(
    open_page: Callable[..., Page], solved: dict[str, Any], pictures: Path | None
) -> None:
    """In the dark theme too, and nothing that could be pressed is printed."""
    page = open_page(f"#study={solved['id']}&pack=1", dark=True)
    page.get_by_role("heading", name="Cut list").wait_for()
    expect(page.locator("p.wait")).to_have_count(0)
    page.emulate_media(media="print")
    colours = page.evaluate(
        "['backgroundColor', 'color'].map(one => getComputedStyle(document.body)[one])"
    )
    assert colours == ["rgb(255, 255, 255)", "rgb(0, 0, 0)"]
    assert page.locator("button:visible").count() == 0
    expect(page.get_by_role("heading", name="Cut list")).to_be_visible()
    if pictures:
        page.pdf(path=pictures / "print.pdf", format="Letter")


def test_the_page_lists_all_of_its_files() -> None:
    """What the service worker keeps and the entry preloads is what there is."""
    assert json.loads((PAGE / "files.json").read_text(encoding="utf-8")) == listed()
    markup = (PAGE / "index.html").read_text(encoding="utf-8")
    assert markup == entry(markup)


def test_an_access_key_is_asked_for_where_the_service_wants_one(
    open_page: Callable[..., Page], guarded: Server
) -> None:
    """With keys set, the page asks for one, keeps it for the visit and goes on."""
    page = open_page()
    page.goto(guarded.url)
    page.get_by_label("This service asks for an access key").fill(KEY)
    page.get_by_role("button", name="Use it").click()
    fill(page, "/room/walls/0/length", "60")
    fill(page, "/room/ceiling_height", "nonsense")
    expect(field(page, "/room/ceiling_height")).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#checked")).to_contain_text("Right wall, length")


def test_a_page_opened_again_loads_none_of_its_files_anew(open_page: Callable[..., Page]) -> None:
    """Styles and modules come from what the browser keeps: one request where a hundred were."""
    page = open_page()
    page.reload()
    page.get_by_role("main").wait_for()
    loaded: dict[str, int] = page.evaluate(
        "() => Object.fromEntries(performance.getEntriesByType('resource')"
        ".filter(one => /\\.(js|css)$/.test(one.name)).map(one => [one.name, one.transferSize]))"
    )
    assert len(loaded) > 80
    assert {name: size for name, size in loaded.items() if size} == {}

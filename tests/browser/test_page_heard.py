"""The journey as a screen reader meets it: the accessibility tree of each sheet."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser.steps import fill, open_study

HEARD = Path(__file__).parent / "heard"
"""Trees of whole sheets as they were recorded; `HEARD_ANEW=1` records them again."""


def _as_recorded(page: Page, name: str) -> None:
    """The tree of the whole page is the one recorded, but for what lists offer."""
    lines = page.locator("body").aria_snapshot().splitlines()
    tree = "\n".join(line for line in lines if not re.match(r"\s*- '?option ", line)) + "\n"
    file = HEARD / f"{name}.yml"
    if os.environ.get("HEARD_ANEW"):
        HEARD.mkdir(exist_ok=True)
        file.write_text(tree, encoding="utf-8")
    assert tree == file.read_text(encoding="utf-8")


def test_whole_sheets_are_heard_as_recorded(open_page: Callable[..., Page]) -> None:
    """First sight, what is asked for once Propose was pressed, and a walk-in typed in full."""
    page = open_page()
    expect(page.locator("#checked")).to_contain_text("Still missing")
    expect(page.get_by_role("button", name="Plan this one").first).to_be_enabled()
    _as_recorded(page, "first-sight")
    page.get_by_role("button", name="Propose layouts").click()
    expect(page.locator("#faults")).to_be_focused()
    _as_recorded(page, "what-is-missing")
    page.get_by_label("Start from an example").select_option("attic-walk-in")
    expect(page.locator("#checked")).to_contain_text("Complete")
    expect(page.locator("#said")).to_contain_text("complete")
    _as_recorded(page, "walk-in")


def _hear(page: Page, *wanted: str) -> None:
    """The tree of the content has all of this (patterns), in this order."""
    tree = page.get_by_role("main").aria_snapshot()
    at = 0
    for pattern in wanted:
        found = re.compile(pattern).search(tree, at)
        assert found, f"{pattern!r} is not heard after {tree[max(0, at - 200) : at]!r}"
        at = found.end()


def test_the_journey_is_heard(open_page: Callable[..., Page], solved: dict[str, Any]) -> None:
    """From first sight to the customer's sheet: what is where, what is chosen, what was
    understood, what is missing and what it came to."""
    page = open_page()
    send = page.get_by_role("button", name="Propose layouts")
    expect(send).to_have_accessible_description(
        "Still missing: Back wall, length; Right wall, length; and 1 more."
    )
    _hear(
        page,
        r'heading "Closet layouts you can build" \[level=1\]',
        r'img "Coats in the hall: a layout proposed for it',
        r'button "Plan this one',
        r'region "Drawing of the room"',
        r'slider "Bifold doors, in Front"',
        r'textbox "Name of the job"',
        r'button "Inches" \[pressed\]',
        r'navigation "Sections"',
        r'link "The room ?, to do"',
        r'group "Shape of the room"',
        r'button "Reach-in.*\[pressed\]',
        r'textbox "Back wall, length"',
    )
    fill(page, "/room/walls/0/length", "6 ft 2")
    length = page.get_by_role("textbox", name="Back wall, length")
    expect(length).to_have_accessible_description("6' 2\" = 1879.6 mm")
    ceiling = page.get_by_role("textbox", name="Ceiling height")
    expect(ceiling).to_have_accessible_description(re.compile("^Guess: 96, until you measure"))
    open_study(page, solved)
    page.locator("#layout-1 svg.sheet image").first.wait_for()
    one = solved["layouts"][0]["bays"][0]["id"]
    _hear(
        page,
        r'heading "Layout 1" \[level=3\]',
        rf"img .Back, elevation of layout 1: {one} .* wide",
        rf"button .Keep {one}, .* wide",
        r'checkbox "Compare" \[checked\]',
        r'link "Edit by hand ?layout 1"',
        r'link "Build this one ?layout 1"',
    )
    page.get_by_role("link", name="Edit by hand layout 1").click()
    expect(page.locator("#beside")).to_be_visible()
    _hear(
        page,
        r'heading "Tight reach-in, layout 1 by hand" \[level=1\]',
        r"button .*Undo.* \[disabled\]",
        r'button "Back wall" \[pressed\]',
        rf'slider "Shelf 1 of {one}"',
        r'slider "Upright 1"',
        r"It can be built so",
        r"As good as layout 1",
    )
    page.get_by_role("slider", name="Upright 1").press("Shift+ArrowLeft")
    page.keyboard.press("Control+z")
    expect(page.locator("#said")).to_contain_text(re.compile("Undone: an upright|built so"))
    page.goto(f"/#study={solved['id']}&customer=1")
    page.locator(".price").wait_for()
    _hear(
        page,
        r'heading "Tight reach-in" \[level=1\]',
        r'img "The closet, seen from in front"',
        r'heading "What goes where" \[level=2\]',
        r'heading "Price" \[level=2\]',
        r"Total",
    )

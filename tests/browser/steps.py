"""Steps that a person takes on the page."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.service.harness import Server

OPTIONS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
PATIENCE_MS = 60_000
"""Longest wait for anything but a solve."""

SOLVE_MS = 180_000
"""Longest wait for a solve of a few seconds on a loaded machine."""

AXE = Path(__file__).parent / "vendor" / "axe-core" / "axe.min.js"
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]

expect.set_options(timeout=PATIENCE_MS)


def field(page: Page, pointer: str) -> Locator:
    """The control at a place of the brief."""
    return page.locator(f"[data-pointer='{pointer}']").locator("input, select").first


def fill(page: Page, pointer: str, text: str) -> None:
    """Type into the field at a place of the brief."""
    field(page, pointer).fill(text)


def fault_at(page: Page, pointer: str) -> Locator:
    """What is said to be wrong at a field."""
    return page.locator(f"[data-pointer='{pointer}'] .fault")


def unfold(page: Page, section: str) -> None:
    """Open a section of the form, where it is not open."""
    part = page.locator(f"#part-{section}")
    if part.get_attribute("open") is None:
        part.locator("> summary").click()
        expect(part).to_have_attribute("open", "")


def units(page: Page, name: str) -> None:
    """Use other units: Inches or Millimetres."""
    page.get_by_role("group", name="Units").get_by_role("button", name=name).click()


def search_briefly(page: Page, layouts: int = 2, seconds: int = 8) -> None:
    """Ask for few layouts and a short search."""
    unfold(page, "matters")
    fill(page, "/options/alternatives", str(layouts))
    fill(page, "/options/time_limit_s", str(seconds))


def propose(page: Page) -> None:
    """Send the brief and wait until the search has ended."""
    expect(page.locator("#checked")).to_contain_text("Complete")
    page.get_by_role("button", name="Propose layouts").click()
    await_end(page)


def propose_first(page: Page, server: Server) -> None:
    """Send the brief and stop the search at its first layout, however long that takes."""
    expect(page.locator("#checked")).to_contain_text("Complete")
    page.get_by_role("button", name="Propose layouts").click()
    page.locator("#layout-1").wait_for(timeout=SOLVE_MS)
    # Not with the button: the search may end by itself this moment.
    server.client.post(f"/v1/studies/{study_id(page)}/cancellation").raise_for_status()
    await_end(page)


def await_end(page: Page) -> None:
    """Wait until the study on the page has ended."""
    page.locator("#ended").wait_for(timeout=SOLVE_MS)


def open_study(page: Page, study: dict[str, Any]) -> None:
    """Go to a study that has ended."""
    page.goto(f"/#study={study['id']}")
    await_end(page)


def findings(page: Page) -> list[str]:
    """What axe finds against WCAG 2.2 AA and its own good practice, one line each."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate(
        "rules => axe.run(document, {runOnly: rules})"
        ".then(result => result.violations.map(one => `${one.id}: ${one.nodes[0].html}`))",
        RULES,
    )
    return list(found)


def overflow(page: Page) -> int:
    """Pixels by which the page is wider than its window."""
    wide: int = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    return max(0, wide)


def broken_tables(page: Page) -> int:
    """Cells of tables that do not stand in their rows and columns."""
    cells: int = page.evaluate(
        "[...document.querySelectorAll('td, th')]"
        ".filter(one => getComputedStyle(one).display !== 'table-cell').length"
    )
    return cells


def study_id(page: Page) -> str:
    """Id of the study that the address names."""
    return page.url.split("#study=")[1].split("&")[0]

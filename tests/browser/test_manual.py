"""The interface's page in a real browser: of one piece, under the policy it is served with."""

from __future__ import annotations

from playwright.sync_api import Browser

from tests.service.harness import Server


def test_the_manual_opens_styled_and_asks_for_nothing_else(
    browser: Browser, server: Server
) -> None:
    """One request, no complaint in the console, its own style in force, links that lead on."""
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.goto(f"{server.url}/docs")
    assert asked == [f"{server.url}/docs"]
    assert said == []
    cell = page.locator("#problems + p + table td").first
    assert cell.evaluate("cell => getComputedStyle(cell).borderTopWidth") == "1px"
    page.get_by_role("link", name="POST /v1/studies", exact=True).click()
    heading = page.locator("#operation-create_study h3")
    assert heading.bounding_box() is not None
    assert page.evaluate("() => location.hash") == "#operation-create_study"
    example = page.locator("#operation-create_study details").first
    assert not example.locator("pre").is_visible()
    example.locator("summary").click()
    assert '"ceiling_height": 96' in example.locator("pre").inner_text()
    wide = page.evaluate("() => document.documentElement.scrollWidth > innerWidth")
    assert wide is False

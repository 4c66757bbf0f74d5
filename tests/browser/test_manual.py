"""The viewer of the interface in a real browser, under the policy it is served with."""

from __future__ import annotations

from playwright.sync_api import Browser, expect

from tests.browser.steps import PATIENCE_MS
from tests.service.harness import Server


def test_the_interface_is_read_and_tried_with_files_of_this_server_alone(
    browser: Browser, server: Server
) -> None:
    """No complaint in the console, nothing asked of elsewhere, every operation there, and one of
    them tried to its answer."""
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(f"{server.url}/docs")
    operations = page.locator(".opblock")
    expect(operations.first).to_be_visible(timeout=PATIENCE_MS)
    described = server.client.get("/openapi.json").json()
    assert operations.count() == sum(len(methods) for methods in described["paths"].values())
    limits = page.locator("#operations-reference-get_limits")
    limits.locator(".opblock-summary-control").click()
    limits.get_by_role("button", name="Try it out").click()
    limits.get_by_role("button", name="Execute").click()
    answer = limits.locator(".live-responses-table .response-col_description .microlight").first
    expect(answer).to_contain_text("max_body_bytes", timeout=PATIENCE_MS)
    policy = server.client.get("/docs").headers["Content-Security-Policy"]
    assert "script-src 'self'" in policy and "unsafe" not in policy
    assert [url for url in asked if not url.startswith((server.url, "data:"))] == []
    assert said == []
    page.close()

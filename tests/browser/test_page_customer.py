"""What is shown to others: the customer's sheet and its print, the model, any drawing large."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, expect
from pypdf import PdfReader

from tests.browser.steps import findings, open_study
from tests.service.harness import Server


def test_a_customer_sees_picture_places_and_price_and_nothing_else(
    open_page: Callable[..., Page],
    server: Server,
    solved: dict[str, Any],
    pictures: Path | None,
) -> None:
    """By its link, without ways to the other sheets; no score and no id; printed on two pages."""
    page = open_page(f"#study={solved['id']}&customer=1")
    total = page.locator(".price .total td")
    expect(total).to_be_visible()
    expect(page.locator("p.wait")).to_have_count(0)
    pack = server.client.get(f"/v1/studies/{solved['id']}/layouts/1/build-pack").json()["pack"]
    expect(total).to_contain_text(f"{pack['quote']['total']:.2f}")
    expect(page.get_by_role("navigation")).to_have_count(0)
    expect(page.locator("input, select, textarea")).to_have_count(0)
    shown = page.get_by_role("main").inner_text()
    assert "of 100" not in shown
    assert solved["id"] not in shown
    for bay in solved["layouts"][0]["bays"]:
        assert not re.search(rf"\b{bay['id']}\b", shown)
    expect(page.locator(".sheet-two li")).to_have_count(len(solved["layouts"][0]["bays"]))
    assert findings(page) == []
    page.emulate_media(media="print")
    printed = page.pdf(format="Letter")
    assert len(PdfReader(io.BytesIO(printed)).pages) == 2
    if pictures:
        (pictures / "customer.pdf").write_bytes(printed)


def test_prices_of_ones_own_are_reckoned_with_and_go_with_the_link(
    open_page: Callable[..., Page], server: Server, solved: dict[str, Any], tmp_path: Path
) -> None:
    """Currency, rates and a price book of one's own; what the service refuses is said in the form;
    whoever is sent the link sees the same total."""
    book = server.client.get("/v1/price-book").json()
    book["about"] = {"note": "", "currency": ""}
    for sheet in book["sheet"]:
        sheet["price"] *= 2
    file = tmp_path / "book.json"
    file.write_text(json.dumps(book))
    page = open_page(f"#study={solved['id']}&pack=1")
    quote = page.get_by_role("table", name="Quote")
    before = server.client.get(f"/v1/studies/{solved['id']}/layouts/1/build-pack").json()["pack"]
    expect(quote).to_contain_text(f"{before['quote']['total']:.2f}")
    page.get_by_text("Your own prices").click()
    for name, text in {"currency": "EUR", "labour": "sixty", "margin": "15", "tax": "8,5"}.items():
        page.locator(f"#price-{name}").fill(text)
    page.locator(".prices input[type=file]").set_input_files(file)
    page.get_by_role("button", name="Use these prices").click()
    expect(page.locator(".prices .fault")).to_contain_text("Labour rate")
    page.locator("#price-labour").fill("60")
    page.get_by_role("button", name="Use these prices").click()
    page.wait_for_url(lambda url: "pricing=" in url)
    key = page.url.split("pricing=")[1]
    pack = f"/v1/studies/{solved['id']}/layouts/1/build-pack?pricing={key}"
    own = server.client.get(pack).json()["pack"]["quote"]
    assert (own["currency"], own["labour_rate"]) == ("EUR", 60)
    assert (own["margin_rate"], own["tax_rate"]) == (0.15, 0.085)
    assert own["materials"] > before["quote"]["materials"]
    total = f"EUR\u00a0{own['total']:.2f}"
    expect(quote).to_contain_text(total)
    expect(page.get_by_role("main")).not_to_contain_text("made-up ones until")
    assert f"pricing={key}" in str(page.locator("#take-pdf").get_attribute("href"))
    page.get_by_role("link", name="For the customer").click()
    expect(page.locator(".price .total td")).to_have_text(total)
    elsewhere = open_page(page.url[page.url.index("#") :])
    expect(elsewhere.locator(".price .total td")).to_have_text(total)
    expect(elsewhere.get_by_role("main")).not_to_contain_text("made-up")
    page.goto(f"/#study={solved['id']}&customer=1")
    expect(page.locator(".price .total td")).to_have_text(total)
    assert page.url.endswith(f"pricing={key}")


def test_the_model_turns_by_pointer_and_by_keys(
    open_page: Callable[..., Page], solved: dict[str, Any]
) -> None:
    """It is drawn anew from where one stands, and says how far it is turned."""
    page = open_page()
    open_study(page, solved)
    page.get_by_role("button", name="Model", exact=True).click()
    model = page.get_by_role("slider", name="Model of layout 1")
    boards = model.locator(".model-board")
    boards.first.wait_for()
    drawn = boards.count()
    shelves = [
        zone
        for bay in solved["layouts"][0]["bays"]
        for zone in bay["zones"]
        if zone["kind"] == "shelf"
    ]
    assert drawn == 3 * len(shelves)
    before, place = model.get_attribute("aria-valuenow"), boards.first.get_attribute("points")
    model.press("ArrowLeft")
    expect(model).not_to_have_attribute("aria-valuenow", str(before))
    assert boards.first.get_attribute("points") != place
    turned = str(model.get_attribute("aria-valuenow"))
    box = model.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + 100)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] / 2 + 60, box["y"] + 100, steps=3)
    page.mouse.up()
    expect(model).not_to_have_attribute("aria-valuenow", turned)


def test_a_drawing_can_be_read_and_enlarged(
    open_page: Callable[..., Page], solved: dict[str, Any]
) -> None:
    """The smallest letters of a layout's drawing have 11 px, and all of it is seen; it opens as
    large as the window."""
    page = open_page(width=768)
    open_study(page, solved)
    sheet = page.locator("#layout-1 svg.sheet.legible").first
    sheet.locator("image").wait_for()
    least: float = sheet.evaluate(
        """async sheet => {
          const read = performance.getEntriesByType("resource").map(one => one.name);
          const asked = read.find(name => name.includes("/layouts/1/drawings/elevation.svg"));
          const text = await (await fetch(asked)).text();
          const svg = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
          for (const layer of ["FRAME", "TITLE"])
            svg.querySelectorAll(`[data-layer=${layer}]`).forEach(one => one.remove());
          const letters = [...svg.querySelectorAll("text")];
          const sizes = letters.map(one => +one.getAttribute("font-size"));
          const wide = sheet.viewBox.baseVal.width / svg.dataset.unitPerMm;
          return Math.min(...sizes) * sheet.getBoundingClientRect().width / wide;
        }"""
    )
    assert least >= 10.95
    hidden = sheet.evaluate(
        "sheet => sheet.parentElement.scrollWidth - sheet.parentElement.clientWidth"
    )
    assert hidden <= 0
    page.get_by_role("button", name="Enlarge").first.click()
    large = page.get_by_role("dialog", name="Drawing, large")
    expect(large.locator("svg.sheet image")).to_be_visible()
    page.keyboard.press("Escape")
    expect(large).to_have_count(0)


def _tell_chosen_apart(page: Page, groups: int) -> None:
    """In each group of buttons the pressed ones, and no others, have the system's highlight."""
    found = page.locator("main [role=group]:has(> button[aria-pressed=true])").evaluate_all(
        """all => {
          const probe = document.body.appendChild(document.createElement("p"));
          probe.style.cssText = "forced-color-adjust: none; background: Highlight";
          const wanted = getComputedStyle(probe).backgroundColor;
          probe.remove();
          return all.map(group => [...group.querySelectorAll(":scope > button")].map(one =>
            (one.getAttribute("aria-pressed") === "true")
            === (getComputedStyle(one).backgroundColor === wanted)));
        }"""
    )
    assert len(found) >= groups
    assert all(all(group) for group in found), found


def test_what_is_chosen_is_seen_in_forced_colours(
    open_page: Callable[..., Page], solved: dict[str, Any]
) -> None:
    """With colours set by the system, chosen and other buttons differ, and so do kept bays."""
    page = open_page(forced_colors="active")
    page.get_by_label("Start from an example").select_option("attic-walk-in")
    _tell_chosen_apart(page, 3)
    open_study(page, solved)
    bay = page.locator("#layout-1 .bay").first
    free = bay.locator("rect").evaluate("one => getComputedStyle(one).strokeOpacity")
    bay.click()
    held = bay.locator("rect").evaluate("one => getComputedStyle(one).strokeOpacity")
    assert (free, held) == ("0", "1")
    _tell_chosen_apart(page, 1)
    page.goto(f"/#study={solved['id']}&hand=1")
    expect(page.locator("#beside")).to_be_visible()
    _tell_chosen_apart(page, 1)
    name = page.locator("svg.hand .bay-name")
    strokes = name.locator(".plate").evaluate_all(
        "all => all.map(one => getComputedStyle(one).strokeWidth)"
    )
    assert sorted(strokes)[-1] == "8px"
    assert strokes.count("8px") == 1

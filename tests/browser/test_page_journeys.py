"""From an empty form to the PDF."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Page, expect
from pypdf import PdfReader

from tests.browser.steps import (
    fill,
    propose,
    propose_first,
    search_briefly,
    study_id,
    unfold,
    units,
)
from tests.service.harness import Server


def _take_pdf(page: Page) -> PdfReader:
    """Go to the build pack of layout 1 and take its PDF."""
    page.get_by_role("link", name="Build this one layout 1").click()
    expect(page.get_by_role("heading", name="Cut list")).to_be_visible()
    with page.expect_download() as waiting:
        page.get_by_role("link", name="Take the PDF").click()
    assert waiting.value.suggested_filename.endswith(".pdf")
    return PdfReader(io.BytesIO(Path(waiting.value.path()).read_bytes()))


def test_reach_in_from_an_empty_form_to_the_pdf(
    open_page: Callable[..., Page], server: Server
) -> None:
    """Lengths as people say them, garments counted, a hamper: ends in a PDF of that job."""
    page = open_page()
    page.get_by_label("Name of the job").fill("Guest room")
    fill(page, "/room/walls/0/length", "6' 0-1/2\"; 72 3/4")
    fill(page, "/room/walls/1/length", "25")
    fill(page, "/room/ceiling_height", "8 ft")
    fill(page, "/room/openings/0/start", "10")
    fill(page, "/room/openings/0/width", "52 1/2")
    page.get_by_label("Add a kind of garment").select_option("shirt")
    fill(page, "/needs/garments/0/count", "20")
    fill(page, "/needs/shelf_length", "40")
    unfold(page, "items")
    page.get_by_label("Add a bulky thing").select_option("hamper")
    unfold(page, "people")
    page.get_by_role("button", name="Add a grown-up").click()
    fill(page, "/needs/users/0/stature", "165 cm")
    search_briefly(page)
    propose(page)
    expect(page.locator("#layout-1 svg.sheet image").first).to_be_visible()
    made = server.get(study_id(page))
    assert made["brief"]["room"]["walls"][0]["length"] == [72.5, 72.75]
    assert made["brief"]["room"]["walls"][2]["length"] == [72.5, 72.75]
    assert made["brief"]["room"]["ceiling_height"] == 96
    assert made["brief"]["needs"]["garments"] == [{"kind": "shirt", "count": 20}]
    document = _take_pdf(page)
    assert len(document.pages) >= 3
    assert "Guest room" in " ".join(sheet.extract_text() for sheet in document.pages)


def test_walk_in_from_an_empty_form_to_the_pack(
    open_page: Callable[..., Page], server: Server
) -> None:
    """A walk-in in millimetres with a light switch: ends in a build pack with every table shown."""
    page = open_page()
    units(page, "Millimetres")
    page.locator("button.shape", has_text="Walk-in").first.click()
    for wall, length in enumerate(("2180", "2400 mm")):
        fill(page, f"/room/walls/{wall}/length", length)
    fill(page, "/room/ceiling_height", "2.45 m")
    fill(page, "/room/openings/0/start", "700")
    fill(page, "/room/openings/0/width", "780")
    page.get_by_role("button", name="Front", exact=True).click()
    unfold(page, "obstructions")
    page.get_by_role("button", name="Add a switch").click()
    fill(page, "/room/obstructions/0/start", "560")
    fill(page, "/needs/short_hang", "1.8 m")
    fill(page, "/needs/shelf_length", "2000")
    search_briefly(page, layouts=2, seconds=100)
    propose_first(page, server)
    made = server.get(study_id(page))
    assert made["brief"]["units"] == "mm"
    assert [wall["length"] for wall in made["brief"]["room"]["walls"]] == [2180, 2400, 2180, 2400]
    assert made["brief"]["needs"]["short_hang"] == 1800
    page.get_by_role("link", name="Build this one layout 1").click()
    expect(page.get_by_role("heading", name="Cut list")).to_be_visible()
    pack = server.client.get(f"/v1/studies/{made['id']}/layouts/1/build-pack").json()
    rows = page.get_by_role("region", name="Parts to cut").locator("tbody tr")
    expect(rows).to_have_count(len(pack["pack"]["cut_list"]))
    expect(page.get_by_role("region", name="Quote")).to_contain_text(
        f"{pack['pack']['quote']['total']:.2f}"
    )


def test_the_brief_is_taken_away_and_loaded_again(form_page: Page, tmp_path: Path) -> None:
    """A saved brief, loaded into an empty form, is the same brief."""
    page = form_page
    page.get_by_label("Start from an example").select_option("under-the-stairs")
    expect(page.locator("#checked")).to_contain_text("Complete")

    def saved(name: str) -> dict[str, object]:
        with page.expect_download() as waiting:
            page.get_by_role("button", name="Save the brief").click()
        waiting.value.save_as(tmp_path / name)
        brief: dict[str, object] = json.loads((tmp_path / name).read_text())
        return brief

    first = saved("first.json")
    page.get_by_role("button", name="Start over").click()
    expect(page.get_by_label("Name of the job")).to_have_value("")
    page.locator("#load").set_input_files(tmp_path / "first.json")
    expect(page.get_by_label("Name of the job")).to_have_value(str(first["name"]))
    assert saved("second.json") == first

"""The brief by form: faults at their fields, units, the live drawing, what is remembered."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from optimizer.reference.garments import garment_kinds
from optimizer.reference.stored import stored_kinds
from optimizer.units import Units
from tests.browser.steps import fault_at, field, fill, unfold, units
from tests.service.harness import Server

VECTORS = Path(__file__).parents[1] / "vectors" / "lengths.json"
"""Texts and the lengths they say, by which the optimizer is tested too."""


def _example(page: Page, name: str = "hall-reach-in") -> None:
    page.get_by_label("Start from an example").select_option(name)
    expect(page.locator("#checked")).to_contain_text("Complete")


def test_wrong_input_is_told_at_its_field_while_typing(form_page: Page) -> None:
    """No length, too wide a door, a room that does not close: each where it belongs."""
    page = form_page
    _example(page)
    fill(page, "/room/ceiling_height", "eight feet")
    expect(fault_at(page, "/room/ceiling_height")).to_contain_text("not a length")
    expect(field(page, "/room/ceiling_height")).to_have_attribute("aria-invalid", "true")
    fill(page, "/room/ceiling_height", "8'")
    expect(fault_at(page, "/room/ceiling_height")).to_have_count(0)
    fill(page, "/room/openings/0/width", "90")
    expect(fault_at(page, "/room/openings/0/width")).to_contain_text("reaches beyond wall front")
    fill(page, "/room/openings/0/width", "29 3/4")
    fill(page, "/room/walls/0/length", "40")
    expect(fault_at(page, "/room/walls")).to_contain_text("does not close")


def test_an_empty_form_lists_what_is_missing(open_page: Callable[..., Page]) -> None:
    """Nothing is red before it is asked for; then the list leads to each field."""
    page = open_page()
    expect(page.locator(".fault")).to_have_count(0)
    page.get_by_role("button", name="Propose layouts").click()
    summary = page.locator("#faults")
    expect(summary).to_be_focused()
    expect(summary).to_contain_text("Back wall, length: still missing")
    page.locator("#faults").get_by_role("link", name="Right wall, length").click()
    expect(field(page, "/room/walls/1/length")).to_be_focused()
    assert "study" not in page.url


def test_units_switch_without_changing_the_room(form_page: Page) -> None:
    """There and back leaves every text as it was typed."""
    page = form_page
    page.get_by_label("Start from an example").select_option("sliding-doors-mm")
    pointers = ["/room/walls/0/length", "/room/ceiling_height", "/room/openings/0/width"]
    expect(page.locator("#checked")).to_contain_text("Complete")
    before = [field(page, pointer).input_value() for pointer in pointers]
    units(page, "Inches")
    inches = [float(field(page, pointer).input_value()) for pointer in pointers]
    assert inches == [pytest.approx(float(text) / 25.4, abs=1e-5) for text in before]
    units(page, "Millimetres")
    after = [field(page, pointer).input_value() for pointer in pointers]
    assert after == before


def test_weights_and_loads_switch_with_the_units(form_page: Page, tmp_path: Path) -> None:
    """Pounds become kilograms and loads per foot loads per metre: nothing gets weaker."""
    page = form_page
    brief = {
        "room": {"ceiling_height": 96, "walls": [{"id": "A", "length": 96}]},
        "needs": {
            "short_hang": 40,
            "items": [{"id": "box", "width": 12, "depth": 12, "height": 12, "weight_lb": 30}],
        },
        "construction": {"shelf_load": 20, "rod_load": 25, "hang_depth": "2 ft"},
    }
    (tmp_path / "brief.json").write_text(json.dumps(brief))
    page.locator("#load").set_input_files(tmp_path / "brief.json")
    units(page, "Millimetres")
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Save the brief").click()
    saved = json.loads(Path(waiting.value.path()).read_text())
    assert saved["needs"]["items"][0]["weight_kg"] == pytest.approx(30 * 0.45359237, abs=0.01)
    assert "weight_lb" not in saved["needs"]["items"][0]
    per_square_metre = 0.45359237 / 0.3048**2
    assert saved["construction"]["shelf_load"] == pytest.approx(20 * per_square_metre, abs=1e-3)
    assert saved["construction"]["rod_load"] == pytest.approx(25 * 0.45359237 / 0.3048, abs=1e-3)
    assert saved["construction"]["hang_depth"] == "2 ft"


def test_lengths_are_read_as_the_optimizer_reads_them(still_page: Page) -> None:
    """The list that holds the optimizer's reading holds the page's: lengths and messages."""
    vectors = json.loads(VECTORS.read_text("utf-8"))
    every = [*vectors["read"], *vectors["refused"]]
    for unit in Units:
        found = still_page.evaluate(
            "([texts, units]) => ours('lengths.js')"
            ".then(module => texts.map(text => module.readLength(text, units)))",
            [[vector["text"] for vector in every], unit.value],
        )
        expected = [
            {"value": pytest.approx(vector[unit.value], rel=1e-12), "fault": None}
            if "fault" not in vector
            else {"value": None, "fault": vector["fault"]}
            for vector in every
        ]
        assert found == expected


def test_every_garment_offered_is_known_and_none_is_left_out(
    still_page: Page,
) -> None:
    """The list on the page is the optimizer's own."""
    offered = still_page.get_by_label("Add a kind of garment").locator("optgroup option")
    values = [option.get_attribute("value") for option in offered.all()]
    assert sorted(map(str, values)) == sorted(garment_kinds())
    offered = still_page.get_by_label("Add things on shelves").locator("optgroup option")
    values = [option.get_attribute("value") for option in offered.all()]
    assert sorted(map(str, values)) == sorted(stored_kinds())


def test_things_are_counted_onto_shelves(form_page: Page) -> None:
    """Shoes are added and counted; the brief is complete with nothing else asked for, too."""
    page = form_page
    _example(page, "bare-wall")
    page.get_by_label("Add things on shelves").select_option("shoes")
    expect(fault_at(page, "/needs/stored/0/count")).to_have_count(0)
    fill(page, "/needs/stored/0/count", "30")
    expect(page.locator("#checked")).to_contain_text("Complete")
    fill(page, "/needs/stored/0/count", "0")
    expect(fault_at(page, "/needs/stored/0/count")).to_be_visible()


def test_hooks_and_mirrors_are_asked_for_by_form(form_page: Page) -> None:
    """A row of hooks and a mirror each bring a name and sizes that do; faults are at the field."""
    page = form_page
    _example(page, "bare-wall")
    unfold(page, "items")
    page.get_by_role("button", name="Add a row of hooks").click()
    page.get_by_role("button", name="Add a mirror").click()
    expect(page.locator("#checked")).to_contain_text("Complete")
    fill(page, "/needs/hooks/0/count", "90")
    expect(fault_at(page, "/needs/hooks/0/count")).to_be_visible()
    fill(page, "/needs/hooks/0/count", "5")
    fill(page, "/needs/mirrors/0/height", "120")
    expect(fault_at(page, "/needs/mirrors/0/height")).to_contain_text("reaches up to")


def test_a_window_is_dragged_in_the_drawing(form_page: Page) -> None:
    """Dragging it along the wall changes its place in the form, and arrow keys do too."""
    page = form_page
    _example(page, "attic-walk-in")
    page.get_by_role("group", name="Wall shown").get_by_role("button", name="back").click()
    thing = page.get_by_role("slider", name="Window, in the elevation")
    box = thing.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] / 2 + 40, box["y"] + box["height"] / 2 - 12, steps=4)
    page.mouse.up()
    start = float(field(page, "/room/obstructions/0/start").input_value())
    bottom = float(field(page, "/room/obstructions/0/bottom").input_value())
    assert 40 < start < 60
    assert 23 < bottom < 40
    thing.press("ArrowLeft")
    expect(field(page, "/room/obstructions/0/start")).to_have_value(f"{start - 1:g}")


def _saved(page: Page) -> dict[str, Any]:
    """The brief as it is saved."""
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Save the brief").click()
    saved: dict[str, Any] = json.loads(Path(waiting.value.path()).read_text())
    return saved


def test_how_it_is_built_is_chosen_from_what_there_is(open_page: Callable[..., Page]) -> None:
    """Top line, ends at walls, mid supports and their spans; what is left alone is not sent."""
    page = open_page()
    _example(page, "bedroom-bifold")
    unfold(page, "build")
    for name, value in (
        ("top_line", "free"),
        ("wall_ends", "uprights"),
        ("mid_support", "bracket"),
    ):
        field(page, f"/construction/{name}").select_option(value)
    page.get_by_text("More sizes").click()
    page.get_by_text("More on the room").click()
    widest = field(page, "/construction/max_bay_width")
    expect(widest).to_have_attribute("placeholder", "96")
    expect(field(page, "/construction/creep_factor")).to_have_attribute(
        "placeholder", "by material"
    )
    fill(page, "/construction/min_hang_width", "20")
    fill(page, "/construction/max_plain_span", "32")
    fill(page, "/construction/rod_support_spacing", "4'")
    fill(page, "/room/measuring_tolerance", "1/4")
    expect(page.locator("#checked")).to_contain_text("Complete")
    saved = _saved(page)
    assert saved["construction"] == {
        "top_line": "free", "wall_ends": "uprights", "mid_support": "bracket",
        "min_hang_width": 20, "max_plain_span": 32, "rod_support_spacing": "4'",
    }  # fmt: skip
    assert saved["room"]["measuring_tolerance"] == "1/4"
    units(page, "Millimetres")
    expect(widest).to_have_attribute("placeholder", "2440")
    expect(field(page, "/construction/max_plain_span")).to_have_value("812.8")


def test_boxes_to_keep_clear_are_listed_and_drawn(form_page: Page) -> None:
    """Each has its row and its place in plan and elevation, is moved by keys, and goes again."""
    page = form_page
    _example(page)
    unfold(page, "obstructions")
    page.get_by_role("button", name="Add a box to keep clear").click()
    base = "/room/keep_clear/0"
    fill(page, f"{base}/why", "heater 2")
    fill(page, f"{base}/start", "4")
    fill(page, f"{base}/depth", "10")
    fill(page, f"{base}/width", "")
    expect(fault_at(page, f"{base}/width")).to_contain_text("Still missing")
    fill(page, f"{base}/width", "12")
    expect(fault_at(page, f"{base}/width")).to_have_count(0)
    drawn = page.get_by_role("slider", name="Kept clear: heater 2")
    expect(drawn).to_have_count(2)
    drawn.first.press("ArrowRight")
    expect(field(page, f"{base}/start")).to_have_value("5")
    (box,) = _saved(page)["room"]["keep_clear"]
    sizes = {"start": 5, "width": 12, "height": 78, "depth": 10}
    assert {name: box[name] for name in sizes} == sizes
    assert box["why"] == "heater 2"
    page.get_by_role("button", name="Remove box kept clear 1").click()
    expect(page.get_by_role("slider", name="Kept clear: heater 2")).to_have_count(0)


def test_the_draft_is_remembered(open_page: Callable[..., Page]) -> None:
    """A reload loses nothing that was typed."""
    page = open_page()
    page.get_by_label("Name of the job").fill("Half done")
    fill(page, "/room/walls/0/length", "5' 11")
    page.reload()
    expect(page.get_by_label("Name of the job")).to_have_value("Half done")
    expect(field(page, "/room/walls/0/length")).to_have_value("5' 11")


def test_a_file_that_is_no_brief_is_refused(form_page: Page, tmp_path: Path) -> None:
    """It says why, and the form stays as it was."""
    page = form_page
    page.get_by_label("Name of the job").fill("Kept")
    for name, text, reason in (
        ("broken.json", "{", "it is no JSON"),
        ("other.json", '{"a": 1}', "no room or no needs"),
        ("odd.json", '{"room": {"walls": []}, "needs": {}}', "no walls"),
    ):
        (tmp_path / name).write_text(text)
        page.locator("#load").set_input_files(tmp_path / name)
        expect(page.locator(".notice")).to_contain_text(reason)
    expect(page.get_by_label("Name of the job")).to_have_value("Kept")


def test_offline_all_but_checking_and_solving_goes_on(
    open_page: Callable[..., Page], server: Server, solved: dict[str, Any]
) -> None:
    """After loading once, the form, its drawing and a study read before need no line."""
    page = open_page(f"#study={solved['id']}", offline=True)
    page.locator("#layout-1 svg.sheet image").first.wait_for()
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    # Read once more, now by way of the service worker, so that it keeps the study.
    page.reload()
    page.locator("#layout-1 svg.sheet image").first.wait_for()
    page.context.set_offline(True)
    page.reload()
    page.locator("#layout-1 svg.sheet image").first.wait_for()
    page.get_by_role("link", name="Brief", exact=True).click()
    fill(page, "/room/walls/0/length", "6'")
    expect(page.locator(".plan")).to_contain_text('Back 72"')
    expect(page.locator("#checked")).to_contain_text("cannot be reached")
    page.get_by_label("Start from an example").select_option("pantry")
    expect(page.get_by_label("Name of the job")).not_to_have_value("")
    page.context.set_offline(False)

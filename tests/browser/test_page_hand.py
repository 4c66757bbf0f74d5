"""A layout edited by hand on its elevation: by pointer, by keys, judged by the service."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.steps import SOLVE_MS, await_end, study_id
from tests.service.harness import Server


def _drag(page: Page, thing: Locator, dx: float, dy: float) -> None:
    """Drag the middle of what is drawn by so many pixels."""
    box = thing.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + dx, y + dy, steps=4)
    page.mouse.up()


def _first_shared(study: dict[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    """Two neighbours of layout 1 with one upright between them."""
    bays = sorted(study["layouts"][0]["bays"], key=lambda bay: bay["start"])
    board = study["brief"]["construction"]["panel_thickness"]
    for one, other in pairwise(bays):
        if abs(one["start"] + one["width"] + board - other["start"]) < 1e-3:
            return one, other
    raise AssertionError("no two bays share an upright")


def _open(page: Page, study: dict[str, Any]) -> None:
    page.goto(f"/#study={study['id']}&hand=1")
    expect(page.locator("#verdict")).to_contain_text("It can be built so")


def test_a_layout_is_edited_by_pointer(
    open_page: Callable[..., Page], server: Server, solved: dict[str, Any]
) -> None:
    """An upright and a shelf are dragged; the verdict is the service's own; undo brings it back."""
    page = open_page()
    _open(page, solved)
    one, _ = _first_shared(solved)
    label = page.get_by_role("button", name=f"Bay {one['id']},")
    before = label.get_attribute("aria-label")
    _drag(page, page.get_by_role("slider", name="Upright 1"), -150, 0)
    expect(page.locator("#verdict")).to_contain_text("break")
    expect(page.locator("#verdict")).to_contain_text(f"Bay {one['id']}")
    expect(page.locator("svg.hand .hand-bay.bad .flag").first).to_be_visible()
    assert label.get_attribute("aria-label") != before
    page.keyboard.press("Control+z")
    expect(page.locator("#verdict")).to_contain_text("It can be built so")
    assert label.get_attribute("aria-label") == before
    shelf = page.get_by_role("slider", name=f"Shelf 1 of {one['id']}")
    height = float(str(shelf.get_attribute("aria-valuenow")))
    _drag(page, shelf, 0, 40)
    lower = float(str(shelf.get_attribute("aria-valuenow")))
    assert lower < height
    page.reload()
    expect(shelf).to_have_attribute("aria-valuenow", f"{lower:g}")
    told: dict[str, Any] = page.evaluate(
        "() => ours('store.js').then(({state}) =>"
        " ours('hand/layout-check.js').then(({sent}) => sent(state.hand.versions.now)))"
    )
    answer = server.client.post(
        "/v1/layout-checks", json={"study": solved["id"], "layout": told}
    ).json()
    wanted = "It can be built so" if answer["passed"] else "break"
    expect(page.locator("#verdict")).to_contain_text(wanted)
    score = page.locator(".comes-to tr", has_text="Score").locator("td").first
    expect(score).to_have_text(f"{answer['score']:.1f}")
    expect(page.locator("#beside")).to_contain_text("layout 1")


def test_a_layout_is_edited_by_keys_and_the_rest_proposed_around_it(
    open_page: Callable[..., Page], server: Server, solved: dict[str, Any]
) -> None:
    """An upright by an inch, a shelf in and out, another kind; what was changed is kept exactly."""
    page = open_page()
    _open(page, solved)
    one, other = _first_shared(solved)
    upright = page.get_by_role("slider", name="Upright 1")
    upright.focus()
    page.keyboard.press("Shift+ArrowLeft")
    expect(upright).to_have_attribute("aria-valuenow", f"{one['start'] + one['width'] - 1:g}")
    shelves = page.locator(".parts li", has_text="Shelf")
    count = shelves.count()
    page.get_by_role("button", name="Add a shelf").press("Enter")
    expect(shelves).to_have_count(count + 1)
    page.keyboard.press("Control+z")
    expect(shelves).to_have_count(count)
    expect(page.locator("#verdict")).to_contain_text("It can be built so")
    page.locator("#around").click()
    page.wait_for_url(lambda url: solved["id"] not in url)
    await_end(page)
    made = server.get(study_id(page))
    kept = {(pin["start"], pin["width"]) for pin in made["brief"]["pins"]}
    assert kept == {
        (one["start"], one["width"] - 1),
        (other["start"] - 1, other["width"] + 1),
    }
    for layout in made["layouts"]:
        assert kept <= {(bay["start"], bay["width"]) for bay in layout["bays"]}


def test_a_layout_of_ones_own_is_taken_away_as_a_pack(
    open_page: Callable[..., Page], server: Server, solved: dict[str, Any]
) -> None:
    """Its pack is of exactly the bays that were drawn."""
    page = open_page()
    _open(page, solved)
    one, other = _first_shared(solved)
    page.get_by_role("slider", name="Upright 1").press("ArrowLeft")
    wide = one["width"] - 0.25
    expect(page.get_by_role("button", name=f"Bay {one['id']},")).to_have_attribute(
        "aria-label", re.compile(rf"{int(wide)}")
    )
    expect(page.locator("#beside")).not_to_contain_text("As good as")
    with page.expect_download() as waiting:
        page.locator("#hand-files").click()
    taken = zipfile.ZipFile(waiting.value.path())
    assert taken.read("build-pack.pdf").startswith(b"%PDF")
    page.locator("#hand-pack").click()
    page.wait_for_url(lambda url: "pack=1" in url)
    page.get_by_role("heading", name="Cut list").wait_for(timeout=SOLVE_MS)
    (layout,) = server.get(study_id(page))["layouts"]
    drawn = {(bay["start"], bay["width"]) for bay in layout["bays"]}
    assert {(one["start"], wide), (other["start"] - 0.25, other["width"] + 0.25)} <= drawn


def test_an_untouched_bay_is_put_together_as_it_was(
    still_page: Page, solved: dict[str, Any]
) -> None:
    """Taken apart into boards and rods and built again, every bay has its zones and its pattern."""
    for layout in solved["layouts"]:
        for bay in layout["bays"]:
            again = still_page.evaluate(
                "([bay, brief]) => ours('hand/stack.js').then(stack =>"
                " stack.bayOf(bay, stack.partsOf(bay), stack.rulesOf(brief)))",
                [bay, solved["brief"]],
            )
            assert again["pattern"] == bay["pattern"]
            assert again["zones"] == bay["zones"]
            assert (again["height"], again["depth"]) == (bay["height"], bay["depth"])


@pytest.fixture(scope="module")
def cornered(server: Server) -> dict[str, Any]:
    """Shelves round a corner, those of the right wall butting, and hooks on the left one."""
    brief = {
        "name": "Two walls",
        "room": {
            "ceiling_height": 96,
            "walls": [{"id": "Left", "length": 60}, {"id": "Right", "length": 72}],
        },
        "needs": {"shelf_length": 480, "hooks": [{"id": "coats", "count": 3}]},
        "priorities": {"hanging": 0, "shelving": 3},
        "options": {"alternatives": 1, "time_limit_s": 6},
    }
    study = server.wait_for(server.accept(brief)["id"], timeout_s=60)
    (layout,) = study["layouts"]
    ends = {bay["wall"]: (bay["left"], bay["right"]) for bay in layout["bays"]}
    assert ends == {"Left": ("upright", "wall"), "Right": ("corner", "upright")}
    assert [mount["wall"] for mount in layout["mounts"]] == ["Left"]
    return study


def _held(page: Page) -> dict[str, Any]:
    """The layout in hand, bays and mounts by their names."""
    layout: dict[str, Any] = page.evaluate(
        "() => ours('hand/editor.js').then(({handLayout}) => handLayout())"
    )
    return {one["id"]: one for one in [*layout["bays"], *layout["mounts"]]}


def _to_wall(page: Page, name: str) -> None:
    group = page.get_by_role("group", name="Wall to work on")
    group.get_by_role("button", name=f"{name} wall").click()


def test_a_wrapped_corner_is_turned_by_hand(
    open_page: Callable[..., Page], cornered: dict[str, Any]
) -> None:
    """The bay that butts runs through, the other one butts then; what carries is one step."""
    page = open_page()
    _open(page, cornered)
    before = _held(page)
    _to_wall(page, "Right")
    expect(page.locator("svg.hand .around").first).to_be_visible()
    page.get_by_label("Its left end stands on").select_option("Side wall: runs to the corner")
    held = _held(page)
    depth, whole = before["Right1"]["depth"], 60
    right, left = held["Right1"], held["Left1"]
    assert (right["left"], right["start"]) == ("wall", 0)
    assert right["start"] + right["width"] == pytest.approx(72 - 0.75)
    assert (left["right"], left["start"]) == ("corner", before["Left1"]["start"])
    assert left["start"] + left["width"] == pytest.approx(whole - depth)
    # The one support of before stands more than 36 in from the wall that carries the bay now.
    expect(page.locator("#verdict")).to_contain_text("Bay Right1")
    expect(page.locator("#verdict")).not_to_contain_text("butt against")
    page.keyboard.press("Control+z")
    expect(page.locator("#verdict")).to_contain_text("It can be built so")
    assert _held(page) == before


def test_an_empty_wall_gets_its_first_bay(
    open_page: Callable[..., Page], cornered: dict[str, Any]
) -> None:
    """Its free wall is a button; the bay pressed there can be built, and another beside it."""
    page = open_page()
    _open(page, cornered)
    _to_wall(page, "Right")
    page.get_by_role("button", name="Take the bay away").click()
    expect(page.locator("svg.hand .hand-bay")).to_have_count(0)
    free = page.get_by_role("button", name="Add a bay on Right wall")
    free.press("Enter")
    expect(page.get_by_role("heading", name="Bay Right1")).to_be_visible()
    expect(page.locator("#verdict")).to_contain_text("It can be built so")
    free.press("Enter")
    expect(page.locator("#verdict")).to_contain_text("It can be built so")
    held = _held(page)
    first, second = held["Right1"], held["Right2"]
    assert second["start"] == pytest.approx(first["start"] + first["width"] + 0.75)
    assert second["start"] + second["width"] == pytest.approx(72 - 0.75)
    page.get_by_label("Kind").select_option("Two rods, short hang")
    assert [zone["kind"] for zone in _held(page)["Right2"]["zones"]].count("rod") == 2


def test_hooks_are_moved_by_keys_by_pointer_and_to_another_wall(
    open_page: Callable[..., Page], cornered: dict[str, Any]
) -> None:
    """The hooks go with their board; where they hang in a bay the verdict says so."""
    page = open_page()
    _open(page, cornered)
    hooks = page.get_by_role("slider", name="Hooks coats")
    hooks.press("Shift+ArrowRight")
    assert _held(page)["coats"]["hooks"] == [5, 13, 21]
    expect(page.locator("#verdict")).to_contain_text("Hooks coats hangs where bay Left1 is")
    page.keyboard.press("Control+z")
    expect(page.locator("#verdict")).to_contain_text("It can be built so")
    _drag(page, hooks, 60, 0)
    assert 6 < _held(page)["coats"]["start"] < 16
    page.get_by_role("combobox", name="Hooks coats").select_option("Left out")
    expect(hooks).to_have_count(0)
    _to_wall(page, "Right")
    page.get_by_role("button", name="Take the bay away").click()
    page.get_by_role("combobox", name="Hooks coats").select_option("Right wall")
    assert _held(page)["coats"]["wall"] == "Right"
    expect(page.locator("#verdict")).to_contain_text("It can be built so")


def test_hooks_that_were_moved_stay_where_the_rest_is_proposed_around_them(
    open_page: Callable[..., Page], server: Server, cornered: dict[str, Any]
) -> None:
    """They are a condition of the next run, of the one after it too, and of the pack."""
    page = open_page()
    _open(page, cornered)
    expect(page.locator("#around")).to_be_disabled()
    page.get_by_role("slider", name="Hooks coats").press("ArrowRight")
    start = _held(page)["coats"]["start"]
    page.locator("#around").click()
    page.wait_for_url(lambda url: cornered["id"] not in url)
    await_end(page)
    made = server.get(study_id(page))
    kept = [{"mount": "coats", "wall": "Left", "start": start}]
    assert made["brief"]["mount_pins"] == kept
    assert made["brief"]["pins"] == []
    for layout in made["layouts"]:
        assert [(m["wall"], m["start"]) for m in layout["mounts"]] == [("Left", start)]
    expect(page.get_by_role("navigation", name="Runs so far")).to_contain_text("Coats kept")
    _open(page, made)
    _to_wall(page, "Right")
    page.get_by_role("button", name="Take away shelf 1").press("Enter")
    expect(page.locator("#around")).to_be_enabled()
    with page.expect_request(lambda request: "/reruns" in request.url) as asked:
        page.locator("#around").click()
    assert asked.value.post_data_json["patch"]["mount_pins"] == kept


def test_the_focus_goes_with_what_is_moved_by_keys(
    open_page: Callable[..., Page], server: Server
) -> None:
    """A thing into the next bay and back, a shelf past another one: the next key moves the same."""
    brief = {
        "room": {"ceiling_height": 96, "walls": [{"id": "A", "length": 84}]},
        "needs": {
            "long_hang": 20,
            "shelf_length": 90,
            "items": [{"id": "hamper", "width": 16, "depth": 12, "height": 20, "place": "any"}],
        },
        "options": {"alternatives": 1, "time_limit_s": 10},
    }
    study = server.wait_for(server.accept(brief)["id"], timeout_s=60)
    page = open_page()
    _open(page, study)
    hamper = page.get_by_role("button", name="hamper, in")
    before = str(hamper.get_attribute("aria-label"))
    first = before.startswith("hamper, in A1")
    there, back = ("ArrowRight", "ArrowLeft") if first else ("ArrowLeft", "ArrowRight")
    hamper.press(there)
    expect(hamper).not_to_have_attribute("aria-label", before)
    expect(hamper).to_be_focused()
    page.keyboard.press(back)
    expect(hamper).to_have_attribute("aria-label", before)
    expect(hamper).to_be_focused()
    bay = next(b for b in study["layouts"][0]["bays"] if len(_boards(b)) > 1)
    low, high = _boards(bay)[:2]
    shelf = page.get_by_role("slider", name=f"Shelf 1 of {bay['id']}")
    shelf.focus()
    steps = int((high - low) // study["brief"]["needs"]["shelf_spacing"]) + 1
    for _ in range(steps):
        page.keyboard.press("PageUp")
        page.evaluate("() => new Promise(requestAnimationFrame)")
    focused = page.locator("svg.hand [data-part]:focus")
    expect(focused).to_have_attribute("aria-label", f"Shelf 2 of {bay['id']}")


def _boards(bay: dict[str, Any]) -> list[float]:
    """Heights of a bay's boards, from the lowest up."""
    return sorted(zone["bottom"] for zone in bay["zones"] if zone["kind"] == "shelf")

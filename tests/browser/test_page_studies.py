"""Studies on the page: progress, cancel, comparison, reruns, pins, history, sharing."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

from optimizer.briefs.scenarios import scenario_file
from tests.browser.conftest import TIGHT_REACH_IN
from tests.browser.steps import await_end, open_study, study_id
from tests.service.harness import Server


def _long(server: Server, name: str = "Long search") -> dict[str, Any]:
    """A study whose first layout is quick, but whose ten take longer than a test waits."""
    options = {"alternatives": 10, "time_limit_s": 120, "gap": 0, "min_difference": 0.3}
    options["max_quality_loss"] = 0.6
    return server.accept({**TIGHT_REACH_IN, "name": name, "options": options})


def test_progress_is_shown_and_cancel_keeps_the_best(
    open_page: Callable[..., Page], server: Server
) -> None:
    """Best so far, bound and time are there; a layout is seen as soon as its event is there,
    before its drawings and without another reading of the study; stopping keeps what is found."""
    study = _long(server)
    page = open_page()
    # Held back until the route is taken off.
    page.route("**/drawings", lambda _route: None)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(f"/#study={study['id']}")
    running = page.get_by_role("region", name="Search")
    expect(running).to_contain_text("Best so far")
    expect(running).to_contain_text("s of 120 s")
    page.locator("#layout-1 .model-board").first.wait_for(timeout=90_000)
    assert asked.count(f"{server.url}/v1/studies/{study['id']}") == 1
    page.unroute("**/drawings")
    page.locator("#layout-1 svg.sheet image").wait_for()
    page.locator("#cancel").click()
    await_end(page)
    expect(page.locator("#ended")).to_contain_text("Stopped by you")
    ended = server.get(study["id"])
    assert ended["status"] == "cancelled"
    expect(page.locator("article.layout")).to_have_count(len(ended["layouts"]))
    assert len(ended["layouts"]) >= 1


def test_a_broken_line_stops_nothing(open_page: Callable[..., Page], server: Server) -> None:
    """Without its event stream the page says so, reads the study itself and sees the end."""
    page = open_page()
    page.context.route("**/events", lambda route: route.abort())
    study = _long(server, "Broken line")
    page.goto(f"/#study={study['id']}")
    expect(page.locator(".running")).to_contain_text("The line is broken")
    page.locator("#layout-1").wait_for(timeout=90_000)
    page.locator("#cancel").click()
    await_end(page)
    expect(page.locator("#ended")).to_contain_text("Stopped by you")


def test_comparison_marks_the_best_by_more_than_colour(
    open_page: Callable[..., Page], server: Server, solved: dict[str, Any]
) -> None:
    """A star and a hidden word stand where the service names the best."""
    page = open_page()
    open_study(page, solved)
    found = server.client.get(f"/v1/studies/{solved['id']}/comparison?layouts=1,2").json()
    cost = next(one for one in found["metrics"] if one["name"] == "material_cost")
    cells = page.locator("table.compare tr", has_text="Material cost").locator("td")
    texts = [cells.nth(index).inner_text() for index in range(2)]
    assert [float(text.split()[0]) for text in texts] == [round(v, 2) for v in cost["values"]]
    assert ["★" in text for text in texts] == [rank in cost["best"] for rank in (1, 2)]
    frames = page.locator(".same-scale").first.locator("svg.sheet")
    expect(frames).to_have_count(2)
    boxes = {frames.nth(index).get_attribute("viewBox") for index in range(2)}
    assert len(boxes) == 1


def test_a_repair_is_applied_by_a_press(
    open_page: Callable[..., Page], server: Server, solved: dict[str, Any]
) -> None:
    """The button sends the repair's merge patch, and the new run is on the page."""
    assert solved["repairs"]
    page = open_page()
    open_study(page, solved)
    page.get_by_role("button", name="Do this and run again").first.click()
    page.wait_for_url(lambda url: solved["id"] not in url)
    await_end(page)
    made = server.get(study_id(page))
    assert made["parent"] == solved["id"]
    assert made["patch"] == solved["repairs"][0]["patch"]


def test_sliders_order_at_once_and_solve_on_release(
    open_page: Callable[..., Page], server: Server, solved: dict[str, Any]
) -> None:
    """Scores move with the slider before any request; on release a rerun follows, and back."""
    page = open_page()
    open_study(page, solved)
    slider = page.locator("#weight-low_cost")
    slider.focus()
    slider.evaluate(
        "one => { one.value = '10'; one.dispatchEvent(new Event('input', {bubbles: true})); }"
    )
    first = page.locator("article.layout").first
    expect(first).to_contain_text("By these priorities")
    rescored = _weighed(solved, {"low_cost": 10})
    assert first.get_attribute("id") == f"layout-{rescored[0][0]}"
    assert first.locator(".score b").inner_text() == f"{rescored[0][1]:.1f}"
    assert study_id(page) == solved["id"]
    slider.evaluate("one => one.dispatchEvent(new Event('change', {bubbles: true}))")
    page.wait_for_url(lambda url: solved["id"] not in url)
    await_end(page)
    made = server.get(study_id(page))
    assert made["brief"]["priorities"]["low_cost"] == 10
    expect(slider).to_be_focused()
    runs = page.get_by_role("navigation", name="Runs so far")
    runs.get_by_role("link", name="First run").click()
    await_end(page)
    assert study_id(page) == solved["id"]
    page.go_back()
    page.wait_for_url(lambda url: made["id"] in url)


def _weighed(study: dict[str, Any], changes: dict[str, float]) -> list[tuple[int, float]]:
    """Rank and score of each layout under other weights, the best first."""
    weights = {**study["brief"]["priorities"], **changes}
    scored = []
    for layout in study["layouts"]:
        terms = {term["name"]: term for term in layout["terms"]}
        wished = sum(weights[name] * terms[name]["value"] for name in weights)
        score = terms["needs"]["points"] + 100 / 3 * wished / sum(weights.values())
        scored.append((layout["rank"], score))
    return sorted(scored, key=lambda pair: -pair[1])


def test_a_bay_is_pinned_by_a_click_and_stays(
    open_page: Callable[..., Page], server: Server, solved: dict[str, Any]
) -> None:
    """The bay pressed in the drawing stands at the same place in the next run."""
    page = open_page()
    open_study(page, solved)
    wanted = solved["layouts"][1]["bays"][0]
    bay = page.locator("#layout-2").get_by_role("button", name=f"Keep {wanted['id']},").first
    bay.click()
    expect(bay).to_have_attribute("aria-pressed", "true")
    page.locator("#again").click()
    page.wait_for_url(lambda url: solved["id"] not in url)
    await_end(page)
    made = server.get(study_id(page))
    members = ("wall", "start", "width", "pattern", "left", "right")
    pin = {name: wanted[name] for name in members}
    assert [{name: kept[name] for name in members} for kept in made["brief"]["pins"]] == [pin]
    for layout in made["layouts"]:
        assert pin in [{name: bay[name] for name in pin} for bay in layout["bays"]]
    expect(page.locator("#layout-1 .bay.held").first).to_be_visible()


def test_a_study_is_shared_by_its_address(
    open_page: Callable[..., Page], solved: dict[str, Any]
) -> None:
    """Another browser that is given the address sees the same; so does a reload."""
    page = open_page(f"#study={solved['id']}&compare=1,2")
    await_end(page)
    expect(page.locator("table.compare")).to_be_visible()
    page.reload()
    expect(page.locator("table.compare")).to_be_visible()
    gone = open_page("#study=00000000000000000000000000")
    expect(gone.get_by_role("heading", name="There is no such study here")).to_be_visible()


def test_the_brief_of_a_study_can_be_changed(
    open_page: Callable[..., Page], solved: dict[str, Any]
) -> None:
    """It comes back into the form as it was resolved."""
    page = open_page()
    open_study(page, solved)
    page.get_by_role("link", name="Change the brief").click()
    expect(page.get_by_label("Name of the job")).to_have_value(solved["brief"]["name"])
    expect(page.locator("#checked")).to_contain_text("Complete")


def test_a_provisional_layout_is_shown_and_replaced(
    open_page: Callable[..., Page], server: Server
) -> None:
    """It says that it may be bettered; when another takes its place, screen readers hear of it
    and the focus stays on the card."""
    data = json.loads(scenario_file("utility-corner").read_text(encoding="utf-8"))
    data["options"] = {"alternatives": 1, "time_limit_s": 240, "gap": 0.0005}
    page = open_page()
    page.evaluate(
        "() => { window.heard = []; new MutationObserver(() => heard.push(said.textContent))"
        ".observe(said, {childList: true}); }"
    )
    study = server.accept(data)
    page.evaluate("id => { location.hash = `study=${id}`; }", study["id"])
    card = page.locator("#layout-1")
    expect(card.get_by_role("heading")).to_have_text("Layout 1, provisional", timeout=90_000)
    expect(card.locator(".score")).to_contain_text("the search goes on")
    expect(page.get_by_role("region", name="Search")).to_contain_text("A first layout is there")
    card.locator(".bay").first.focus()
    await_end(page)
    expect(card.get_by_role("heading")).to_have_text("Layout 1")
    expect(card.locator(".score")).to_contain_text("Proved")
    assert page.evaluate("document.getElementById('layout-1').contains(document.activeElement)")
    assert "Layout 1 found, in place of the provisional one." in page.evaluate("heard")

"""The draft: nothing typed is lost, every change can be taken back, each tab has its own."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Page, expect

from tests.browser.conftest import KEY
from tests.browser.steps import field, fill, study_id, unfold
from tests.service.harness import Server, brief


def _walls(page: Page) -> str:
    return field(page, "/room/walls/0/length").input_value()


def test_every_change_is_taken_back_and_made_again(open_page: Callable[..., Page]) -> None:
    """Typing, a shape, an example, a removed row, starting over: by key, by button, by notice."""
    page = open_page()
    fill(page, "/room/walls/0/length", "6 ft")
    fill(page, "/room/walls/1/length", "25")
    page.get_by_role("button", name="Walk-in Four walls").click()
    assert _walls(page) == ""
    page.get_by_label("Start from an example").select_option("attic-walk-in")
    window = "/room/obstructions/0/start"
    expect(field(page, window)).to_be_visible()
    page.get_by_role("button", name="Remove Window 1").click()
    expect(page.locator(".dock")).to_contain_text("Removed: Window 1.")
    page.locator(".notice").get_by_role("button", name="Undo").click()
    expect(field(page, window)).to_be_visible()
    page.get_by_role("button", name="Start over").click()
    expect(page.get_by_label("Name of the job")).to_have_value("")
    for _ in range(2):
        page.keyboard.press("Control+z")
    expect(page.locator("button.shape[aria-pressed=true]")).to_contain_text("Walk-in")
    field(page, "/room/walls/0/length").focus()
    page.keyboard.press("Control+z")
    assert _walls(page) == "6 ft"
    assert field(page, "/room/walls/1/length").input_value() == "25"
    page.keyboard.press("Control+z")
    assert field(page, "/room/walls/1/length").input_value() == ""
    for _ in range(3):
        page.keyboard.press("Control+Shift+z")
    expect(page.get_by_label("Name of the job")).not_to_have_value("")
    expect(page.locator("button", has_text="Redo")).to_be_enabled()


def test_guesses_are_seen_and_sent_until_something_is_measured(
    form_page: Page,
) -> None:
    """A reach-in in four fields is complete: ceiling and door are guessed, and it says so."""
    page = form_page
    missing = page.locator("#checked")
    expect(missing).to_contain_text("Still missing: Back wall, length; Right wall, length")
    fill(page, "/room/walls/0/length", "6 ft")
    fill(page, "/room/walls/1/length", "2' 1")
    fill(page, "/room/openings/0/width", "52 1/4")
    fill(page, "/needs/short_hang", "50")
    expect(missing).to_contain_text("Complete")
    expect(missing).to_contain_text("Guessed: ceiling, door centred, door height")
    start = page.locator("[data-pointer='/room/openings/0/start']")
    expect(start).to_contain_text("Guess: 9.875, until you measure")
    fill(page, "/room/openings/0/start", "8")
    expect(missing).not_to_contain_text("door centred")


def test_an_example_is_planned_at_one_press(open_page: Callable[..., Page], server: Server) -> None:
    """From first sight to a study of that scenario without a word typed."""
    page = open_page()
    page.get_by_role("button", name="Plan this one").first.click()
    page.wait_for_url("**/#study=*")
    known = {
        one["name"]: one["title"] for one in server.client.get("/v1/scenarios").json()["items"]
    }
    assert server.get(study_id(page))["name"] == known["hall-reach-in"]


def test_a_shape_and_its_sections_stay_while_one_types(open_page: Callable[..., Page]) -> None:
    """Half a length makes no reach-in of a walk-in, and mending a fault folds nothing."""
    page = open_page()
    page.get_by_role("button", name="Walk-in Four walls").click()
    fill(page, "/room/walls/0/length", "84")
    fill(page, "/room/walls/1/length", "9")
    expect(page.locator("button.shape[aria-pressed=true]")).to_contain_text("Walk-in")
    more = page.locator("[id=part-room] details").first
    more.locator("summary").click()
    fill(page, "/room/walls/0/height", "x")
    expect(page.locator("[data-pointer='/room/walls/0/height'] .fault")).to_be_visible()
    fill(page, "/room/walls/0/height", "90")
    expect(page.locator("[data-pointer='/room/walls/0/height'] .fault")).to_have_count(0)
    expect(field(page, "/room/walls/0/height")).to_be_visible()


def test_a_closed_list_does_nothing_on_arrow_keys(form_page: Page) -> None:
    """Neither an example nor a garment is taken by passing over it."""
    page = form_page
    page.get_by_label("Name of the job").fill("Mine")
    expect(page.get_by_label("Start from an example").locator("option")).not_to_have_count(1)
    for label in ("Start from an example", "Add a kind of garment"):
        page.get_by_label(label).focus()
        page.keyboard.press("ArrowDown")
        page.keyboard.press("Escape")
    expect(page.get_by_label("Name of the job")).to_have_value("Mine")
    expect(page.locator("[data-pointer^='/needs/garments/']")).to_have_count(0)


def test_two_tabs_have_drafts_of_their_own(open_page: Callable[..., Page]) -> None:
    """What one types is not in the other; both are in the list of jobs, and open only once."""
    one = open_page()
    one.get_by_label("Name of the job").fill("First")
    fill(one, "/room/walls/0/length", "70")
    two = one.context.new_page()
    two.goto(one.url)
    expect(two.get_by_label("Name of the job")).to_have_value("")
    two.get_by_label("Name of the job").fill("Second")
    fill(two, "/room/walls/0/length", "80")
    one.reload()
    expect(one.get_by_label("Name of the job")).to_have_value("First")
    assert _walls(one) == "70"
    two.get_by_text("Jobs on this machine (2)").click()
    two.get_by_label("Notes on this job").fill("Ring on Monday")
    two.get_by_role("button", name="Open First").click()
    expect(two.locator(".dock")).to_contain_text("First is open in another tab.")
    two.get_by_role("button", name="Open a copy").click()
    expect(two.get_by_label("Name of the job")).to_have_value("First, copy")
    two.get_by_role("button", name="Delete Second").click()
    expect(two.get_by_text("Jobs on this machine (2)")).to_be_visible()
    two.locator(".notice").get_by_role("button", name="Undo").click()
    two.get_by_role("button", name="Open Second").click()
    expect(two.get_by_label("Notes on this job")).to_have_value("Ring on Monday")
    assert _walls(two) == "80"


def test_a_busy_service_is_told_beside_the_button_and_the_press_is_kept(
    open_page: Callable[..., Page], guarded: Server
) -> None:
    """The refusal of one study too many is in view; the press sent again has the same key."""
    running = guarded.accept(brief("slow 100"))["id"]
    page = open_page()
    page.goto(guarded.url)
    page.get_by_label("This service asks for an access key").fill(KEY)
    page.get_by_role("button", name="Use it").click()
    fill(page, "/room/walls/0/length", "60")
    fill(page, "/room/walls/1/length", "25")
    fill(page, "/room/openings/0/width", "48")
    fill(page, "/needs/short_hang", "20")
    unfold(page, "matters")
    expect(page.locator("#checked")).to_contain_text("Complete")
    keys: list[str | None] = []
    page.on(
        "request",
        lambda sent: (
            keys.append(sent.headers.get("idempotency-key"))
            if sent.url.endswith("/v1/studies")
            else None
        ),
    )
    page.get_by_role("button", name="Propose layouts").click()
    notice = page.locator(".dock .notice")
    expect(notice).to_contain_text("Try again")
    expect(notice).to_be_in_viewport()
    expect(page.locator("#checked")).not_to_contain_text("cannot be reached")
    guarded.client.post(f"/v1/studies/{running}/cancellation")
    guarded.wait_for(running)
    notice.get_by_role("button", name="Try again").click()
    page.wait_for_url("**/#study=*")
    assert len(keys) == 2
    assert keys[0] == keys[1] is not None


def test_an_answer_may_come_when_what_it_is_about_is_gone(open_page: Callable[..., Page]) -> None:
    """A door without a place is checked, and taken away before the service has answered."""
    page = open_page()
    status = page.evaluate(
        """async () => {
            const { check } = await ours("brief-check.js");
            const store = await ours("store.js");
            const { draft } = store.state;
            const place = (openings) => {
                const brief = { ...draft.brief, room: { ...draft.brief.room, openings } };
                store.set({ draft: { ...draft, brief } });
            };
            const door = { wall: draft.brief.room.walls[0].id, kind: "cased", width: 30 };
            // The page's own first check may cut this one off: then once more.
            for (let times = 0; times < 5 && store.state.check.status === "idle"; times += 1) {
                place([door]);
                const asked = check();
                place([]);
                await asked;
            }
            return store.state.check.status;
        }"""
    )
    assert status == "faulty"

"""The page's own drawings: letters that are read and keep apart, the plan turned as it is built."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from optimizer.domain.layout import Layout
from optimizer.drawing import draw_plan
from tests.drawing.readback import document, text_boxes
from tests.ready_briefs import load_scenario

LETTERS = (Path(__file__).parent / "drawn_text.js").read_text(encoding="utf-8")
"""A script that tells which letters of drawings are too small, cut off, or over others."""

CROWDED = ("laundry", "chimney-alcoves", "under-the-stairs")
"""Scenarios whose drawings have the most to say in the least room."""


def _choose(page: Page, name: str) -> None:
    page.get_by_label("Start from an example").select_option(name)
    expect(page.get_by_label("Name of the job")).to_have_value(load_scenario(name).name)


@pytest.mark.parametrize(("width", "least"), [(360, 8), (768, 11)])
def test_letters_are_read_and_keep_apart(
    open_page: Callable[..., Page], solved: dict[str, Any], width: int, least: int
) -> None:
    """None is smaller than 11 px from 768 px up, none is cut off or over another: rooms as they
    are typed, wall by wall, and a layout in hand."""
    page = open_page(width=width)
    walls = page.get_by_role("group", name="Wall shown below the plan").get_by_role("button")
    for name in CROWDED:
        _choose(page, name)
        for wall in walls.all():
            wall.click()
            expect(wall).to_have_attribute("aria-pressed", "true")
            assert (name, page.evaluate(LETTERS, least)) == (name, [])
    page.goto(f"/#study={solved['id']}&hand=1")
    expect(page.locator("#beside")).to_be_visible()
    assert page.evaluate(LETTERS, 11) == []


def test_a_plan_is_turned_alike_while_typing_and_afterwards(form_page: Page) -> None:
    """Each wall of an L-shaped room lies where the drawing of a layout has it, seen from others."""
    page = form_page
    _choose(page, "l-shaped-walk-in")
    walls = page.evaluate(
        "() => Promise.all(['room', 'store'].map(name => ours(`${name}.js`)))"
        ".then(([{roomOf}, {state}]) => roomOf(state.draft).walls.map(wall =>"
        " [wall.id, (wall.from[0] + wall.to[0]) / 2, -(wall.from[1] + wall.to[1]) / 2]))"
    )
    typed = {name: (x, y) for name, x, y in walls}
    plan = document(draw_plan(load_scenario("l-shaped-walk-in"), Layout(bays=())))
    marks = {box.text: box for box in text_boxes(plan) if box.text in typed}
    assert marks.keys() == typed.keys()
    drawn = {
        name: ((box.left + box.right) / 2, (box.bottom + box.top) / 2)
        for name, box in marks.items()
    }
    for one, other in combinations(typed, 2):
        for axis in (0, 1):
            way = typed[one][axis] - typed[other][axis]
            # Marks stand up to a foot beside their walls.
            if abs(way) > 24:
                assert way * (drawn[one][axis] - drawn[other][axis]) > 0, (one, other)


def test_a_room_all_round_is_known_by_its_corners_wherever_it_begins(
    form_page: Page,
) -> None:
    """An L-shaped room whose first wall is another one is still called so."""
    page = form_page
    _choose(page, "l-shaped-walk-in")
    shape = page.get_by_role("group", name="Shape of the room")
    expect(shape.locator("[aria-pressed=true]")).to_contain_text("L-shaped walk-in")

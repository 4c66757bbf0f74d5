"""What the page says of a layout, from the layout alone."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page

from optimizer.domain.layout import Zone, ZoneKind
from optimizer.patterns.pattern import label_of


def said(page: Page, module: str, call: str, value: dict[str, Any], units: str = "in") -> Any:
    """What a function of the page makes of a value."""
    return page.evaluate(
        "([path, name, value, units]) => ours(path).then(module => module[name](value, units))",
        [module, call, value, units],
    )


@pytest.mark.parametrize(
    ("bay", "words"),
    [
        ({}, "between uprights"),
        ({"left": "wall", "right": "wall"}, "between walls"),
        ({"left": "corner", "right": "upright"}, "from corner to upright"),
        (
            {"left": "wall", "right": "upright", "mid_supports": [20, 52.5]},
            'from wall to upright, supported at 20" and 52-1/2"',
        ),
    ],
)
def test_a_bay_is_told_with_what_carries_it(
    still_page: Page, bay: dict[str, Any], words: str
) -> None:
    """Bays of earlier layouts, without these members, stand between uprights."""
    assert said(still_page, "drawings.js", "carriedText", bay) == words


def test_a_layout_is_told_with_its_lines_load_and_margins(
    still_page: Page,
) -> None:
    """Each only where the layout has it; a load is rounded up."""
    page = still_page
    layout = {
        "lines": {"A": 84, "B": 84},
        "structure": {"share": 0.8213, "of": "shelf B1-S2, sag"},
        "margins": {"B": 0.25},
    }
    assert said(page, "study/words.js", "standing", layout) == [
        'Top board at 84" all round',
        "Strongest loaded: shelf B1-S2, sag, 83% of its limit",
        'Still goes in where a wall is shorter by: Wall B 1/4"',
    ]
    apart = {"lines": {"A": 2100, "B": 1800}}
    assert said(page, "study/words.js", "standing", apart, "mm") == [
        "Top board at 2100 mm on Wall A, 1800 mm on Wall B"
    ]
    assert said(page, "study/words.js", "standing", {}) == []


def test_what_is_proved_is_said_of_each_layout(still_page: Page) -> None:
    """Of the first among all, of a later one among those that differ; never more than is proved."""
    study = {
        "status": "within_gap", "brief": {"options": {"gap": 0.005}}, "difference_asked": 0.2,
        "difference_proved": 0.2157, "layouts": [{"rank": 1}, {"rank": 2}],
    }  # fmt: skip
    told = still_page.evaluate(
        "study => ours('study/words.js').then(({certainty, endingOf}) => ["
        " endingOf(study), endingOf({...study, layouts: study.layouts.slice(1)}),"
        " certainty({rank: 1, score: 91.42, bound: 91.42}, study),"
        " certainty({rank: 1, score: 91.42, bound: 91.44}, study),"
        " certainty({rank: 2, score: 88, bound: 91.62}, study),"
        " certainty({rank: 1, score: 88, bound: 91.5, status: 'rescored'}, study),"
        " certainty({rank: 1, score: 88, bound: 91.51, status: 'provisional'}, study)])",
        study,
    )
    assert told == [
        "The first is proved best to within 0.5 % of its score; each later one, as far again, "
        "among those that differ enough from the ones above it.",
        "Proved best to within 0.5 % of its score.",
        "Proved: no other layout scores more",
        "Proved: no other layout scores more than 91.5",
        "Proved: none of the layouts that differ by 22 % or more from those above scores more "
        "than 91.7",
        "Ranked anew: a search could find at most 91.5",
        "At most 91.6 is possible: the search goes on, and a better layout takes this one's place",
    ]


@pytest.mark.parametrize(
    ("pattern", "words"),
    [
        ("floor:23.25+shelf*6x12@24-84", "open floor, 6 shelves"),
        ("shelfx12@4+shelf*3x12@22-36+shelf*4x12@48-84", "8 shelves"),
        ("short@40.75+short@80.25+shelfx12@84", "short hang, short hang, a shelf"),
        ("items:23.25+shelf*2x12@24-84", "things on the floor, 2 shelves"),
    ],
)
def test_a_pattern_is_told_from_the_floor_up(still_page: Page, pattern: str, words: str) -> None:
    """Nobody reads a pattern as the service writes it."""
    told = still_page.evaluate(
        "pattern => ours('hand/reruns.js').then(module => module.patternWords(pattern))",
        pattern,
    )
    assert told == words


def test_the_page_names_a_stack_as_the_service_does(still_page: Page) -> None:
    """Or a layout made by hand would not be known again when its bays are pinned."""
    stacks = [[4], [4, 14, 24], [4, 47, 57, 67], [4, 10, 22, 28, 40, 52], [4, 12, 20, 29, 38, 47]]
    for bottoms in stacks:
        shelves = (Zone(kind=ZoneKind.SHELF, bottom=b, top=b + 5, depth=12) for b in bottoms)
        zones = list(shelves)
        zones[-1] = zones[-1].model_copy(update={"depth": 16.0})
        told = still_page.evaluate(
            "zones => ours('hand/stack.js').then(module => module.patternOf(zones))",
            [zone.model_dump(mode="json") for zone in zones],
        )
        assert told == label_of(zones)


def test_a_fault_is_told_without_what_was_typed(still_page: Page) -> None:
    """That stands in the field already; a bay in words is no pattern."""
    detail = "'7 foo' is not a length; write 86.5 (got '7 foo')"
    fault = {"pointer": "/room/ceiling_height", "code": "length_text", "detail": detail}
    assert said(still_page, "faults.js", "detailOf", fault) == "'7 foo' is not a length; write 86.5"
    plain = still_page.evaluate(
        "() => ours('drawings.js').then(({bayText}) =>"
        " ours('store.js').then(({set}) => {"
        "  set({study: {brief: {units: 'in'}, layouts: []}});"
        "  const shelf = {kind: 'shelf', items: []};"
        "  const told = bayText({width: 30, zones: [{kind: 'floor', items: []}, shelf, shelf]});"
        "  set({study: null}); return told; }))"
    )
    assert plain == '30" wide, between uprights: open floor, 2 shelves'

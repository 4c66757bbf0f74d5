"""What a layout takes: uprights and top boards by its runs, mid supports one by one."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.domain.layout import Bay, Mount
from optimizer.domain.need_ids import SHELF_LENGTH, NeedId
from optimizer.model.search.alternatives import Search
from optimizer.scoring.amounts import Amounts, amounts_of, runs_of, spare_uprights
from tests.model.rooms import brief_of

PANEL = 0.75
SHELVES = [{"kind": "shelf", "bottom": b, "top": b + 11.25, "depth": 12} for b in (24, 36, 48)]
CLOTHES = [
    {
        "kind": "rod",
        "hang": "long",
        "rod_height": 80.25,
        "bottom": 17.25,
        "top": 83.25,
        "depth": 24,
    },
    {"kind": "shelf", "bottom": 84, "top": 96, "depth": 12},
]
TRIANGLE = 9.0 * 9.0 * 0.0125
"""A triangle with legs of 3/4 of 12 in, at the price of panel stock."""


def _bay(start: float, width: float, zones: Any = SHELVES, wall: str = "A", **rest: Any) -> Bay:
    usual = {"id": f"{wall}{start:g}", "wall": wall, "depth": 12, "height": 48, "pattern": "p"}
    return Bay.model_validate({**usual, "start": start, "width": width, "zones": zones, **rest})


def _amounts(*bays: Bay, **construction: Any) -> Amounts:
    brief = brief_of([60, 60], {"long_hang": 10}, construction=construction)
    search = Search(brief)
    return amounts_of(bays, search.rules, search.surveyed)


@pytest.mark.parametrize(
    ("bays", "runs", "spare"),
    [
        ([], 0, 0),
        ([_bay(PANEL, 20)], 1, 1),
        ([_bay(PANEL, 20), _bay(21.5, 20)], 1, 1),
        ([_bay(PANEL, 20), _bay(30, 20)], 2, 2),
        ([_bay(PANEL, 20), _bay(PANEL, 20, wall="B")], 2, 2),
        ([_bay(0, 20, left="wall")], 1, 0),
        ([_bay(0, 60, left="wall", right="wall")], 1, -1),
        ([_bay(0, 20, left="wall"), _bay(40, 20, right="wall")], 2, 0),
        ([_bay(39.25, 20.75, right="wall"), _bay(12, 20, wall="B", left="corner")], 2, 0),
    ],
    ids=[
        "none",
        "one",
        "two that share",
        "two apart",
        "two walls",
        "on the wall",
        "between walls",
        "a gap between walls",
        "round a corner",
    ],
)
def test_uprights_beyond_one_for_each_bay(bays: list[Bay], runs: int, spare: int) -> None:
    """A run of n bays stands on n + 1 uprights, less those whose place a wall or corner takes."""
    assert runs_of(bays, PANEL) == runs
    assert spare_uprights(bays, PANEL) == spare


def test_a_run_has_one_top_board_under_a_line() -> None:
    """Three bays in a run: two boards less than without a line; apart, as many."""
    run = [_bay(PANEL, 14), _bay(15.5, 14), _bay(30.25, 14)]
    apart = [_bay(PANEL, 14), _bay(19.5, 14), _bay(39.25, 14)]
    for bays, fewer in ((run, 2), (apart, 0)):
        assert _amounts(*bays, top_line="free").parts - _amounts(*bays).parts == fewer


def test_an_end_on_the_wall_saves_an_upright() -> None:
    """Its part, and its cost: 84 in x 12 in of panel."""
    on_wall, on_uprights = _amounts(_bay(0, 20, left="wall")), _amounts(_bay(PANEL, 20))
    assert on_uprights.parts - on_wall.parts == 1
    assert on_uprights.cost - on_wall.cost == pytest.approx(84 * 12 * 0.0125)


def test_each_mid_support_counts() -> None:
    """A triangle to make under each of three boards, as many times as there are supports."""
    plain = _amounts(_bay(PANEL, 50))
    for number in (1, 2):
        supports = [16.0 * (place + 1) for place in range(number)]
        carried = _amounts(_bay(PANEL, 50, mid_supports=supports))
        assert carried.parts - plain.parts == 3 * number
        assert carried.cost - plain.cost == pytest.approx(3 * number * TRIANGLE)


def test_brackets_are_bought() -> None:
    """No part to make; by the price book one of 5.60 under each board, 6.90 for each rod."""
    rules = {"mid_support": "bracket"}
    plain = _amounts(_bay(PANEL, 50, CLOTHES, depth=24, height=84), **rules)
    carried = _amounts(_bay(PANEL, 50, CLOTHES, depth=24, height=84, mid_supports=[32.0]), **rules)
    assert carried.parts == plain.parts
    assert carried.cost - plain.cost == pytest.approx(5.6 + 6.9)


def test_what_is_stored_takes_free_shelf_and_what_is_nowhere_counts_nothing() -> None:
    """Three boards of 40 in less two rows of shoes, 9 in each; no boots, no box, no hooks."""
    needs = {
        "shelf_length": 10,
        "stored": [{"kind": "shoes", "count": 2}, {"kind": "boots", "count": 1}],
        "items": [{"id": "box", "width": 10, "depth": 10, "height": 10}],
        "hooks": [{"id": "coats", "count": 2}],
    }
    search = Search(brief_of([60, 60], needs))
    low, *above = SHELVES
    shoes = {**low, "stored": [{"kind": "shoes", "count": 2}]}
    for zones, free, pairs in ((SHELVES, 120.0, 0), ([shoes, *above], 102.0, 2)):
        amounts = amounts_of([_bay(PANEL, 40, zones)], search.rules, search.surveyed)
        assert amounts.shelf_free == pytest.approx(free)
        reached = search.frame.achieved(amounts)
        assert reached[SHELF_LENGTH] == amounts.shelf_free
        assert reached[NeedId.stored("shoes")] == pairs
        nowhere = (NeedId.stored("boots"), NeedId.item("box"), NeedId.mounted("coats"))
        assert [reached[need] for need in nowhere] == [0.0, 0.0, 0.0]


def test_mounts_are_counted_by_name() -> None:
    """A row of hooks and a mirror, once each."""
    mounts = [
        Mount(id=name, kind="mirror", wall="A", start=at, width=20, bottom=14, top=60, depth=1)
        for name, at in (("glass", 2.0), ("tall", 30.0))
    ]
    search = Search(brief_of([60, 60], {"long_hang": 10}))
    assert amounts_of([], search.rules, search.surveyed, mounts).mounted == {"glass": 1, "tall": 1}

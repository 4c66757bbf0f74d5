"""Repairs: each patch, proposed anew, yields what its effect says."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from optimizer.briefs.reader import read_brief
from optimizer.domain.layout import Layout, Unmet
from optimizer.domain.study import Repair, Study
from optimizer.explaining.changes import Change, Cost, changes
from optimizer.explaining.repairs import QUICK_GAP, _helps, merge, patched
from optimizer.explaining.shortfalls import amount_text
from optimizer.proposing import propose
from tests.model.rooms import brief_of

TRUNK = {"id": "trunk", "width": 36, "depth": 18, "height": 22}
BRIEFS: dict[str, tuple[list[Any], dict[str, Any]]] = {
    "too much rod": ([60], {"long_hang": 80, "shelf_length": 40}),
    "too many shelves": ([48], {"shelf_length": 420}),
    "crowded": ([64], {"short_hang": 140, "shelf_length": 90, "items": [TRUNK]}),
    "a little too low": ([72], {"short_hang": 127.5, "users": [{"stature": 64}]}),
    "high shelves": ([{"length": 48, "height": 110}], {"shelf_length": 420}),
    "out of reach": ([60], {"short_hang": 90, "users": [{"age": 6}], "hang_drop": {"short": 24}}),
}


METRIC: dict[str, Any] = {
    "units": "mm",
    "room": {"ceiling_height": 2440, "walls": [{"id": "A", "length": 1830}]},
    "needs": {"short_hang": 3200, "shelf_length": 2000, "users": [{"stature": 1620}]},
    "options": {"gap": QUICK_GAP, "alternatives": 1, "time_limit_s": 60.0},
}
GALLEY: dict[str, Any] = {
    "room": {
        "ceiling_height": 96,
        "walls": [
            {"id": "A", "length": 60},
            {"id": "B", "length": 72},
            {"id": "C", "length": 60},
        ],
    },
    "needs": {"long_hang": 116, "shelf_length": 60, "aisle": 36},
    "options": {"gap": QUICK_GAP, "alternatives": 1, "time_limit_s": 60.0},
}


@cache
def _study(name: str) -> Study:
    if name in ("metric", "galley"):
        return propose(read_brief(METRIC if name == "metric" else GALLEY)[0])
    walls, needs = BRIEFS[name]
    options = {"gap": QUICK_GAP, "alternatives": 1, "time_limit_s": 60.0}
    return propose(brief_of(walls, needs, options=options))


def _effect_of(study: Study, repair: Repair) -> str:
    """What a new study of the patched brief leaves short, in the words of a repair."""
    again = propose(patched(study.brief, repair.patch), yardstick=study.yardstick, repairs=False)
    gone = {f"item:{item.id}" for item in study.brief.needs.items} - {
        f"item:{item.id}" for item in again.brief.needs.items
    }
    left = again.layouts[0].unmet
    if not left:
        return "everything else asked for is met" if gone else "everything asked for is met"
    parts = [
        f"{u.need.words} short by {amount_text(u.need, u.shortfall, study.brief)}" for u in left
    ]
    return "leaves " + "; ".join(parts)


NAMES = (*BRIEFS, "metric", "galley")


@pytest.mark.parametrize("name", NAMES)
def test_each_patch_does_what_is_said(name: str) -> None:
    """At least one repair, and every one of them holds when its brief is proposed."""
    study = _study(name)
    assert study.layouts[0].unmet
    assert study.repairs
    for repair in study.repairs:
        assert repair.proved
        assert _effect_of(study, repair) == repair.effect, repair.change


@pytest.mark.parametrize("name", NAMES)
def test_no_repair_leaves_a_need_worse_off(name: str) -> None:
    """Of every need at most as much is short as before, and of some need less."""
    study = _study(name)
    had = {unmet.need: unmet.shortfall for unmet in study.layouts[0].unmet}
    for repair in study.repairs:
        gone = {f"item:{item.id}" for item in study.brief.needs.items}
        gone -= {f"item:{item.id}" for item in patched(study.brief, repair.patch).needs.items}
        for need, short in repair.leaves.items():
            assert short <= had.get(need, 0.0) + 1e-3, (repair.change, need)
        assert gone or any(repair.leaves.get(need, 0.0) < had[need] - 1e-3 for need in had)


def test_what_would_take_more_of_a_need_is_not_offered() -> None:
    """A layout with one more unit short of anything is no help, whatever else it gains."""
    before = Layout(unmet=(_short("short_hang", 20.0), _short("item:shoes", 1.0)))
    better = Layout(unmet=(_short("short_hang", 1.0), _short("item:shoes", 1.0)))
    worse = Layout(unmet=(_short("short_hang", 1.0), _short("item:shoes", 2.0)))
    newly = Layout(unmet=(_short("item:shoes", 1.0), _short("shelf_length", 1.0)))
    change = Change("more wall", {}, Cost.BUILDING)
    assert [_helps(change, before, after) for after in (better, worse, newly, before)] == [
        True, False, False, False,
    ]  # fmt: skip
    dropped = Change("drop the shoes", {}, Cost.GOING_WITHOUT, "item:shoes")
    assert _helps(dropped, before, worse)


def _short(need: str, amount: float) -> Unmet:
    return Unmet(
        need=need,
        required=100,
        achieved=100 - amount,
        shortfall=amount,
        reason="unknown",
        detail="",
    )


@pytest.mark.parametrize("name", NAMES)
def test_what_costs_least_comes_first(name: str) -> None:
    """The order of what a person gives up, within one cost the most helpful first."""
    study = _study(name)
    costs = {c.words: c.cost for c in changes(study.brief, study.layouts[0])}
    order = [costs[repair.change] for repair in study.repairs]
    assert order == sorted(order)


def test_half_an_inch_less_air_gives_a_second_rod() -> None:
    """Someone 5 ft 4 in reaches 79-1/2 in: with 2-1/2 in of air the upper rod is there."""
    study = _study("a little too low")
    (unmet,) = study.layouts[0].unmet
    assert (unmet.reason, unmet.rule) == ("impossible", "/needs/users")
    assert "rods for short hang stand at 40 in at least (37 in garments and 3 in of air)" in (
        unmet.detail
    )
    assert "a user 5' 4\" tall reaches 79-1/2 in: two do not fit" in unmet.detail
    first = study.repairs[0]
    assert first.patch == {"construction": {"floor_clearance": 2.5}}
    assert first.effect == "everything asked for is met"
    assert f"With {first.change} it would be met" in unmet.detail


def test_a_narrower_aisle_is_offered_down_to_its_limit() -> None:
    """Two walls of hanging do not face one another beside 36 in; beside 24 in they do."""
    study = _study("galley")
    (unmet,) = study.layouts[0].unmet
    assert (unmet.reason, unmet.rule) == ("impossible", "/needs/aisle")
    assert "twice 24 in and an aisle of 36 in between them" in unmet.detail
    assert study.repairs[0].patch == {"needs": {"aisle": 24.0}}
    tight = {**GALLEY, "needs": {**GALLEY["needs"], "aisle": 24}}
    brief, _ = read_brief(tight)
    assert not [c for c in changes(brief, study.layouts[0]) if c.cost is Cost.AISLE]


def test_shelves_are_offered_as_many_to_a_sheet_as_the_kerfs_let() -> None:
    """Four of 11-7/8 in and three kerfs of 1/8 in make 47-7/8 in of 48 in."""
    study = _study("too many shelves")
    depths = [c for c in changes(study.brief, study.layouts[0]) if c.cost is Cost.DEPTH]
    assert [c.patch for c in depths] == [{"needs": {"shelf_depth": 11.875}}]
    assert depths[0].words == "shelves 11-7/8 in deep, 4 to the width of a sheet"


def test_a_step_stool_reaches_another_shelf() -> None:
    """Under 110 in the shelves that 84 in allows are not the last that go in."""
    study = _study("high shelves")
    stool = [repair for repair in study.repairs if "step stool" in repair.change]
    assert [repair.patch for repair in stool] == [
        {"construction": {"max_rod_height": 93.0, "max_shelf_height": 93.0}}
    ]


def test_nothing_short_needs_no_repair() -> None:
    """A brief whose needs are all met lists none."""
    study = propose(brief_of([90], {"long_hang": 20, "shelf_length": 20}))
    assert study.layouts[0].unmet == ()
    assert study.repairs == ()


def test_merge_patch_as_published() -> None:
    """The examples of RFC 7396, appendix A."""
    cases: list[tuple[Any, Any, Any]] = [
        ({"a": "b"}, {"a": "c"}, {"a": "c"}),
        ({"a": "b"}, {"b": "c"}, {"a": "b", "b": "c"}),
        ({"a": "b"}, {"a": None}, {}),
        ({"a": "b", "b": "c"}, {"a": None}, {"b": "c"}),
        ({"a": ["b"]}, {"a": "c"}, {"a": "c"}),
        ({"a": "c"}, {"a": ["b"]}, {"a": ["b"]}),
        ({"a": {"b": "c"}}, {"a": {"b": "d", "c": None}}, {"a": {"b": "d"}}),
        ({"a": [{"b": "c"}]}, {"a": [1]}, {"a": [1]}),
        (["a", "b"], ["c", "d"], ["c", "d"]),
        ({"a": "b"}, ["c"], ["c"]),
        ({"a": "foo"}, None, None),
        ({"a": "foo"}, "bar", "bar"),
        ({"e": None}, {"a": 1}, {"e": None, "a": 1}),
        ([1, 2], {"a": "b", "c": None}, {"a": "b"}),
        ({}, {"a": {"bb": {"ccc": None}}}, {"a": {"bb": {}}}),
    ]
    assert [merge(target, patch) for target, patch, _ in cases] == [r for _, _, r in cases]

"""Repairs: each patch, proposed anew, yields what its effect says."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.domain.study import Repair, Study
from optimizer.explaining.repairs import QUICK_GAP, merge, patched
from optimizer.explaining.shortfalls import amount_text, need_text
from optimizer.proposing import propose
from tests.model.rooms import brief_of

TRUNK = {"id": "trunk", "width": 36, "depth": 18, "height": 22}
BRIEFS: dict[str, tuple[list[Any], dict[str, Any]]] = {
    "too much rod": ([60], {"long_hang": 80, "shelf_length": 40}),
    "too many shelves": ([48], {"shelf_length": 420}),
    "crowded": ([64], {"short_hang": 140, "shelf_length": 90, "items": [TRUNK]}),
    "out of reach": ([60], {"short_hang": 90, "users": [{"age": 6}], "hang_drop": {"short": 24}}),
}


def _study(name: str) -> Study:
    walls, needs = BRIEFS[name]
    return propose(brief_of(walls, needs, options={"gap": QUICK_GAP}))


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
        f"{need_text(u.need)} short by {amount_text(u.need, u.shortfall, study.brief)}"
        for u in left
    ]
    return "leaves " + "; ".join(parts)


@pytest.mark.parametrize("name", BRIEFS)
def test_each_patch_does_what_is_said(name: str) -> None:
    """At least one repair, and every one of them holds when its brief is proposed."""
    study = _study(name)
    assert study.layouts[0].unmet
    assert study.repairs
    for repair in study.repairs:
        assert repair.proved
        assert _effect_of(study, repair) == repair.effect, repair.change


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

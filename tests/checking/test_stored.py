"""R19: what is counted, on each side of what a shelf takes."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.briefs.reader import read_brief
from optimizer.checking import check_layout
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout

Raw = dict[str, Any]
TALL_BOX = {"id": "box", "width": 9.5, "depth": 8, "height": 5, "place": "shelf"}


def _zones(tops: list[float], stored: dict[int, list[Raw]], depth: float = 12.0) -> list[Raw]:
    """Shelves at `tops` (lowest first) under a ceiling of 96 in."""
    roofs = [*(top - 0.75 for top in tops[1:]), 96.0]
    return [
        {"kind": "shelf", "bottom": bottom, "top": roof, "depth": depth,
         "stored": stored.get(place, [])}
        for place, (bottom, roof) in enumerate(zip(tops, roofs, strict=True))
    ]  # fmt: skip


def _case(
    stored: dict[int, list[Raw]],
    *,
    needs: Raw | None = None,
    bay: Raw | None = None,
    tops: tuple[float, ...] = (4.0, 11.0, 18.0, 25.0, 44.0, 64.0, 84.0),
) -> tuple[Brief, Layout]:
    wanted = {"stored": [{"kind": "shoes", "count": 12}, {"kind": "boots", "count": 2}]}
    raw = {
        "room": {"ceiling_height": 96, "walls": [{"id": "A", "length": 80}]},
        "needs": {**wanted, **(needs or {})},
        "construction": {"material": "plywood"},
    }
    brief, _ = read_brief(raw)
    own = {
        "id": "A1", "wall": "A", "start": 0.75, "width": 27.0, "depth": 12.0, "height": tops[-1],
        "pattern": "shelves", "zones": _zones(list(tops), stored), **(bay or {}),
    }  # fmt: skip
    return brief, Layout.model_validate({"bays": [own]})


def _codes(*args: Any, **rest: Any) -> list[str]:
    return [fault.code for fault in check_layout(*_case(*args, **rest))]


def _kept(kind: str, count: int) -> list[Raw]:
    return [{"kind": kind, "count": count}]


def test_shoes_stand_seven_inches_apart_beside_wider_shelves() -> None:
    """Three pairs, 9 in each, fill 27 in of a shelf with 6-1/4 in over it."""
    assert _codes({0: _kept("shoes", 3), 1: _kept("shoes", 3), 4: _kept("boots", 2)}) == []


@pytest.mark.parametrize(
    ("stored", "rest", "codes"),
    [
        ({0: _kept("shoes", 4)}, {}, ["stored_width"]),
        ({0: _kept("boots", 1)}, {}, ["stored_height"]),
        ({0: _kept("hats", 1)}, {}, ["stored_unknown"]),
        ({n: _kept("shoes", 3) for n in range(5)}, {}, ["stored_count"]),
        ({4: [*_kept("boots", 2), *_kept("shoes", 1)]}, {}, ["stored_width"]),
        ({4: [*_kept("boots", 1), *_kept("shoes", 1)]}, {}, []),
        ({0: _kept("shoes", 3)}, {"needs": {"stored": [
            {"kind": "shoes", "count": 12, "width": 9.01}]}}, ["stored_width"]),
        ({0: _kept("shoes", 3)}, {"needs": {"stored": [
            {"kind": "shoes", "count": 12, "depth": 12.01}]}}, ["stored_depth"]),
        ({0: _kept("shoes", 3)}, {"needs": {"stored": [
            {"kind": "shoes", "count": 12, "pitch": 7.01}]}}, ["stored_height"]),
    ],
)  # fmt: skip
def test_each_limit_is_felt(stored: dict[int, list[Raw]], rest: Raw, codes: list[str]) -> None:
    """Width, height, depth, number and kind, each just beyond and just within."""
    found = _codes(stored, **rest)
    assert [code for code in found if code.startswith("stored")] == codes


def test_shelves_are_no_closer_than_what_is_counted_asks_for() -> None:
    """Six inches and a quarter are enough for shoes; without them shelves keep their distance."""
    bare = {"stored": [], "shelf_length": 20}
    assert _codes({}) == []
    assert set(_codes({}, needs=bare)) == {"shelf_clear"}


def test_rows_stand_between_mid_supports() -> None:
    """A support on the stud at 16 in leaves pieces for one pair and three; the top has none."""
    room = {"width": 47.25, "mid_supports": [16.0]}
    assert _codes({0: _kept("shoes", 4)}, bay=room) == []
    assert _codes({0: _kept("shoes", 5)}, bay=room) == ["stored_width"]
    assert _codes({6: _kept("shoes", 5)}, bay=room) == []


def test_items_and_rows_share_a_shelf() -> None:
    """A box of 9-1/2 in with air leaves 16-1/2 in: one pair, not two."""
    case = {"needs": {"items": [TALL_BOX]}}
    for pairs, codes in ((1, []), (2, ["stored_width"])):
        brief, layout = _case({4: _kept("shoes", pairs)}, **case)
        zones = list(layout.bays[0].zones)
        zones[4] = zones[4].model_copy(update={"items": ("box",)})
        bay = layout.bays[0].model_copy(update={"zones": tuple(zones)})
        found = check_layout(brief, layout.model_copy(update={"bays": (bay,)}))
        assert [fault.code for fault in found] == codes


def test_a_stiffened_shelf_for_shoes_is_too_low() -> None:
    """A stiffener hangs into the opening of what is closer together than wished."""
    found = _codes({0: _kept("shoes", 1)}, bay={"stiffened": True})
    assert found == ["stored_height"]
    assert _codes({4: _kept("boots", 1)}, bay={"stiffened": True}) == []


def test_what_is_counted_is_on_shelves() -> None:
    """Shoes on the floor are no shoes stored."""
    low = {"kind": "floor", "bottom": 0.0, "top": 24.25, "depth": 12.0}
    shoes = [{"kind": "shoes", "count": 2}]
    above = _zones([25.0, 44.0, 64.0, 84.0], {})
    assert "stored_place" in _codes({}, bay={"zones": [{**low, "stored": shoes}, *above]})
    assert "stored_place" not in _codes({}, bay={"zones": [low, *above]})

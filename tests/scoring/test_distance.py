"""The distance of layouts is a metric between 0 and 1."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.domain.layout import Bay
from optimizer.scoring.distance import Portrait, distance, portrait_of
from tests.model.rooms import brief_of

BRIEF = brief_of(
    [100.0, 50.0],
    {
        "shelf_length": 10,
        "items": [
            {"id": "box", "width": 10, "depth": 10, "height": 10, "count": 3, "place": "any"},
            {"id": "case", "width": 12, "depth": 10, "height": 10},
        ],
    },
)
WALLS = ["A", "B"]
LENGTHS = {"A": 100.0, "B": 50.0}
KINDS = ("long", "shelves", "short+short", "shelves over floor")


@st.composite
def portraits(draw: Any) -> Portrait:
    """What some layout of the brief looks like."""
    widths = {}
    for wall, length in LENGTHS.items():
        shares = draw(st.lists(st.integers(0, 25), min_size=4, max_size=4))
        for kind, share in zip(KINDS, shares, strict=True):
            if share:
                widths[wall, kind] = length * share / 100
    places = {}
    for item, count in (("box", 3), ("case", 1)):
        left = count
        for wall in WALLS:
            for level in ("floor", "shelf"):
                number = draw(st.integers(0, left))
                left -= number
                if number:
                    places[item, wall, level] = number
    return Portrait(widths, places)


def _between(one: Portrait, other: Portrait) -> float:
    return distance(one, other, BRIEF, WALLS)


@given(portraits(), portraits(), portraits())
def test_distance_is_a_metric(a: Portrait, b: Portrait, c: Portrait) -> None:
    """0 for the same, symmetric, within 0 and 1, and no detour is shorter."""
    assert _between(a, a) == pytest.approx(0.0, abs=1e-12)
    assert _between(a, b) == pytest.approx(_between(b, a))
    assert -1e-12 <= _between(a, b) <= 1.0 + 1e-12
    assert _between(a, c) <= _between(a, b) + _between(b, c) + 1e-9


@given(portraits(), portraits())
def test_layouts_that_differ_are_apart(a: Portrait, b: Portrait) -> None:
    """Only what looks the same is at distance 0."""
    assert (_between(a, b) < 1e-9) == (a == b)


def test_distance_by_hand() -> None:
    """60 of 150 in change their kind and one of four pieces moves: 0.8 x 0.4 + 0.2 / 4."""
    one = Portrait({("A", "long"): 60.0}, {("box", "A", "floor"): 1})
    other = Portrait({("A", "shelves"): 60.0}, {("box", "B", "floor"): 1})
    assert _between(one, other) == pytest.approx(0.8 * 60 / 150 + 0.2 / 4)


def _bay(wall: str, start: float, width: float) -> Bay:
    zones = [{"kind": "shelf", "bottom": 12, "top": 40, "depth": 12, "items": ["box"]}]
    data = {"id": "x", "wall": wall, "start": start, "width": width, "depth": 12, "height": 12}
    return Bay.model_validate({**data, "pattern": "p", "zones": zones})


def test_order_along_a_wall_does_not_count() -> None:
    """Swapped and shifted bays make the same portrait; another wall another one."""
    one = portrait_of([_bay("A", 0.75, 20), _bay("A", 30, 24)])
    other = portrait_of([_bay("A", 10, 24), _bay("A", 60, 20)])
    assert one == other
    assert one != portrait_of([_bay("A", 10, 24), _bay("B", 5, 20)])

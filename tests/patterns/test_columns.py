"""Stacks without a line: rods at the trade's heights, nothing before what is in the way."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimizer.domain.layout import ZoneKind
from optimizer.patterns.pattern import Pattern
from tests.patterns.samples import column, free_of, labels, with_label

EVERYTHING = {"long_hang": 20, "medium_hang": 20, "short_hang": 40, "shelf_length": 40}


def _rods(pattern: Pattern) -> list[float]:
    return [zone.rod_height or 0.0 for zone in pattern.zones if zone.kind is ZoneKind.ROD]


def test_double_hang_is_at_40_and_80_under_a_board_at_83_75() -> None:
    """Two short rods with 3 in of air below, 3 in over each rod, and a 3/4 in board."""
    patterns = free_of({"short_hang": 40}).patterns(column())
    double = with_label(patterns, "short@40+short@80")
    assert _rods(double) == [40.0, 80.0]
    assert double.zones[-1].bottom == pytest.approx(83.75)
    assert double.height == pytest.approx(83.75)
    assert double.measures.short == 2


def test_single_rods_stand_at_the_handbook_heights() -> None:
    """Long hang at 66 in, medium at 54 in, short at 40 in."""
    patterns = free_of(EVERYTHING).patterns(column())
    heights = {pattern.label.split("+")[0] for pattern in patterns}
    assert {"long@66", "medium@54", "short@40"} <= heights


def test_high_rod_leaves_an_open_floor() -> None:
    """A rod as high as the top shelf allows, open floor under the clothes."""
    high = with_label(free_of({"short_hang": 40}).patterns(column()), "floor:43.25+short@")
    assert _rods(high) == [80.25]
    assert high.measures.open_floor == 1
    assert high.kind == "short over floor"


def test_a_childs_rods_go_three_high() -> None:
    """With clothes 22 in long three rods fit below 84 in; with 37 in only two do."""
    small = {"short_hang": 60, "hang_drop": {"short": 22}}
    triple = with_label(free_of(small).patterns(column()), "short@25+short@50+short@75")
    assert triple.measures.short == 3
    full = free_of({"short_hang": 60}).patterns(column())
    assert max(pattern.measures.short for pattern in full) == 2


def test_rods_stay_within_a_childs_reach() -> None:
    """A child of 6 reaches 40 in, and no rod is higher: 2010 ADA Standards, advisory 308.1."""
    needs = {"short_hang": 40, "users": [{"age": 6}]}
    patterns = free_of(needs).patterns(column())
    assert max(max(_rods(p), default=0.0) for p in patterns) <= 40.0
    assert any(_rods(p) for p in patterns)


def test_outlet_keeps_boards_and_clothes_off() -> None:
    """Nothing before an outlet from 12 to 17 in: clothes hang above it, boards keep clear."""
    outlet = column(96.0, 24.0, (12.0, 17.0))
    patterns = free_of(EVERYTHING).patterns(outlet)
    assert any(_rods(p) for p in patterns)
    for pattern in patterns:
        for zone in pattern.zones:
            if zone.kind is ZoneKind.FLOOR:
                continue
            low = zone.bottom - (0.75 if zone.kind is ZoneKind.SHELF else 0.0)
            assert zone.top <= 12.0 + 1e-6 or low >= 17.0 - 1e-6, pattern.label


def test_window_leaves_low_things_under_it() -> None:
    """Under and beside a window from 36 in to the ceiling: shelves to the sill, no rod."""
    window = column(96.0, 24.0, (36.0, 96.0))
    patterns = free_of(EVERYTHING).patterns(window)
    assert patterns
    assert all(not _rods(pattern) for pattern in patterns)
    assert max(zone.top for p in patterns for zone in p.zones) <= 36.0 + 1e-6


def test_low_ceiling_takes_short_hang_and_no_long() -> None:
    """Under 60 in there is no long hang (66 + 3 + 3/4 + 8 in); one short rod fits."""
    patterns = free_of(EVERYTHING).patterns(column(60.0))
    assert all(pattern.measures.long == 0 for pattern in patterns)
    assert max(pattern.measures.short for pattern in patterns) == 1


def test_long_hang_needs_its_exact_height() -> None:
    """66 in of rod, 3 in to the board, 3/4 in of board and 8 in of shelf: 77.75 in."""
    catalogue = free_of({"long_hang": 20})
    assert any(p.measures.long for p in catalogue.patterns(column(77.75)))
    assert not any(p.measures.long for p in catalogue.patterns(column(77.7)))


def test_shallow_place_takes_no_hanging() -> None:
    """Where a bay may be 14 in deep there are shelves of 12 in and no rods of 24 in."""
    patterns = free_of(EVERYTHING).patterns(column(96.0, 14.0))
    assert {pattern.depth for pattern in patterns} == {12.0}
    assert all(not _rods(pattern) for pattern in patterns)


def test_only_what_is_wanted_is_hung() -> None:
    """No rods of classes that nobody needs."""
    patterns = free_of({"medium_hang": 20}).patterns(column())
    assert all(p.measures.long == 0 and p.measures.short == 0 for p in patterns)
    assert labels(patterns) == labels(free_of({"medium_hang": 5}).patterns(column()))


@settings(deadline=None)
@given(
    height=st.floats(20, 120),
    depth=st.floats(6, 30),
    blocks=st.lists(st.tuples(st.floats(0, 90), st.floats(1, 40)), max_size=3),
)
def test_every_pattern_fits_its_column(
    height: float, depth: float, blocks: list[tuple[float, float]]
) -> None:
    """Under the ceiling, within the depth, in order, clear of every block, widths in range."""
    space = column(height, depth, *((low, low + size) for low, size in blocks))
    needs: dict[str, Any] = {**EVERYTHING, "hang_drop": {"short": 30}}
    for pattern in free_of(needs).patterns(space):
        assert pattern.depth <= depth + 1e-6
        assert pattern.min_width <= pattern.tiers[0].width <= pattern.max_width
        floor = 0.0
        for zone in pattern.zones:
            low = zone.bottom - (0.75 if zone.kind is ZoneKind.SHELF else 0.0)
            assert low >= floor - 1e-6
            assert zone.bottom < zone.top <= height + 1e-6
            floor = zone.top
            if zone.kind is not ZoneKind.FLOOR:
                assert space.free(low, zone.top, zone.depth or 0.0), pattern.label

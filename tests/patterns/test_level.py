"""Stacks under a line: boards counted down from it, rods hung under them, in hand-made columns."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.domain.layout import Zone, ZoneKind
from optimizer.patterns.pattern import Pattern, former_label_of, label_of
from optimizer.patterns.room_survey import surveyed_room
from tests.model.rooms import brief_of
from tests.patterns.samples import catalogue_of, column, free_of, labels, with_label

EVERYTHING = {"long_hang": 20, "medium_hang": 20, "short_hang": 40, "shelf_length": 40}


def _tops(pattern: Pattern) -> list[float]:
    return [zone.bottom for zone in pattern.boards]


def _rods(pattern: Pattern) -> list[float]:
    return [zone.rod_height or 0.0 for zone in pattern.zones if zone.kind is ZoneKind.ROD]


def test_line_is_the_highest_shelf_and_shelves_are_counted_down_from_it() -> None:
    """84 in, and every 12 in under it down to 12: one more would lie on the floor."""
    full = catalogue_of({"shelf_length": 40}).patterns(column())[0]
    assert _tops(full) == [12.0, 24.0, 36.0, 48.0, 60.0, 72.0, 84.0]
    assert full.height == 84.0


@pytest.mark.parametrize(("ceiling", "line"), [(96, 84.0), (90, 82.0), (80.3, 72.25)])
def test_line_leaves_least_clear_height_under_the_ceiling(ceiling: float, line: float) -> None:
    """8 in over the highest shelf, rounded down to a quarter of an inch."""
    catalogue = catalogue_of({"shelf_length": 40}, room={"ceiling_height": ceiling})
    patterns = catalogue.patterns(column(ceiling))
    assert {pattern.height for pattern in patterns} == {line}


def test_rods_hang_one_clearance_under_the_board_over_them() -> None:
    """3/4 in of board and 3 in to the rod; clothes of 37 in, and the next rod under them."""
    double = with_label(
        catalogue_of({"short_hang": 40}).patterns(column()), "short@40.25+short@80.25"
    )
    assert _rods(double) == [40.25, 80.25]
    assert _tops(double) == [84.0]
    assert double.zones[0].bottom == pytest.approx(3.25)
    assert double.measures.short == 2


def test_rods_hang_under_every_level_that_leaves_them_room() -> None:
    """Clothes 63 in long end 3 in above the floor under 84 and 72; under 60 they would not."""
    needs = {"long_hang": 20}
    patterns = [p for p in catalogue_of(needs).patterns(column()) if p.measures.long]
    assert {rod for p in patterns for rod in _rods(p)} == {80.25, 68.25}
    assert {len(_tops(p)) for p in patterns} == {1, 2}


def test_high_rod_leaves_an_open_floor() -> None:
    """Under the line's own board, open floor under the clothes from a shelf spacing on."""
    high = with_label(catalogue_of({"short_hang": 40}).patterns(column()), "floor:43.25+short@")
    assert _rods(high) == [80.25]
    assert high.measures.open_floor == 1
    assert high.kind == "short over floor"


def test_a_low_reach_hangs_rods_lower_than_the_board_asks() -> None:
    """A child of 6 reaches 40 in: the rod hangs there, whatever board is over it."""
    needs = {"short_hang": 40, "users": [{"age": 6}], "hang_drop": {"short": 22}}
    patterns = catalogue_of(needs).patterns(column())
    rods = {rod for pattern in patterns for rod in _rods(pattern)}
    assert rods
    assert max(rods) <= 40.0
    for pattern in patterns:
        for zone in pattern.zones:
            if zone.kind is ZoneKind.ROD:
                assert zone.top - (zone.rod_height or 0.0) >= 3.0 - 1e-6


def test_window_drops_the_line_by_whole_spacings() -> None:
    """A window from 44 in to the ceiling: the line is at 36 in, with 8 in of clear height."""
    patterns = catalogue_of({"shelf_length": 40}).patterns(column(96.0, 24.0, (44.0, 96.0)))
    assert {pattern.height for pattern in patterns} == {36.0}
    assert all((84.0 - top) % 12.0 == 0.0 for p in patterns for top in _tops(p))


def test_a_lower_line_is_well_below_the_line() -> None:
    """Shelves 2 in apart: a board just under the line would look like a mistake."""
    needs = {"shelf_length": 40, "shelf_spacing": 2}
    catalogue = catalogue_of(needs, construction={"min_shelf_clear": 1})
    (line,) = {p.height for p in catalogue.patterns(column(96.0, 24.0, (84.1, 84.6)))}
    assert line == pytest.approx(80.0)
    assert {p.height for p in catalogue.patterns(column())} == {84.0}


def test_items_stand_under_a_level() -> None:
    """Things 26-1/2 in high stand under the first level that has its cleats above them."""
    needs = {"items": [{"id": "hamper", "width": 18, "depth": 14, "height": 26}]}
    hosting = [p for p in catalogue_of(needs).patterns(column()) if p.hosting]
    assert {p.label for p in hosting} == {"items:35.25+shelf*5x12@36-84"}
    assert hosting[0].zones[0].top == pytest.approx(35.25)


def test_a_tall_zone_never_lowers_the_line() -> None:
    """Boxes 22 in high: a zone for them under the lowest level that is high enough, and none
    where the line itself is not."""
    box = {"id": "box", "width": 14, "depth": 12, "height": 22, "place": "shelf"}
    catalogue = catalogue_of({"shelf_length": 40, "items": [box]})
    assert [12.0, 48.0, 60.0, 72.0, 84.0] in [_tops(p) for p in catalogue.patterns(column())]
    low = catalogue.patterns(column(96.0, 24.0, (38.0, 96.0)))
    assert {pattern.height for pattern in low} == {24.0}


def test_only_what_is_wanted_is_hung() -> None:
    """No rods of classes that nobody needs."""
    patterns = catalogue_of({"medium_hang": 20}).patterns(column())
    assert all(p.measures.long == 0 and p.measures.short == 0 for p in patterns)
    assert labels(patterns) == labels(catalogue_of({"medium_hang": 5}).patterns(column()))


def test_rods_ask_for_wider_bays_than_shelves() -> None:
    """12 in for shelves, 18 in for clothes, or the least width of any bay if that is more."""
    for least, width in ((12.0, 18.0), (20.0, 20.0)):
        catalogue = catalogue_of(EVERYTHING, construction={"min_bay_width": least})
        for pattern in catalogue.patterns(column()):
            assert pattern.min_width == (width if _rods(pattern) else least)


def test_room_line_is_one_for_all_walls() -> None:
    """A window wall between two plain ones: the line is the plain ones'."""
    window = {"wall": "B", "start": 0, "width": 60, "bottom": 40, "height": 40, "kind": "window"}
    brief = brief_of([80, 60, 80], {"shelf_length": 40}, room={"obstructions": [window]})
    assert surveyed_room(brief)[1].ladder.line == 84.0


@given(
    height=st.floats(20, 120),
    depth=st.floats(6, 30),
    blocks=st.lists(st.tuples(st.floats(0, 90), st.floats(1, 40)), max_size=3),
)
def test_every_pattern_fits_its_column_and_the_line(
    height: float, depth: float, blocks: list[tuple[float, float]]
) -> None:
    """Under the ceiling, in order, clear of every block, boards whole spacings under the line."""
    space = column(height, depth, *((low, low + size) for low, size in blocks))
    needs: dict[str, Any] = {**EVERYTHING, "hang_drop": {"short": 30}}
    for pattern in catalogue_of(needs).patterns(space):
        assert pattern.depth <= depth + 1e-6
        assert pattern.min_width <= pattern.max_width
        assert pattern.height == max(_tops(pattern))
        for top in _tops(pattern):
            assert ((84.0 - top) / 12.0) == pytest.approx(round((84.0 - top) / 12.0))
        floor = 0.0
        for zone in pattern.zones:
            low = zone.bottom - (0.75 if zone.kind is ZoneKind.SHELF else 0.0)
            assert low >= floor - 1e-6
            assert zone.bottom < zone.top <= height + 1e-6
            floor = zone.top
            if zone.kind is not ZoneKind.FLOOR:
                assert space.free(low, zone.top, zone.depth or 0.0), pattern.label


def _stack(bottoms: list[float], depth: float = 12.0) -> list[Zone]:
    return [Zone(kind=ZoneKind.SHELF, bottom=b, top=b + 4.0, depth=depth) for b in bottoms]


@pytest.mark.parametrize(
    ("bottoms", "told"),
    [
        ([4], "shelfx12@4"),
        ([4, 14], "shelf*2x12@4-14"),
        ([4, 14, 24, 34], "shelf*4x12@4-34"),
        # Counted down from a line: what is left over the lowest may be any.
        ([4, 47, 57, 67], "shelfx12@4+shelf*3x12@47-67"),
        ([4, 10, 16, 28, 40], "shelf*3x12@4-16+shelf*2x12@28-40"),
        ([4, 10, 22, 28], "shelfx12@4+shelfx12@10+shelf*2x12@22-28"),
    ],
)
def test_a_name_tells_every_shelf(bottoms: list[float], told: str) -> None:
    """Equally spaced ones by the lowest and the highest."""
    assert label_of(_stack(bottoms)) == told


@given(
    one=st.lists(st.sampled_from(range(4, 84, 10)), min_size=1, unique=True),
    other=st.lists(st.sampled_from(range(4, 84, 10)), min_size=1, unique=True),
)
def test_two_stacks_have_two_names(one: list[int], other: list[int]) -> None:
    """A catalogue holds patterns by name: of two with one name, one would be lost."""
    names = [label_of(_stack(sorted(map(float, bottoms)))) for bottoms in (one, other)]
    assert (names[0] == names[1]) == (sorted(one) == sorted(other))


def test_boots_and_a_tall_thing_have_stacks_of_their_own() -> None:
    """Four shelves either way, the lowest alike: wide apart for boots, or close over a tall box."""
    tall = {"id": "tall", "width": 13, "depth": 14, "height": 40.25, "place": "shelf"}
    stored = [{"kind": "boots", "count": 12}]
    needs = {"shelf_spacing": 10, "shelf_depth": 16, "stored": stored, "items": [tall]}
    four = [p for p in free_of(needs).patterns(column(78.75)) if len(p.boards) == 4]
    assert [_tops(pattern) for pattern in four] == [[3.5, 47, 57, 67], [3.5, 21.5, 39.5, 57.5]]
    assert {former_label_of(pattern.zones) for pattern in four} == {"shelf*4x16@3.5"}

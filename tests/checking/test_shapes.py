"""Intervals, rectangles and boxes."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from optimizer.checking.shapes import Box, Interval, Rect, gap_between, united, without

ENDS = st.integers(0, 20).map(float)
INTERVALS = st.tuples(ENDS, ENDS)


def covers(intervals: list[Interval], point: float) -> bool:
    """Whether a point lies inside one of the intervals."""
    return any(low < point < high for low, high in intervals)


@given(st.lists(INTERVALS, max_size=6))
def test_union_covers_the_same_points(intervals: list[Interval]) -> None:
    """Cell by cell; and the pieces are in order with room between them."""
    merged = united(intervals)
    cells = [cell + 0.5 for cell in range(20)]
    assert [covers(merged, cell) for cell in cells] == [covers(intervals, cell) for cell in cells]
    assert all(left[1] < right[0] for left, right in pairwise(merged))


@given(INTERVALS, st.lists(INTERVALS, max_size=6))
def test_cutting_holes_leaves_the_rest(whole: Interval, holes: list[Interval]) -> None:
    """A point is left exactly when it is in the whole and in no hole."""
    left = without(whole, holes)
    for cell in (cell + 0.5 for cell in range(20)):
        assert covers(left, cell) == (covers([whole], cell) and not covers(holes, cell))


def test_gap_is_negative_where_intervals_overlap() -> None:
    """Distance when apart, minus the common length when not."""
    assert gap_between((0, 4), (6, 9)) == 2
    assert gap_between((0, 4), (3, 9)) == -1
    assert gap_between((0, 9), (3, 4)) == -1
    assert gap_between((0, 4), (4, 9)) == 0


def test_boxes_are_as_far_apart_as_their_farthest_axis() -> None:
    """Chebyshev distance: past one axis they are apart, whatever the others do."""
    box = Box(Rect((0, 10), (0, 10)), (0, 10))
    assert box.gap(Box(Rect((13, 20), (12, 20)), (0, 10))) == 3
    assert box.gap(Box(Rect((9, 20), (0, 10)), (11, 12))) == 1
    assert box.gap(Box(Rect((9, 20), (8, 20)), (7, 12))) == -1


def test_rectangles_overlap_by_more_than_the_tolerance_both_ways() -> None:
    """A shared edge is no overlap; neither is a sliver along one axis."""
    rect = Rect((0, 10), (0, 10))
    assert rect.overlaps(Rect((9, 12), (9, 12)), 0.5)
    assert not rect.overlaps(Rect((9.6, 12), (0, 10)), 0.5)
    assert not rect.overlaps(Rect((10, 12), (0, 10)), 0.0)


def test_rectangle_shrunk_to_nothing_is_empty() -> None:
    """An inset of half the width leaves no area."""
    assert Rect((0, 2), (0, 8)).shape(0.5).area == 7
    assert Rect((0, 2), (0, 8)).shape(1.0).is_empty

"""Diminishing returns: concave, continuous, and worth what the segments say."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.scoring.utility import floor_segments, need_segments, utility

amounts = st.floats(0, 500)


def test_needed_useful_and_surplus() -> None:
    """What is needed counts in full, half as much again at 0.3, the rest at 0.1."""
    segments = need_segments(40.0)
    assert utility(40.0, segments) == 40.0
    assert utility(60.0, segments) == pytest.approx(46.0)
    assert utility(100.0, segments) == pytest.approx(50.0)


def test_what_nobody_needs_is_surplus() -> None:
    """Without a need all of it counts a tenth."""
    assert utility(50.0, need_segments(0.0)) == pytest.approx(5.0)


def test_open_floor_counts_a_quarter_beyond_its_length() -> None:
    """36 in in full, 20 in more at a quarter."""
    assert utility(56.0, floor_segments(36.0)) == pytest.approx(41.0)


@given(amounts, amounts, st.floats(0, 1), st.floats(0, 200))
def test_utility_is_concave_and_rises(a: float, b: float, share: float, need: float) -> None:
    """A mixture is worth at least the mixed worths, and more is never worth less."""
    for segments in (need_segments(need), floor_segments(need)):
        mixed = utility(share * a + (1 - share) * b, segments)
        apart = share * utility(a, segments) + (1 - share) * utility(b, segments)
        assert mixed >= apart - 1e-9
        assert utility(a + b, segments) >= utility(a, segments) - 1e-9

"""The scale of text elevations."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.printing.scale import MAX_ROWS, Scale, row_step, scales
from optimizer.units import Units


@pytest.mark.parametrize(
    ("height", "units", "step"),
    [(96, Units.INCH, 4), (108, Units.INCH, 5), (2440, Units.MILLIMETRE, 100), (20, Units.INCH, 1)],
)
def test_rows_are_round_heights(height: float, units: Units, step: float) -> None:
    """A row stands for the least round height that keeps the drawing short."""
    assert row_step(height, units) == step


def test_short_walls_are_drawn_once_and_stretched_by_a_half() -> None:
    """Where the line allows it a column stands for a third of a row's height."""
    drawn = scales(72, 96, Units.INCH, 89, [])
    assert [(s.left, s.right, s.per_row) for s in drawn] == [(0, 72, 4)]
    assert drawn[0].per_column == pytest.approx(4 / 3)


def test_long_walls_are_cut_at_an_upright() -> None:
    """A 40 ft wall takes two drawings, parted at the upright nearest to the middle."""
    drawn = scales(480, 96, Units.INCH, 89, [100, 236, 300])
    assert [(s.left, s.right) for s in drawn] == [(0, 236), (236, 480)]


def test_ticks_are_round_and_apart() -> None:
    """Ticks come every foot where a foot takes the characters asked for, else rarer."""
    scale = Scale(Units.INCH, 0, 72, 4 / 3, 4, 96)
    assert scale.ticks(36, 4 / 3, 7) == [0, 12, 24, 36]
    assert scale.ticks(96, 4, 5) == [0, 24, 48, 72, 96]


@given(
    length=st.floats(min_value=4, max_value=1200),
    height=st.floats(min_value=20, max_value=240),
    columns=st.integers(min_value=49, max_value=140),
    share=st.lists(st.floats(min_value=0, max_value=1), max_size=6),
)
def test_every_wall_fits_its_lines(
    length: float, height: float, columns: int, share: list[float]
) -> None:
    """Whatever the wall, pieces join up without a gap and none is wider than the line."""
    drawn = scales(length, height, Units.INCH, columns, [s * length for s in share])
    assert drawn[0].left == 0
    assert drawn[-1].right == length
    assert [s.right for s in drawn[:-1]] == [s.left for s in drawn[1:]]
    assert max(s.columns for s in drawn) <= columns
    assert max(s.rows for s in drawn) <= MAX_ROWS

"""Dimension chains add up, whatever the lengths, and crowded figures make room for each other."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from optimizer.drawing.ink.chains import links_of, spread, whole_text
from optimizer.lengths import parse_length
from optimizer.units import Units

UNITS = st.sampled_from(Units)


@given(
    units=UNITS,
    lengths=st.lists(st.floats(0.001, 400, allow_nan=False), min_size=1, max_size=40),
)
def test_figures_add_up_to_the_whole(units: Units, lengths: list[float]) -> None:
    """The sum of the rounded figures is the rounded whole, for lengths off the grid too."""
    points = [0.0]
    for length in lengths:
        points.append(points[-1] + length)
    links = links_of(points, units)
    shown = sum(parse_length(link.text, units) for link in links)
    assert round(shown / units.grid) == round(points[-1] / units.grid)


@given(
    units=UNITS,
    points=st.lists(st.floats(0, 4000, allow_nan=False), min_size=2, max_size=40, unique=True),
)
def test_links_run_from_end_to_end_without_a_gap(units: Units, points: list[float]) -> None:
    """Links are contiguous and reach from the first point to the last."""
    links = links_of(sorted(points), units)
    if not links:
        assert round(max(points) / units.grid) == round(min(points) / units.grid)
        return
    assert links[0].start == min(points)
    assert links[-1].end == max(points)
    assert all(a.end == b.start for a, b in pairwise(links))


@given(
    wanted=st.lists(st.floats(-1000, 1000, allow_nan=False), max_size=30),
    pitch=st.floats(0.1, 50),
)
def test_spread_keeps_the_distance_and_the_order(wanted: list[float], pitch: float) -> None:
    """Neighbours end at least a pitch apart, in the order they came in."""
    places = spread(sorted(wanted), pitch)
    assert len(places) == len(wanted)
    assert all(b - a >= pitch - 1e-6 for a, b in pairwise(places))


def test_spread_leaves_alone_what_does_not_touch() -> None:
    """Places that are far enough apart stay; a pair that touches gives way evenly."""
    assert spread([0, 10, 20], 5) == [0, 10, 20]
    assert spread([0, 10, 11], 5) == [0, 8, 13]


def test_the_whole_of_a_wall_is_given_in_inches_and_in_feet() -> None:
    """A wall reads 86-1/2" and 7' 2-1/2"; millimetres stand alone."""
    assert whole_text(86.5, Units.INCH) == '86-1/2" (7\' 2-1/2")'
    assert whole_text(9.5, Units.INCH) == '9-1/2"'
    assert whole_text(2197.0, Units.MILLIMETRE) == "2197"

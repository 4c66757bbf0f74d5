"""Walls in plan: closing, crossing, and going back and forth between frames."""

from __future__ import annotations

from typing import Any

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from optimizer.domain.room import Room
from optimizer.errors import BriefError
from optimizer.geometry.outline import Outline, examine, outline_of
from optimizer.units import Units


def room(*walls: float | tuple[float, ...] | tuple[Any, str], units: Units = Units.INCH) -> Room:
    """A room of these walls, named A, B, C...; a pair with a word sets the corner."""
    rows: list[dict[str, Any]] = []
    for letter, wall in zip("ABCDEFGHIJKL", walls, strict=False):
        if isinstance(wall, tuple) and isinstance(wall[-1], str):
            rows.append({"id": letter, "length": wall[0], "corner": wall[1]})
        else:
            rows.append({"id": letter, "length": wall})
    return Room.model_validate(
        {"ceiling_height": units.from_inch(96.0), "walls": rows}, context=units
    )


def outline(*walls: Any) -> Outline:
    """Outline in inches of a room of these walls."""
    return outline_of(room(*walls), Units.INCH)


def test_rectangle_closes_below_its_first_wall() -> None:
    """Four inside corners turn clockwise: the room is below wall 0 and its area is right."""
    box = outline(72, 24, 72, 24)
    assert box.closed
    assert box.polygon.bounds == (0.0, -24.0, 72.0, 0.0)
    assert box.polygon.area == 72.0 * 24.0
    assert [wall.origin for wall in box.walls] == [(0, 0), (72, 0), (72, -24), (0, -24)]
    assert [wall.normal for wall in box.walls] == [(0, -1), (-1, 0), (0, 1), (1, 0)]
    assert box.closing_gap == 0.0


def test_outside_corner_turns_left() -> None:
    """After an outside corner the walk goes left: back out of a leg of the room."""
    shape = outline(96, 60, 48, (36, "outside"), 48)
    assert [wall.direction for wall in shape.walls] == [(1, 0), (0, -1), (-1, 0), (0, 1), (-1, 0)]
    assert [wall.origin for wall in shape.walls][3:] == [(48, -60), (48, -24)]


def test_l_room_closes() -> None:
    """An L-shaped room of six walls with one outside corner, which is no inside corner."""
    shape = outline(96, 60, 48, (36, "outside"), 48, 24)
    assert shape.closed
    assert shape.polygon.area == 96 * 24 + 48 * 36
    assert shape.inside_corners() == ((0, 1), (1, 2), (2, 3), (4, 5), (5, 0))


@pytest.mark.parametrize("walls", [(72,), (72, 60), (40, 72, 40)])
def test_fewer_turns_are_an_open_run(walls: tuple[float, ...]) -> None:
    """One wall, an L and a U have no polygon and no corner after the last wall."""
    run = outline(*walls)
    assert not run.closed
    assert run.polygon is None
    assert run.inside_corners() == tuple((i, i + 1) for i in range(len(walls) - 1))


def test_least_reading_counts() -> None:
    """A wall read three times stands as long as its least reading."""
    assert outline((72.25, 72, 72.125)).walls[0].length == 72.0


def test_small_gap_is_closed_by_the_smaller_distance() -> None:
    """Off by 3/8 in: the longer of two facing walls gives way, and the gap is told."""
    for walls in ((72.375, 24, 72, 24), (72, 24, 72.375, 24)):
        shape = outline(*walls)
        assert shape.closed
        assert shape.closing_gap == 0.375
        assert [wall.length for wall in shape.walls] == [72, 24, 72, 24]
        assert shape.polygon.area == 72 * 24


def test_gap_of_half_an_inch_on_both_axes_still_closes() -> None:
    """1/2 in each way is the tolerance itself."""
    shape = outline(72.5, 24, 72, 24.5)
    assert shape.closed
    assert shape.closing_offsets == (-0.5, -0.5)
    assert [wall.length for wall in shape.walls] == [72, 24, 72, 24]


def test_gap_above_half_an_inch_is_a_fault_with_amount_and_walls() -> None:
    """Off by 3 in along A and C: the fault says so, and between which walls."""
    with pytest.raises(BriefError) as caught:
        outline(72, 24, 69, 24)
    (fault,) = caught.value.faults
    assert (fault.pointer, fault.code) == ("/room/walls", "room_not_closed")
    assert "3 in off along the walls A, C" in fault.detail
    assert "between the end of wall D and the start of wall A" in fault.detail


def test_gap_on_both_axes_names_both() -> None:
    """Two directions off give two amounts in one fault."""
    _, (fault,) = examine(room(72, 24, 70, 23), Units.INCH)
    assert "2 in off along the walls A, C" in fault.detail
    assert "1 in off along the walls B, D" in fault.detail


def test_millimetre_gap_uses_millimetres() -> None:
    """12 mm closes, 13 mm does not, and the fault speaks millimetres."""
    fine = room(1800, 600, 1812, 600, units=Units.MILLIMETRE)
    assert outline_of(fine, Units.MILLIMETRE).closed
    _, (fault,) = examine(room(1800, 600, 1813, 600, units=Units.MILLIMETRE), Units.MILLIMETRE)
    assert "13 mm off" in fault.detail


def test_wide_gap_is_a_way_in() -> None:
    """Four walls whose ends are 24 in or more apart are an open run."""
    assert not outline(60, 80, 60, 50).closed


def test_walls_that_cross_are_a_fault() -> None:
    """An open run that runs through its own first wall."""
    _, faults = examine(room(60, 40, 30, 80), Units.INCH)
    assert [(f.pointer, f.code) for f in faults] == [("/room/walls/3", "walls_cross")]
    assert "wall D crosses or touches wall A" in faults[0].detail


def test_closed_room_that_crosses_itself_is_a_fault() -> None:
    """A pier that runs out through the opposite wall: the lengths close, the walls cross."""
    walls = (100, 60, 40, (70, "outside"), (20, "outside"), 70, 40, 60)
    shape, faults = examine(room(*walls), Units.INCH)
    assert shape.closed
    assert [f.pointer for f in faults] == ["/room/walls/3", "/room/walls/5"]
    assert {f.code for f in faults} == {"walls_cross"}


def test_wall_too_short_to_give_way_is_no_closed_room() -> None:
    """A wall shorter than the gap cannot take it up; the fault says the room is not closed."""
    walls = (60, 40, 60.4, (39.9, "outside"), 0.3, 0.1)
    _, faults = examine(room(*walls), Units.INCH)
    assert [f.code for f in faults] == ["room_not_closed"]


sizes = st.integers(min_value=8, max_value=2000).map(lambda n: n / 16)


@given(sizes, sizes, st.integers(0, 3), sizes, sizes)
def test_frames_are_inverse(a: float, b: float, wall: int, along: float, out: float) -> None:
    """To plan and back gives the same point, on every wall."""
    shape = outline(a, b, a, b)
    assert shape.to_wall(wall, *shape.to_plan(wall, along, out)) == (along, out)


@given(sizes, sizes, st.integers(0, 3))
def test_box_of_a_whole_room_is_its_polygon(a: float, b: float, wall: int) -> None:
    """From every wall the box over its length and the room's depth is the room."""
    shape = outline(a, b, a, b)
    depth = b if wall % 2 == 0 else a
    assert shapely.equals(shape.box(wall, 0, shape.walls[wall].length, 0, depth), shape.polygon)


@given(sizes, sizes, st.floats(0, 0.5), st.integers(0, 3))
def test_closing_never_lengthens_a_wall(a: float, b: float, off: float, wall: int) -> None:
    """Whatever wall is off by up to 1/2 in, the closed room uses no more than was measured."""
    lengths = [a, b, a, b]
    lengths[wall] += off
    shape = outline(*lengths)
    assert shape.closed
    assert all(line.length <= length for line, length in zip(shape.walls, lengths, strict=True))
    assert shape.polygon.area == pytest.approx(a * b)

"""Hidden lines: what stands in front hides what is behind, and only that."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.drawing.layers import BOARD, ITEM, ROD
from optimizer.drawing.solids import Direction, Slant, Solid, visible_edges

FRONT_RIGHT = Direction(1, -1)


def cube(x: float, y: float, z: float, layer=BOARD, size: float = 1.0) -> Solid:
    """A cube with its least corner at a point."""
    return Solid((x, y, z), (x + size, y + size, z + size), layer)


def drawn(edges, layer) -> float:
    """Length of the edges of a layer."""
    return sum(math.dist(e.start, e.end) for e in edges if e.layer is layer)


@pytest.mark.parametrize("direction", [Direction(x, y) for x in (1, -1) for y in (1, -1)])
def test_a_lone_cube_shows_nine_edges_of_true_length(direction: Direction) -> None:
    """Three faces are seen; their nine edges each keep their length in isometric."""
    edges = visible_edges([cube(3, 4, 5)], direction)
    assert len(edges) == 9
    assert all(math.dist(e.start, e.end) == pytest.approx(1.0) for e in edges)


def test_a_cube_right_behind_another_is_hidden() -> None:
    """Seen along the diagonal, the cube behind disappears, the larger one in front is whole."""
    front, behind = cube(10, -12, 10, size=2.0), cube(0.5, -1.5, 0.5, ITEM)
    edges = visible_edges([behind, front], FRONT_RIGHT)
    assert drawn(edges, ITEM) == pytest.approx(0.0, abs=1e-3)
    assert drawn(edges, BOARD) == pytest.approx(18.0)


def test_order_of_listing_does_not_matter() -> None:
    """What is seen depends on where things stand, not on which comes first."""
    things = [cube(0, 0, 0), cube(2, -0.5, 0.3, ITEM), cube(-0.5, -3, 0.1, ROD)]
    one = visible_edges(things, FRONT_RIGHT)
    other = visible_edges(things[::-1], FRONT_RIGHT)
    for layer in (BOARD, ITEM, ROD):
        assert drawn(one, layer) == pytest.approx(drawn(other, layer))


def test_neighbours_that_touch_keep_their_common_edges() -> None:
    """Two cubes side by side: the shared face hides nothing of the outer edges."""
    edges = visible_edges([cube(0, 0, 0), cube(1, 0, 0, ITEM)], FRONT_RIGHT)
    assert drawn(edges, ITEM) == pytest.approx(9.0)
    assert drawn(edges, BOARD) >= 6.0


def test_an_undrawn_slab_hides_all_the_same() -> None:
    """A wall's slab is not drawn but covers what is behind it."""
    slab = Solid((5, -50, -50), (5.1, 50, 50), BOARD, drawn=False)
    edges = visible_edges([cube(0, 0, 0, ITEM), slab], FRONT_RIGHT)
    assert edges == []


def test_a_slanted_line_is_cut_where_a_box_stands_before_it() -> None:
    """Half of the line lies behind the box."""
    line = Slant((0, 0, 0), (0, -10, 3), ROD)
    whole = drawn(visible_edges([line], FRONT_RIGHT), ROD)
    box = Solid((1, -30, -30), (2, -6, 30), BOARD)
    left = drawn(visible_edges([line, box], FRONT_RIGHT), ROD)
    assert 0.0 < left < whole


@given(places=st.lists(st.tuples(*[st.integers(0, 4)] * 3), min_size=1, max_size=12, unique=True))
def test_hiding_never_adds_lines(places: list[tuple[int, int, int]]) -> None:
    """Of cubes on a grid no more is seen together than alone, and the foremost is whole."""
    cubes = [cube(2.0 * x, 2.0 * y, 2.0 * z) for x, y, z in places]
    together = visible_edges(cubes, FRONT_RIGHT)
    assert drawn(together, BOARD) <= 9.0 * len(cubes) + 1e-6
    foremost = max(cubes, key=lambda c: c.low[0] - c.low[1] + c.low[2])
    others = [c for c in cubes if c is not foremost]
    marked = Solid(foremost.low, foremost.high, ITEM)
    assert drawn(visible_edges([*others, marked], FRONT_RIGHT), ITEM) == pytest.approx(9.0)

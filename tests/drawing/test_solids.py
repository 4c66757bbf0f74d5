"""Hidden lines: what stands in front hides what is behind, and only that."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.drawing.ink.layers import BOARD, ITEM, ROD
from optimizer.drawing.ink.solids import Direction, Slant, Solid, Wedge, visible_edges

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


def wedge(layer=ITEM) -> Wedge:
    """A triangle under a board at z = 10: at the wall y = 0, 6 out to -y and 4 down."""
    faces = [((x, 0, 10), (x, -6, 10), (x, 0, 6)) for x in (0.0, 1.0)]
    return Wedge(faces[0], faces[1], layer)


def test_a_wedge_shows_the_edges_of_the_faces_that_look_here() -> None:
    """Seen from +x, -y and above: its face at x = 1, its top and its slanted side, all edges."""
    edges = visible_edges([wedge()], FRONT_RIGHT)
    slant = math.dist(FRONT_RIGHT.project((1, -6, 10)), FRONT_RIGHT.project((1, 0, 6)))
    lengths = [round(math.dist(e.start, e.end), 6) for e in edges]
    assert lengths.count(round(slant, 6)) >= 1
    assert len(edges) < 9


def test_a_wedge_and_its_board_hide_what_is_behind_them() -> None:
    """The board on it hides its top; it hides the wall's line behind it."""
    board = Solid((-20, -6, 10), (0.5, 0, 11), BOARD)
    alone = drawn(visible_edges([wedge()], FRONT_RIGHT), ITEM)
    under = drawn(visible_edges([wedge(), board], FRONT_RIGHT), ITEM)
    assert 0.0 < under < alone
    dashed = replace(wedge(), hidden=ROD)
    edges = visible_edges([dashed, board], FRONT_RIGHT)
    assert drawn(edges, ITEM) == pytest.approx(under)
    assert drawn(edges, ROD) == pytest.approx(alone - under, abs=1e-3)
    line = Slant((-3, 0.5, 8), (3, 0.5, 8), ROD)
    whole = drawn(visible_edges([line], FRONT_RIGHT), ROD)
    assert drawn(visible_edges([wedge(), line], FRONT_RIGHT), ROD) < whole


def test_a_box_that_is_not_opaque_hides_nothing() -> None:
    """An outline in the air: what is behind it stays."""
    front = Solid((10, -12, 10), (12, -10, 12), BOARD, opaque=False)
    behind = cube(0.5, -1.5, 0.5, ITEM)
    assert drawn(visible_edges([behind, front], FRONT_RIGHT), ITEM) == pytest.approx(9.0)

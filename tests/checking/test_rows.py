"""Things in the pieces of a row: the search against trying every way, and what it gives up."""

from __future__ import annotations

from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from optimizer.checking.rows import fit_between, pieces_between


def tried(widths: list[int], pieces: list[int], air: int) -> bool:
    """Whether any way of putting each thing into some piece leaves air around all of them."""
    for way in product(range(len(pieces)), repeat=len(widths)):
        held = [
            [w for w, place in zip(widths, way, strict=True) if place == p]
            for p in range(len(pieces))
        ]
        if all(
            sum(w) + (len(w) + 1) * air <= piece for w, piece in zip(held, pieces, strict=True) if w
        ):
            return True
    return False


@given(
    st.lists(st.integers(1, 12), max_size=6),
    st.lists(st.integers(0, 30), min_size=1, max_size=4),
    st.integers(0, 2),
)
def test_search_agrees_with_trying_every_way(
    widths: list[int], pieces: list[int], air: int
) -> None:
    """Exact both ways."""
    assert fit_between(widths, pieces, air) == tried(widths, pieces, air)


def test_what_first_fit_misses_is_found() -> None:
    """6 and 4 in one piece, 5 and 5 in the other: the widest first into any room does not do."""
    assert fit_between([6, 5, 5, 4], [10, 10], 0)
    assert not fit_between([6, 5, 5, 5], [10, 10], 0)


def test_endless_rows_are_given_up() -> None:
    """Sixty odd things that nearly fill thirteen odd pieces end, with an answer or without."""
    widths = [7.0 + (number * 7919 % 101) / 97 for number in range(60)]
    pieces = [sum(widths) / 13 + 0.01 * place for place in range(13)]
    fit_between(widths, pieces, 0.0)


def test_pieces_lie_between_ends_and_supports() -> None:
    """A support takes its thickness, half of it on each side of its middle."""
    assert pieces_between((10.0, 70.0), [50.0, 30.0], 1.0) == [19.5, 19.0, 19.5]
    assert pieces_between((0.0, 20.0), [], 1.0) == [20.0]
    assert pieces_between((0.0, 20.0), [25.0], 1.0) == [24.5, 0.0]

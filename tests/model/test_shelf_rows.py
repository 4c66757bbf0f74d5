"""Rows of counted things on shelves: what fits, like with like, as many as can be had."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from optimizer.model.mixed_shelves import packed
from optimizer.model.shelf_rows import Shelf, stow
from optimizer.reference.stored import Thing

EASY = 45.0


def _thing(kind: str, width: float, rows: int, clear: float = 6.0) -> Thing:
    return Thing(kind, rows, width, 12.0, clear + 0.75, clear, 1, "piece")


def _shelf(number: int, takes: set[int], *free: float, fine: bool = False) -> Shelf:
    return Shelf(0, number, 12.0 * number, frozenset(takes), fine, list(free))


def _rows(shelves: Sequence[Shelf], thing: int) -> int:
    return sum(shelf.rows.get(thing, 0) for shelf in shelves)


def test_like_stands_with_like() -> None:
    """Two kinds that fill a shelf each have one each, the pickier one where nothing else goes."""
    shelves = [_shelf(0, {0, 1}, 30.0), _shelf(1, {0}, 30.0)]
    things = [_thing("shoes", 10.0, 3), _thing("boots", 10.0, 3, clear=17.0)]
    assert stow(shelves, things, EASY)
    assert [shelf.rows for shelf in shelves] == [{1: 3}, {0: 3}]


def test_what_is_left_goes_beside_something_else() -> None:
    """A fourth pair beside two boots."""
    shelves = [_shelf(0, {0, 1}, 30.0), _shelf(1, {0}, 30.0)]
    things = [_thing("shoes", 10.0, 4), _thing("boots", 10.0, 2, clear=17.0)]
    assert stow(shelves, things, EASY)
    assert [shelf.rows for shelf in shelves] == [{1: 2, 0: 1}, {0: 3}]


def test_a_support_breaks_a_row() -> None:
    """Pieces of 15 and 31 in hold one and three rows of 9 in, not five."""
    shelves = [_shelf(0, {0}, 15.0, 31.0)]
    assert not stow(shelves, [_thing("shoes", 9.0, 5)], EASY)
    assert _rows(shelves, 0) == 4


def test_wished_shelves_are_left_free_where_they_are_asked_for() -> None:
    """Both shelves would do; with no shelf to spare the closer one is filled first."""
    shelves = [_shelf(0, {0}, 30.0), _shelf(1, {0}, 30.0, fine=True)]
    found = packed(shelves, [_thing("shoes", 10.0, 3)], 0.0)
    assert found is not None
    assert [shelf.rows for shelf in found] == [{}, {0: 3}]


PIECES = st.lists(st.sampled_from([8.0, 13.0, 20.0, 24.5]), min_size=1, max_size=2)
SHELVES = st.lists(st.tuples(st.sampled_from([{0}, {1}, {0, 1}]), PIECES), min_size=1, max_size=3)


@settings(max_examples=60, deadline=None)
@given(SHELVES, st.integers(1, 5), st.integers(1, 5))
def test_as_many_go_in_as_by_trying_everything(
    shelves: list[tuple[set[int], list[float]]], few: int, many: int
) -> None:
    """No more than fits, no more than there is, and by length the most that any choice gives."""
    things = [_thing("shoes", 8.0, few), _thing("boots", 12.0, many)]
    given_shelves = [_shelf(n, takes, *free) for n, (takes, free) in enumerate(shelves)]
    plain = [replace(shelf, free=list(shelf.free), rows={}) for shelf in given_shelves]
    stow(plain, things, EASY)
    best = packed(given_shelves, things, 1e6)
    assert best is not None or not any(_rows(plain, n) for n in (0, 1))
    for found in (plain, best or plain):
        assert _rows(found, 0) <= few
        assert _rows(found, 1) <= many
        for shelf, (takes, free) in zip(found, shelves, strict=True):
            assert set(shelf.rows) <= takes
            assert sum(things[n].width * r for n, r in shelf.rows.items()) <= sum(free)
    if best is not None:
        assert _length(best, things) >= _length(plain, things)
        assert _length(best, things) == _most(shelves, few, many)


def _length(shelves: Sequence[Shelf], things: Sequence[Thing]) -> float:
    return sum(things[n].width * _rows(shelves, n) for n in range(len(things)))


def _most(shelves: list[tuple[set[int], list[float]]], few: int, many: int) -> float:
    """Every way to fill every piece."""
    pieces = [(takes, piece) for takes, free in shelves for piece in free]
    choices = [
        [(a, b) for a in range(4) for b in range(3)
         if 8.0 * a + 12.0 * b <= piece and (0 in takes or not a) and (1 in takes or not b)]
        for takes, piece in pieces
    ]  # fmt: skip
    totals = (tuple(map(sum, zip(*chosen, strict=True))) for chosen in product(*choices))
    return max(8.0 * min(a, few) + 12.0 * min(b, many) for a, b in totals)

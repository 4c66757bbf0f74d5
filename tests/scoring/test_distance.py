"""The distance of layouts is a metric between 0 and 1."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.domain.layout import Bay, Layout
from optimizer.scoring.distance import Portrait, differences, distance, portrait_of, room_images
from tests.model.rooms import brief_of

BRIEF = brief_of(
    [100.0, 50.0],
    {
        "shelf_length": 10,
        "items": [
            {"id": "box", "width": 10, "depth": 10, "height": 10, "count": 3, "place": "any"},
            {"id": "case", "width": 12, "depth": 10, "height": 10},
        ],
    },
)
WALLS = ["A", "B"]
LENGTHS = {"A": 100.0, "B": 50.0}
KINDS = ("long", "shelves", "short+short", "shelves over floor")


@st.composite
def portraits(draw: Any) -> Portrait:
    """What some layout of the brief looks like."""
    widths = {}
    for wall, length in LENGTHS.items():
        shares = draw(st.lists(st.integers(0, 25), min_size=4, max_size=4))
        for kind, share in zip(KINDS, shares, strict=True):
            if share:
                widths[wall, kind] = length * share / 100
    places = {}
    for item, count in (("box", 3), ("case", 1)):
        left = count
        for wall in WALLS:
            for level in ("floor", "shelf"):
                number = draw(st.integers(0, left))
                left -= number
                if number:
                    places[item, wall, level] = number
    return Portrait(widths, places)


def _between(one: Portrait, other: Portrait) -> float:
    return distance(one, other, BRIEF, WALLS)


@given(portraits(), portraits(), portraits())
def test_distance_is_a_metric(a: Portrait, b: Portrait, c: Portrait) -> None:
    """0 for the same, symmetric, within 0 and 1, and no detour is shorter."""
    assert _between(a, a) == pytest.approx(0.0, abs=1e-12)
    assert _between(a, b) == pytest.approx(_between(b, a))
    assert -1e-12 <= _between(a, b) <= 1.0 + 1e-12
    assert _between(a, c) <= _between(a, b) + _between(b, c) + 1e-9


@given(portraits(), portraits())
def test_layouts_that_differ_are_apart(a: Portrait, b: Portrait) -> None:
    """Only what looks the same is at distance 0."""
    assert (_between(a, b) < 1e-9) == (a == b)


def test_distance_by_hand() -> None:
    """60 of 150 in change their kind and one of four pieces moves: 0.8 x 0.4 + 0.2 / 4."""
    one = Portrait({("A", "long"): 60.0}, {("box", "A", "floor"): 1})
    other = Portrait({("A", "shelves"): 60.0}, {("box", "B", "floor"): 1})
    assert _between(one, other) == pytest.approx(0.8 * 60 / 150 + 0.2 / 4)


def _bay(wall: str, start: float, width: float) -> Bay:
    zones = [{"kind": "shelf", "bottom": 12, "top": 40, "depth": 12, "items": ["box"]}]
    data = {"id": "x", "wall": wall, "start": start, "width": width, "depth": 12, "height": 12}
    return Bay.model_validate({**data, "pattern": "p", "zones": zones})


def test_order_along_a_wall_does_not_count() -> None:
    """Swapped and shifted bays make the same portrait; another wall another one."""
    one = portrait_of([_bay("A", 0.75, 20), _bay("A", 30, 24)])
    other = portrait_of([_bay("A", 10, 24), _bay("A", 60, 20)])
    assert one == other
    assert one != portrait_of([_bay("A", 10, 24), _bay("B", 5, 20)])


NICHE = brief_of([30.0, 100.0, 30.5], {"shelf_length": 10, "items": [BRIEF.needs.items[0]]})
ROUND = ["A", "B", "C"]


def _in_niche(one: Portrait, other: Portrait) -> float:
    return distance(one, other, NICHE, ROUND)


def test_mirror_image_is_the_same_layout() -> None:
    """Shelves left and clothes right, or the other way round: one idea, items and all."""
    one = Portrait(
        {("A", "shelves"): 15.0, ("B", "long"): 40.0, ("C", "short"): 30.5},
        {("box", "A", "floor"): 2},
    )
    other = Portrait(
        {("C", "shelves"): 15.25, ("B", "long"): 40.0, ("A", "short"): 30.0},
        {("box", "C", "floor"): 2},
    )
    assert _in_niche(one, other) == pytest.approx(0.0, abs=1e-12)


def test_walls_alike_count_with_their_mean() -> None:
    """All of a wall of 30 in, one of 30-1/2 alike, of 160-1/2 in all: 30.25 of it, three ways."""
    bare = Portrait({}, {})
    for full in (
        Portrait({("A", "long"): 30.0}, {}),
        Portrait({("C", "long"): 30.5}, {}),
    ):
        assert _in_niche(full, bare) == pytest.approx(0.8 * 30.25 / 160.5)
        assert _in_niche(bare, full) == pytest.approx(0.8 * 30.25 / 160.5)


def test_mirroring_only_what_is_on_the_sides_is_no_image() -> None:
    """An image mirrors everything: items left behind count as moved."""
    one = Portrait({("A", "shelves"): 15.0}, {("box", "A", "shelf"): 3})
    other = Portrait({("C", "shelves"): 15.25}, {("box", "A", "shelf"): 3})
    assert _in_niche(one, other) == pytest.approx(min(0.8 * 2 * 15.125 / 160.5, 0.2))


@st.composite
def in_niche(draw: Any) -> Portrait:
    """What some layout of the niche looks like."""
    widths = {}
    for wall, length in zip(ROUND, (30.0, 100.0, 30.5), strict=True):
        for kind, share in zip(KINDS, draw(st.lists(st.integers(0, 25), max_size=4)), strict=False):
            if share:
                widths[wall, kind] = length * share / 100
    places = {("box", wall, "floor"): draw(st.integers(0, 1)) for wall in ROUND}
    return Portrait(widths, {place: count for place, count in places.items() if count})


@given(in_niche(), in_niche(), in_niche())
def test_distance_in_a_symmetric_room_is_a_metric(a: Portrait, b: Portrait, c: Portrait) -> None:
    """Up to images: 0 for the same, symmetric, within 0 and 1, and no detour is shorter."""
    assert _in_niche(a, a) == pytest.approx(0.0, abs=1e-12)
    assert _in_niche(a, b) == pytest.approx(_in_niche(b, a))
    assert -1e-12 <= _in_niche(a, b) <= 1.0 + 1e-12
    assert _in_niche(a, c) <= _in_niche(a, b) + _in_niche(b, c) + 1e-9


@given(in_niche(), in_niche())
def test_images_are_equally_far_from_everything(a: Portrait, b: Portrait) -> None:
    """A layout and its mirror image have the same distance to any other."""
    for image in room_images(NICHE, ROUND).imaged(a):
        assert _in_niche(image, b) == pytest.approx(_in_niche(a, b))


def _hanging(*under: dict[str, Any]) -> Bay:
    rod = {"kind": "rod", "hang": "short", "rod_height": 68, "bottom": 31, "top": 71, "depth": 24}
    board = {"kind": "shelf", "bottom": 72, "top": 96, "depth": 12}
    data = {"id": "x", "wall": "A", "start": 1, "width": 30, "depth": 24, "height": 72}
    return Bay.model_validate({**data, "pattern": "p", "zones": [*under, rod, board]})


def test_what_is_under_a_rod_does_not_count() -> None:
    """Open floor, a low shelf or nothing under the clothes: one look."""
    floor = {"kind": "floor", "bottom": 0, "top": 30, "depth": 24}
    low = {"kind": "shelf", "bottom": 12, "top": 31, "depth": 12}
    looks = [portrait_of([bay]) for bay in (_hanging(), _hanging(floor), _hanging(low))]
    assert looks[0] == looks[1] == looks[2]
    assert looks[0].widths == {("A", "short"): 30.0}


def test_open_floor_under_shelves_counts() -> None:
    """Shelves over open floor look other than shelves all the way down."""
    floor = {"kind": "floor", "bottom": 0, "top": 11, "depth": 12}
    full = _bay("A", 1, 20)
    over = Bay.model_validate(
        {**full.model_dump(), "zones": [floor, *[z.model_dump() for z in full.zones]]}
    )
    assert portrait_of([full]).widths == {("A", "shelves"): 20.0}
    assert portrait_of([over]).widths == {("A", "shelves over floor"): 20.0}


def test_table_of_differences_knows_images() -> None:
    """The table of a study is symmetric, and 0 between a layout and its image."""
    left, right, bare = (
        Layout(bays=bays) for bays in ((_bay("A", 1, 20),), (_bay("C", 1, 20 * 30.5 / 30),), ())
    )
    table = differences((left, right, bare), NICHE, ROUND)
    assert table[0][1] == table[1][0] == pytest.approx(0.0, abs=1e-12)
    assert table[0][2] == table[2][0] > 0.0
    assert [table[k][k] for k in range(3)] == [0.0, 0.0, 0.0]


def test_a_portrait_says_on_which_wall_and_level_each_piece_stands() -> None:
    """Pieces alike on a floor are told from those on shelves, whatever shelf it is."""
    floor = {"kind": "floor", "bottom": 0, "top": 11, "depth": 12, "items": ["case"]}
    full = _bay("A", 1, 20).model_dump()
    upper = {**full["zones"][0], "bottom": 41, "top": 60, "items": ["box", "box"]}
    bay = Bay.model_validate({**full, "zones": [floor, *full["zones"], upper]})
    assert portrait_of([bay, _bay("B", 1, 20)]).places == {
        ("case", "A", "floor"): 1,
        ("box", "A", "shelf"): 3,
        ("box", "B", "shelf"): 1,
    }

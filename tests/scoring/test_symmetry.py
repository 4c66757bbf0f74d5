"""Which rooms map onto themselves, and how."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.briefs.reader import read_brief
from optimizer.scoring.symmetry import symmetries_of

Raw = dict[str, Any]
DOOR: Raw = {"start": 30, "width": 36, "height": 80}


def _maps(lengths: list[float], *openings: Raw, outside: str = "") -> tuple[tuple[int, ...], ...]:
    """Symmetries of a room of walls A, B, ...; those in `outside` end at an outside corner."""
    walls = [
        {"id": name, "length": length, "corner": "outside" if name in outside else "inside"}
        for name, length in zip("ABCDEFGH", lengths, strict=False)
    ]
    room = {"ceiling_height": 96, "walls": walls, "openings": list(openings)}
    return symmetries_of(read_brief({"room": room, "needs": {"shelf_length": 10}})[0])


SAME = (0, 1, 2, 3)
ACROSS = (2, 1, 0, 3)


def test_one_wall_has_no_image_but_itself() -> None:
    """Mirrored, a single wall falls on itself."""
    assert _maps([72]) == ((0,),)


def test_two_sides_of_a_niche() -> None:
    """An open run mirrors where its ends are alike, within an inch."""
    assert _maps([24, 72, 24.9]) == ((0, 1, 2), (2, 1, 0))
    assert _maps([24, 72, 25.1]) == ((0, 1, 2),)


def test_door_in_the_middle() -> None:
    """A closed room mirrors across its door."""
    assert _maps([84, 96, 84, 96], {"wall": "D", **DOOR}) == (SAME, ACROSS)


@pytest.mark.parametrize(("start", "mirrors"), [(30.5, True), (29.4, False), (31, False)])
def test_door_off_the_middle(start: float, mirrors: bool) -> None:
    """By how much the door's two places may differ: start and 96 - start - 36, an inch."""
    found = _maps([84, 96, 84, 96], {"wall": "D", **DOOR, "start": start})
    assert (ACROSS in found) == mirrors


def test_doors_in_both_ends_turn_too() -> None:
    """A passage falls on itself mirrored either way and turned round."""
    found = _maps([84, 96, 84, 96], {"wall": "D", **DOOR}, {"wall": "B", **DOOR})
    assert set(found) == {SAME, ACROSS, (0, 3, 2, 1), (2, 3, 0, 1)}
    assert found[0] == SAME


def test_corners_fall_on_corners() -> None:
    """A pier in the middle of the back wall mirrors; an L has no image."""
    pier = [40, 12, 16, 12, 40, 90, 96, 90]
    door = {"wall": "G", "start": 30, "width": 36}
    assert _maps(pier, door, outside="BC") == (
        (0, 1, 2, 3, 4, 5, 6, 7),
        (4, 3, 2, 1, 0, 7, 6, 5),
    )
    ell = [108, 96, 60, 36, 48, 60]
    assert _maps(ell, {"wall": "C", "start": 15, "width": 30}, outside="D") == (tuple(range(6)),)


def test_metric_slack_is_an_inch() -> None:
    """In millimetres lengths may differ by 25.4."""
    walls = [{"id": "A", "length": 600}, {"id": "B", "length": 1800}, {"id": "C", "length": 625}]
    data = {"units": "mm", "room": {"ceiling_height": 2400, "walls": walls}}
    brief, _ = read_brief({**data, "needs": {"shelf_length": 900}})
    assert symmetries_of(brief) == ((0, 1, 2), (2, 1, 0))

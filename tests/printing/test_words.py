"""Plain words for bays, zones, pieces and needs."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from optimizer.domain.layout import Bay, Zone, ZoneKind
from optimizer.domain.need_ids import NeedId
from optimizer.printing.words import (
    amount_words,
    clean,
    count_words,
    cut,
    describe_bay,
    describe_zone,
)
from optimizer.units import Units

LOW = {"kind": "rod", "hang": "short", "bottom": 3, "top": 43, "rod_height": 40}
HIGH = {"kind": "rod", "hang": "short", "bottom": 43, "top": 83, "rod_height": 80}
LONG = {"kind": "rod", "hang": "long", "bottom": 18, "top": 84, "rod_height": 81}
TOP = {"kind": "shelf", "bottom": 84, "top": 96}
FLOOR = {"kind": "floor", "bottom": 0, "top": 36}


def shelf(bottom: float) -> dict[str, Any]:
    """A shelf a foot below the next."""
    return {"kind": "shelf", "bottom": bottom, "top": bottom + 11.25}


@pytest.mark.parametrize(
    ("zones", "words"),
    [
        ([LOW, HIGH, TOP], "double short hang under a top shelf"),
        ([LONG, TOP], "long hang under a top shelf"),
        ([LONG], "long hang"),
        ([LOW, shelf(44), shelf(56), TOP], "short hang under 3 shelves"),
        ([shelf(12), shelf(24), HIGH, TOP], "short hang over 2 shelves, under a top shelf"),
        ([LOW, shelf(43), HIGH, TOP], "double short hang with a shelf between under a top shelf"),
        ([FLOOR, HIGH, TOP], "short hang over open floor, under a top shelf"),
        ([FLOOR, shelf(36), shelf(48), TOP], "3 shelves over open floor"),
        (
            [{**FLOOR, "items": ["trunk", "bin", "bin"]}, TOP],
            "a shelf over floor for trunk, bin x2",
        ),
        ([shelf(12)], "a shelf"),
        ([FLOOR], "open floor"),
        ([], "empty bay"),
    ],
)
def test_bays_are_described_from_their_zones(
    make_bay: Callable[..., dict[str, Any]], zones: list[dict[str, Any]], words: str
) -> None:
    """The words follow from the zones alone, top to bottom, the top shelf last."""
    bay = Bay.model_validate(make_bay(zones))
    assert describe_bay(bay) == words


def test_mixed_rods_are_told_apart(make_bay: Callable[..., dict[str, Any]]) -> None:
    """Two rods of different classes are no double hang."""
    medium = {"kind": "rod", "hang": "medium", "bottom": 43, "top": 97, "rod_height": 94}
    bay = Bay.model_validate(make_bay([LOW, medium]))
    assert describe_bay(bay) == "medium hang over short hang"


@pytest.mark.parametrize(
    ("zone", "words"),
    [
        (LOW, 'short hang, rod at 40", clothes down to 3"'),
        ({**TOP, "items": ["hat"]}, 'shelf at 84", 12" clear above: hat'),
        (FLOOR, 'floor, 36" clear'),
    ],
)
def test_zones_are_described_with_their_heights(zone: dict[str, Any], words: str) -> None:
    """Heights are above the floor, as a tape shows them."""
    assert describe_zone(Zone.model_validate(zone), Units.INCH) == words


def test_zones_of_millimetre_briefs_come_in_millimetres() -> None:
    """A metric height is a bare whole number."""
    zone = Zone(kind=ZoneKind.SHELF, bottom=2130, top=2438)
    assert describe_zone(zone, Units.MILLIMETRE) == "shelf at 2130, 308 clear above"


def test_control_characters_cannot_reach_the_terminal() -> None:
    """An escape sequence in a name is defused."""
    assert clean("a\x1b[2Jb\r\nc") == "a [2Jb  c"


@pytest.mark.parametrize(
    ("text", "width", "expected"),
    [("hamper", 6, "hamper"), ("hamper", 5, "hamp…"), ("two words", 5, "two…"), ("ab", 1, "")],
)
def test_cut_says_that_it_cut(text: str, width: int, expected: str) -> None:
    """Nothing is longer than asked, and a cut is marked."""
    assert cut(text, width) == expected


def test_pieces_are_counted_in_order_of_mention() -> None:
    """Equal pieces are counted, single ones just named."""
    assert count_words(["bin", "hamper", "bin"]) == "bin x2, hamper"


@pytest.mark.parametrize(
    ("need", "amount", "expected"),
    [("long_hang", 30.5, "2' 6-1/2\""), ("item:hamper", 2.0, "2")],
)
def test_lengths_and_counts_are_told_apart(need: str, amount: float, expected: str) -> None:
    """A hang need is a length; an item need a number of pieces."""
    assert amount_words(NeedId(need), amount, Units.INCH) == expected

"""Shelf for things that are counted: kinds, sizes, rows."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.domain.needs import Needs, Stored
from optimizer.reference.garments import HANDBOOKS
from optimizer.reference.stored import (
    STORED,
    counted,
    stored_allowance,
    stored_kinds,
    stored_text,
    thing_of,
    things_of,
)
from optimizer.units import Units

PANEL = 0.75


def test_kinds_are_found_however_they_are_written() -> None:
    """Case, number, apostrophes and other names do not matter."""
    for kind in ("shoes", "Shoe", "SHOES", "shoe"):
        assert stored_allowance(kind) is stored_allowance("shoes")
    assert stored_allowance("womens shoes") is stored_allowance("women's shoes")
    assert stored_allowance("folded clothes") is stored_allowance("folded")
    assert stored_allowance("tins") is stored_allowance("cans")
    assert stored_allowance("anvils") is None
    assert len(set(stored_kinds())) == len(STORED)


def test_sizes_lie_in_the_ranges_of_their_sources() -> None:
    """Shoes 6-8 in apart and 12-14 deep, folded clothes 8-12 apart and 12-16 deep, linen 16."""
    shoes, folded = stored_allowance("shoes"), stored_allowance("folded")
    bedding = stored_allowance("bedding")
    assert shoes and 6 <= shoes.pitch <= 8 and 12 <= shoes.depth <= 14
    assert folded and 8 <= folded.pitch <= 12 and 12 <= folded.depth <= 16
    assert bedding and bedding.depth == 16
    assert {line.kind for line in STORED if line.source == HANDBOOKS} == {
        "folded", "sweaters", "bedding",
    }  # fmt: skip


def test_forty_pairs_take_thirty_feet_seven_inches_apart() -> None:
    """One row a pair, the clear height being what the pitch leaves over the board."""
    shoes = thing_of(Stored(kind="shoes", count=40), PANEL, Units.INCH)
    assert (shoes.rows, shoes.length, shoes.clear) == (40, 360.0, 6.25)
    assert shoes.name == "stored:shoes"


def test_what_is_stacked_shares_a_row() -> None:
    """Nine folded in stacks of four: three stacks, of which the last is short."""
    folded = thing_of(Stored(kind="folded", count=9), PANEL, Units.INCH)
    assert (folded.rows, folded.length) == (3, 36.0)
    assert [folded.held(rows) for rows in (0, 1, 2, 3, 4)] == [0, 4, 8, 9, 9]


def test_own_sizes_come_before_the_table() -> None:
    """Any of them alone; all of them make a kind of one's own."""
    wide = thing_of(Stored(kind="shoes", count=2, width=10.5), PANEL, Units.INCH)
    assert (wide.width, wide.depth, wide.pitch) == (10.5, 12.0, 7.0)
    own = Stored(kind="records", count=200, width=0.25, depth=13, pitch=14, together=1)
    assert thing_of(own, PANEL, Units.INCH).length == 50.0
    with pytest.raises(KeyError):
        thing_of(Stored(kind="records", count=2, width=1), PANEL, Units.INCH)


def test_metric_sizes_are_round() -> None:
    """25 mm to an inch of the table, so that a foot is 300 mm."""
    needs = Needs(stored=(Stored(kind="shoes", count=2), Stored(kind="sweaters", count=1)))
    shoes, sweaters = things_of(needs, 18.0, Units.MILLIMETRE)
    assert (shoes.width, shoes.depth, shoes.pitch, shoes.clear) == (225.0, 300.0, 175.0, 157.0)
    assert sweaters.pitch == 300.0


def test_counts_in_words() -> None:
    """Pairs, sets, and plain numbers."""
    assert counted("pair", 1) == "1 pair"
    assert counted("piece", 3) == "3"
    assert stored_text("shoes", 4) == "shoes, 4 pairs"
    assert stored_text("records", 4) == "records, 4"


@given(st.sampled_from(stored_kinds()), st.integers(1, 2000))
def test_rows_are_enough_and_no_more(kind: str, count: int) -> None:
    """All go into the rows; one row less leaves some out."""
    thing = thing_of(Stored(kind=kind, count=count), PANEL, Units.INCH)
    assert thing.held(thing.rows) == count
    assert thing.held(thing.rows - 1) < count

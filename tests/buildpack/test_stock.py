"""Parts and stock handed to the layout of sheets and sticks."""

from __future__ import annotations

import pytest

from optimizer.domain.pack import Stock
from optimizer.domain.sheets import SheetPart, StickPart, StockSheet
from optimizer.errors import BuildError
from optimizer.reference.prices import OffcutOnHand, SheetPrice, invented_prices
from optimizer.stocking.stock import (
    refuse_oversize,
    rod_sticks,
    sheet_parts,
    stick_parts,
    stock_sheets,
    strip_sticks,
)
from tests.buildpack.samples import metric, reach_in, reach_in_brief
from tests.packs import parts_of


def test_sheet_and_stick_parts_hold_every_part_once() -> None:
    """12 panels, 27 cleats and a rod of the reach-in, with their sizes."""
    parts = parts_of(*reach_in())
    panels = sheet_parts(parts)
    assert len(panels) == 12
    assert panels[0] == SheetPart(id="B-U1", length=81.75, width=14)
    assert len(stick_parts(parts, Stock.STRIP)) == 27
    assert stick_parts(parts, Stock.ROD) == (StickPart(id="B1-R1", length=34.375),)


def test_grain_keeps_panels_from_turning() -> None:
    """With grain lengthwise no panel may turn."""
    parts = parts_of(reach_in_brief(grain="length"), reach_in()[1])
    assert {panel.can_turn for panel in sheet_parts(parts)} == {False}


def test_sheets_to_be_had() -> None:
    """The brief's size at its price, a size of the book beside it, offcuts on hand for nothing."""
    brief = reach_in_brief()
    book = invented_prices()
    big = SheetPrice(material="mdf", thickness=0.75, price=61, per="sheet", size=(97, 49))
    left = OffcutOnHand(material="mdf", thickness=0.75, size=(40, 24), count=2)
    other = OffcutOnHand(material="plywood", thickness=0.75, size=(40, 24))
    fuller = book.model_copy(update={"sheet": (*book.sheet, big), "offcut": (left, other)})
    assert stock_sheets(brief, fuller) == (
        StockSheet(width=96, height=48, price=57.6, name='mdf sheet 96" x 48"'),
        StockSheet(width=97, height=49, price=61, name='mdf sheet 97" x 49"'),
        StockSheet(width=40, height=24, count=2, price=0, offcut=True, name='mdf offcut 40" x 24"'),
    )


def test_a_size_of_the_book_equal_to_the_briefs_is_not_offered_twice() -> None:
    """A price per sheet of 96 x 48 is the price of the brief's sheet."""
    book = invented_prices()
    own = SheetPrice(material="mdf", thickness=0.75, price=55, per="sheet", size=(96, 48))
    sheets = stock_sheets(reach_in_brief(), book.model_copy(update={"sheet": (own, *book.sheet)}))
    assert [(sheet.width, sheet.price) for sheet in sheets] == [(96, 55)]


def test_sticks_in_the_units_of_the_brief() -> None:
    """Strips of 8 ft at 4.40; rods of 6, 8 and 12 ft; in millimetre briefs 2440 long."""
    brief, book = reach_in_brief(), invented_prices()
    assert [(s.length, s.price) for s in strip_sticks(brief, book)] == [(96, 4.4)]
    assert [(s.length, s.price) for s in rod_sticks(brief, book)] == [
        (72, 11.4),
        (96, 15.2),
        (144, 22.8),
    ]
    assert [s.length for s in strip_sticks(metric()[0], book)] == [2440]


@pytest.mark.parametrize(
    ("construction", "named"),
    [
        ({"sheet": [80, 48]}, 'part B-U1 is 81-3/4" x 14": larger than any stock'),
        ({"sheet": [96, 13]}, 'part B-U1 is 81-3/4" x 14"'),
        ({"sheet": [82, 48], "edge_trim": 0.25}, "part B-U1"),
        ({"strip_lengths": [30]}, 'part B1-K1 is 34-7/16" long: the longest strip is 30"'),
        ({"rod_lengths": [24, 34]}, 'part B1-R1 is 34-3/8" long: the longest rod is 34"'),
    ],
)
def test_a_part_larger_than_any_stock_is_named(construction: dict[str, object], named: str) -> None:
    """BuildError with the part, its size and what is to be had."""
    brief = reach_in_brief(**construction)
    parts = parts_of(brief, reach_in()[1])
    with pytest.raises(BuildError) as caught:
        refuse_oversize(brief, parts, invented_prices())
    assert named in str(caught.value)


def test_a_part_may_turn_unless_the_grain_forbids() -> None:
    """On sheets of 48 x 96 an upright of 81-3/4 lies across; with grain it does not fit."""
    _, layout = reach_in()
    brief = reach_in_brief(sheet=[48, 96])
    refuse_oversize(brief, parts_of(brief, layout), invented_prices())
    grained = reach_in_brief(sheet=[48, 96], grain="length")
    with pytest.raises(BuildError):
        refuse_oversize(grained, parts_of(grained, layout), invented_prices())

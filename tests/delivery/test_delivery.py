"""From layout to delivery: everything is cut from something, and faults stop it early."""

from __future__ import annotations

from collections import Counter

import pytest

from optimizer.delivery import build_pack
from optimizer.domain.pack import Stock
from optimizer.errors import BuildError, CheckFailedError
from optimizer.parts.triangles import PAIRED
from optimizer.reference.prices import PriceBook, QuoteRates, invented_prices
from tests.delivery.conftest import delivery_of
from tests.drawing.samples import reach_in, sample, single_bay


def test_every_part_is_cut_from_a_sheet_a_strip_or_a_rod(name: str) -> None:
    """Each piece of each part lies on just one sheet or stick of its own stock."""
    delivery = delivery_of(name)
    plan = delivery.plan
    placed = {
        Stock.SHEET: [p.part for s in (plan.sheets.sheets if plan.sheets else ()) for p in s.parts],
        Stock.STRIP: [p.part for s in (plan.strips.sticks if plan.strips else ()) for p in s.parts],
        Stock.ROD: [p.part for s in (plan.rods.sticks if plan.rods else ()) for p in s.parts],
    }
    placed[Stock.SHEET] = [one for ids in placed[Stock.SHEET] for one in ids.split(PAIRED)]
    for stock, ids in placed.items():
        wanted = {part.id: part.count for part in delivery.pack.parts if part.stock is stock}
        assert Counter(ids) == wanted


def test_the_shopping_list_buys_what_the_layouts_use(name: str) -> None:
    """So many sheets as were laid out, none of them estimated."""
    delivery = delivery_of(name)
    assert delivery.plan.sheets is not None
    bought = sum(line.quantity for line in delivery.pack.shopping if line.section == "sheet")
    assert bought == delivery.plan.sheets.bought
    assert not any("estimated" in line.note for line in delivery.pack.shopping)


def test_drawings_carry_the_date_and_every_wall_used(name: str) -> None:
    """Plan, elevations, isometric; then sheets and sticks."""
    delivery = delivery_of(name)
    walls = {bay.wall for bay in delivery.layout.bays}
    titles = [drawing.title for drawing in delivery.room_drawings]
    assert titles[0] == "Plan"
    assert titles[-1] == "Isometric view"
    assert len(titles) == len(walls) + 2
    assert len(delivery.sheet_drawings) == len(delivery.plan.sheets.sheets)
    assert len({drawing.name for drawing in delivery.drawings}) == len(delivery.drawings)


def test_a_layout_that_breaks_a_rule_is_not_built() -> None:
    """A bay that runs through its neighbour: the checker's findings come as the error."""
    brief, layout = reach_in()
    wide = layout.bays[0].model_copy(update={"width": 47.0})
    with pytest.raises(CheckFailedError, match="B1"):
        build_pack(brief, layout.model_copy(update={"bays": (wide, layout.bays[1])}))


def test_a_part_longer_than_any_stock_is_named() -> None:
    """Sheets of 60 in cannot give uprights of 66 in."""
    brief, layout = single_bay()
    small = brief.construction.model_copy(update={"sheet": (60.0, 48.0)})
    short = brief.model_copy(update={"construction": small})
    book = invented_prices()
    only = book.model_copy(
        update={"sheet": tuple(line for line in book.sheet if line.size is None)}
    )
    with pytest.raises(BuildError, match="A-U1"):
        build_pack(short, layout, book=only)


def test_an_unknown_price_is_named() -> None:
    """A book without sheets of the material says which part it lacks a price for."""
    brief, layout = single_bay()
    bare: PriceBook = invented_prices().model_copy(update={"sheet": ()})
    with pytest.raises(BuildError, match="mdf"):
        build_pack(brief, layout, book=bare)


def test_rates_of_the_quote_replace_those_of_the_book() -> None:
    """Margin and tax raise the total as they say."""
    brief, layout = single_bay()
    rates = QuoteRates(labour_rate=50.0, margin=0.1, tax=0.2)
    quote = build_pack(brief, layout, rates=rates).pack.quote
    before = quote.materials + quote.labour
    assert quote.labour == pytest.approx(50.0 * quote.hours, abs=0.01)
    assert quote.total == pytest.approx(before * 1.1 * 1.2, abs=0.03)


def test_a_layout_without_bays_is_refused() -> None:
    """There is nothing to build."""
    brief, _ = single_bay()
    _, empty = sample({"room": {"ceiling_height": 9, "walls": [{"id": "A", "length": 9}]},
                       "needs": {"shelf_length": 1}}, [])  # fmt: skip
    with pytest.raises(BuildError, match="no bays"):
        build_pack(brief, empty)

"""Layouts of random part lists hold what they promise; small ones are proved by force."""

from __future__ import annotations

import math
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from optimizer.domain.sheets import SheetPart, StickPart, StockSheet, StockStick
from optimizer.nesting import cut_sticks, nest
from optimizer.nesting.sheets import FirstCut
from optimizer.units import Units
from tests.nesting.lists import fewest_bins, fewest_cut
from tests.nesting.validator import check_nesting, check_sticks

sixteenths = st.integers(min_value=16, max_value=40 * 16).map(lambda n: n / 16)
tenths = st.integers(min_value=300, max_value=9000).map(lambda n: n / 10)
kerfs = st.sampled_from([0.0, 0.0625, 0.09375, 0.125])
WAYS: tuple[FirstCut, ...] = ("along", "across", "either")
trims = st.sampled_from([0.0, 0.0625, 0.25, 0.5])


def part_lists(lengths: st.SearchStrategy[float], most: int) -> st.SearchStrategy[list[SheetPart]]:
    """Lists of parts, some of them allowed to turn."""
    row = st.tuples(lengths, lengths, st.integers(1, 4), st.booleans())
    return st.lists(row, min_size=1, max_size=most).map(
        lambda rows: [
            SheetPart(id=f"p{i}", length=a, width=b, count=n, can_turn=turn)
            for i, (a, b, n, turn) in enumerate(rows, start=1)
        ]
    )


@settings(max_examples=60, deadline=None)
@given(part_lists(sixteenths, most=10), kerfs, trims, st.booleans())
def test_layouts_in_inches(parts: list[SheetPart], kerf: float, trim: float, trimmed: bool) -> None:
    """No overlap, cuts from edge to edge, exact areas, at most one sheet over the bound."""
    stock = [StockSheet(width=97, height=49)]
    result = nest(parts, stock, kerf=kerf, trim=trim, trimmed=trimmed)
    check_nesting(result, parts, stock)
    usable = Fraction((97 - 2 * trim) * (49 - 2 * trim))
    needed = sum(Fraction(p.length) * Fraction(p.width) * p.count for p in parts)
    assert math.ceil(needed / usable) <= result.bought <= result.lower_bound + 1


@settings(max_examples=30, deadline=None)
@given(
    part_lists(tenths, most=8),
    st.sampled_from([0, 2.8, 3, 3.2]),
    st.integers(0, 3),
    st.integers(1, 40),
)
def test_layouts_from_several_sizes(
    parts: list[SheetPart], kerf: float, offcuts: int, half_price: int
) -> None:
    """Millimetres, two sizes to buy with prices, offcuts on hand: never more than there is."""
    stock = [
        StockSheet(width=2440, height=1220, price=60, name="full"),
        StockSheet(width=1220, height=1220, price=half_price, name="half"),
        StockSheet(width=1500, height=400, count=offcuts, offcut=True, name="left"),
    ]
    result = nest(parts, stock, kerf=kerf, trim=5, units=Units.MILLIMETRE)
    check_nesting(result, parts, stock)
    paid = sum(layout.stock.price or 0 for layout in result.sheets if not layout.stock.offcut)
    assert math.isclose(result.cost, paid, rel_tol=1e-9, abs_tol=1e-9)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.integers(4, 30), st.integers(4, 20)), min_size=1, max_size=6),
    st.integers(0, 2),
    st.sampled_from(WAYS),
)
def test_no_fewer_sheets_exist(pieces: list[tuple[int, int]], kerf: int, way: FirstCut) -> None:
    """The proved number is that of trying every way to form strips and fill sheets."""
    parts = [
        SheetPart(id=f"p{i}", length=w, width=h, can_turn=False)
        for i, (w, h) in enumerate(pieces, start=1)
    ]
    stock = [StockSheet(width=40, height=25)]
    result = nest(parts, stock, kerf=kerf, units=Units.MILLIMETRE, first_cut=way)
    check_nesting(result, parts, stock)
    fewest = fewest_cut(pieces, (40, 25), kerf, way)
    assert (result.bought, result.lower_bound, result.proved) == (fewest, fewest, True)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.integers(4, 24), st.integers(4, 24)), min_size=1, max_size=4),
    st.integers(0, 2),
    st.sampled_from(WAYS),
)
def test_no_fewer_sheets_exist_when_turning(
    pieces: list[tuple[int, int]], kerf: int, way: FirstCut
) -> None:
    """The same with every choice of turned parts tried."""
    parts = [SheetPart(id=f"p{i}", length=w, width=h) for i, (w, h) in enumerate(pieces, start=1)]
    stock = [StockSheet(width=40, height=25)]
    result = nest(parts, stock, kerf=kerf, units=Units.MILLIMETRE, first_cut=way)
    check_nesting(result, parts, stock)
    fewest = min(
        fewest_cut(
            [(h, w) if mask >> i & 1 else (w, h) for i, (w, h) in enumerate(pieces)],
            (40, 25),
            kerf,
            way,
        )
        for mask in range(2 ** len(pieces))
    )
    assert (result.bought, result.lower_bound) == (fewest, fewest)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.integers(5, 60), min_size=1, max_size=8), st.integers(0, 3))
def test_no_fewer_sticks_exist(lengths: list[int], kerf: int) -> None:
    """Sticks: the proved number is that of trying every way."""
    parts = [StickPart(id=f"p{i}", length=n) for i, n in enumerate(lengths, start=1)]
    stock = [StockStick(length=72)]
    result = cut_sticks(parts, stock, kerf=kerf, units=Units.MILLIMETRE)
    check_sticks(result, parts, stock)
    fewest = fewest_bins([n + kerf for n in lengths], 72 + kerf)
    assert (result.bought, result.lower_bound, result.proved) == (fewest, fewest, True)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(sixteenths, st.integers(1, 9)), min_size=1, max_size=8),
    kerfs,
    st.integers(0, 4),
)
def test_sticks_of_several_lengths(
    rows: list[tuple[float, int]], kerf: float, on_hand: int
) -> None:
    """Two lengths to buy and pieces on hand: lengths add up, nothing is used twice."""
    parts = [StickPart(id=f"p{i}", length=a, count=n) for i, (a, n) in enumerate(rows, start=1)]
    stock = [
        StockStick(length=96),
        StockStick(length=144),
        StockStick(length=41, count=on_hand, offcut=True),
    ]
    result = cut_sticks(parts, stock, kerf=kerf)
    check_sticks(result, parts, stock)
    assert sum(stick.stock.offcut for stick in result.sticks) <= on_hand

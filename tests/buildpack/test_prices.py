"""The price book: what it says, how it is read, and how it refuses."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimizer.domain.construction import Material, RodStock
from optimizer.errors import BuildError, PriceBookError
from optimizer.reference.prices import (
    PriceBook,
    invented_prices,
    load_price_book,
    parse_price_book,
)

_SHIPPED = Path(__file__).parents[2] / "optimizer" / "reference" / "prices.toml"


def _shipped() -> str:
    return _SHIPPED.read_text(encoding="utf-8")


def _faults(text: str) -> list[tuple[str, str]]:
    with pytest.raises(PriceBookError) as caught:
        parse_price_book(text)
    return [(fault.pointer, fault.code) for fault in caught.value.faults]


def test_the_shipped_book_says_that_it_is_invented() -> None:
    """In the data and at the top of the file, and it names no currency."""
    book = invented_prices()
    assert "Invented" in book.about.note
    assert book.about.currency == ""
    assert "EVERY PRICE AND TIME IN THIS FILE IS INVENTED" in _shipped()


def test_the_shipped_book_prices_every_material_and_rod() -> None:
    """3/4 in and 18 mm of each material, and both rods."""
    book = invented_prices()
    for material in Material:
        for thickness in (0.75, 18 / 25.4):
            assert book.sheet_rate(material, thickness, "x") > 0
    assert {line.stock for line in book.rod} == set(RodStock)


def test_rates_by_hand() -> None:
    """1.80 a sq ft is 57.60 for 4 x 8 ft; 1.90 a ft of tube is 15.20 for 8 ft."""
    book = invented_prices()
    assert 96 * 48 * book.sheet_rate(Material.MDF, 0.75, "x") == pytest.approx(57.60)
    assert 96 * book.rod_rate(RodStock.STEEL_TUBE, "x") == pytest.approx(15.20)


def test_prices_per_sheet_per_square_metre_and_per_metre() -> None:
    """A sheet of 60.00 by its area; 10.00 a m2; 5.00 a m of strip."""
    text = _shipped().replace(
        '[[sheet]]\nmaterial = "mdf"\nthickness = "3/4 in"\nprice = 1.80\nper = "sq ft"',
        '[[sheet]]\nmaterial = "mdf"\nthickness = "3/4 in"\nprice = 60.0\nper = "sheet"\n'
        'size = ["8 ft", "4 ft"]\n'
        '[[sheet]]\nmaterial = "mdf"\nthickness = "30 mm"\nprice = 10.0\nper = "m2"',
    )
    text = text.replace('price = 0.55\nper = "ft"', 'price = 5.0\nper = "m"')
    book = parse_price_book(text)
    assert 96 * 48 * book.sheet_rate(Material.MDF, 0.75, "x") == pytest.approx(60.0)
    assert (1000 / 25.4) ** 2 * book.sheet_rate(Material.MDF, 30 / 25.4, "x") == pytest.approx(10)
    assert 1000 / 25.4 * book.strip.per_inch == pytest.approx(5.0)


def test_missing_prices_name_the_part() -> None:
    """A thickness, a rod or a piece without a line raises BuildError with the part's id."""
    book = invented_prices()
    bare = book.model_copy(update={"rod": (), "piece": ()})
    for call, words in (
        (
            lambda: book.sheet_rate(Material.MDF, 0.9, "B-U1"),
            "part B-U1: the price book has no sheet",
        ),
        (
            lambda: bare.rod_rate(RodStock.WOOD_DOWEL, "B1-R1"),
            "part B1-R1: the price book has no rod",
        ),
        (
            lambda: bare.piece_of("glue", "sundries"),
            "sundries: the price book has no price for glue",
        ),
    ):
        with pytest.raises(BuildError) as caught:
            call()
        assert str(caught.value).startswith(words)


def test_a_rough_rate_lies_in_proportion_to_the_thickness() -> None:
    """0.9 in of MDF is nearest to 1 in: nine tenths of its 2.60 a sq ft."""
    rate = invented_prices().rough_sheet_rate(Material.MDF, 0.9, "x")
    assert rate * 144 == pytest.approx(2.34)


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        (("price = 1.80", "price = -1"), ("/sheet/2/price", "greater_than_equal")),
        (("price = 1.80", 'price = "cheap"'), ("/sheet/2/price", "float_type")),
        (("price = 1.80", "price = nan"), ("/sheet/2/price", "finite_number")),
        (
            ('\nthickness = "3/4 in"', '\nthickness = "thick"'),
            ("/sheet/2/thickness", "length_text"),
        ),
        (('\nmaterial = "mdf"', '\nmaterial = "gold"'), ("/sheet/0/material", "enum")),
        (("margin = 0.0", "profit = 0.1"), ("/quote/profit", "extra_forbidden")),
        (('key = "glue"', 'key = "paint"'), ("", "value_error")),
        (('per = "sq ft"\n\n[[sheet]]', 'per = "sheet"\n\n[[sheet]]'), ("/sheet/0", "value_error")),
    ],
)
def test_faults_are_found_where_they_are(
    change: tuple[str, str], expected: tuple[str, str]
) -> None:
    """Each fault comes with its place in the book and a code."""
    old, new = change
    assert old in _shipped()
    assert _faults(_shipped().replace(old, new, 1)) == [expected]


def test_what_is_no_toml_or_no_file(tmp_path: Path) -> None:
    """Broken text, a missing file, a folder, bytes that are no text: PriceBookError each time."""
    assert _faults("[about\n") == [("", "toml")]
    binary = tmp_path / "book.toml"
    binary.write_bytes(b"\xff\xfe\x00")
    huge = tmp_path / "huge.toml"
    huge.write_bytes(b"#" * 1_000_001)
    codes = []
    for path in (tmp_path / "none.toml", tmp_path, binary, huge):
        with pytest.raises(PriceBookError) as caught:
            load_price_book(path)
        codes.append(caught.value.faults[0].code)
    assert codes == ["file", "file", "encoding", "size"]


def test_a_book_is_read_from_a_file(tmp_path: Path) -> None:
    """A copy of the shipped book with a currency of its own."""
    path = tmp_path / "mine.toml"
    path.write_text(_shipped().replace('currency = ""', 'currency = "EUR"'), encoding="utf-8")
    book: PriceBook = load_price_book(path)
    assert book.about.currency == "EUR"
    assert book.piece == invented_prices().piece

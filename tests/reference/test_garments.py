"""Rod allowances of garments."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.domain.needs import Garments, Hang, HangDrop, Needs
from optimizer.reference.garments import GARMENTS, garment, garment_kinds, required_hang
from optimizer.units import MM_PER_INCH, Units


def _needs(*lines: tuple[str, int], **more: object) -> Needs:
    garments = tuple(Garments(kind=kind, count=count) for kind, count in lines)
    return Needs.model_validate({"garments": garments, **more})


@pytest.mark.parametrize(
    ("kind", "low", "high"),
    [
        ("blouse", 2.0, 2.0),
        ("skirt", 2.0, 2.0),
        ("dress", 2.0, 2.0),
        ("women's suit", 2.0, 2.0),
        ("men's shirt", 2.5, 3.0),
        ("men's trousers", 2.5, 3.0),
        ("men's jacket", 2.5, 3.0),
        ("suit", 2.5, 3.0),
        ("coat", 4.0, 5.0),
        ("long coat", 4.0, 5.0),
        ("gown", 4.0, 5.0),
    ],
)
def test_allowance_is_in_the_handbook_range(kind: str, low: float, high: float) -> None:
    """Planning handbooks (Time-Saver Standards): women's 2 in, men's 2.5-3, coats, gowns 4-5."""
    allowance = garment(kind)
    assert allowance is not None
    assert low <= allowance.rod_each <= high


@pytest.mark.parametrize(
    ("kind", "hang"),
    [
        ("shirt", Hang.SHORT),
        ("blouse", Hang.SHORT),
        ("trousers", Hang.SHORT),
        ("skirt", Hang.SHORT),
        ("jacket", Hang.SHORT),
        ("suit", Hang.SHORT),
        ("full-length trousers", Hang.MEDIUM),
        ("dress", Hang.LONG),
        ("coat", Hang.LONG),
        ("long coat", Hang.LONG),
        ("gown", Hang.LONG),
        ("robe", Hang.LONG),
    ],
)
def test_hang_class(kind: str, hang: Hang) -> None:
    """Handbook rod heights: 63-68 in for dresses and coats is long, 42-48 in is short."""
    allowance = garment(kind)
    assert allowance is not None
    assert allowance.hang is hang


@pytest.mark.parametrize(
    ("asked", "kind"),
    [
        ("Shirts", "shirt"),
        ("  SHIRT ", "shirt"),
        ("Dresses", "dress"),
        ("blouses", "blouse"),
        ("trouser", "trousers"),
        ("Pants", "trousers"),
        ("long-coats", "long coat"),
        ("long_coat", "long coat"),
        ("men’s shirts", "men's shirt"),
        ("mens shirt", "men's shirt"),
        ("Women's Shirts", "women's shirt"),
        ("children's coats", "child's coat"),
        ("kids coat", "child's coat"),
        ("evening gowns", "gown"),
        ("bathrobes", "robe"),
    ],
)
def test_case_number_and_synonyms(asked: str, kind: str) -> None:
    """People write a kind in many ways."""
    allowance = garment(asked)
    assert allowance is not None
    assert allowance.kind == kind


@pytest.mark.parametrize("asked", ["", " ", "'", "s", "spacesuit", "dres", "shirt shirt"])
def test_unknown_kind_is_none(asked: str) -> None:
    """What is not in the table is not guessed at."""
    assert garment(asked) is None


@given(st.text(max_size=40))
def test_any_text_is_answered(asked: str) -> None:
    """No text at all crashes the look-up."""
    allowance = garment(asked)
    assert allowance is None or allowance.kind in garment_kinds()


def test_kinds_are_distinct_and_found_by_name() -> None:
    """At least 18 kinds, each found under its own name and with a source."""
    kinds = garment_kinds()
    assert len(set(kinds)) == len(kinds) >= 18
    assert [garment(kind) for kind in kinds] == list(GARMENTS)
    assert all(allowance.source for allowance in GARMENTS)


def test_explicit_lengths_and_garments_add_up() -> None:
    """60 in asked for and 30 shirts at 2.5 in are 135 in of short hang; 4 coats 16 in of long."""
    needs = _needs(("shirt", 30), ("coats", 4), short_hang=60.0, medium_hang=5.0)
    expected = {Hang.LONG: 16.0, Hang.MEDIUM: 5.0, Hang.SHORT: 135.0}
    assert required_hang(needs, Units.INCH) == pytest.approx(expected)


def test_unknown_kind_in_needs_is_a_key_error() -> None:
    """A kind that slipped past the reader is named, not dropped."""
    with pytest.raises(KeyError, match="spacesuit"):
        required_hang(_needs(("spacesuit", 1)), Units.INCH)


def test_childrens_clothes_go_short_on_grown_ups_rods() -> None:
    """A child's coat needs long hang among children's drops, short among grown-ups'."""
    line = ("child's coat", 10)
    grown = required_hang(_needs(line), Units.INCH)
    small_drop = HangDrop(long=36.0, medium=30.0, short=24.0)
    small = required_hang(_needs(line, hang_drop=small_drop), Units.INCH)
    assert (grown[Hang.SHORT], grown[Hang.LONG]) == (30.0, 0.0)
    assert (small[Hang.SHORT], small[Hang.LONG]) == (0.0, 30.0)


@given(st.lists(st.tuples(st.sampled_from(garment_kinds()), st.integers(1, 200)), max_size=10))
def test_units_agree(lines: list[tuple[str, int]]) -> None:
    """The same clothes in a millimetre brief want the same rod to 1e-6."""
    inch = required_hang(_needs(*lines), Units.INCH)
    drops = {"long": 1600.0, "medium": 1300.0, "short": 940.0}
    metric_needs = _needs(*lines).model_copy(
        update={"hang_drop": HangDrop.model_construct(**drops)}
    )
    metric = required_hang(metric_needs, Units.MILLIMETRE)
    expected = {hang: length * MM_PER_INCH for hang, length in inch.items()}
    assert metric == pytest.approx(expected, rel=1e-6)

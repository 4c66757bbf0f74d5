"""Lengths as people write them: the list that the page's reading is held to as well."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.lengths import parse_length
from optimizer.units import Units, format_feet, format_inches, plain_number, state_length

VECTORS = json.loads((Path(__file__).parent / "vectors" / "lengths.json").read_text("utf-8"))


@pytest.mark.parametrize("vector", VECTORS["read"], ids=lambda vector: repr(vector["text"]))
@pytest.mark.parametrize("units", Units)
def test_a_length_is_read(vector: dict[str, Any], units: Units) -> None:
    """Every way of writing gives the length that it says, in either system."""
    assert parse_length(vector["text"], units) == pytest.approx(vector[units.value], rel=1e-12)


@pytest.mark.parametrize("vector", VECTORS["refused"], ids=lambda vector: repr(vector["text"]))
@pytest.mark.parametrize("units", Units)
def test_what_is_no_length_is_told_in_plain_words(vector: dict[str, Any], units: Units) -> None:
    """The message names the text and what to write instead."""
    with pytest.raises(ValueError) as caught:
        parse_length(vector["text"], units)
    assert str(caught.value) == vector["fault"]


@given(st.integers(0, 1200 * 16))
def test_what_is_written_out_reads_back(sixteenths: int) -> None:
    """Feet, inches and fractions as the program writes them are read as what they were."""
    inches = sixteenths / 16
    for text in (format_feet(inches), format_inches(inches), plain_number(inches, 4)):
        assert parse_length(text, Units.INCH) == inches


@given(st.text(max_size=40))
def test_any_text_is_read_or_refused(text: str) -> None:
    """Nothing else is raised, whatever was typed, and no length is negative."""
    try:
        assert parse_length(text, Units.MILLIMETRE) >= 0
    except ValueError as error:
        assert "[0-9]" not in str(error).replace(text, "")


def test_numbers_in_messages_are_plain() -> None:
    """No powers of ten, no trailing zeros, and no minus before nothing."""
    assert [plain_number(x) for x in (1e6, 86.5, 1e22, -0.0001)] == [
        "1000000", "86.5", "10000000000000000000000", "0",
    ]  # fmt: skip
    assert state_length(12345.678, Units.MILLIMETRE) == "12345.678 mm"

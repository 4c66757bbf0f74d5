"""Measuring, wrapping and shortening of text."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.drawing.ink.canvas import dxf_escaped, dxf_plain
from optimizer.drawing.ink.lettering import (
    Rect,
    fitting_height,
    printable,
    shortened,
    text_rect,
    text_width,
    wrapped,
)


def test_width_follows_the_metrics_of_helvetica() -> None:
    """Helvetica's digits are 556/1000 of the size, which is the capitals' height / 0.718."""
    assert text_width("0000", 7.18) == pytest.approx(4 * 5.56)
    assert text_width("M", 7.18, bold=True) == pytest.approx(8.33)


def test_characters_outside_the_font_count_a_full_square() -> None:
    """Two Chinese characters are two font sizes wide; a combining accent has no width."""
    assert text_width("壁橱", 7.18) == pytest.approx(20.0)
    assert text_width("e\u0301", 7.18) == pytest.approx(text_width("e", 7.18))


@given(text=st.text(max_size=200), width=st.floats(5, 100))
def test_wrapped_lines_fit_and_lose_nothing(text: str, width: float) -> None:
    """No line is wider than asked (one character may be), and every character is kept."""
    text = printable(text)
    lines = wrapped(text, width, 1.8)
    assert all(text_width(line, 1.8) <= width or len(line.strip()) <= 1 for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())


@given(text=st.text(max_size=80), width=st.floats(8, 60))
def test_shortened_text_fits(text: str, width: float) -> None:
    """A shortened text is no wider than asked; one that fits is left as it is."""
    short = shortened(text, width, 1.8)
    assert text_width(short, 1.8) <= width
    if text_width(text, 1.8) <= width:
        assert short == text


@given(text=st.text(max_size=60))
def test_printable_text_is_one_line_without_controls(text: str) -> None:
    """Line feeds, tabs and other controls become single spaces; nothing else is lost."""
    clean = printable(text)
    assert clean == " ".join(clean.split())
    assert not any(ord(c) < 32 or 127 <= ord(c) < 160 for c in clean)


@pytest.mark.parametrize("text", ["100%%", "%%d", "^J", "a^b", "50%", "%%%", "\\P{x}"])
def test_dxf_codes_are_spelled_out(text: str) -> None:
    """What a DXF reader would take for a code comes back as the text it was."""
    from ezdxf.tools.text import plain_text

    assert plain_text(dxf_escaped(text)) == text


@given(text=st.text(max_size=60))
def test_escaped_text_comes_back(text: str) -> None:
    """Escaping is undone by its inverse, for any printable text."""
    assert dxf_plain(dxf_escaped(text)) == printable(text)


def test_the_largest_height_that_fits_is_taken() -> None:
    """Heights are tried in order; where none fits there is none."""
    width = text_width("hamper", 1.8)
    assert fitting_height("hamper", width, (2.0, 1.8, 1.6)) == 1.8
    assert fitting_height("hamper", 1.0, (2.0, 1.8, 1.6)) is None


def test_extents_of_level_and_upright_text() -> None:
    """Upright text is as high as the level one is wide."""
    level, upright = text_rect("abc", 0, 0, 2.0), text_rect("abc", 0, 0, 2.0, 90)
    assert level.width == pytest.approx(upright.height)
    assert level.height == pytest.approx(upright.width)
    assert level.centre[0] == pytest.approx(0.0)


def test_rectangles_that_share_a_border_do_not_overlap() -> None:
    """Touching is not overlapping; holding includes the border."""
    left, right = Rect(0, 0, 1, 1), Rect(1, 0, 2, 1)
    assert not left.overlaps(right)
    assert left.overlaps(right.grown(0.1))
    assert left.holds(Rect(0, 0, 1, 1))
    assert not left.holds(right)

"""Fonts of the PDF: Helvetica for what it has, Adobe's standard Asian fonts for the rest.

Both are fonts that every PDF reader brings along, so that nothing is embedded and the
same text gives the same bytes on every machine.
"""

from __future__ import annotations

from functools import cache
from itertools import groupby

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.cidfonts import UnicodeCIDFont

from optimizer.drawing.ink.lettering import BOLD, FONT, in_font

_FOREIGN = (
    ("gbk", "STSong-Light"),
    ("shift_jis", "HeiseiKakuGo-W5"),
    ("euc_kr", "HYGothic-Medium"),
)
"""Encodings with the standard font that has their characters: Chinese, Greek and Cyrillic;
Japanese; Korean."""

UNKNOWN = "?"
"""Stands for a character that none of the fonts has."""


@cache
def _register(name: str) -> str:
    """The name of a font, registered with reportlab."""
    pdfmetrics.registerFont(UnicodeCIDFont(name))
    return name


@cache
def _font_of(character: str) -> str | None:
    """Font that has `character`: '' for Helvetica, None where there is none."""
    if in_font(character):
        return ""
    for encoding, name in _FOREIGN:
        try:
            # The standard fonts have the characters of these encodings: so whether one can be
            # written in it tells whether the font has it.
            character.encode(encoding)
        except UnicodeEncodeError:
            continue
        return name
    return None


def runs(text: str, bold: bool = False) -> list[tuple[str, str]]:
    """`text` in pieces of one font each: (font, piece), fonts registered for use."""
    usual = BOLD if bold else FONT
    pieces = []
    for font, characters in groupby(text, key=_font_of):
        piece = "".join(characters)
        if font is None:
            pieces.append((usual, UNKNOWN * len(piece)))
        elif font:
            pieces.append((_register(font), piece))
        else:
            pieces.append((usual, piece))
    return pieces

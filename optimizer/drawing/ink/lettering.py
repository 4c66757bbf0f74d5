"""How wide and how high a text is, in Helvetica metrics, so that labels can be made to fit.

The built-in metrics of the standard PDF fonts are the same on every machine; Arial and
Liberation Sans, which other programs show, are drawn to the same widths.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from reportlab.pdfbase.pdfmetrics import stringWidth

FONT = "Helvetica"
BOLD = "Helvetica-Bold"

CAP_HEIGHT = 0.718
"""Height of capitals as a part of the font size: Helvetica's AFM file, CapHeight 718."""

DESCENT = 0.29
"""How far g, p and the slash reach below the line as a part of the capitals' height:
Helvetica's AFM file, Descender -207 against CapHeight 718."""

_WIDE = 1.0
"""Width taken for a character outside the font, in font sizes: a full square."""


def printable(text: str) -> str:
    """`text` on one line: control characters and stray spaces become single spaces."""
    if not (text.isascii() and text.isprintable()):
        text = "".join(
            " " if unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp", "Cn") else c for c in text
        )
    return " ".join(text.split())


@lru_cache(maxsize=4096)
def in_font(character: str) -> bool:
    """Whether the standard fonts have `character` (Windows code page 1252)."""
    try:
        character.encode("cp1252")
    except UnicodeEncodeError:
        return False
    return True


def text_width(text: str, height: float, bold: bool = False) -> float:
    """Width of `text` whose capitals are `height` high, in the unit of `height`."""
    return _sizes_wide(text, bold) * height / CAP_HEIGHT


@lru_cache(maxsize=16384)
def _sizes_wide(text: str, bold: bool) -> float:
    """Width of `text` in font sizes."""
    font = BOLD if bold else FONT
    if text.isascii():
        return float(stringWidth(text, font, 1.0))
    known = "".join(c for c in text if in_font(c))
    # Combining marks stand over the letter before them and take no width.
    foreign = sum(1 for c in text if not in_font(c) and not unicodedata.combining(c))
    return float(stringWidth(known, font, 1.0)) + foreign * _WIDE


def shortened(text: str, width: float, height: float) -> str:
    """`text`, or as much of it with an ellipsis as is `width` wide at most."""
    if text_width(text, height) <= width:
        return text
    # The longest part that fits, by halving: widths grow with the number of characters.
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if text_width(text[:middle].rstrip() + "...", height) <= width:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + "..."


def wrapped(text: str, width: float, height: float) -> list[str]:
    """`text` in lines of at most `width`; words longer than a line are cut."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        joined = f"{line} {word}" if line else word
        if text_width(joined, height) <= width:
            line = joined
            continue
        if text_width(word, height) <= width:
            lines.append(line)
            line = word
            continue
        line = f"{line} " if line else ""
        # Longer than a line: cut where the line is full.
        for character in word:
            if line and text_width(line + character, height) > width:
                lines.append(line.rstrip())
                line = ""
            line += character
    return [*lines, line] if line else lines


def fitting_height(text: str, width: float, heights: Sequence[float]) -> float | None:
    """The first of `heights` at which `text` is at most `width` wide; None if none is."""
    return next((height for height in heights if text_width(text, height) <= width), None)


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle with its sides along the axes."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Extent along x."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Extent along y."""
        return self.top - self.bottom

    @property
    def centre(self) -> tuple[float, float]:
        """Its middle."""
        return (self.left + self.right) / 2, (self.bottom + self.top) / 2

    def grown(self, by: float) -> Rect:
        """The rectangle with `by` added on every side."""
        return Rect(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def overlaps(self, other: Rect) -> bool:
        """Whether the two share more than a border."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.bottom < other.top
            and other.bottom < self.top
        )

    def holds(self, other: Rect, slack: float = 1e-9) -> bool:
        """Whether `other` lies wholly inside."""
        return (
            self.left <= other.left + slack
            and other.right <= self.right + slack
            and self.bottom <= other.bottom + slack
            and other.top <= self.top + slack
        )

    def shared(self, other: Rect) -> Rect:
        """What lies in both; without extent where they are apart."""
        left, bottom = max(self.left, other.left), max(self.bottom, other.bottom)
        right, top = min(self.right, other.right), min(self.top, other.top)
        return Rect(left, bottom, max(left, right), max(bottom, top))

    def joined(self, other: Rect) -> Rect:
        """The least rectangle around both."""
        return Rect(
            min(self.left, other.left),
            min(self.bottom, other.bottom),
            max(self.right, other.right),
            max(self.top, other.top),
        )


def text_rect(text: str, x: float, y: float, height: float, rotation: int = 0) -> Rect:
    """Extents of `text` centred on (x, y), level (0) or reading upwards (90)."""
    # In the regular font: bold lettering is measured a little narrow here.
    half = text_width(text, height) / 2
    above, below = height / 2, height * (0.5 + DESCENT)
    if rotation == 90:
        return Rect(x - above, y - half, x + below, y + half)
    return Rect(x - half, y - below, x + half, y + above)

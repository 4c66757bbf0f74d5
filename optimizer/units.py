"""Units of length and how people write lengths.

A brief is in inches or in millimetres and everything computed for it stays in its
units; formulas that come in inches and pounds convert at their own border.
"""

from __future__ import annotations

import math
import re
from enum import StrEnum
from fractions import Fraction

MM_PER_INCH = 25.4
"""Exact by the international yard and pound agreement of 1959."""

KG_PER_LB = 0.45359237
"""Exact by the same agreement."""


class Units(StrEnum):
    """Unit of every length in a brief and in what comes back."""

    INCH = "in"
    MILLIMETRE = "mm"

    @property
    def grid(self) -> float:
        """Step to which sizes are rounded for cutting: 1/16 in or 1 mm."""
        return 0.0625 if self is Units.INCH else 1.0

    def to_inch(self, length: float) -> float:
        """Length [in] of `length` [these units]."""
        return length if self is Units.INCH else length / MM_PER_INCH

    def from_inch(self, length: float) -> float:
        """Length [these units] of `length` [in]."""
        return length if self is Units.INCH else length * MM_PER_INCH


def convert(length: float, source: Units, target: Units) -> float:
    """Length in `target` units of `length` in `source` units."""
    return length if source is target else target.from_inch(source.to_inch(length))


_NUMBER = r"(?:\d+(?:\.\d*)?|\.\d+)"
_FRACTION = r"(?:\d+\s*/\s*\d+)"
_MIXED = rf"(?:{_FRACTION}|{_NUMBER}(?:[\s-]+{_FRACTION})?)"
_FEET = re.compile(
    rf"^(?P<feet>{_NUMBER})\s*(?:'|′|ft\.?|feet|foot)\s*"
    rf"(?:-?\s*(?P<inches>{_MIXED})\s*(?:\"|″|''|in\.?|inch|inches)?)?$",
    re.IGNORECASE,
)
_INCHES = re.compile(rf"^(?P<inches>{_MIXED})\s*(?:\"|″|''|in\.?|inch|inches)$", re.IGNORECASE)
_METRIC = re.compile(rf"^(?P<value>{_NUMBER})\s*(?P<unit>mm|cm|m)$", re.IGNORECASE)
_PLAIN = re.compile(rf"^(?P<value>{_MIXED})$")
_METRIC_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0}


def _mixed(text: str) -> float:
    """Value of '86', '86.5', '1/2', '86 1/2' or '86-1/2'."""
    total = Fraction(0)
    for piece in re.sub(r"\s*/\s*", "/", text).replace("-", " ").split():
        total += Fraction(piece)
    return float(total)


def parse_length(text: str, units: Units) -> float:
    """Length [units] written as a person would: 7' 2-1/2", 86 1/2, 86.5in, 2180 mm.

    A text without a unit is in `units`. Raises ValueError when it is no length.
    """
    cleaned = text.strip().replace("’", "'").replace("”", '"').replace("“", '"')
    try:
        if match := _FEET.match(cleaned):
            inches = _mixed(match["inches"]) if match["inches"] else 0.0
            return units.from_inch(float(match["feet"]) * 12.0 + inches)
        if match := _INCHES.match(cleaned):
            return units.from_inch(_mixed(match["inches"]))
        if match := _METRIC.match(cleaned):
            millimetres = float(match["value"]) * _METRIC_MM[match["unit"].lower()]
            return convert(millimetres, Units.MILLIMETRE, units)
        if match := _PLAIN.match(cleaned):
            return _mixed(match["value"])
    except (ZeroDivisionError, OverflowError):
        pass
    raise ValueError(f"{text!r} is not a length")


def format_length(length: float, units: Units) -> str:
    """`length` as a tape shows it: feet and inches to 1/16 in, or whole millimetres."""
    return format_feet(length) if units is Units.INCH else f"{length:.0f} mm"


def format_inches(length: float, denominator: int = 16) -> str:
    """`length` [in] as whole inches and a reduced fraction: 86-1/2"."""
    sign = "-" if length < 0 else ""
    steps = round(abs(length) * denominator)
    whole, rest = divmod(steps, denominator)
    if not rest:
        return f'{sign if steps else ""}{whole}"'
    fraction = Fraction(rest, denominator)
    head = f"{whole}-" if whole else ""
    return f'{sign}{head}{fraction.numerator}/{fraction.denominator}"'


def format_feet(length: float, denominator: int = 16) -> str:
    """`length` [in] as feet, inches and a reduced fraction: 7' 2-1/2"."""
    steps = round(abs(length) * denominator)
    feet, rest = divmod(steps, 12 * denominator)
    inches = format_inches(rest / denominator, denominator)
    sign = "-" if length < 0 and steps else ""
    return f"{sign}{feet}' {inches}" if feet else f"{sign}{inches}"


def state_length(length: float, units: Units) -> str:
    """`length` for a message, as a plain number to a thousandth with its unit: 86.5 in."""
    return f"{round(length, 3):g} {units.value}"


def format_short(length: float, units: Units) -> str:
    """`length` for a cut list: inches with fractions (no feet), or whole millimetres."""
    return format_inches(length) if units is Units.INCH else f"{length:.0f}"


def floor_to(length: float, step: float) -> float:
    """Largest multiple of `step` not above `length`, forgiving 1e-6 of a step."""
    return math.floor(length / step + 1e-6) * step


def ceil_to(length: float, step: float) -> float:
    """Smallest multiple of `step` not below `length`, forgiving 1e-6 of a step."""
    return math.ceil(length / step - 1e-6) * step

"""Units of length, and lengths written out.

A brief is in inches or in millimetres and everything computed for it stays in its
units; formulas that come in inches and pounds convert at their own border.
"""

from __future__ import annotations

import math
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
    # Rounded once, in sixteenths, before feet and inches are parted: else 11-31/32 in could come
    # out as 12 in beside 0 feet.
    steps = round(abs(length) * denominator)
    feet, rest = divmod(steps, 12 * denominator)
    inches = format_inches(rest / denominator, denominator)
    sign = "-" if length < 0 and steps else ""
    return f"{sign}{feet}' {inches}" if feet else f"{sign}{inches}"


def state_length(length: float, units: Units) -> str:
    """`length` for a message, as a plain number to a thousandth with its unit: 86.5 in."""
    return f"{plain_number(length)} {units.value}"


def plain_number(value: float, places: int = 3) -> str:
    """`value` in plain digits to so many decimals, without powers of ten: 86.5, 1000000."""
    if isinstance(value, int):
        return str(value)
    text = f"{value:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    # A small negative number rounds to minus nothing.
    return "0" if text == "-0" else text


def format_short(length: float, units: Units) -> str:
    """`length` for a cut list: inches with fractions (no feet), or whole millimetres."""
    return format_inches(length) if units is Units.INCH else f"{length:.0f}"


def floor_to(length: float, step: float) -> float:
    """Largest multiple of `step` not above `length`, forgiving 1e-6 of a step."""
    return math.floor(length / step + 1e-6) * step


def ceil_to(length: float, step: float) -> float:
    """Smallest multiple of `step` not below `length`, forgiving 1e-6 of a step."""
    return math.ceil(length / step - 1e-6) * step

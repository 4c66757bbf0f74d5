"""Lengths as people write them, read into the units of a brief.

Read are feet and inches (7' 2-1/2", 6 ft 3, 6-0), inches with a fraction (86 1/2, 86½, 1/2),
decimals with a point or a comma (86.5, 86,5), and metric lengths with their unit (1.8 m, 180 cm).
Quotes, primes, dashes and spaces may be of any kind. The page reads by the same rules
(`api/page/js/lengths.js`); `tests/vectors/lengths.json` holds both to them.
"""

from __future__ import annotations

import re
from fractions import Fraction

from optimizer.units import Units, convert, plain_number

EXAMPLES = "86.5, 86 1/2, 7' 2-1/2\", 6 ft 3 or 2180 mm"
"""What a message offers to write instead."""

_PARTS = {
    "½": "1/2",
    "⅓": "1/3",
    "⅔": "2/3",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_LOOKALIKES = str.maketrans(
    {
        **dict.fromkeys("’‘ʼʹ′`´", "'"),
        **dict.fromkeys("”“„ʺ″", '"'),
        **dict.fromkeys("⁄∕", "/"),
        **dict.fromkeys("‐‑‒–—−", "-"),
        **dict.fromkeys("\t\n\r\u00a0\u2002\u2003\u2007\u2009\u200a\u202f", " "),
        **{character: f" {part} " for character, part in _PARTS.items()},
    }
)

_NUMBER = r"[0-9.,]*[0-9][0-9.,]*"
_FRACTION = r"[0-9]+ ?/ ?[0-9]+"
_MIXED = rf"(?:[0-9]+(?: ?- ?| ){_FRACTION}|{_FRACTION}|{_NUMBER})"
_INCH_MARK = r"(?:\"|in\.?|inch|inches)"
_METRIC_MARK = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    **dict.fromkeys(("millimetre", "millimeter"), 1.0),
    **dict.fromkeys(("centimetre", "centimeter"), 10.0),
    **dict.fromkeys(("metre", "meter"), 1000.0),
}
_FEET = re.compile(rf"({_MIXED}) ?(?:'|ft\.?|feet|foot)", re.IGNORECASE)
_FEET_INCHES = re.compile(
    rf"([0-9]+) ?(?:'|ft\.?|feet|foot),? ?-? ?({_MIXED}) ?{_INCH_MARK}?", re.IGNORECASE
)
_DASHED = re.compile(rf"([0-9]+) ?- ?([0-9]+)((?: ?- ?| ){_FRACTION})?\"?")
_INCHES = re.compile(rf"({_MIXED}) ?{_INCH_MARK}", re.IGNORECASE)
_METRIC = re.compile(rf"({_NUMBER}) ?({'|'.join(_METRIC_MARK)})s?", re.IGNORECASE)
_PLAIN = re.compile(f"({_MIXED})")

_POINT = re.compile(r"[0-9]+\.?[0-9]*|\.[0-9]+")
_COMMA = re.compile(r"[0-9]*,[0-9]+")
# A comma before three digits: 1,250 is a thousand to some and one and a quarter to others.
_EITHER = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")
_GROUPED = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]*)?")
_GROUPED_BY_POINTS = re.compile(r"[1-9][0-9]{0,2}(?:\.[0-9]{3})+,[0-9]+")


class _NotOneLengthError(ValueError):
    """What a text says is no length, or more than one; the message says which."""


def parse_length(text: str, units: Units) -> float:
    """Length [units] that a person wrote; a text that names no unit is in `units`.

    Raises ValueError, whose message says in plain words what is wrong with the text.
    """
    try:
        length = _read(_tidied(text), units)
    except ZeroDivisionError:
        raise ValueError(f"'{text}' has a fraction over 0") from None
    except OverflowError:
        raise ValueError(f"'{text}' is too long a number") from None
    except _NotOneLengthError as error:
        raise ValueError(f"'{text}' {error}") from None
    if length is None:
        raise ValueError(f"'{text}' is not a length; write {EXAMPLES}")
    return length


def _tidied(text: str) -> str:
    """`text` with plain quotes, dashes, fractions and single spaces."""
    return " ".join(text.translate(_LOOKALIKES).split(" ")).replace("''", '"').strip()


def _read(text: str, units: Units) -> float | None:
    """The length that a tidied text says, None when it says none."""
    text = re.sub(" +", " ", text)
    # Before the units: what names none is in those of the brief, whichever they are.
    if match := _PLAIN.fullmatch(text):
        return _amount(match[1])
    if match := _METRIC.fullmatch(text):
        millimetres = _number(match[1]) * _METRIC_MARK[match[2].lower()]
        return convert(millimetres, Units.MILLIMETRE, units)
    inches = _inches(text)
    if inches is not None:
        return units.from_inch(inches)
    # Only for the message: a length with a sign is told apart from no length at all.
    if text.startswith("-") and _read(text[1:].strip(), units) is not None:
        raise _NotOneLengthError("is negative; a length is 0 or more")
    return None


def _inches(text: str) -> float | None:
    """The length [in] that a tidied text says in feet or inches, None when it says none."""
    if match := _INCHES.fullmatch(text) or _FEET.fullmatch(text):
        feet = _INCHES.fullmatch(text) is None
        return _amount(match[1]) * (12.0 if feet else 1.0)
    if match := _FEET_INCHES.fullmatch(text):
        return float(match[1]) * 12.0 + _amount(match[2])
    if match := _DASHED.fullmatch(text):
        # 6-14 is a slip or a range, and nobody's 7 ft 2.
        if int(match[2]) > 11:
            raise _NotOneLengthError(
                f"reads as {match[1]} feet and {match[2]} inches, but inches beside feet go up "
                f"to 11; write {EXAMPLES}"
            )
        return float(match[1]) * 12.0 + _amount(f"{match[2]} {(match[3] or '').strip(' -')}")
    return None


def _amount(text: str) -> float:
    """Value of '86.5', '1/2', '86 1/2' or '86-1/2'."""
    pieces = text.replace(" /", "/").replace("/ ", "/").replace("-", " ").split()
    return sum(float(Fraction(p)) if "/" in p else _number(p) for p in pieces)


def _number(text: str) -> float:
    """Value of '86.5', '86,5' or '1,250.5'; refuses what may be read in two ways."""
    if _POINT.fullmatch(text):
        return float(text)
    if _EITHER.fullmatch(text):
        decimal, whole = text.replace(",", "."), text.replace(",", "")
        raise _NotOneLengthError(
            f"may mean {plain_number(float(decimal))} or {whole}: write {decimal} or {whole}"
        )
    if _COMMA.fullmatch(text):
        return float(text.replace(",", "."))
    if _GROUPED.fullmatch(text):
        return float(text.replace(",", ""))
    if _GROUPED_BY_POINTS.fullmatch(text):
        return float(text.replace(".", "").replace(",", "."))
    raise _NotOneLengthError(f"is not a length; write {EXAMPLES}")

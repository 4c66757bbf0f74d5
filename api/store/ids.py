"""Identifiers of studies: sortable by time, not to be guessed."""

from __future__ import annotations

import re
import secrets
import time

_ALPHABET = "0123456789abcdefghjkmnpqrstvwxyz"
PATTERN = r"^[0-9a-hjkmnp-tv-z]{26}$"
_IDENTIFIER = re.compile(PATTERN)


def new_identifier() -> str:
    """26 characters of Crockford's base 32: 48 bits of milliseconds, 80 of chance."""
    # The time in front, so that a list by id is nearly one by age, and an index grows at its end.
    number = (int(time.time() * 1000) & (2**48 - 1)) << 80 | secrets.randbits(80)
    return "".join(_ALPHABET[number >> shift & 31] for shift in range(125, -1, -5))


def is_identifier(text: str) -> bool:
    """Whether `text` can be an identifier at all."""
    return _IDENTIFIER.fullmatch(text) is not None

"""File names from ids that people chose."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable

_LONGEST = 60


def wall_title(wall_id: str) -> str:
    """A wall's id as a title: 'Wall B', but 'Wall by the stairs' as it is."""
    if wall_id.lower().startswith("wall"):
        return wall_id[:1].upper() + wall_id[1:]
    return f"Wall {wall_id}"


def safe_name(text: str, others: Iterable[str] = ()) -> str:
    """`text` as part of a file name on any system; different texts stay different.

    Anything but letters, digits, `-` and `_` becomes `-`; where that changed the text, or
    one of the `others` differs from it in case only, a short digest of it is added.
    """
    plain = re.sub(r"[^A-Za-z0-9_-]+", "-", text).strip("-")[:_LONGEST]
    alike = any(other != text and other.casefold() == text.casefold() for other in others)
    if plain == text and not alike:
        return plain
    digest = hashlib.sha256(text.encode()).hexdigest()[:6]
    return f"{plain or 'x'}-{digest}"

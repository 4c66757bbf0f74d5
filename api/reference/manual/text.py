"""Pieces of HTML: everything that is not ours is escaped."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence
from html import escape
from typing import Any

_CODE = re.compile(r"`([^`]+)`")
MOST_ENTRIES = 2
"""Entries that are shown of a list in an example of an answer."""


def prose(text: str) -> str:
    """Text with its `code` marked, on one line."""
    return _CODE.sub(r"<code>\1</code>", escape(" ".join(text.split())))


def paragraphs(text: str) -> str:
    """Text of several paragraphs."""
    blocks = re.split(r"\n\s*\n", text.strip())
    return "".join(f"<p>{prose(block)}</p>" for block in blocks if block)


def code(text: str) -> str:
    """Text as code."""
    return f"<code>{escape(text)}</code>"


def table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table of cells that are HTML already; nothing where there are no rows."""
    lines = ["<tr>" + "".join(f"<td>{cell}</td>" for cell in row) + "</tr>" for row in rows]
    if not lines:
        return ""
    head = "".join(f'<th scope="col">{escape(name)}</th>' for name in heads)
    return f"<table><thead><tr>{head}</tr></thead><tbody>{''.join(lines)}</tbody></table>"


def folded(title: str, text: str) -> str:
    """A text as it stands, folded away under its title."""
    return f"<details><summary>{escape(title)}</summary><pre>{escape(text)}</pre></details>"


def pretty(value: Any) -> str:
    """JSON to be read."""
    return json.dumps(value, indent=2, ensure_ascii=False)


def shortened(value: Any) -> Any:
    """A JSON value whose lists have their first entries alone, a count in place of the rest."""
    if isinstance(value, dict):
        return {name: shortened(entry) for name, entry in value.items()}
    if not isinstance(value, list):
        return value
    shown = [shortened(entry) for entry in value[:MOST_ENTRIES]]
    left = len(value) - MOST_ENTRIES
    return shown if left <= 0 else [*shown, f"... {left} more"]

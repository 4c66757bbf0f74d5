"""What each property on the OpenAPI page is, where its field does not say so itself."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from api.http.wire import JsonObject

_FILE = Path(__file__).with_name("properties.toml")
_ANY = "any"
_SAME = {"LayoutResource": "Layout", "PricesUse": "Use", "ProgressEvent": "Progress"}
"""Schemas that are told as another."""


@cache
def _texts() -> dict[str, dict[str, str]]:
    """The descriptions of fields, by schema and name."""
    return tomllib.loads(_FILE.read_text(encoding="utf-8"))


def text_of(schema: str, name: str) -> str | None:
    """What the property of that name is in that schema of the page."""
    texts = _texts()
    own = schema.removesuffix("Input")
    own = _SAME.get(own, own)
    # Many fields mean the same everywhere: those are told once.
    return texts.get(own, {}).get(name) or texts[_ANY].get(name)


def undescribed(schemas: JsonObject) -> Iterator[tuple[str, str, JsonObject]]:
    """Properties that say nothing of themselves: schema, name and what there is of each."""
    for schema, described in schemas.items():
        for name, found in described.get("properties", {}).items():
            if not found.get("description"):
                yield schema, name, found


def describe_properties(schemas: JsonObject) -> None:
    """Put in what the fields leave out."""
    for schema, name, found in list(undescribed(schemas)):
        text = text_of(schema, name)
        if text is not None:
            found["description"] = text

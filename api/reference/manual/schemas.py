"""Schemas of the OpenAPI document in words."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from typing import Any

from api.reference.manual.text import code, prose, table

Schema = Mapping[str, Any]

_LIMITS = {
    "minimum": "at least",
    "exclusiveMinimum": "above",
    "maximum": "at most",
    "exclusiveMaximum": "below",
    "minLength": "characters, at least",
    "maxLength": "characters, at most",
    "minItems": "entries, at least",
    "maxItems": "entries, at most",
    "pattern": "pattern",
    "format": "format",
}


def type_of(schema: Schema) -> str:
    """What a value may be, as HTML; named schemas are links to their description."""
    if "$ref" in schema:
        name = str(schema["$ref"]).rsplit("/", 1)[-1]
        return f'<a href="#schema-{escape(name)}">{escape(name)}</a>'
    for joint in ("anyOf", "oneOf", "allOf"):
        if joint in schema:
            return " or ".join(dict.fromkeys(type_of(part) for part in schema[joint]))
    if "const" in schema:
        return code(repr(schema["const"]))
    if "enum" in schema:
        return " or ".join(code(str(value)) for value in schema["enum"])
    return _plain(schema)


def _plain(schema: Schema) -> str:
    kind = schema.get("type", "any value")
    kinds = kind if isinstance(kind, list) else [kind]
    return " or ".join(_one(str(name), schema) for name in kinds)


def _one(kind: str, schema: Schema) -> str:
    if kind == "array":
        if "prefixItems" in schema:
            return f"list of {', '.join(type_of(part) for part in schema['prefixItems'])}"
        return f"list of {type_of(schema.get('items', {}))}"
    inner = schema.get("additionalProperties")
    if kind == "object" and isinstance(inner, Mapping) and inner:
        return f"object of {type_of(inner)}"
    return escape(kind)


def limits_of(schema: Schema) -> str:
    """The rules on a value, as HTML."""
    parts = [schema, *(part for part in schema.get("anyOf", ()) if "$ref" not in part)]
    said = [
        f"{words} {code(str(part[name]))}"
        for part in parts
        for name, words in _LIMITS.items()
        if name in part
    ]
    if "default" in schema:
        said.append(f"default {code(_default(schema['default']))}")
    return "; ".join(dict.fromkeys(said))


def _default(value: Any) -> str:
    text = "null" if value is None else str(value)
    return text if len(text) <= 60 else "see the description"


def schema_section(name: str, schema: Schema) -> str:
    """A named schema: its members with types, rules and meanings."""
    needed = schema.get("required", ())
    rows = [
        (
            code(member),
            type_of(part),
            "yes" if member in needed else "",
            limits_of(part),
            prose(str(part.get("description", ""))),
        )
        for member, part in schema.get("properties", {}).items()
    ]
    members = table(("Member", "Type", "Required", "Rules", "Meaning"), rows)
    whole = "" if rows else f"<p>{type_of(schema)} {limits_of(schema)}</p>"
    return (
        f'<section id="schema-{escape(name)}"><h3>{escape(name)}</h3>'
        f"<p>{prose(str(schema.get('description', '')))}</p>{members}{whole}</section>"
    )

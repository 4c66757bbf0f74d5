"""The whole page: contents, operations by group, problem codes, schemas."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from typing import Any

from api.reference.manual.operations import (
    Operation,
    operation_section,
    operations_of,
    problems_in,
)
from api.reference.manual.schemas import schema_section
from api.reference.manual.text import code, paragraphs, prose, table

STYLE = """\
:root { color-scheme: light dark; --line: #8888; --soft: #8882; }
body { font: 1rem/1.5 system-ui, sans-serif; margin: 0 auto; max-width: 72rem; padding: 1rem; }
h2 { border-bottom: 2px solid var(--line); margin-top: 3rem; }
section { border-top: 1px solid var(--line); margin-top: 1.5rem; }
table { border-collapse: collapse; display: block; overflow-x: auto; font-size: .9rem; }
th, td { border: 1px solid var(--line); padding: .25rem .5rem; text-align: left;
  vertical-align: top; }
pre { background: var(--soft); overflow: auto; padding: .5rem; max-height: 40rem; }
code { overflow-wrap: anywhere; }
summary { cursor: pointer; padding: .25rem 0; }
.method { display: inline-block; min-width: 4.5rem; }
@media print { details:not([open]) { display: none; } }
"""


def manual_page(document: Mapping[str, Any]) -> str:
    """The OpenAPI document as one HTML page that needs nothing beside it."""
    info = document["info"]
    title = escape(f"{info['title']}: the interface, version {info['version']}")
    groups = _groups(document)
    return (
        f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{title}</title>'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<style>{STYLE}</style></head><body><header><h1>{title}</h1>"
        f"{paragraphs(info.get('description', ''))}{_HOW}</header>"
        f"<nav><h2>Contents</h2>{''.join(_contents(*group) for group in groups)}"
        '<p><a href="#problems">Problem codes</a>, <a href="#schemas">schemas</a></p></nav>'
        f"<main>{''.join(_group(*group) for group in groups)}"
        f'{_keys(document)}{_problems(document)}<h2 id="schemas">Schemas</h2>'
        f"{''.join(_schemas(document))}</main></body></html>\n"
    )


_HOW = (
    "<p>For programs the same is at <a href='/openapi.json'>/openapi.json</a>. In the lines for "
    "the shell <code>$S</code> is the address of the service, such as "
    "<code>http://127.0.0.1:8000</code>, names in braces are to be filled in, and "
    "<code>body.json</code> is one of the examples of the body.</p>"
)

Group = tuple[str, str, list[Operation]]


def _groups(document: Mapping[str, Any]) -> list[Group]:
    """Name, description and operations of each group that has some."""
    found = operations_of(document)
    named = {str(tag["name"]): str(tag.get("description", "")) for tag in document.get("tags", ())}
    for operation in found:
        named.setdefault(operation.tag, "")
    return [
        (name, text, [operation for operation in found if operation.tag == name])
        for name, text in named.items()
        if any(operation.tag == name for operation in found)
    ]


def _contents(name: str, _text: str, operations: Sequence[Operation]) -> str:
    lines = "".join(
        f'<li><a href="#{escape(one.anchor)}"><span class="method">{one.method}</span> '
        f"{code(one.path)}</a> {prose(one.data['summary'])}</li>"
        for one in operations
    )
    return f"<h3>{escape(name.capitalize())}</h3><ul>{lines}</ul>"


def _group(name: str, text: str, operations: Sequence[Operation]) -> str:
    sections = "".join(operation_section(operation) for operation in operations)
    return f"<h2>{escape(name.capitalize())}</h2><p>{prose(text)}</p>{sections}"


def _keys(document: Mapping[str, Any]) -> str:
    """How to show a key, where the service asks for one."""
    schemes = document.get("components", {}).get("securitySchemes", {})
    if not schemes:
        return ""
    return (
        "<h2>Keys</h2><p>This service asks for an API key: send it as "
        "<code>Authorization: Bearer KEY</code> or as <code>X-API-Key: KEY</code>.</p>"
    )


def _problems(document: Mapping[str, Any]) -> str:
    known: dict[str, tuple[str, str]] = {}
    for operation in operations_of(document):
        for status, name, title in problems_in(operation.data):
            known.setdefault(name, (status, title))
    rows = [
        (f'<span id="problem-{escape(name)}">{code(name)}</span>', code(status), prose(title))
        for name, (status, title) in sorted(known.items())
    ]
    return (
        '<h2 id="problems">Problem codes</h2><p>Every refusal is a problem document (RFC 9457, '
        "<code>application/problem+json</code>) with one of these codes.</p>"
        f"{table(('Code', 'Status', 'Meaning'), rows)}"
    )


def _schemas(document: Mapping[str, Any]) -> list[str]:
    schemas = document.get("components", {}).get("schemas", {})
    return [schema_section(name, schemas[name]) for name in sorted(schemas)]

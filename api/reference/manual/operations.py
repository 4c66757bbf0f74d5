"""Operations of the OpenAPI document: parameters, bodies, answers, errors."""

from __future__ import annotations

import shlex
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from html import escape
from typing import Any

from api.reference.manual.schemas import limits_of, type_of
from api.reference.manual.text import code, folded, paragraphs, pretty, prose, shortened, table

PROBLEM = "application/problem+json"


@dataclass(frozen=True, slots=True)
class Operation:
    """One method at one path."""

    method: str
    path: str
    data: Mapping[str, Any]

    @property
    def anchor(self) -> str:
        """Name of its place on the page."""
        return f"operation-{self.data['operationId']}"

    @property
    def tag(self) -> str:
        """The group it is shown in."""
        return str(self.data["tags"][0])


def operations_of(document: Mapping[str, Any]) -> list[Operation]:
    """Every operation, in the document's order."""
    return [
        Operation(method.upper(), path, data)
        for path, methods in document["paths"].items()
        for method, data in methods.items()
    ]


def operation_section(operation: Operation) -> str:
    """All that is to be known of an operation."""
    data = operation.data
    return (
        f'<section id="{escape(operation.anchor)}">'
        f'<h3><span class="method">{operation.method}</span> {code(operation.path)}</h3>'
        f"<p><strong>{prose(data['summary'])}.</strong></p>"
        f"{paragraphs(data.get('description', ''))}"
        f"<pre>{escape(curl_line(operation))}</pre>"
        f"{_parameters(data)}{_body(data)}{_answers(data)}{_problems(data)}</section>"
    )


def curl_line(operation: Operation) -> str:
    """A line for the shell that sends the request; names in braces are to be filled in."""
    words = ["curl", "-s"]
    if operation.method not in {"GET", "POST"} or (
        operation.method == "POST" and "requestBody" not in operation.data
    ):
        words += ["-X", operation.method]
    if "requestBody" in operation.data:
        words += ["--json", "@body.json"]
    return f'{shlex.join(words)} "$S{operation.path}"'


def _parameters(data: Mapping[str, Any]) -> str:
    rows = [
        (
            code(entry["name"]),
            escape(entry["in"]),
            type_of(entry.get("schema", {})),
            "yes" if entry.get("required") else "",
            limits_of(entry.get("schema", {})),
            prose(entry.get("description", "")),
        )
        for entry in data.get("parameters", ())
    ]
    heads = ("Parameter", "In", "Type", "Required", "Rules", "Meaning")
    return _titled("Parameters", table(heads, rows))


def _body(data: Mapping[str, Any]) -> str:
    said = []
    for media_type, content in data.get("requestBody", {}).get("content", {}).items():
        said.append(f"<p>{code(media_type)}: {type_of(content['schema'])}</p>")
        said += [
            folded(f"Example: {entry.get('summary', name)}", pretty(entry["value"]))
            for name, entry in content.get("examples", {}).items()
        ]
    return _titled("Body", "".join(said))


def _answers(data: Mapping[str, Any]) -> str:
    rows, examples = [], []
    for status, answer in data["responses"].items():
        content = {k: v for k, v in answer.get("content", {}).items() if k != PROBLEM}
        if not content and PROBLEM in answer.get("content", {}):
            continue
        types = "<br>".join(
            f"{code(k)}: {type_of(v.get('schema', {}))}" for k, v in content.items()
        )
        headers = "<br>".join(
            f"{code(name)} {prose(entry.get('description', ''))}"
            for name, entry in answer.get("headers", {}).items()
        )
        rows.append((code(status), prose(answer["description"]), types, headers))
        examples += [
            folded(f"Example of {status}, long lists cut short", _example(entry["example"]))
            for entry in content.values()
            if "example" in entry
        ]
    heads = ("Status", "Meaning", "Content", "Headers")
    return _titled("Answers", table(heads, rows) + "".join(examples))


def _example(value: Any) -> str:
    return value if isinstance(value, str) else pretty(shortened(value))


def _problems(data: Mapping[str, Any]) -> str:
    rows = [
        (code(status), f'<a href="#problem-{escape(name)}">{escape(name)}</a>', prose(title))
        for status, name, title in problems_in(data)
    ]
    return _titled("Problems", table(("Status", "Code", "Meaning"), rows))


def problems_in(data: Mapping[str, Any]) -> Iterator[tuple[str, str, str]]:
    """Status, code and title of every problem that the operation may be answered with."""
    for status, answer in data["responses"].items():
        examples = answer.get("content", {}).get(PROBLEM, {}).get("examples", {})
        for name, entry in examples.items():
            yield status, name, entry["value"]["title"]


def _titled(title: str, content: str) -> str:
    return f"<h4>{title}</h4>{content}" if content else ""

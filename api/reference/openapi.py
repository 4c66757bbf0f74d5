"""The OpenAPI page, put together from the endpoints and the schemas they name."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi
from pydantic import BaseModel
from pydantic.json_schema import models_json_schema

from api.http.documentation import problems
from api.http.problem_schemas import Problem
from api.http.wire import JsonObject
from api.layouts.check_schemas import LayoutCheckRequest
from api.packs.schemas import BuildRequest
from api.reference.properties import describe_properties
from api.settings import Settings
from api.studies.event_schemas import EndEvent, LayoutEvent, ProgressEvent, StateEvent
from api.studies.rerun_schemas import RerunRequest
from api.versions import API_VERSION
from optimizer.domain.brief import Brief

TITLE = "Closet layout optimizer"
DESCRIPTION = """\
Ranked, proved and checked closet layouts from a brief: propose, compare, rerun, build.

Send a brief to `POST /v1/studies` (take one from `/v1/scenarios` to begin with). With
`Prefer: wait=10` the answer is 201 with the result when it is ready in time; otherwise 202
with the study so far and its address in `Location`: read it again, or follow its `events`.
Lengths are in the brief's `units`. Errors are problem details (RFC 9457) with a stable `code`
and a JSON Pointer for each broken rule.
"""
_TAGS = [
    {"name": "studies", "description": "Runs over a brief, each with its ranked layouts."},
    {"name": "layouts", "description": "The layouts of a study."},
    {"name": "drawings", "description": "Drawings of a layout as SVG, DXF and PDF."},
    {"name": "build", "description": "The build pack of a layout."},
    {"name": "explanations", "description": "Layouts compared, and what priorities do."},
    {"name": "checks", "description": "Briefs and layouts checked without a study."},
    {"name": "reference", "description": "Ready briefs, limits and problem codes."},
    {"name": "service", "description": "The service itself."},
]
_OPEN = ("/healthz", "/readyz", "/v1/problems", "/v1/survey.pdf")
EVENTS = (StateEvent, ProgressEvent, LayoutEvent, EndEvent)
"""What the events of a stream carry."""
_SECURITY = {
    "bearer": {"type": "http", "scheme": "bearer"},
    "api_key": {"type": "apiKey", "in": "header", "name": "X-API-Key"},
}


def request_models() -> dict[str, type[BaseModel]]:
    """Models of request bodies by their name on the page."""
    return {
        "BriefInput": Brief,
        "RerunRequest": RerunRequest,
        "BuildRequest": BuildRequest,
        "LayoutCheckRequest": LayoutCheckRequest,
    }


def describe(app: FastAPI, settings: Settings) -> JsonObject:
    """The page as JSON; a second of work."""
    page = get_openapi(
        title=TITLE,
        version=API_VERSION,
        description=DESCRIPTION,
        routes=app.routes,
        tags=_TAGS,
        openapi_version="3.1.0",
    )
    _add_schemas(page)
    describe_properties(page["components"]["schemas"])
    _add_common_answers(page)
    if settings.api_keys:
        _add_security(page)
    return page


def with_examples(page: JsonObject, examples: Mapping[str, Any]) -> JsonObject:
    """The page with examples of answers by operation id, one for each operation."""
    # FastAPI keeps the page it made: examples must not get into that.
    shown = copy.deepcopy(page)
    for _path, operation in _operations(shown):
        example = examples.get(operation["operationId"])
        for status, response in operation["responses"].items():
            content = response.get("content", {}).get("application/json")
            if content is not None and example is not None and int(status) < 300:
                content["example"] = example
    return shown


def _add_schemas(page: JsonObject) -> None:
    """Put in the request models, under names apart from those of answers."""
    schemas = page.setdefault("components", {}).setdefault("schemas", {})
    # FastAPI names them for its own 422, which never leaves this service.
    for unused in ("HTTPValidationError", "ValidationError"):
        schemas.pop(unused, None)
    _shorten_names(page)
    schemas = page["components"]["schemas"]
    for name, schema in schemas.items():
        # An answer leaves nothing out: what has a default is there all the same.
        if "properties" in schema:
            schema["required"] = list(schema["properties"])
            schema["title"] = name
    _, answers = models_json_schema(
        [(model, "serialization") for model in (Problem, *EVENTS)],
        ref_template="#/components/schemas/{model}",
    )
    # What is there already says more: an answer leaves nothing out.
    page["components"]["schemas"] = schemas = {**answers["$defs"], **schemas}
    for name, model in request_models().items():
        schema = model.model_json_schema(
            mode="validation", ref_template="#/components/schemas/{model}"
        )
        parts = schema.pop("$defs", {})
        names = {part: _name_of(part, parts[part], schemas) for part in parts}
        names[model.__name__] = name
        schemas[name] = _renamed(schema, names)
        for part, definition in parts.items():
            schemas[names[part]] = _renamed(definition, names)


def _shorten_names(page: JsonObject) -> None:
    """Call two models of one name by their modules: `SheetsBox`, not a path of modules."""
    names: dict[str, str] = {}
    for name in page["components"]["schemas"]:
        steps = name.split("__")
        if len(steps) > 1:
            names[name] = f"{steps[-2].title().replace('_', '')}{steps[-1]}"
    if names:
        short = _renamed({key: page[key] for key in ("paths", "components")}, names)
        schemas = short["components"]["schemas"]
        short["components"]["schemas"] = {names.get(n, n): schemas[n] for n in schemas}
        page.update(short)


def _name_of(part: str, definition: JsonObject, schemas: JsonObject) -> str:
    """Name of a part of a request: its own, unless that of an answer's differs from it."""
    # A definition that refers to others may be the same text and still mean another thing.
    same = "$ref" not in str(definition) and schemas.get(part, definition) == definition
    return part if same else f"{part}Input"


def _renamed(value: Any, names: dict[str, str]) -> Any:
    """A schema whose references follow the new names."""
    if isinstance(value, list):
        return [_renamed(entry, names) for entry in value]
    if not isinstance(value, dict):
        return value
    found = {key: _renamed(entry, names) for key, entry in value.items()}
    reference = found.get("$ref")
    if isinstance(reference, str):
        last = reference.rsplit("/", 1)[-1]
        found["$ref"] = f"#/components/schemas/{names.get(last, last)}"
    # Titles of models only: a field may have the same title by chance.
    if isinstance(found.get("title"), str) and "properties" in found:
        found["title"] = names.get(found["title"], found["title"])
    return found


def _operations(page: JsonObject) -> list[tuple[str, JsonObject]]:
    """Every operation of the page with its path."""
    return [
        (path, operation)
        for path, methods in page["paths"].items()
        for operation in methods.values()
    ]


def _add_common_answers(page: JsonObject) -> None:
    """Say which id every answer carries, and leave no trace of what the wire never says."""
    for _path, operation in _operations(page):
        for answer in operation["responses"].values():
            answer.setdefault("headers", {})["X-Request-ID"] = {
                "description": "Id of the request, as in the logs.",
                "required": True,
                "schema": {"type": "string"},
            }


def _add_security(page: JsonObject) -> None:
    """Say that a key is needed, in either of two headers."""
    page["components"]["securitySchemes"] = _SECURITY
    refusal = problems("unauthorized")[401]
    refusal["headers"] = {
        "WWW-Authenticate": {"required": True, "schema": {"type": "string"}},
    }
    for path, operation in _operations(page):
        if not path.startswith(_OPEN):
            operation["security"] = [{name: []} for name in _SECURITY]
            operation["responses"]["401"] = refusal

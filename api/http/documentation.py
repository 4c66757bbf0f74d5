"""Pieces of the OpenAPI page: bodies, answers and problems as endpoints declare them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel

from api.http.errors import KINDS, MEDIA_TYPE, problem_document
from api.http.wire import JsonObject
from optimizer.errors import Fault
from optimizer.reference.prices import invented_prices

Responses = dict[int | str, JsonObject]

GROUPS: dict[str, tuple[str, ...]] = {
    "body": (
        "malformed_json",
        "request_timeout",
        "body_too_large",
        "unsupported_media_type",
        "invalid_body",
    ),
    "limits": ("too_many_studies", "too_many_stored", "queue_full"),
    "calculation": ("too_many_calculations", "calculation_timeout", "calculators_busy"),
}
"""Codes that come together."""

EVERYWHERE = (
    "malformed_request",
    "invalid_parameter",
    "internal",
    "store_busy",
    "store_full",
    "store_down",
    "too_many_requests",
    "wrong_host",
)
"""Codes that any request may be answered with."""

BRIEF_EXAMPLES: JsonObject = {
    "reach_in": {
        "summary": "A reach-in, 6 ft wide, in inches",
        "value": {
            "name": "Hall closet",
            "room": {
                "ceiling_height": 96,
                "walls": [
                    {"id": "A", "length": 24},
                    {"id": "B", "length": "6' 0-1/4\""},
                    {"id": "C", "length": 24},
                    {"id": "D", "length": 72.25},
                ],
                "openings": [{"wall": "D", "start": 12, "width": 48, "kind": "bifold"}],
            },
            "needs": {"long_hang": 20, "short_hang": 40, "shelf_length": 40},
        },
    },
    "single_wall": {
        "summary": "One wall, in millimetres",
        "value": {
            "name": "Bedroom wall",
            "units": "mm",
            "room": {"ceiling_height": 2450, "walls": [{"id": "N", "length": 2600}]},
            "needs": {
                "garments": [{"kind": "shirt", "count": 30}],
                "stored": [{"kind": "shoes", "count": 16}],
                "hooks": [{"id": "coats", "count": 3}],
                "shelf_length": 1500,
                "items": [{"id": "hamper", "width": 450, "depth": 400, "height": 650}],
            },
            "priorities": {"hanging": 3, "shelving": 2, "low_cost": 2},
            "options": {"alternatives": 3, "time_limit_s": 5},
        },
    },
}


RERUN_EXAMPLES: JsonObject = {
    "priorities": {
        "summary": "More shelf, less hanging",
        "value": {"patch": {"priorities": {"hanging": 1, "shelving": 4}}},
    },
    "keep_a_bay": {
        "summary": "Ask for less, keep one bay, stay near the earlier layout",
        "value": {
            "patch": {"needs": {"long_hang": 18}},
            "pins": [{"layout": 1, "bay": "B1"}],
            "stability": 0.5,
        },
    },
}

PRICE_BOOK: JsonObject = {
    **invented_prices().model_dump(mode="json"),
    "about": {"note": "Prices of my shop", "currency": "USD"},
}

BUILD_EXAMPLES: JsonObject = {
    "own_prices": {
        "summary": "A price book of one's own, less margin than it says, a date",
        "value": {
            "prices": PRICE_BOOK,
            "quote": {"labour_rate": 52, "margin": 0.1},
            "date": "2026-03-14",
        },
    },
    "rates_alone": {
        "summary": "Other rates of the quote on the program's own prices",
        "value": {"quote": {"labour_rate": 65, "margin": 0.25, "tax": 0.07}},
    },
}

CHECK_EXAMPLES: JsonObject = {
    "one_bay": {
        "summary": "One bay with a rod under a shelf",
        "value": {
            "brief": {
                "room": {"ceiling_height": 96, "walls": [{"id": "A", "length": 72}]},
                "needs": {"short_hang": 30},
            },
            "layout": {
                "bays": [
                    {
                        "id": "A1",
                        "wall": "A",
                        "start": 0.75,
                        "width": 30,
                        "depth": 24,
                        "height": 45.75,
                        "pattern": "own",
                        "zones": [
                            {
                                "kind": "rod",
                                "hang": "short",
                                "bottom": 3,
                                "top": 45,
                                "rod_height": 40,
                                "depth": 24,
                            },
                            {"kind": "shelf", "bottom": 45.75, "top": 58, "depth": 12},
                        ],
                    }
                ]
            },
        },
    }
}


def body(schema: str, examples: Mapping[str, Any]) -> JsonObject:
    """A required JSON body, described by a schema of the page."""
    return {
        "requestBody": {
            "required": True,
            "content": {
                "application/json": {
                    "schema": {"$ref": f"#/components/schemas/{schema}"},
                    "examples": dict(examples),
                }
            },
        }
    }


def header(text: str, schema: Mapping[str, Any] | None = None, *, always: bool = True) -> Any:
    """A header of an answer."""
    return {"description": text, "required": always, "schema": schema or {"type": "string"}}


ETAG = header("Version of what is answered; send it back as If-None-Match.")
RETRY_AFTER = header("Seconds after which to ask again.", {"type": "integer", "minimum": 1})
LOCATION = header("Address of the study.")


def as_asked(*, etag: bool = False) -> Responses:
    """200 with what the endpoint declares; with `etag` it may also be 304."""
    answers: Responses = {
        200: {"description": "As asked.", "headers": {"ETag": ETAG} if etag else {}}
    }
    if etag:
        answers[304] = {
            "description": "The version in If-None-Match is still right.",
            "headers": {"ETag": ETAG},
        }
    return answers


def also(model: type[BaseModel], status: int, text: str, *, etag: bool = False) -> Responses:
    """A JSON answer beside the usual one."""
    headers = {"ETag": ETAG} if etag else {}
    return {status: {"model": model, "description": text, "headers": headers}}


def made_answers(model: type[BaseModel]) -> Responses:
    """Answers to a request that makes a study."""
    replayed = header("`true` when this repeats the first answer.", always=False)
    applied = header("The wait that was granted.", always=False)
    common = {
        "Location": LOCATION,
        "RateLimit-Policy": header("Studies that a client may have under way.", always=False),
        "RateLimit": header("How many more it may have just now.", always=False),
        "Idempotency-Replayed": replayed,
        "Preference-Applied": applied,
    }
    return {
        201: {"description": "The study has ended.", "headers": common},
        202: {
            "model": model,
            "description": "The study is made and under way: this is what there is so far.",
            "headers": {**common, "Retry-After": RETRY_AFTER},
        },
    }


def built_answer() -> Responses:
    """The answer to a request that makes something of a study which stays the same from then."""
    headers = {"Location": header("Address of what was made."), "ETag": ETAG}
    return {201: {"description": "Made, now or before.", "headers": headers}}


def no_content(text: str) -> Responses:
    """An answer without a body."""
    return {204: {"description": text}}


def event_stream() -> Responses:
    """A stream of server-sent events."""
    example = (
        'id: 1\nevent: state\ndata: {"state": "queued", "attempt": 0}\n\n'
        'id: 3\nevent: progress\ndata: {"stage": "layout 1", "score": 81.2, "bound": 84.0, '
        '"seconds": 0.6, "layouts_found": 0}\n\n'
        'id: 4\nevent: layout\ndata: {"rank": 1, "layout": {"rank": 1, "score": 83.9}}\n\n'
        'id: 9\nevent: end\ndata: {"state": "done", "status": "optimal"}\n\n'
    )
    return {
        200: {
            "description": "Events `state`, `progress`, `layout` (with the layout in full; a later "
            "one of the same rank takes the place of a provisional one) and, as the last one, "
            "`end`, each with JSON data, of the form of the schemas `StateEvent`, "
            "`ProgressEvent`, `LayoutEvent` and `EndEvent`. Ids rise by one: send the last one "
            "read as Last-Event-ID to go on.",
            "content": {"text/event-stream": {"example": example}},
        }
    }


def text_answer(media_type: str, text: str) -> Responses:
    """A text that changes all the time."""
    return {200: {"description": text, "content": {media_type: {"schema": {"type": "string"}}}}}


def file_answer(media_type: str, text: str) -> Responses:
    """A file, under an ETag."""
    return files_answer((media_type,), text)


def files_answer(media_types: tuple[str, ...], text: str) -> Responses:
    """A file of one of these types, under an ETag."""
    return {
        200: {
            "description": text,
            "content": {name: _content(name) for name in media_types},
            "headers": {"ETag": ETAG},
        },
        304: {
            "description": "The version in If-None-Match is still right.",
            "headers": {"ETag": ETAG},
        },
    }


def _content(media_type: str) -> JsonObject:
    """The body of a file of that type, as OpenAPI describes it."""
    if media_type == "application/json":
        return {"schema": {}, "example": {}}
    readable = media_type.startswith("text/") or "xml" in media_type
    return {"schema": {"type": "string"} if readable else {"type": "string", "format": "binary"}}


def problems(*names: str) -> Responses:
    """Problem answers by code or group of codes, and those that any request may get."""
    codes = [code for name in (*names, *EVERYWHERE) for code in GROUPS.get(name, (name,))]
    # OpenAPI has one answer a status: codes that share one are examples of it.
    by_status: dict[int, list[str]] = {}
    for code in dict.fromkeys(codes):
        by_status.setdefault(KINDS[code].status, []).append(code)
    return {status: _problem(status, by_status[status]) for status in sorted(by_status)}


def _problem(status: int, codes: list[str]) -> JsonObject:
    """The answer of one status with every code that comes under it."""
    described = "; ".join(f"`{code}`: {KINDS[code].title.lower()}" for code in codes)
    content = {
        "schema": {"$ref": "#/components/schemas/Problem"},
        "examples": {code: {"value": _example(code)} for code in codes},
    }
    answer: JsonObject = {"description": f"{described}.", "content": {MEDIA_TYPE: content}}
    if status in {429, 503}:
        answer["headers"] = {"Retry-After": RETRY_AFTER}
    return answer


def _example(code: str) -> JsonObject:
    """A problem of that code."""
    faults = [Fault("/needs/short_hang", "-3 is negative; a length is 0 or more", "negative")]
    return {
        **problem_document(
            code,
            f"{KINDS[code].title.lower()}, with what happened this time",
            errors=faults if code.startswith("invalid_") else (),
            limit=20 if "full" in code or "too_" in code else None,
        ),
        "instance": "/v1/studies",
        "request_id": "3f9c0b1d2e4a5768",
    }

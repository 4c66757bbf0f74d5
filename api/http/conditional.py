"""Answers: JSON, problems, and conditional ones for what does not change."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from typing import Any, Generic, TypeVar

from pydantic import BaseModel
from starlette.requests import Request
from starlette.responses import Response
from starlette.types import Receive, Scope, Send

from api import logs
from api.http.errors import MEDIA_TYPE, ServiceError, problem_bytes
from api.http.wire import Wire

M = TypeVar("M", bound=BaseModel)
W = TypeVar("W", bound=Wire)

REVALIDATE = "private, no-cache"
"""May be kept by the client alone, and is asked for again with its ETag before use."""


class Answer(Response, Generic[M]):
    """An answer whose body is JSON of the model `M`, the one that its endpoint declares."""


def json_bytes(value: Any) -> bytes:
    """JSON text as it goes over the wire."""
    return json.dumps(value, ensure_ascii=True, allow_nan=False, separators=(",", ":")).encode()


def canonical(value: Any) -> bytes:
    """JSON with sorted keys and no spaces: one text per value."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), allow_nan=False).encode()


def request_digest(method: str, path: str, query: str, body: Any) -> str:
    """Digest of a request, to tell a repetition from another request under one key."""
    return hashlib.sha256(canonical([method, path, query, body])).hexdigest()


def etag_of(*parts: str | bytes) -> str:
    """A strong ETag for what is fully determined by `parts`."""
    digest = hashlib.sha256()
    for part in parts:
        piece = part.encode() if isinstance(part, str) else part
        # Each part with its length, so that "ab", "c" and "a", "bc" differ.
        digest.update(len(piece).to_bytes(8, "big") + piece)
    return f'"{digest.hexdigest()[:32]}"'


def matches(request: Request, etag: str) -> bool:
    """Whether the client has this version already (If-None-Match, RFC 9110, 13.1.2)."""
    asked = request.headers.get("if-none-match", "")
    if asked.strip() == "*":
        return True
    # A weak comparison, as RFC 9110 has it for If-None-Match: a proxy that encodes makes tags weak.
    return etag in {tag.strip().removeprefix("W/") for tag in asked.split(",")}


def unchanged(etag: str) -> Answer[Any]:
    """304: the client's copy is still right."""
    return Answer(status_code=304, headers={"ETag": etag, "Cache-Control": REVALIDATE})


def answer(
    body: bytes,
    *,
    status: int = 200,
    media_type: str = "application/json",
    etag: str | None = None,
    headers: Mapping[str, str] | None = None,
) -> Response:
    """An answer with its caching rule: revalidated by ETag, or not kept at all."""
    rules = {"Cache-Control": REVALIDATE, "ETag": etag} if etag else {"Cache-Control": "no-store"}
    return Response(
        body, status_code=status, media_type=media_type, headers={**rules, **(headers or {})}
    )


def stored(
    model: type[M],  # noqa: ARG001 - says what the text is of
    body: bytes,
    *,
    status: int = 200,
    etag: str | None = None,
    headers: Mapping[str, str] | None = None,
) -> Answer[M]:
    """An answer from JSON text of that model: documents go out as they were stored or made."""
    plain = answer(body, status=status, etag=etag, headers=headers)
    return Answer(plain.body, status, dict(plain.headers))


def reply(record: W, *, status: int = 200, headers: Mapping[str, str] | None = None) -> Answer[W]:
    """An answer that is not kept."""
    return stored(type(record), json_bytes(record.members()), status=status, headers=headers)


def versioned(request: Request, record: W) -> Answer[W]:
    """An answer under the ETag of its content, or 304."""
    return versioned_bytes(request, type(record), json_bytes(record.members()))


def versioned_bytes(request: Request, model: type[M], body: bytes) -> Answer[M]:
    """As `versioned`, from JSON text of that model."""
    etag = etag_of(body)
    return unchanged(etag) if matches(request, etag) else stored(model, body, etag=etag)


def conditional(
    request: Request,
    body: bytes,
    media_type: str = "application/json",
    *,
    filename: str | None = None,
) -> Response:
    """`body` under the ETag of its own content, or 304; a file says what it is called."""
    etag = etag_of(body)
    if matches(request, etag):
        return unchanged(etag)
    headers = {"Content-Disposition": f'inline; filename="{filename}"'} if filename else {}
    return answer(body, media_type=media_type, etag=etag, headers=headers)


def problem_answer(error: ServiceError, path: str) -> Response:
    """A problem as a response."""
    document = error.document()
    document["instance"] = path
    # By this a caller's report and the log line are brought together.
    document["request_id"] = logs.request_id.get()
    return Response(
        problem_bytes(document),
        status_code=error.kind.status,
        media_type=MEDIA_TYPE,
        headers={"Cache-Control": "no-store", **error.headers},
    )


async def send_problem(error: ServiceError, scope: Scope, receive: Receive, send: Send) -> None:
    """A problem from below the routes."""
    await problem_answer(error, scope["path"])(scope, receive, send)

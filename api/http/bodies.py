"""Request bodies: whole, in time, not too large, JSON that means one thing only."""

from __future__ import annotations

import asyncio
from typing import Any

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.http.conditional import send_problem
from api.http.errors import InvalidBodyError, ServiceError
from optimizer.briefs.json_text import MAX_DEPTH, UnreadableError, parse_json
from optimizer.errors import Fault

MAX_MEMBERS = 1000
"""Most members of an object in a body: records have a few dozen."""


class BodyGuard:
    """Reads a request's body before anything else runs, within limits of size and time."""

    def __init__(self, app: ASGIApp, *, max_bytes: int, timeout_s: float) -> None:
        """`timeout_s` is for the whole body, from its first byte to its last."""
        self._app = app
        self._max_bytes = max_bytes
        self._timeout_s = timeout_s

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on with its body at hand, or answer 408 or 413."""
        if scope["type"] != "http" or scope["method"] in {"GET", "HEAD", "OPTIONS"}:
            await self._app(scope, receive, send)
            return
        try:
            body = await self._read(scope, receive)
        except ServiceError as error:
            # The rest of the body may still come: read as a next request it would be nonsense.
            error.headers["Connection"] = "close"
            await send_problem(error, scope, receive, send)
            return
        if body is not None:
            await self._app(scope, _replay(body, receive), send)

    async def _read(self, scope: Scope, receive: Receive) -> bytes | None:
        """The whole body; None when the client went away."""
        declared = dict(scope["headers"]).get(b"content-length", b"0")
        # Refused by its own word, before a byte is read; one that says less is counted below.
        if int(declared) > self._max_bytes:
            raise self._too_large()
        body = bytearray()
        try:
            async with asyncio.timeout(self._timeout_s):
                more = True
                while more:
                    message = await receive()
                    if message["type"] == "http.disconnect":
                        return None
                    body += message.get("body", b"")
                    if len(body) > self._max_bytes:
                        raise self._too_large()
                    more = message.get("more_body", False)
        except TimeoutError:
            raise ServiceError(
                "request_timeout", f"the body did not arrive within {self._timeout_s:g} s"
            ) from None
        return bytes(body)

    def _too_large(self) -> ServiceError:
        """413, with the limit."""
        return ServiceError(
            "body_too_large", f"a body has at most {self._max_bytes} bytes", limit=self._max_bytes
        )


def _replay(body: bytes, receive: Receive) -> Receive:
    """A `receive` that gives `body` first and then what the connection says."""
    given = False

    async def replay() -> Message:
        """The body at the first call, the connection's own messages from then on."""
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return replay


def require_json(content_type: str, encoding: str = "") -> None:
    """Refuse a body that does not say that it is JSON, or that is encoded."""
    if encoding.strip().lower() not in {"", "identity"}:
        raise ServiceError(
            "unsupported_media_type",
            f"send the body as it is, not in {encoding[:40]!r}",
            headers={"Accept-Encoding": "identity"},
        )
    # As in 'application/json; charset=utf-8'.
    media_type, _, parameters = content_type.partition(";")
    kind = media_type.strip().lower()
    charset = parameters.lower().replace('"', "").replace(" ", "")
    if kind not in {"application/json"} or (
        charset.startswith("charset=") and charset != "charset=utf-8"
    ):
        raise ServiceError(
            "unsupported_media_type",
            f"send application/json in UTF-8, not {content_type[:80] or 'nothing'!r}",
            headers={"Accept-Post": "application/json"},
        )


def read_json(body: bytes) -> Any:
    """The value of a JSON body; 400 for what is no JSON, 422 for what means two things."""
    try:
        # The size was limited as it came in: here it is no limit of its own.
        value, faults = parse_json(body, len(body))
    except UnreadableError as error:
        if error.fault.code == "too_deep":
            raise InvalidBodyError("invalid_body", [error.fault], limit=MAX_DEPTH) from None
        raise ServiceError("malformed_json", error.fault.detail, errors=[error.fault]) from None
    if faults:
        raise InvalidBodyError("invalid_body", faults)
    _refuse_masses(value)
    return value


def _refuse_masses(value: Any) -> None:
    """Refuse objects of more members than any record has, before each member is looked at."""
    # A list, not recursion: depth is limited, but a deep body must not find the end of the stack.
    waiting = [("", value)]
    while waiting:
        pointer, here = waiting.pop()
        if isinstance(here, list):
            waiting += [(f"{pointer}/{n}", e) for n, e in enumerate(here) if _holds(e)]
        elif isinstance(here, dict):
            if len(here) > MAX_MEMBERS:
                detail = f"{len(here)} members in an object; at most {MAX_MEMBERS} are taken"
                fault = Fault(pointer, detail, "too_many_members")
                raise InvalidBodyError("invalid_body", [fault], limit=MAX_MEMBERS)
            waiting += [(f"{pointer}/{name}", e) for name, e in here.items() if _holds(e)]


def _holds(value: Any) -> bool:
    """Whether a value holds others."""
    return isinstance(value, dict | list)

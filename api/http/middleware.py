"""What surrounds every request: its id, log line, figures and security headers."""

from __future__ import annotations

import logging
import re
import secrets
import time
from collections.abc import Callable
from typing import Any

from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api import logs
from api.http.conditional import send_problem
from api.http.errors import ServiceError
from api.metrics import ServiceMetrics

REQUEST_ID_HEADER = "X-Request-ID"
_ALWAYS = {"/healthz", "/readyz"}
"""Answered however many requests are open, and to whatever name: orchestrators ask here."""
_PAGES = {"/", "/docs"}
"""Documents for browsers, with scripts and styles of this server's own."""
_PORT = re.compile(r":[0-9]*$")
_GIVEN_ID = re.compile(r"[A-Za-z0-9._-]{8,64}")
_LOG = logging.getLogger("api.requests")

_DATA_POLICY = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; sandbox"
_PAGE_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "font-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)


class RequestContext:
    """The outermost layer: nothing raised below it reaches the client unexplained.

    `shared` wraps the answers that this layer gives itself, as the layer below does those of
    the routes: it lets browsers of other origins read them. `note` is told method and route of
    each request when its answer begins.
    """

    def __init__(
        self,
        app: ASGIApp,
        *,
        metrics: ServiceMetrics,
        max_requests: int,
        hsts_seconds: int,
        hosts: frozenset[str] = frozenset(),
        shared: Callable[[ASGIApp], ASGIApp] = lambda app: app,
        note: Callable[[str, str], None] = lambda _method, _route: None,
    ) -> None:
        """`max_requests` are open at once; `hosts` the names answered to, none for all;
        `hsts_seconds` 0 sends no such header."""
        self._app = app
        self._shared = shared
        self._note = note
        self._metrics = metrics
        self._max_requests = max_requests
        self._hsts_seconds = hsts_seconds
        self._hosts = hosts
        self._open = 0

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        request_id = _request_id(scope)
        token = logs.request_id.set(request_id)
        watch = _Watch(scope, send, self._headers(scope, request_id), self._note)
        self._open += 1
        try:
            await self._serve(watch, receive)
        finally:
            self._open -= 1
            self._record(watch)
            logs.request_id.reset(token)

    async def _serve(self, watch: _Watch, receive: Receive) -> None:
        """Let the layers below answer; answer with a problem where they cannot."""
        scope = watch.scope
        try:
            if scope["path"] not in _ALWAYS and not self._answers_to(scope):
                raise ServiceError(
                    "wrong_host", "set CLOSET_HOSTS to the names that this server answers to"
                )
            if self._open > self._max_requests and scope["path"] not in _ALWAYS:
                raise ServiceError(
                    "too_many_requests",
                    f"at most {self._max_requests} requests are answered at once",
                    limit=self._max_requests,
                    retry_after=1,
                )
            await self._app(scope, receive, watch.send)
        except Exception as error:
            known = error if isinstance(error, ServiceError) else None
            if known is None or watch.status:
                _LOG.exception("a request failed")
            # Once an answer has begun nothing else can be said: the connection breaks off.
            if not watch.status:
                answer = known or ServiceError("internal", _INTERNAL)
                await self._shared(_refusal(answer))(scope, receive, watch.send)

    def _answers_to(self, scope: Scope) -> bool:
        """Whether the request was meant for a name of this server."""
        if not self._hosts:
            return True
        given = dict(scope["headers"]).get(b"host", b"").decode("latin-1").lower()
        return _PORT.sub("", given) in self._hosts

    def _headers(self, scope: Scope, request_id: str) -> dict[str, str]:
        """Headers that every answer carries."""
        path = scope["path"]
        page = path in _PAGES or path.startswith(("/page/", "/docs/files/"))
        headers = {
            REQUEST_ID_HEADER: request_id,
            "X-Content-Type-Options": "nosniff",
            "Content-Security-Policy": _PAGE_POLICY if page else _DATA_POLICY,
            "Referrer-Policy": "no-referrer",
            "X-Frame-Options": "DENY",
            "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
            "Cross-Origin-Opener-Policy": "same-origin",
        }
        if self._hsts_seconds:
            headers["Strict-Transport-Security"] = f"max-age={self._hsts_seconds}"
        return headers

    def _record(self, watch: _Watch) -> None:
        """Count the request and write its log line."""
        seconds = time.monotonic() - watch.started
        route = watch.route
        # A caller may invent methods, and each label of a metric is kept for good.
        method = watch.method if watch.method in _METHODS else "other"
        # 499 for a client that went away before an answer began: nginx's number, of no standard.
        self._metrics.requests.labels(method, route, str(watch.status or 499)).inc()
        # A stream stays open for as long as a study runs: among times of answers it would be noise.
        if not route.endswith("/events"):
            self._metrics.request_seconds.labels(method, route).observe(seconds)
        _LOG.info(
            "%s %s",
            watch.method,
            watch.scope["path"][:200],
            extra=logs.fields(status=watch.status or 499, ms=round(1000 * seconds, 1), route=route),
        )


def _refusal(error: ServiceError) -> ASGIApp:
    """An application that answers every request with the problem."""

    async def refuse(scope: Scope, receive: Receive, send: Send) -> None:
        """Answer with the problem."""
        await send_problem(error, scope, receive, send)

    return refuse


_METHODS = {"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"}
_INTERNAL = "the failure has been logged under this request_id"


class _Watch:
    """One request on its way through: a HEAD is served as the GET it asks about."""

    def __init__(
        self,
        scope: Scope,
        send: Send,
        headers: dict[str, str],
        note: Callable[[str, str], None],
    ) -> None:
        """Copies the scope, since a HEAD changes it for the layers below."""
        self.method = scope["method"]
        self.scope: dict[str, Any] = dict(scope)
        if self.method == "HEAD":
            # The server below drops the body of an answer to HEAD by itself.
            self.scope["method"] = "GET"
            self.scope["head"] = True
        self.started = time.monotonic()
        self.status = 0
        self._send = send
        self._headers = headers
        self._note = note

    @property
    def route(self) -> str:
        """The pattern of its path, once that is known."""
        return getattr(self.scope.get("route"), "path", "unmatched")

    async def send(self, message: Message) -> None:
        """Pass on a message, with the headers put in."""
        if message["type"] == "http.response.start":
            self.status = message["status"]
            self._note(self.method if self.method in _METHODS else "other", self.route)
            headers = MutableHeaders(scope=message)
            if "content-encoding" in headers and headers.get("etag", "").startswith('"'):
                # The same for every coding, so not byte for byte (RFC 9110, section 8.8.3.3).
                headers["etag"] = f"W/{headers['etag']}"
            for name, value in self._headers.items():
                headers.setdefault(name, value)
        await self._send(message)


def _request_id(scope: Scope) -> str:
    """The caller's id for the request where it is a sensible one, else a new one."""
    given = dict(scope["headers"]).get(REQUEST_ID_HEADER.lower().encode(), b"").decode("latin-1")
    return given if _GIVEN_ID.fullmatch(given) else secrets.token_hex(8)

"""Everything the service answers when it does not do what was asked: RFC 9457.

::

    ServiceError        one code of the table below, with what happened this time
    └── InvalidBodyError       a body that breaks rules; carries every fault found

Codes are stable: clients may act on them. Titles and details are for people.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from api.http.wire import JsonObject
from optimizer.errors import Fault

MEDIA_TYPE = "application/problem+json"
TYPE_ROOT = "/v1/problems/"
MAX_FAULTS = 100
"""Faults told at most; a further line says how many more there are."""


@dataclass(frozen=True, slots=True)
class ProblemKind:
    """A kind of problem: its HTTP status and what it means."""

    status: int
    title: str


KINDS: dict[str, ProblemKind] = {
    "malformed_json": ProblemKind(400, "The body is not JSON"),
    "malformed_request": ProblemKind(400, "The request is not readable HTTP"),
    "invalid_event_id": ProblemKind(400, "Last-Event-ID is no event's number"),
    "unauthorized": ProblemKind(401, "A valid API key is needed"),
    "not_found": ProblemKind(404, "There is nothing here"),
    "study_not_found": ProblemKind(404, "There is no such study"),
    "layout_not_found": ProblemKind(404, "The study has no such layout"),
    "scenario_not_found": ProblemKind(404, "There is no such scenario"),
    "method_not_allowed": ProblemKind(405, "The method is not allowed here"),
    "request_timeout": ProblemKind(408, "The body did not arrive in time"),
    "pricing_not_found": ProblemKind(404, "The study has no such prices"),
    "study_not_ended": ProblemKind(409, "The study has not ended yet"),
    "not_comparable": ProblemKind(409, "The stored figures do not allow the answer"),
    "too_many_pricings": ProblemKind(409, "The study has as many price books as it may"),
    "body_too_large": ProblemKind(413, "The body is too large"),
    "wrong_host": ProblemKind(421, "This server does not answer to that name"),
    "unsupported_media_type": ProblemKind(415, "The body must be JSON"),
    "invalid_brief": ProblemKind(422, "The brief breaks at least one rule"),
    "invalid_layout": ProblemKind(422, "The layout breaks at least one rule"),
    "invalid_body": ProblemKind(422, "The body breaks at least one rule"),
    "invalid_parameter": ProblemKind(422, "A parameter breaks a rule"),
    "idempotency_mismatch": ProblemKind(422, "This key was used with another request"),
    "cannot_build": ProblemKind(422, "The layout cannot be turned into parts"),
    "too_many_studies": ProblemKind(429, "Too many studies of this client are under way"),
    "too_many_stored": ProblemKind(429, "This client has as many studies stored as it may"),
    "too_many_calculations": ProblemKind(429, "Too many calculations of this client wait"),
    "too_many_streams": ProblemKind(429, "Too many event streams of this client are open"),
    "internal": ProblemKind(500, "The service failed"),
    "queue_full": ProblemKind(503, "The queue is full"),
    "store_busy": ProblemKind(503, "The store is busy"),
    "store_full": ProblemKind(503, "The store is full"),
    "store_down": ProblemKind(503, "The store cannot be reached"),
    "calculation_timeout": ProblemKind(503, "The calculation took too long"),
    "calculators_busy": ProblemKind(503, "All calculators are busy"),
    "too_many_requests": ProblemKind(503, "Too many requests are being answered"),
    "deadline_passed": ProblemKind(504, "The study did not end within its deadline"),
    "run_killed": ProblemKind(500, "The run did not stop in time and was killed"),
    "worker_lost": ProblemKind(500, "The study's workers died"),
    "nothing_buildable": ProblemKind(422, "No layout obeys the rules of the brief"),
    "run_failed": ProblemKind(500, "The run failed"),
}


class ServiceError(Exception):
    """A request that cannot be answered as asked; becomes one problem document."""

    def __init__(
        self,
        code: str,
        detail: str,
        *,
        errors: Sequence[Fault] = (),
        limit: float | None = None,
        retry_after: float | None = None,
        headers: Mapping[str, str] | None = None,
    ) -> None:
        """`limit` is the one that was passed; `retry_after` [s] becomes a header, of whole
        seconds from 1 on."""
        super().__init__(detail)
        self.code = code
        self.kind = KINDS[code]
        self.detail = detail
        self.errors = tuple(errors)
        self.limit = limit
        self.headers = dict(headers or {})
        if retry_after is not None:
            self.headers["Retry-After"] = str(max(1, round(retry_after)))

    def document(self) -> JsonObject:
        """The problem as JSON members."""
        return problem_document(self.code, self.detail, errors=self.errors, limit=self.limit)


class InvalidBodyError(ServiceError):
    """A body that breaks rules: one fault per broken rule."""

    def __init__(self, code: str, faults: Sequence[Fault], *, limit: float | None = None) -> None:
        # A line on one more fault would take the place of that fault.
        """Every fault found, up to `MAX_FAULTS`; what the body may hold at most is the `limit`."""
        if len(faults) > MAX_FAULTS + 1:
            more = len(faults) - MAX_FAULTS
            faults = [*faults[:MAX_FAULTS], Fault("", f"and {more} more faults", "more_faults")]
        noun = "rule is" if len(faults) == 1 else "rules are"
        detail = f"{len(faults)} {noun} broken: {faults[0].detail}" if faults else "no detail"
        super().__init__(code, detail, errors=faults, limit=limit)


def problem_document(
    code: str, detail: str, *, errors: Sequence[Fault] = (), limit: float | None = None
) -> JsonObject:
    """Members of a problem document of that code."""
    kind = KINDS[code]
    document: JsonObject = {
        "type": f"{TYPE_ROOT}{code}",
        "title": kind.title,
        "status": kind.status,
        "detail": detail,
        "code": code,
        "errors": [
            {"pointer": fault.pointer, "detail": fault.detail, "code": fault.code}
            for fault in errors
        ],
    }
    if limit is not None:
        document["limit"] = limit
    return document


def problem_bytes(document: Mapping[str, Any]) -> bytes:
    """The document as it goes over the wire."""
    return json.dumps(document, ensure_ascii=True, allow_nan=False).encode()

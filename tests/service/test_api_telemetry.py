"""Traces of requests: none unless asked for, and then one span each, named by its route."""

from __future__ import annotations

import asyncio
from typing import Any

import httpx
import pytest
from opentelemetry.sdk.trace.export import SimpleSpanProcessor
from opentelemetry.sdk.trace.export.in_memory_span_exporter import InMemorySpanExporter
from pydantic import ValidationError

from api import settings as settings_module
from api.app import create_app
from api.settings import Settings

TRACE, PARENT = "4bf92f3577b34da6a3ce929d0e0e4736", "00f067aa0ba902b7"
"""Of the example in W3C Trace Context, section 3.2."""


def spans_of(*paths: str, **settings: Any) -> list[Any]:
    """Spans of requests to these paths."""
    kept = InMemorySpanExporter()
    app = create_app(Settings(host="0.0.0.0", **settings), SimpleSpanProcessor(kept))  # noqa: S104

    async def ask() -> None:
        transport = httpx.ASGITransport(app)
        headers = {"traceparent": f"00-{TRACE}-{PARENT}-01"}
        async with httpx.AsyncClient(transport=transport, base_url="http://closets") as client:
            for path in paths:
                await client.get(path, headers=headers)

    asyncio.run(ask())
    return list(kept.get_finished_spans())


def test_a_request_is_a_span_named_by_its_route() -> None:
    """Part of its caller's trace, alike for all addresses of a route; health checks are none."""
    paths = ("/v1/problems/queue_full", "/v1/problems/internal", "/healthz")
    spans = spans_of(*paths, telemetry=True)
    assert {span.name for span in spans} == {"GET /v1/problems/{code}"}
    assert len(spans) == 2
    for span in spans:
        assert format(span.context.trace_id, "032x") == TRACE
        assert format(span.parent.span_id, "016x") == PARENT
        assert span.attributes["http.route"] == "/v1/problems/{code}"
        assert span.resource.attributes["service.name"] == "closet-layouts"


def test_nothing_is_traced_unless_asked_for() -> None:
    """Off by default."""
    assert spans_of("/v1/problems") == []


def test_asking_without_the_extra_says_what_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    """A setting that cannot be met is refused at the start."""
    monkeypatch.setattr(settings_module, "is_installed", lambda: False)
    with pytest.raises(ValidationError, match=r"\[telemetry\]"):
        Settings(telemetry=True)

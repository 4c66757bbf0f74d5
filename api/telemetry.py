"""Traces of requests by OpenTelemetry: off unless asked for, and then with the extra `telemetry`.

Where they go is said by OpenTelemetry's own variables, such as OTEL_EXPORTER_OTLP_ENDPOINT.
"""

from __future__ import annotations

import importlib.util
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from starlette.middleware import Middleware

from api.versions import API_VERSION

if TYPE_CHECKING:
    from opentelemetry.sdk.trace import SpanProcessor

_NEEDED = ("opentelemetry.sdk", "opentelemetry.instrumentation.asgi")
_UNTRACED = "healthz,readyz,metrics"


def is_installed() -> bool:
    """Whether what it takes is there."""
    try:
        return all(importlib.util.find_spec(name) is not None for name in _NEEDED)
    except ModuleNotFoundError:
        return False


def tracing(processor: SpanProcessor | None = None) -> Middleware:
    """The layer that makes a span of each request; `processor` takes them, without one they are
    sent to where OpenTelemetry's variables say."""
    from opentelemetry.instrumentation.asgi import OpenTelemetryMiddleware  # noqa: PLC0415
    from opentelemetry.sdk.resources import Resource  # noqa: PLC0415
    from opentelemetry.sdk.trace import TracerProvider  # noqa: PLC0415

    about = {"service.name": "closet-layouts", "service.version": API_VERSION}
    provider = TracerProvider(resource=Resource.create(about))
    provider.add_span_processor(processor or _sender())
    layer: Any = OpenTelemetryMiddleware
    return Middleware(
        layer,
        excluded_urls=_UNTRACED,
        tracer_provider=provider,
        # One span a request: an event stream would make one for each event.
        exclude_spans=["receive", "send"],
    )


def span_namer() -> Callable[[str, str], None]:
    """What names the span at hand by method and route, so that spans of one route are alike."""
    from opentelemetry import trace  # noqa: PLC0415

    def name(method: str, route: str) -> None:
        """Name the span of the request at hand."""
        span = trace.get_current_span()
        span.update_name(f"{method} {route}")
        span.set_attribute("http.route", route)

    return name


def _sender() -> SpanProcessor:
    """What sends spans to where OpenTelemetry's variables say, some at a time."""
    from opentelemetry.exporter.otlp.proto.http.trace_exporter import (  # noqa: PLC0415
        OTLPSpanExporter,
    )
    from opentelemetry.sdk.trace.export import BatchSpanProcessor  # noqa: PLC0415

    return BatchSpanProcessor(OTLPSpanExporter())

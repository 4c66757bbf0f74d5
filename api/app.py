"""The web application: `create_app`, and `app` for servers that are given a name."""

from __future__ import annotations

import re
from functools import partial
from typing import TYPE_CHECKING, Any

from fastapi import Depends, FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.cors import CORSMiddleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.responses import Response

from api.http.bodies import BodyGuard
from api.http.conditional import problem_answer
from api.http.deps import known_parameters
from api.http.errors import InvalidBodyError, ServiceError
from api.http.middleware import REQUEST_ID_HEADER, RequestContext
from api.http.wire import JsonObject
from api.layouts import (
    check_endpoints,
    drawing_endpoints,
    explanation_endpoints,
)
from api.layouts import endpoints as layout_endpoints
from api.lifespan import build_state, lifespan
from api.logs import configure_logs
from api.metrics import ServiceMetrics
from api.packs import drawn_endpoints as drawn_pack_endpoints
from api.packs import endpoints as pack_endpoints
from api.reference import endpoints as reference_endpoints
from api.reference import health, site
from api.reference.openapi import TITLE, describe
from api.settings import Settings
from api.studies import endpoints as study_endpoints
from api.studies import event_endpoints, rerun_endpoints, survey_endpoints
from api.telemetry import span_namer, tracing
from api.versions import API_VERSION
from optimizer.domain.validation import in_plain_words
from optimizer.errors import Fault

if TYPE_CHECKING:
    from opentelemetry.sdk.trace import SpanProcessor

    from api.worker.template import Template

ROUTES = (
    study_endpoints,
    rerun_endpoints,
    survey_endpoints,
    event_endpoints,
    layout_endpoints,
    drawing_endpoints,
    pack_endpoints,
    drawn_pack_endpoints,
    explanation_endpoints,
    check_endpoints,
    reference_endpoints,
    health,
)
_EXPOSED = [
    "ETag",
    "Location",
    "Retry-After",
    "Link",
    "Preference-Applied",
    "Idempotency-Replayed",
    "RateLimit",
    "RateLimit-Policy",
    REQUEST_ID_HEADER,
]


def create_app(
    settings: Settings | None = None,
    spans: SpanProcessor | None = None,
    template: Template | None = None,
) -> FastAPI:
    """The service under these settings, or under those of the environment; `spans` takes the
    traces, where the settings ask for them; child processes come from `template`, if there is
    one."""
    settings = settings or Settings()
    configure_logs(settings.log_level)
    metrics = ServiceMetrics()
    app = FastAPI(
        title=TITLE,
        version=API_VERSION,
        # FastAPI's pages load scripts from elsewhere, which the policy of this server forbids.
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        lifespan=lifespan,
        middleware=_middleware(settings, metrics, spans),
        # Some clients drop the body of a POST when they are redirected: an address is right or not
        # there.
        redirect_slashes=False,
    )
    app.state.closet = build_state(settings, metrics, template)
    _add_routes(app, settings)
    _add_handlers(app)
    return app


def _middleware(
    settings: Settings, metrics: ServiceMetrics, spans: SpanProcessor | None
) -> list[Middleware]:
    """Layers around the routes, the outermost first."""
    origins: JsonObject = {
        "allow_origins": list(settings.cors_origins),
        "allow_methods": ["GET", "POST", "DELETE"],
        "allow_headers": ["*"],
        "expose_headers": _EXPOSED,
    }
    shared: JsonObject = {}
    if settings.cors_origins:
        shared["shared"] = partial(CORSMiddleware, **origins)
    layers: list[Middleware] = []
    if settings.telemetry:
        layers.append(tracing(spans))
        shared["note"] = span_namer()
    layers.append(
        Middleware(
            RequestContext,
            metrics=metrics,
            max_requests=settings.max_requests,
            hsts_seconds=settings.hsts_seconds,
            hosts=settings.known_hosts,
            **shared,
        )
    )
    if settings.cors_origins:
        layers.append(Middleware(CORSMiddleware, **origins))
    # A middle level: higher ones take far longer and save little.
    layers.append(Middleware(GZipMiddleware, minimum_size=1000, compresslevel=5))
    layers.append(
        Middleware(BodyGuard, max_bytes=settings.max_body_bytes, timeout_s=settings.body_timeout_s)
    )
    return layers


def _add_routes(app: FastAPI, settings: Settings) -> None:
    """Add every endpoint, the OpenAPI page and the planner page."""
    strict = [Depends(known_parameters)]
    for module in ROUTES:
        app.include_router(module.router, dependencies=strict)
    described: JsonObject = {}

    def openapi() -> JsonObject:
        """The OpenAPI page; it takes a while to make, so it is made once."""
        if not described:
            described.update(describe(app, settings))
        return described

    app.openapi = openapi  # type: ignore[method-assign]
    site.add_page(app)
    site.add_description(app)
    site.add_viewer(app)


def _add_handlers(app: FastAPI) -> None:
    """Every refusal leaves as a problem document."""

    @app.exception_handler(ServiceError)
    async def refused(request: Request, error: ServiceError) -> Response:
        """A refusal raised by our own code."""
        return problem_answer(error, request.url.path)

    @app.exception_handler(RequestValidationError)
    async def invalid(request: Request, error: RequestValidationError) -> Response:
        """Parameters that FastAPI has refused."""
        faults = [_parameter_fault(entry) for entry in error.errors()]
        return problem_answer(InvalidBodyError("invalid_parameter", faults), request.url.path)

    @app.exception_handler(HTTPException)
    async def unserved(request: Request, error: HTTPException) -> Response:
        """An address or a method that nothing serves."""
        if error.status_code == 405:
            # Starlette names the methods of one route alone, but an address may have several.
            allowed = ", ".join(_methods_at(app, request.url.path)) or "GET, HEAD"
            problem = ServiceError(
                "method_not_allowed",
                f"{request.method[:20]} is not served here; {allowed} are",
                headers={"Allow": allowed},
            )
        else:
            problem = ServiceError("not_found", "no resource has this address")
        return problem_answer(problem, request.url.path)


def _methods_at(app: FastAPI, path: str) -> list[str]:
    """Every method that is served at a path, by whichever of the endpoints there."""
    found: set[str] = set()
    for template, methods in app.openapi()["paths"].items():
        pattern = re.sub(r"\\{[^}]*\\}", "[^/]+", re.escape(template))
        if re.fullmatch(pattern, path):
            found |= {method.upper() for method in methods}
    return sorted(found | ({"HEAD"} if "GET" in found else set()))


def _parameter_fault(entry: JsonObject) -> Fault:
    """A parameter's fault: the pointer names the part of the request and the parameter."""
    steps = [str(step).replace("~", "~0").replace("/", "~1") for step in entry["loc"]]
    return Fault("/" + "/".join(steps), in_plain_words(entry), entry["type"])


def __getattr__(name: str) -> Any:
    """`app`, made when a server asks for it and not before."""
    if name == "app":
        return create_app()
    raise AttributeError(name)

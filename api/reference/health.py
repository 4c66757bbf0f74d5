"""Whether the service lives, whether it can work, and its figures."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from api.http.conditional import answer, json_bytes
from api.http.deps import ClientDep, StateDep
from api.http.documentation import json_answer, problems, text_answer
from api.http.errors import ServiceError
from api.reference.schemas import Health, Readiness
from api.studies.repository import count_by_state
from api.versions import API_VERSION, versions

router = APIRouter(tags=["service"])


@router.get(
    "/healthz",
    operation_id="get_health",
    summary="Whether the service answers at all",
    response_class=Response,
    responses={**json_answer(Health), **problems()},
)
async def health() -> Response:
    """Answered without looking at anything else."""
    return answer(json_bytes({"alive": True, "api": API_VERSION, "versions": versions()}))


@router.get(
    "/readyz",
    operation_id="get_readiness",
    summary="Whether the service can take and solve studies",
    response_class=Response,
    responses={
        **json_answer(Readiness),
        **json_answer(Readiness, status=503, text="Not all of it is ready."),
        **problems(),
    },
)
def readiness(state: StateDep) -> Response:
    """Ready when the store answers, the reaper works and at least one worker is loaded."""
    try:
        with state.database.reading() as session:
            count_by_state(session)
        store = True
    except ServiceError:
        store = False
    workers = state.supervisor.ready()
    wanted = state.settings.workers
    stopping = state.watcher.stopping.is_set()
    ready = store and state.supervisor.reaping and (workers > 0 or wanted == 0) and not stopping
    view = {"ready": ready, "store": store, "workers_ready": workers, "workers": wanted}
    return answer(json_bytes(view), status=200 if ready else 503)


@router.get(
    "/metrics",
    operation_id="get_metrics",
    summary="Figures for Prometheus",
    response_class=Response,
    responses={**text_answer("text/plain", "Figures in Prometheus's text format."), **problems()},
)
def metrics(state: StateDep, _client: ClientDep) -> Response:
    """Requests, studies, workers and streams."""
    with state.database.reading() as session:
        for name, number in count_by_state(session).items():
            state.metrics.studies.labels(name).set(number)
    state.metrics.workers.set(state.supervisor.ready())
    return answer(state.metrics.text(), media_type="text/plain; version=0.0.4; charset=utf-8")

"""Whether the service lives, whether it can work, and its figures."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from api.http.conditional import answer, json_bytes
from api.http.deps import ClientDep, StateDep
from api.http.documentation import json_answer, problems, text_answer
from api.http.errors import ServiceError
from api.reference.schemas import Health, Readiness
from api.state import State
from api.store.servers import workers_alive
from api.studies.repository import count_by_state, oldest_waiting
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
    """Ready when the store can be written to and at least one worker is loaded."""
    store = _can_write(state)
    workers = state.supervisor.ready() or (_elsewhere(state) if store else 0)
    reasons = []
    if not store:
        reasons.append("store")
    if not workers:
        reasons.append("no_workers")
    if state.watcher.stopping.is_set() or not state.supervisor.reaping:
        reasons.append("stopping")
    view = {
        "ready": not reasons,
        "reasons": reasons,
        "store": store,
        "workers_ready": workers,
        "workers": state.settings.workers,
    }
    return answer(json_bytes(view), status=503 if reasons else 200)


def _elsewhere(state: State) -> int:
    """Workers that are ready in other processes on the same store."""
    try:
        with state.database.reading() as session:
            return workers_alive(session, state.database.lease_now(session))
    except ServiceError:
        return 0


def _can_write(state: State) -> bool:
    """Whether the store takes a change: one that is made and taken back."""
    try:
        state.database.probe()
    except ServiceError:
        return False
    return True


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
        oldest = oldest_waiting(session)
        age = 0.0 if oldest is None else max(0.0, state.database.now(session) - oldest)
    state.metrics.queue_age.set(age)
    state.metrics.workers.set(state.supervisor.ready())
    return answer(state.metrics.text(), media_type="text/plain; version=0.0.4; charset=utf-8")

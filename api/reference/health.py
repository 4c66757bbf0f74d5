"""Whether the service lives, whether it can work, and its figures."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from api.http.conditional import Answer, answer, reply
from api.http.deps import ClientDep, StateDep
from api.http.documentation import also, as_asked, problems, text_answer
from api.http.errors import ServiceError
from api.reference.schemas import Health, Readiness
from api.state import State
from api.store.servers import workers_alive
from api.studies.repository import count_by_state, oldest_waiting

router = APIRouter(tags=["service"])


@router.get(
    "/healthz",
    operation_id="get_health",
    summary="Whether the service answers at all",
    response_model=Health,
    responses={**as_asked(), **problems()},
)
async def health() -> Answer[Health]:
    """Answered without looking at anything else."""
    return reply(Health.now())


@router.get(
    "/readyz",
    operation_id="get_readiness",
    summary="Whether the service can take and solve studies",
    response_model=Readiness,
    responses={
        **as_asked(),
        **also(Readiness, 503, "Not all of it is ready."),
        **problems(),
    },
)
def readiness(state: StateDep) -> Answer[Readiness]:
    """Ready when the store can be written to and at least one worker is loaded."""
    store = _can_write(state)
    # A server that only serves is ready where others on its store solve.
    workers = state.supervisor.ready() or (_elsewhere(state) if store else 0)
    reasons = []
    if not store:
        reasons.append("store")
    if not workers:
        reasons.append("no_workers")
    if state.watcher.stopping.is_set() or not state.supervisor.reaping:
        reasons.append("stopping")
    record = Readiness(
        ready=not reasons,
        reasons=tuple(reasons),
        store=store,
        workers_ready=workers,
        workers=state.settings.workers,
    )
    return reply(record, status=503 if reasons else 200)


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
    # Asked for when figures are read, not kept up to date with every study.
    state.metrics.queue_age.set(age)
    state.metrics.workers.set(state.supervisor.ready())
    return answer(state.metrics.text(), media_type="text/plain; version=0.0.4; charset=utf-8")

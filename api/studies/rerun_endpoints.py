"""Reruns of a study, and where studies come from."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.concurrency import run_in_threadpool

from api.http.conditional import Answer, reply
from api.http.deps import ClientDep, JsonBody, KeyDep, StateDep, WaitDep
from api.http.documentation import RERUN_EXAMPLES, as_asked, body, made_answers, problems
from api.http.threads import read_in_turn
from api.studies.deps import StudyIdDep
from api.studies.endpoints import CacheControl, Deadline
from api.studies.lineage import lineage
from api.studies.pin_faults import require_pins
from api.studies.rerun_orders import instant, order_of, prepare
from api.studies.responses import answer_made
from api.studies.schemas import Lineage, StudyResource

router = APIRouter(prefix="/v1/studies/{study_id}", tags=["studies"])


@router.post(
    "/reruns",
    operation_id="create_rerun",
    summary="Run a study again with changes",
    status_code=201,
    response_model=StudyResource,
    responses={
        **made_answers(StudyResource),
        **problems(
            "body",
            "study_not_found",
            "study_not_ended",
            "invalid_brief",
            "idempotency_mismatch",
            "limits",
        ),
    },
    openapi_extra=body("RerunRequest", RERUN_EXAMPLES),
)
async def create_rerun(
    *,
    state: StateDep,
    client: ClientDep,
    study_id: StudyIdDep,
    data: JsonBody,
    wait: WaitDep,
    key: KeyDep,
    deadline_s: Deadline = None,
    cache_control: CacheControl = None,
) -> Answer[StudyResource]:
    """Make a study from an ended one: at once its layouts ranked anew, then a new solve."""
    made = await run_in_threadpool(state.studies.repeated, client, key)
    if made is None:
        prepared = await read_in_turn(prepare, state, client, study_id, data)
        await require_pins(state, prepared.taken)
        # At once, before the study is queued: it answers the caller while the solve waits.
        rescored = await instant(state, prepared)
        fresh = "no-cache" in (cache_control or "").lower()
        order = order_of(state, prepared, rescored, fresh=fresh, deadline_s=deadline_s)
        made = await run_in_threadpool(state.studies.make, client, order, key)
    return await answer_made(state, client, made, wait, key)


@router.get(
    "/lineage",
    operation_id="get_lineage",
    summary="Where a study comes from and what was made of it",
    response_model=Lineage,
    responses={**as_asked(), **problems("study_not_found")},
)
def get_lineage(state: StateDep, client: ClientDep, study_id: StudyIdDep) -> Answer[Lineage]:
    """The study's ancestors and every rerun of one descent."""
    with state.database.reading() as session:
        return reply(lineage(session, client, study_id))

"""Studies: made from a brief, listed, read, cancelled, deleted."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any, Literal
from urllib.parse import urlencode

from fastapi import APIRouter, Header, Query, Request
from pydantic import Field
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response

from api.http.conditional import Answer, matches, reply, stored, unchanged
from api.http.deps import ClientDep, JsonBody, KeyDep, StateDep, WaitDep
from api.http.documentation import (
    BRIEF_EXAMPLES,
    also,
    as_asked,
    body,
    made_answers,
    no_content,
    problems,
)
from api.http.errors import InvalidBodyError
from api.http.threads import read_in_turn
from api.state import State
from api.store.tables import DONE
from api.studies import lookup, repository
from api.studies.acceptance import take_brief
from api.studies.deps import StudyIdDep
from api.studies.fingerprints import fingerprint
from api.studies.pin_faults import require_pins
from api.studies.responses import answer_made
from api.studies.schemas import StudyHead, StudyPage, StudyResource
from api.studies.service import Order
from api.studies.views import study_bytes, study_etag
from optimizer.domain.study import Status
from optimizer.errors import Fault

router = APIRouter(prefix="/v1/studies", tags=["studies"])

Deadline = Annotated[
    float | None,
    Query(
        gt=0,
        le=86400,
        description="Seconds from acceptance in which the study must end, waiting included.",
    ),
]
Time = Annotated[
    str | None,
    Field(
        pattern=r"^\d{4}-\d\d-\d\d[Tt]\d\d:\d\d:\d\d(\.\d{1,6})?([Zz]|[+-]\d\d:\d\d)$",
        json_schema_extra={"format": "date-time"},
        examples=["2026-01-31T12:00:00Z"],
    ),
]
CacheControl = Annotated[
    str | None,
    Header(
        description="`no-cache` solves anew even if an equal brief has been answered already.",
        examples=["no-cache"],
    ),
]


@router.post(
    "",
    operation_id="create_study",
    summary="Propose layouts for a brief",
    status_code=201,
    response_model=StudyResource,
    responses={
        **made_answers(StudyResource),
        **problems("body", "invalid_brief", "idempotency_mismatch", "limits"),
    },
    openapi_extra=body("BriefInput", BRIEF_EXAMPLES),
)
async def create_study(
    *,
    state: StateDep,
    client: ClientDep,
    data: JsonBody,
    wait: WaitDep,
    key: KeyDep,
    deadline_s: Deadline = None,
    cache_control: CacheControl = None,
) -> Answer[StudyResource]:
    """Make a study of a brief: 201 with its result when it is ready in time, else 202."""
    # A repetition is answered before the body is judged: rules may have changed since the first.
    made = await run_in_threadpool(state.studies.repeated, client, key)
    if made is None:
        order = await read_in_turn(_order, state, data, deadline_s, cache_control)
        # Before the study is stored: a pin that cannot stand is a fault of the brief, not of a run.
        await require_pins(state, order.taken)
        made = await run_in_threadpool(state.studies.make, client, order, key)
    return await answer_made(state, client, made, wait, key)


def _order(state: State, data: Any, deadline_s: float | None, cache_control: str | None) -> Order:
    """What a study is to be made of, by the request's body and headers."""
    taken = take_brief(state.settings, data)
    return Order(
        taken=taken,
        fingerprint=fingerprint(taken.brief, runner=state.settings.runner),
        fresh="no-cache" in (cache_control or "").lower(),
        deadline_s=deadline_s,
    )


@router.get(
    "",
    operation_id="list_studies",
    summary="List studies, latest first",
    response_model=StudyPage,
    responses={**as_asked(), **problems()},
)
def list_studies(
    *,
    request: Request,
    state: StateDep,
    client: ClientDep,
    limit: Annotated[int, Query(ge=1, le=100, description="Most studies in a page.")] = 20,
    cursor: Annotated[
        str | None, Query(max_length=200, description="From the `next` of the page before.")
    ] = None,
    state_is: Annotated[
        Literal["queued", "running", "done"] | None, Query(alias="state", description="State.")
    ] = None,
    status: Annotated[Status | None, Query(description="How it ended.")] = None,
    name: Annotated[str | None, Query(max_length=200, description="Exact name.")] = None,
    parent: Annotated[
        str | None, Query(max_length=26, description="Reruns of this study only.")
    ] = None,
    created_after: Annotated[Time, Query(description="Not before this moment.")] = None,
    created_before: Annotated[Time, Query(description="Before this moment.")] = None,
) -> Answer[StudyPage]:
    """List the caller's studies."""
    filters = repository.Filters(
        state=state_is,
        status=None if status is None else status.value,
        # PostgreSQL refuses a null character in a text; names are stored without.
        name=None if name is None else name.replace("\0", ""),
        parent=None if parent is None else parent.replace("\0", ""),
        created_after=_seconds("created_after", created_after),
        created_before=_seconds("created_before", created_before),
    )
    after = None if cursor is None else lookup.read_cursor(cursor)
    with state.database.reading() as session:
        # One more than asked for, which tells whether there is a further page.
        rows = repository.page(session, client.owner, filters, after, limit + 1)
    further = None
    if len(rows) > limit:
        # The filters go along: a cursor alone would lead to a page of another list.
        kept = [(key, value) for key, value in request.query_params.items() if key != "cursor"]
        query = urlencode([*kept, ("cursor", lookup.write_cursor(rows[limit - 1]))])
        further = f"/v1/studies?{query}"
    headers = {"Link": f'<{further}>; rel="next"'} if further else {}
    items = tuple(StudyHead.from_row(row) for row in rows[:limit])
    return reply(StudyPage(items=items, next=further), headers=headers)


def _seconds(name: str, text: str | None) -> float | None:
    """A moment as seconds since 1970; 422 for a day or an hour that does not exist."""
    if text is None:
        return None
    try:
        return datetime.fromisoformat(text.upper().replace("Z", "+00:00")).timestamp()
    except (ValueError, OverflowError) as error:
        fault = Fault(f"/query/{name}", f"not a moment: {error}", "moment")
        raise InvalidBodyError("invalid_parameter", [fault]) from None


@router.get(
    "/{study_id}",
    operation_id="get_study",
    summary="Read a study",
    response_model=StudyResource,
    responses={**as_asked(etag=True), **problems("study_not_found")},
)
def get_study(
    request: Request, state: StateDep, client: ClientDep, study_id: StudyIdDep
) -> Answer[StudyResource]:
    """Read a study with its layouts so far; final, and never changed again, once done."""
    with state.database.reading() as session:
        row = lookup.require(session, client, study_id)
        etag = study_etag(row)
        # Before the texts are read: who polls has most of them already.
        if matches(request, etag):
            return unchanged(etag)
        return stored(StudyResource, study_bytes(session, row), etag=etag)


@router.delete(
    "/{study_id}",
    operation_id="delete_study",
    summary="Delete a study",
    status_code=204,
    response_class=Response,
    responses={**no_content("The study is gone."), **problems("study_not_found")},
)
def delete_study(state: StateDep, client: ClientDep, study_id: StudyIdDep) -> Response:
    """Delete a study with all that belongs to it; one that runs is stopped at once."""
    lookup.delete(state.database, client, study_id)
    return Response(status_code=204)


@router.post(
    "/{study_id}/cancellation",
    operation_id="cancel_study",
    summary="Cancel a study, keeping the best so far",
    response_model=StudyResource,
    responses={
        **as_asked(etag=True),
        **also(StudyResource, 202, "The run is being stopped.", etag=True),
        **problems("study_not_found"),
    },
)
def cancel_study(state: StateDep, client: ClientDep, study_id: StudyIdDep) -> Answer[StudyResource]:
    """Cancel: 200 with the study when it has ended, 202 while its run is being stopped."""
    lookup.cancel(state.database, state.settings, client, study_id)
    with state.database.reading() as session:
        row = lookup.require(session, client, study_id)
        status = 200 if row.state == DONE else 202
        body = study_bytes(session, row)
        return stored(StudyResource, body, status=status, etag=study_etag(row))

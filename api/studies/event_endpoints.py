"""A study's events, as they come."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Header, Query, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response, StreamingResponse
from starlette.types import Receive, Scope, Send

from api.http.clients import Client
from api.http.conditional import Answer, reply
from api.http.deps import ClientDep, StateDep, client_of
from api.http.documentation import event_stream, no_content, problems
from api.http.errors import ServiceError
from api.http.tokens import holder, issue
from api.state import State
from api.store.tables import DONE
from api.studies.deps import StudyIdDep
from api.studies.event_schemas import StreamAddress
from api.studies.lookup import require
from api.studies.streams import stream_events

_MOST = 2**63 - 1
"""Largest number that a database counts to."""

router = APIRouter(prefix="/v1/studies", tags=["studies"])


class EventStream(StreamingResponse):
    """A stream that holds one of its client's places for as long as it is open."""

    def __init__(self, state: State, client: Client, study_id: str, after: int) -> None:
        """Events of the study after number `after`; the place is taken only once the stream is
        sent."""
        self._state = state
        self._client = client
        self._events = stream_events(
            state.database, state.watcher, study_id, after, state.settings.stream_keepalive_s
        )
        # The second asks nginx not to collect a stream before it passes it on.
        headers = {"Cache-Control": "no-store", "X-Accel-Buffering": "no"}
        super().__init__(self._events, media_type="text/event-stream", headers=headers)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Stream, within the client's places."""
        settings = self._state.settings
        with self._state.streams.place(
            # All streams together leave half of the requests free, or nothing else would be
            # answered.
            self._client.name,
            settings.max_streams_per_client,
            max(1, settings.max_requests // 2),
        ):
            self._state.metrics.streams.inc()
            try:
                await super().__call__(scope, receive, send)
            finally:
                self._state.metrics.streams.dec()
                # A client that goes away leaves the generator between two events: it has to be
                # closed by hand.
                await self._events.aclose()


async def follower_of(
    request: Request,
    state: StateDep,
    study_id: StudyIdDep,
    token: Annotated[
        str | None,
        Query(
            max_length=300,
            description="From `stream-addresses`, in place of a key: for browsers, whose own event "
            "streams cannot send one.",
        ),
    ] = None,
) -> Client:
    """The caller, by token, by key or by address."""
    # Where no keys are set a token means nothing, and any is as good as none.
    if token is not None and state.settings.api_keys:
        return holder(state.settings, token, study_id)
    return await client_of(request, state)


FollowerDep = Annotated[Client, Depends(follower_of)]


@router.post(
    "/{study_id}/stream-addresses",
    operation_id="create_stream_address",
    summary="An address of the events that needs no key",
    status_code=201,
    response_model=StreamAddress,
    responses={
        201: {"description": "Good for opening the stream for a while."},
        **problems("study_not_found"),
    },
)
def create_stream_address(
    state: StateDep, client: ClientDep, study_id: StudyIdDep
) -> Answer[StreamAddress]:
    """An address with a token for this study's events alone; the plain one where no keys are set.

    A stream that was opened goes on after the token's end; one that breaks later needs a new one.
    """
    with state.database.reading() as session:
        require(session, client, study_id)
    issued = issue(state.settings, client, study_id)
    return reply(StreamAddress.of(study_id, issued), status=201)


@router.get(
    "/{study_id}/events",
    operation_id="stream_events",
    summary="Follow a study as it runs",
    response_class=Response,
    responses={
        **event_stream(),
        **no_content("The study has ended and its last event was read."),
        **problems("study_not_found", "invalid_event_id", "too_many_streams"),
    },
)
async def follow(
    request: Request,
    state: StateDep,
    client: FollowerDep,
    study_id: StudyIdDep,
    last_event_id: Annotated[
        str,
        Header(
            description="Go on after this event; from the first one without it.",
            # Told, not enforced: what is no number is answered with a code of its own.
            json_schema_extra={"pattern": "^[0-9]{0,18}$"},
            examples=["7"],
        ),
    ] = "",
) -> Response:
    """Server-sent events `state`, `progress`, `layout` and, as the last one, `end`."""

    after = _number(last_event_id)

    def is_over() -> bool:
        """Whether the study has ended and the client has read its last event."""
        with state.database.reading() as session:
            row = require(session, client, study_id)
            return row.state == DONE and 0 < row.seq <= after

    if await run_in_threadpool(is_over):
        # A browser that comes back after the last event is told to stay away.
        return Response(status_code=204, headers={"Cache-Control": "no-store"})
    # A HEAD asks what a GET would begin with, not for a stream without an end.
    if request.scope.get("head"):
        return Response(media_type="text/event-stream", headers={"Cache-Control": "no-store"})
    return EventStream(state, client, study_id, after)


def _number(given: str) -> int:
    """The number of the last event read; 0 for none."""
    if given == "":
        return 0
    if not (given.isascii() and given.isdigit() and len(given) <= 19 and int(given) <= _MOST):
        raise ServiceError("invalid_event_id", f"{given[:40]!r} is no event's number")
    return int(given)

"""A study's events, as they come."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Header, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import Response, StreamingResponse
from starlette.types import Receive, Scope, Send

from api.http.clients import Client
from api.http.deps import ClientDep, StateDep
from api.http.documentation import event_stream, problems
from api.state import State
from api.studies.deps import StudyIdDep
from api.studies.reading import require
from api.studies.streams import stream_events

router = APIRouter(prefix="/v1/studies", tags=["studies"])


class EventStream(StreamingResponse):
    """A stream that holds one of its client's places for as long as it is open."""

    def __init__(self, state: State, client: Client, study_id: str, after: int) -> None:
        self._state = state
        self._client = client
        self._events = stream_events(
            state.database, state.watcher, study_id, after, state.settings.stream_keepalive_s
        )
        headers = {"Cache-Control": "no-store", "X-Accel-Buffering": "no"}
        super().__init__(self._events, media_type="text/event-stream", headers=headers)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Stream, within the client's places."""
        most = self._state.settings.max_streams_per_client
        with self._state.streams.place(self._client.name, most):
            self._state.metrics.streams.inc()
            try:
                await super().__call__(scope, receive, send)
            finally:
                self._state.metrics.streams.dec()
                await self._events.aclose()


@router.get(
    "/{study_id}/events",
    operation_id="stream_events",
    summary="Follow a study as it runs",
    response_class=Response,
    responses={**event_stream(), **problems("study_not_found", "too_many_streams")},
)
async def follow(
    request: Request,
    state: StateDep,
    client: ClientDep,
    study_id: StudyIdDep,
    last_event_id: Annotated[
        str | None,
        Header(
            description="Go on after this event; from the first one without it.",
            max_length=20,
            examples=["7"],
        ),
    ] = None,
) -> Response:
    """Server-sent events `state`, `progress`, `layout` and, as the last one, `end`."""

    def check() -> None:
        with state.database.reading() as session:
            require(session, client, study_id)

    await run_in_threadpool(check)
    if request.scope.get("head"):
        return Response(media_type="text/event-stream", headers={"Cache-Control": "no-store"})
    given = last_event_id or ""
    after = int(given) if given.isascii() and given.isdigit() else 0
    return EventStream(state, client, study_id, after)

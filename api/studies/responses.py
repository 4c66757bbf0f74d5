"""Answering a request that made a study: with the result if it comes in time."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool

from api import logs
from api.http.clients import Client
from api.http.conditional import Answer, stored
from api.http.preferences import Key, WaitPreference
from api.state import State
from api.store.tables import DONE
from api.studies import repository
from api.studies.lookup import require
from api.studies.schemas import StudyResource, address
from api.studies.service import Made, retry_after
from api.studies.views import study_bytes, study_etag


async def answer_made(
    state: State, client: Client, made: Made, wait: WaitPreference, key: Key | None
) -> Answer[StudyResource]:
    """201 with the ended study, or 202 with the study so far; a repetition as the first time."""
    logs.study_id.set(made.study_id)
    headers = {"Location": address(made.study_id)}
    if wait.applied is not None:
        headers["Preference-Applied"] = wait.applied
    if made.repeated:
        headers["Idempotency-Replayed"] = "true"
    # The first request was answered already: the repetition gets the same bytes.
    if made.body is not None and made.status is not None:
        return _answer(made.status, made.body, headers, None)

    def read() -> tuple[int, bytes, str]:
        """Status, body and ETag of the study as it stands, with the headers that go with it."""
        with state.database.reading() as session:
            row = require(session, client, made.study_id)
            status = 201 if row.state == DONE else 202
            most = state.settings.max_active_per_client
            left = max(0, most - repository.active_of_client(session, client.name))
            headers["RateLimit-Policy"] = f'"studies-under-way";q={most}'
            headers["RateLimit"] = f'"studies-under-way";r={left}'
            if status == 202:
                headers["Retry-After"] = str(round(retry_after(session, state.settings)))
            return status, study_bytes(session, row), study_etag(row)

    status, body, etag = await run_in_threadpool(read)
    if status == 202 and wait.seconds > 0:
        # Watched from before the wait: an end in between would be missed.
        async with state.watcher.watching(made.study_id):
            await state.watcher.end(made.study_id, wait.seconds)
        status, body, etag = await run_in_threadpool(read)
    # For the repetitions to come.
    if key is not None:
        await run_in_threadpool(state.studies.keep_answer, client, key, status, body)
    return _answer(status, body, headers, etag)


def _answer(
    status: int, body: bytes, headers: dict[str, str], etag: str | None
) -> Answer[StudyResource]:
    """The answer; only one that is not final says when to ask again."""
    if status != 202:
        headers.pop("Retry-After", None)
    else:
        headers.setdefault("Retry-After", "1")
    return stored(StudyResource, body, status=status, headers=headers, etag=etag)

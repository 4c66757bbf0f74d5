"""Reading studies and layouts for a caller, and ending or deleting them at its word."""

from __future__ import annotations

import base64
import binascii
import json
import math
from dataclasses import dataclass

from sqlalchemy.orm import Session

from api.http.clients import Client
from api.http.errors import InvalidBodyError, ServiceError
from api.http.wire import JsonObject
from api.settings import Settings
from api.state import State
from api.store.database import Database
from api.store.ids import is_identifier
from api.store.tables import DONE, QUEUED, StudyRow
from api.studies import lifecycle, repository
from api.studies.lifecycle import finish, request_cancel
from api.studies.views import whole_result
from optimizer.errors import Fault


@dataclass(frozen=True, slots=True)
class Chosen:
    """A study's brief with some of its layouts, as JSON."""

    study_id: str
    brief: JsonObject
    result: JsonObject
    layouts: tuple[JsonObject, ...]


def require(session: Session, client: Client, study_id: str) -> StudyRow:
    """The caller's study; 404 when it has none of that id."""
    row = repository.find(session, client.owner, study_id)
    if row is None:
        # 404 for another's study as well: 403 would tell that it is there.
        raise ServiceError("study_not_found", f"there is no study {study_id!r} for you here")
    return row


def choose(
    session: Session, client: Client, study_id: str, ranks: tuple[int, ...] | None = None
) -> Chosen:
    """The study's layouts of those ranks, or all so far; 404 for one it does not have."""
    row = require(session, client, study_id)
    result = whole_result(session, row)
    by_rank = {layout["rank"]: layout for layout in result["layouts"]}
    wanted = tuple(by_rank) if ranks is None else ranks
    for rank in wanted:
        if rank not in by_rank:
            raise ServiceError(
                "layout_not_found",
                f"the study has {len(by_rank)} layouts so far and none of rank {rank}",
            )
    return Chosen(row.id, result["brief"], result, tuple(by_rank[rank] for rank in wanted))


def chosen_layout(state: State, client: Client, study_id: str, rank: int) -> Chosen:
    """The study's layout of one rank."""
    with state.database.reading() as session:
        return choose(session, client, study_id, (rank,))


def ended_study(state: State, client: Client, study_id: str, rank: int | None = None) -> Chosen:
    """An ended study, with its layout of that rank; 409 while it waits or runs."""
    with state.database.reading() as session:
        if require(session, client, study_id).state != DONE:
            raise ServiceError("study_not_ended", "wait for its end, or cancel it")
        return choose(session, client, study_id, None if rank is None else (rank,))


def cancel(database: Database, settings: Settings, client: Client, study_id: str) -> None:
    """End a waiting study at once, ask a running one to stop; an ended one stays as it is."""
    with database.writing() as session:
        row = require(session, client, study_id)
        if row.state == DONE:
            return
        request_cancel(session, row.id)
        if row.state == QUEUED:
            finish(
                session,
                row.id,
                lifecycle.cancelled(session, row),
                token=None,
                now=database.now(session),
                retention_s=settings.retention_days * 86400,
            )


def delete(database: Database, client: Client, study_id: str) -> None:
    """Delete a study with all that belongs to it; a run of it is killed."""
    with database.writing() as session:
        repository.remove(session, require(session, client, study_id).id)


def write_cursor(row: StudyRow) -> str:
    """Where the page after this study begins."""
    text = json.dumps([row.created_at, row.id])
    return base64.urlsafe_b64encode(text.encode()).decode().rstrip("=")


def read_cursor(cursor: str) -> tuple[float, str]:
    """Creation time and id in a cursor; 422 for one that this service did not write."""
    try:
        # Padding is cut off where cursors are written, since `=` has a meaning in addresses.
        text = base64.urlsafe_b64decode(cursor + "=" * (-len(cursor) % 4))
        created_at, study_id = json.loads(text)
        if not math.isfinite(created_at) or not is_identifier(study_id):
            raise ValueError(study_id)
        return float(created_at), study_id
    except (ValueError, TypeError, OverflowError, binascii.Error, RecursionError):
        fault = Fault("/query/cursor", "not a cursor of this service", "cursor")
        raise InvalidBodyError("invalid_parameter", [fault]) from None

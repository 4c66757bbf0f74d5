"""Jobs of the engine that hands waiting studies to workers on PostgreSQL.

A job is a hint: it names a study that waits. It is put into the engine's table by the
transaction that puts the study into the queue, so that neither is there without the other, and
whoever gets it claims the study by its id. Whatever becomes of a job, the study's row holds the
truth. On SQLite there is no engine, and nothing here does anything.
"""

from __future__ import annotations

from typing import Any

import psycopg
from procrastinate import App, SyncPsycopgConnector
from sqlalchemy import select, text
from sqlalchemy.orm import Session

from api.store.tables import QUEUED, StudyRow

SOLVE = "closet:solve"
STUDIES = "closet:studies"
UPKEEP = "closet:upkeep"
"""Names of the task and of the two queues, each with workers of its own."""

_SINCE = 1_735_689_600
"""2025-01-01: priorities are 32-bit integers, and seconds since then fit for decades."""

_app = App(connector=SyncPsycopgConnector())  # never opened: it writes on our connections


def defer(session: Session, row: StudyRow) -> None:
    """Have a worker take up a study that waits, once this transaction is committed."""
    if _is_server(session):
        job = _app.configure_task(
            SOLVE, queue=STUDIES, priority=priority_of(row), connection=_connection(session)
        )
        job.defer(study_id=row.id)


def defer_forgotten(session: Session) -> int:
    """Make jobs for waiting studies that have none; gives how many there were.

    These are studies accepted before there was an engine, and whatever its tables lost.
    """
    if not _is_server(session):
        return 0
    without = text(
        "NOT EXISTS (SELECT FROM procrastinate_jobs job WHERE job.status IN ('todo', 'doing')"
        " AND job.queue_name = :queue AND job.args ->> 'study_id' = studies.id)"
    ).bindparams(queue=STUDIES)
    rows = session.execute(select(StudyRow).where(StudyRow.state == QUEUED, without)).scalars()
    found = list(rows)
    for row in found:
        defer(session, row)
    return len(found)


def priority_of(row: StudyRow) -> int:
    """The higher the earlier: by acceptance plus the brief's time limit, as `claim_next` has it."""
    return _SINCE - round(row.created_at + row.time_limit_s)


def _is_server(session: Session) -> bool:
    """Whether the store is on PostgreSQL."""
    return session.get_bind().dialect.name == "postgresql"


def _connection(session: Session) -> psycopg.Connection[Any]:
    """The connection under a session, within its transaction."""
    # The job is written past SQLAlchemy: the row that it names has to be there first.
    session.flush()
    raw = session.connection().connection.driver_connection
    assert isinstance(raw, psycopg.Connection)  # noqa: S101 - narrows the type only
    return raw

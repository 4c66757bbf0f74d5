"""The queue: claiming studies under a lease, keeping and losing it, and ending them once.

A study goes queued -> running -> done. Every change while it runs is conditional on the
lease token of the claim, so a worker that lost its lease can change nothing any more; the
step to done is conditional too, so it is taken exactly once.
"""

from __future__ import annotations

import json
import secrets
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, select, update
from sqlalchemy.engine import CursorResult
from sqlalchemy.orm import Session

from api.store.events import END, STATE, append_event
from api.store.tables import DONE, QUEUED, RUNNING, DocumentRow, FoundRow, StudyRow


@dataclass(frozen=True, slots=True)
class Claim:
    """A worker's hold on a study; worthless once the token is no longer the study's."""

    study_id: str
    token: str
    attempt: int
    run_until: float
    owner: str = ""
    fingerprint: str = ""
    fresh: bool = False


@dataclass(frozen=True, slots=True)
class Ending:
    """How a study ends: contract status, result as JSON, problem document if any."""

    status: str
    result: str
    problem: dict[str, Any] | None = None


@dataclass(frozen=True, slots=True)
class Holding:
    """What a worker must know while it holds a lease."""

    held: bool
    cancel_requested: bool


def _changed(
    session: Session, study_id: str, condition: ColumnElement[bool], **values: Any
) -> bool:
    """Whether the study met the condition and was changed."""
    outcome = session.execute(
        update(StudyRow).where(StudyRow.id == study_id, condition).values(**values)
    )
    assert isinstance(outcome, CursorResult)  # noqa: S101 - narrows the type only
    return outcome.rowcount == 1


def _holds(token: str) -> ColumnElement[bool]:
    return (StudyRow.state == RUNNING) & (StudyRow.lease_token == token)


def claim(
    session: Session, *, worker: str, now: float, lease_s: float, run_allowance_s: float
) -> Claim | None:
    """Take the study that has waited longest, or None; the attempt is counted at once."""
    row = session.execute(
        select(StudyRow)
        .where(StudyRow.state == QUEUED)
        .order_by(StudyRow.created_at, StudyRow.id)
        .limit(1)
        .with_for_update(skip_locked=True)
    ).scalar_one_or_none()
    if row is None:
        return None
    row.state = RUNNING
    row.worker = worker
    row.lease_token = secrets.token_hex(16)
    row.lease_until = now + lease_s
    row.run_until = min(row.deadline_at, now + row.time_limit_s + run_allowance_s)
    row.started_at = row.started_at if row.started_at is not None else now
    row.attempts += 1
    session.flush()
    append_event(session, row.id, STATE, {"state": RUNNING, "attempt": row.attempts}, now)
    return claim_of(row)


def keep(session: Session, held: Claim, *, now: float, lease_s: float) -> Holding:
    """Prolong a lease; says whether it is still held and whether a cancel was asked."""
    if not _changed(session, held.study_id, _holds(held.token), lease_until=now + lease_s):
        return Holding(held=False, cancel_requested=False)
    return look(session, held)


def look(session: Session, held: Claim) -> Holding:
    """As `keep`, without prolonging."""
    row = session.execute(
        select(StudyRow.cancel_requested).where(StudyRow.id == held.study_id, _holds(held.token))
    ).one_or_none()
    return Holding(row is not None, bool(row and row[0]))


def note_progress(session: Session, held: Claim, **values: Any) -> bool:
    """Write progress on the study's row; False when the lease is lost."""
    return _changed(session, held.study_id, _holds(held.token), **values)


def note_layout(session: Session, held: Claim, *, rank: int, score: float, body: str) -> None:
    """Keep a layout that the run has found."""
    session.merge(
        FoundRow(study_id=held.study_id, attempt=held.attempt, rank=rank, score=score, body=body)
    )


def hand_back(session: Session, held: Claim, *, now: float, uncounted: bool) -> bool:
    """Put a held study back into the queue; `uncounted` takes the attempt off the count."""
    attempts = StudyRow.attempts - 1 if uncounted else StudyRow.attempts
    done = _changed(
        session,
        held.study_id,
        _holds(held.token),
        state=QUEUED,
        attempts=attempts,
        worker=None,
        lease_token=None,
        lease_until=None,
        run_until=None,
    )
    if done:
        append_event(session, held.study_id, STATE, {"state": QUEUED, "again": True}, now)
    return done


def finish(
    session: Session,
    study_id: str,
    ending: Ending,
    *,
    token: str | None,
    now: float,
    retention_s: float,
    **values: Any,
) -> bool:
    """End a study: the one holding `token`, or a queued one when it is None.

    Gives False, and changes nothing, when the study was not in that position any more.
    """
    position = StudyRow.state == QUEUED if token is None else _holds(token)
    done = _changed(
        session,
        study_id,
        position,
        state=DONE,
        status=ending.status,
        problem=None if ending.problem is None else json.dumps(ending.problem),
        finished_at=now,
        expires_at=now + retention_s,
        worker=None,
        lease_token=None,
        lease_until=None,
        run_until=None,
        **values,
    )
    if done:
        session.execute(
            update(DocumentRow)
            .where(DocumentRow.study_id == study_id)
            .values(result=ending.result, earlier=None)
        )
        append_event(session, study_id, END, {"state": DONE, "status": ending.status}, now)
    return done


def request_cancel(session: Session, study_id: str) -> None:
    """Ask for a study's end; whoever runs it sees the wish within a moment."""
    session.execute(
        update(StudyRow)
        .where(StudyRow.id == study_id, StudyRow.state != DONE)
        .values(cancel_requested=True)
    )


def lost(session: Session, now: float, limit: int = 50) -> list[StudyRow]:
    """Running studies whose lease has run out."""
    query = (
        select(StudyRow)
        .where(StudyRow.state == RUNNING, StudyRow.lease_until < now)
        .limit(limit)
        .with_for_update(skip_locked=True)
    )
    return list(session.execute(query).scalars())


def overdue(session: Session, now: float, limit: int = 50) -> list[StudyRow]:
    """Queued studies past their deadline."""
    query = (
        select(StudyRow)
        .where(StudyRow.state == QUEUED, StudyRow.deadline_at < now)
        .limit(limit)
        .with_for_update(skip_locked=True)
    )
    return list(session.execute(query).scalars())


def claim_of(row: StudyRow) -> Claim:
    """The claim on record of a running study."""
    return Claim(
        row.id,
        row.lease_token or "",
        row.attempts,
        row.run_until or 0.0,
        row.owner,
        row.fingerprint,
        row.fresh,
    )

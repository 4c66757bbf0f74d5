"""A study's life: claimed under a lease, kept, lost, handed back, and ended exactly once.

A study goes queued -> running -> done. Every change while it runs is conditional on the
lease token of the claim, so a worker that lost its lease can change nothing any more; the
step to done is conditional too, so it is taken exactly once. Every way in which a run can
end without having ended its study is here too, with the best that was found.
"""

from __future__ import annotations

import json
import logging
import secrets
from dataclasses import dataclass
from typing import Any, Literal

from sqlalchemy import ColumnElement, or_, select, update
from sqlalchemy.engine import CursorResult
from sqlalchemy.orm import Session

from api import logs
from api.http.errors import problem_document
from api.store import jobs
from api.store.database import Database
from api.store.tables import DONE, QUEUED, RUNNING, DocumentRow, FoundRow, StudyRow
from api.studies import repository
from api.studies.distances import differences_of
from api.studies.events import END, STATE, append_event
from optimizer.versions import versions

Death = Literal["crash", "cancel", "limit", "shutdown", "lost"]
"""What a run died of; `lost`: with the server that watched over it, through no fault of its own."""

LONGEST_LEASE_S = 3600.0

_LOG = logging.getLogger("api.studies.lifecycle")


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
class ClaimTerm:
    """Who claims a study, and for how long: by the clock of leases, and for a run [s]."""

    worker: str
    now: float
    lease_until: float
    run_allowance_s: float


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
    """The condition that the study runs under this claim.

    A worker that was given up for dead, and whose study another has taken, does not meet it.
    """
    return (StudyRow.state == RUNNING) & (StudyRow.lease_token == token)


def claim(session: Session, study_id: str, term: ClaimTerm) -> Claim | None:
    """Take that study, or None where it does not wait any more."""
    query = select(StudyRow).where(StudyRow.id == study_id, StudyRow.state == QUEUED)
    # On SQLite this locks nothing more: a writing transaction has the whole file.
    row = session.execute(query.with_for_update()).scalar_one_or_none()
    return None if row is None else _taken(session, row, term)


def claim_next(session: Session, term: ClaimTerm) -> Claim | None:
    """Take the waiting study whose turn it is, or None.

    The order is that of acceptance plus the brief's time limit: short ones go before long ones
    that came a little earlier, and nothing waits for ever.
    """
    turn = StudyRow.created_at + StudyRow.time_limit_s
    query = select(StudyRow).where(StudyRow.state == QUEUED).order_by(turn, StudyRow.id).limit(1)
    row = session.execute(query).scalar_one_or_none()
    return None if row is None else _taken(session, row, term)


def _taken(session: Session, row: StudyRow, term: ClaimTerm) -> Claim:
    """Claim a study that waits; the attempt is counted at once."""
    row.state = RUNNING
    row.worker = term.worker
    row.lease_token = secrets.token_hex(16)
    row.lease_until = term.lease_until
    # A run has its limit and what placing takes; the deadline counts from acceptance and may be
    # sooner.
    row.run_until = min(row.deadline_at, term.now + row.time_limit_s + term.run_allowance_s)
    # Of the first attempt: people count from when work on it began.
    row.started_at = row.started_at if row.started_at is not None else term.now
    row.attempts += 1
    session.flush()
    append_event(session, row.id, STATE, {"state": RUNNING, "attempt": row.attempts}, term.now)
    return claim_of(row)


def claim_of(row: StudyRow) -> Claim:
    """The claim under which a running study is worked on, read back from its row."""
    return Claim(
        row.id,
        row.lease_token or "",
        row.attempts,
        row.run_until or 0.0,
        row.owner,
        row.fingerprint,
        row.fresh,
    )


def keep(session: Session, held: Claim, *, lease_until: float) -> Holding:
    """Prolong a lease; says whether it is still held and whether a cancel was asked."""
    if not _changed(session, held.study_id, _holds(held.token), lease_until=lease_until):
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
    # Merged, since a note that was written may be written again after a failed commit.
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
        # The job that brought it is over: without a new one no engine would tell of it.
        jobs.defer(session, session.get_one(StudyRow, held.study_id))
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
            # The earlier study's text is of use to a run alone, and large.
            .values(result=ending.result, earlier=None)
        )
        append_event(session, study_id, END, {"state": DONE, "status": ending.status}, now)
    return done


def request_cancel(session: Session, study_id: str) -> None:
    """Ask for a study's end; whoever runs it sees that within a moment."""
    session.execute(
        update(StudyRow)
        .where(StudyRow.id == study_id, StudyRow.state != DONE)
        .values(cancel_requested=True)
    )


def lost(session: Session, now: float, limit: int = 50) -> list[StudyRow]:
    """Running studies whose lease has run out; `now` by the clock of leases.

    A lease that is good for longer than any is was given before the machine was started anew.
    """
    out = or_(StudyRow.lease_until < now, StudyRow.lease_until > now + LONGEST_LEASE_S)
    query = (
        select(StudyRow)
        .where(StudyRow.state == RUNNING, out)
        .limit(limit)
        .with_for_update(skip_locked=True)
    )
    return list(session.execute(query).scalars())


def overdue(session: Session, now: float, limit: int = 50) -> list[StudyRow]:
    """Some queued studies past their deadline, locked, without those that others locked."""
    query = (
        select(StudyRow)
        .where(StudyRow.state == QUEUED, StudyRow.deadline_at < now)
        .limit(limit)
        .with_for_update(skip_locked=True)
    )
    return list(session.execute(query).scalars())


def ending_of(
    session: Session, row: StudyRow, status: str, problem: dict[str, Any] | None
) -> Ending:
    """The ending `status` with whatever layouts are known of a study.

    Layouts are those of the attempt that got furthest; failing those, in a rerun, the
    earlier ones ranked anew.
    """
    texts = repository.documents(session, row.id)
    layouts = [_kept(body) for body in repository.found_layouts(session, row.id)]
    if not layouts and texts.rescored:
        layouts = json.loads(texts.rescored)["layouts"]
    brief = json.loads(texts.brief)
    result = {
        "brief": brief,
        "status": status,
        "layouts": layouts,
        "differences": differences_of(brief, layouts),
        "warnings": json.loads(texts.warnings),
        "versions": versions(),
        "seconds": row.seconds or 0.0,
    }
    return Ending(status, json.dumps(result), problem)


def _kept(body: str) -> dict[str, Any]:
    """A layout as it was noted; a provisional one will not be bettered any more."""
    layout: dict[str, Any] = json.loads(body)
    if layout.get("status") == "provisional":
        layout["status"] = "time_limit"
    return layout


def cancelled(session: Session, row: StudyRow) -> Ending:
    """A cancelled study."""
    return ending_of(session, row, "cancelled", None)


def deadline_passed(session: Session, row: StudyRow) -> Ending:
    """A study that its deadline ended, waiting or running."""
    detail = (
        f"the study had until {row.deadline_at - row.created_at:.0f} s after it was accepted to end"
    )
    return _out_of_time(session, row, problem_document("deadline_passed", detail))


def run_killed(session: Session, row: StudyRow) -> Ending:
    """A study whose run went on past its own time limit and what was allowed beyond."""
    detail = (
        f"the run did not stop within the brief's time limit of {row.time_limit_s:g} s and the "
        "allowance for placing, checking and repairs"
    )
    return _out_of_time(session, row, problem_document("run_killed", detail))


def worker_lost(session: Session, row: StudyRow) -> Ending:
    """A study whose workers died as often as is allowed."""
    detail = f"{row.attempts} attempts ended with the worker's death; the best found is kept"
    return ending_of(session, row, "error", problem_document("worker_lost", detail))


def _out_of_time(session: Session, row: StudyRow, problem: dict[str, Any]) -> Ending:
    """`time_limit` where there is something to show, else an error."""
    ending = ending_of(session, row, "time_limit", problem)
    if json.loads(ending.result)["layouts"]:
        return ending
    return ending_of(session, row, "error", problem)


@dataclass(frozen=True, slots=True)
class RetryRules:
    """How often a study is tried and how long its end is kept [s]."""

    max_attempts: int
    retention_s: float


def close(database: Database, held: Claim, death: Death, rules: RetryRules) -> str:
    """End the study after its run died of `death`, or queue it for another try.

    Gives what was done: done, queued, or nothing where the study is not this claim's any more.
    """
    with database.writing() as session:
        return close_in(session, held, death, rules, database.now(session))


def close_in(session: Session, held: Claim, death: Death, rules: RetryRules, now: float) -> str:
    """As `close`, in a transaction that is open already; `now` is the database's time [s]."""
    row = session.get(StudyRow, held.study_id)
    if row is None or row.lease_token != held.token:
        return "nothing"
    ending = _ending_after(session, row, death, rules, now)
    if ending is None:
        hand_back(session, held, now=now, uncounted=death in {"shutdown", "lost"})
        outcome = "queued"
    else:
        finish(
            session, held.study_id, ending, token=held.token, now=now, retention_s=rules.retention_s
        )
        outcome = "done"
    _LOG.warning(
        "run closed", extra=logs.fields(study_id=held.study_id, death=death, outcome=outcome)
    )
    return outcome


def _ending_after(
    session: Session, row: StudyRow, death: Death, rules: RetryRules, now: float
) -> Ending | None:
    """The end the study has come to, or None when it is to be tried again."""
    # What was asked for counts before what it died of: the caller sees what it asked for.
    if row.cancel_requested:
        return cancelled(session, row)
    if now >= row.deadline_at:
        return deadline_passed(session, row)
    # Too large for its limits: it would be so again.
    if death == "limit":
        return run_killed(session, row)
    if death == "crash" and row.attempts >= rules.max_attempts:
        return worker_lost(session, row)
    return None

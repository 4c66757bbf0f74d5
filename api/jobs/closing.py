"""What becomes of a study whose run is over without having ended it."""

from __future__ import annotations

import logging
from dataclasses import dataclass
from typing import Literal

from sqlalchemy.orm import Session

from api import logs
from api.jobs import endings
from api.store.database import Database
from api.store.queue import Claim, Ending, finish, hand_back
from api.store.tables import StudyRow

Death = Literal["crash", "cancel", "limit", "shutdown"]
_LOG = logging.getLogger("api.jobs")


@dataclass(frozen=True, slots=True)
class Rules:
    """How often a study is tried and how long its end is kept [s]."""

    max_attempts: int
    retention_s: float


def close(database: Database, held: Claim, death: Death, rules: Rules) -> str:
    """End the study, or queue it again; gives what was done: done, queued or nothing."""
    with database.writing() as session:
        return close_in(session, held, death, rules, database.now(session))


def close_in(session: Session, held: Claim, death: Death, rules: Rules, now: float) -> str:
    """As `close`, within a transaction."""
    row = session.get(StudyRow, held.study_id)
    if row is None or row.lease_token != held.token:
        return "nothing"
    ending = _ending(session, row, death, rules, now)
    if ending is None:
        hand_back(session, held, now=now, uncounted=death == "shutdown")
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


def _ending(
    session: Session, row: StudyRow, death: Death, rules: Rules, now: float
) -> Ending | None:
    """The end the study has come to, or None when it is to be tried again."""
    if row.cancel_requested:
        return endings.cancelled(session, row)
    if now >= row.deadline_at:
        return endings.deadline_passed(session, row)
    if death == "limit":
        return endings.run_killed(session, row)
    if death == "crash" and row.attempts >= rules.max_attempts:
        return endings.worker_lost(session, row)
    return None

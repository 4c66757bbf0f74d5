"""Events of a study's stream: numbered without gaps, kept as long as the study."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from api.store.tables import DONE, EventRow, StudyRow

STATE = "state"
PROGRESS = "progress"
LAYOUT = "layout"
END = "end"


@dataclass(frozen=True, slots=True)
class Event:
    """One event: its number within the study, kind and JSON data."""

    seq: int
    kind: str
    data: str


def append_event(
    session: Session, study_id: str, kind: str, data: dict[str, Any], now: float
) -> int:
    """Add an event and give its number; the study's row is locked until the commit."""
    # The study's own counter, raised in this transaction: numbers have no gaps and no doubles.
    seq = session.execute(
        update(StudyRow)
        .where(StudyRow.id == study_id)
        .values(seq=StudyRow.seq + 1)
        .returning(StudyRow.seq)
    ).scalar_one()
    text = json.dumps(data, allow_nan=False)
    session.add(EventRow(study_id=study_id, seq=seq, kind=kind, at=now, data=text))
    # Written in order: a reader that sees a number sees all before it.
    session.flush()
    return seq


def events_after(session: Session, study_id: str, seq: int, limit: int = 100) -> list[Event]:
    """The study's events numbered above `seq`, oldest first."""
    rows = session.execute(
        select(EventRow.seq, EventRow.kind, EventRow.data)
        .where(EventRow.study_id == study_id, EventRow.seq > seq)
        .order_by(EventRow.seq)
        .limit(limit)
    )
    return [Event(*row) for row in rows]


def standings(session: Session, study_ids: Sequence[str]) -> dict[str, tuple[int, bool]]:
    """Number of the latest event, and whether it has ended, by study that is there."""
    rows = session.execute(
        select(StudyRow.id, StudyRow.seq, StudyRow.state).where(StudyRow.id.in_(study_ids))
    )
    return {row.id: (row.seq, row.state == DONE) for row in rows}

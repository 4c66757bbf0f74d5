"""Remembered first answers under an Idempotency-Key."""

from __future__ import annotations

from sqlalchemy import delete, select, update
from sqlalchemy.orm import Session

from api.store.tables import AnswerRow, StudyRow


def remembered(session: Session, owner: str, key: str) -> AnswerRow | None:
    """The first answer under a client's key, or None."""
    return session.get(AnswerRow, (owner, key))


def remember(
    session: Session, *, owner: str, key: str, request: str, study_id: str, now: float
) -> None:
    """Tie a key to the study its first request made."""
    session.add(AnswerRow(owner=owner, key=key, request=request, study_id=study_id, created_at=now))


def keep_body(session: Session, owner: str, key: str, status: int, body: bytes) -> None:
    """Keep what the first request was answered, to answer the same again."""
    session.execute(
        update(AnswerRow)
        # Only where none is kept: of two that answer at once the first counts.
        .where(AnswerRow.owner == owner, AnswerRow.key == key, AnswerRow.status.is_(None))
        .values(status=status, body=body)
    )


def forget_before(session: Session, moment: float) -> None:
    """Forget keys older than `moment`."""
    session.execute(delete(AnswerRow).where(AnswerRow.created_at < moment))


def expire_before(session: Session, moment: float, limit: int = 200) -> int:
    """Delete studies whose time is over; gives how many."""
    ids = list(
        session.execute(
            # By ids, since neither SQLite nor PostgreSQL knows a DELETE with LIMIT.
            select(StudyRow.id).where(StudyRow.expires_at < moment).limit(limit)
        ).scalars()
    )
    session.execute(delete(StudyRow).where(StudyRow.id.in_(ids)))
    return len(ids)

"""Reading and writing studies and what belongs to them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import ColumnElement, and_, delete, func, or_, select
from sqlalchemy.orm import Session

from api.store.tables import (
    DONE,
    QUEUED,
    RUNNING,
    ArtifactRow,
    DocumentRow,
    FoundRow,
    StudyRow,
)

REUSABLE = ("optimal", "within_gap", "time_limit", "infeasible")
"""Ends that answer the same brief again; a cancelled or failed run does not."""


@dataclass(frozen=True, slots=True)
class Filters:
    """Which studies a list shows; None lets any pass. Times in seconds since 1970."""

    state: str | None = None
    status: str | None = None
    name: str | None = None
    parent: str | None = None
    created_after: float | None = None
    created_before: float | None = None

    def conditions(self) -> list[ColumnElement[bool]]:
        """The filters as conditions on rows."""
        found: list[ColumnElement[bool]] = []
        if self.state is not None:
            found.append(StudyRow.state == self.state)
        if self.status is not None:
            found.append(StudyRow.status == self.status)
        if self.name is not None:
            found.append(StudyRow.name == self.name)
        if self.parent is not None:
            found.append(StudyRow.parent_id == self.parent)
        if self.created_after is not None:
            found.append(StudyRow.created_at >= self.created_after)
        if self.created_before is not None:
            found.append(StudyRow.created_at < self.created_before)
        return found


def find(session: Session, owner: str, study_id: str) -> StudyRow | None:
    """The owner's study of that id."""
    return session.execute(
        select(StudyRow).where(StudyRow.id == study_id, StudyRow.owner == owner)
    ).scalar_one_or_none()


def documents(session: Session, study_id: str) -> DocumentRow:
    """The texts of a study that is there."""
    return session.execute(select(DocumentRow).where(DocumentRow.study_id == study_id)).scalar_one()


def page(
    session: Session, owner: str, filters: Filters, after: tuple[float, str] | None, limit: int
) -> list[StudyRow]:
    """The owner's studies, latest first, from just past `after` (creation time, id)."""
    conditions = [StudyRow.owner == owner, *filters.conditions()]
    if after is not None:
        created_at, study_id = after
        earlier = StudyRow.created_at < created_at
        # By time and id together: two of one moment would else be shown twice, or not at all.
        tied = and_(StudyRow.created_at == created_at, StudyRow.id < study_id)
        conditions.append(or_(earlier, tied))
    query = (
        select(StudyRow)
        .where(*conditions)
        .order_by(StudyRow.created_at.desc(), StudyRow.id.desc())
        .limit(limit)
    )
    return list(session.execute(query).scalars())


def family(session: Session, owner: str, root_id: str, limit: int) -> list[StudyRow]:
    """The owner's studies that go back to one first study, oldest first."""
    query = (
        select(StudyRow)
        .where(StudyRow.owner == owner, StudyRow.root_id == root_id)
        .order_by(StudyRow.created_at, StudyRow.id)
        .limit(limit)
    )
    return list(session.execute(query).scalars())


def patches(session: Session, study_ids: Sequence[str]) -> dict[str, str | None]:
    """The merge patch of each study, where it is a rerun."""
    rows = session.execute(
        select(DocumentRow.study_id, DocumentRow.patch).where(DocumentRow.study_id.in_(study_ids))
    )
    return {row.study_id: row.patch for row in rows}


def remove(session: Session, study_id: str) -> None:
    """Delete a study and all that belongs to it; a run of it loses its lease."""
    session.execute(delete(StudyRow).where(StudyRow.id == study_id))


def answer_in_store(session: Session, owner: str, fingerprint: str) -> StudyRow | None:
    """The owner's latest ended study that answers the same question, if any."""
    query = (
        select(StudyRow)
        .where(
            StudyRow.owner == owner,
            StudyRow.fingerprint == fingerprint,
            StudyRow.state == DONE,
            StudyRow.status.in_(REUSABLE),
            # An infeasible study has a problem by its nature; any other problem came from the run.
            or_(StudyRow.problem.is_(None), StudyRow.status == "infeasible"),
            # Out of time with nothing found says nothing about the brief.
            or_(StudyRow.status != "time_limit", StudyRow.layouts_found > 0),
        )
        .order_by(StudyRow.finished_at.desc())
        .limit(1)
    )
    return session.execute(query).scalar_one_or_none()


def found_layouts(session: Session, study_id: str) -> list[str]:
    """Layouts found so far, as JSON by rank, of the attempt that got furthest."""
    rows = session.execute(
        select(FoundRow.attempt, FoundRow.rank, FoundRow.score, FoundRow.body)
        .where(FoundRow.study_id == study_id)
        .order_by(FoundRow.attempt, FoundRow.rank)
    ).all()
    by_attempt: dict[int, list[tuple[float, str]]] = {}
    for attempt, _rank, score, body in rows:
        by_attempt.setdefault(attempt, []).append((score, body))
    if not by_attempt:
        return []
    # Attempts are whole: layouts of two would keep no distance from each other.
    best = max(by_attempt.values(), key=lambda found: (max(s for s, _ in found), len(found)))
    return [body for _, body in best]


def active_of_client(session: Session, client: str) -> int:
    """How many studies of a client wait or run."""
    query = select(func.count()).where(
        StudyRow.client == client, StudyRow.state.in_((QUEUED, RUNNING))
    )
    return session.execute(query).scalar_one()


def stored_of_client(session: Session, client: str) -> int:
    """How many studies of a client are kept."""
    return session.execute(select(func.count()).where(StudyRow.client == client)).scalar_one()


def usual_seconds(session: Session) -> float | None:
    """Mean time that the latest runs took [s]; None where there were none."""
    latest = (
        select(StudyRow.seconds)
        .where(StudyRow.state == DONE, StudyRow.answered_from.is_(None))
        .order_by(StudyRow.created_at.desc())
        .limit(20)
        .subquery()
    )
    mean: float | None = session.execute(select(func.avg(latest.c.seconds))).scalar_one()
    return mean


def count_by_state(session: Session) -> dict[str, int]:
    """Number of studies in each state."""
    query = select(StudyRow.state, func.count()).group_by(StudyRow.state)
    counted = {row[0]: row[1] for row in session.execute(query)}
    return {state: counted.get(state, 0) for state in (QUEUED, RUNNING, DONE)}


def waiting(session: Session) -> int:
    """Length of the queue."""
    return session.execute(select(func.count()).where(StudyRow.state == QUEUED)).scalar_one()


def oldest_waiting(session: Session) -> float | None:
    """When the study that has waited longest was accepted; None where none waits."""
    oldest: float | None = session.execute(
        select(func.min(StudyRow.created_at)).where(StudyRow.state == QUEUED)
    ).scalar_one()
    return oldest


def artifact(session: Session, study_id: str, name: str) -> bytes | None:
    """Something computed earlier from a study, or None."""
    return session.execute(
        select(ArtifactRow.body).where(ArtifactRow.study_id == study_id, ArtifactRow.name == name)
    ).scalar_one_or_none()


def keep_artifact(session: Session, study_id: str, name: str, body: bytes) -> None:
    """Keep what was computed; a second copy of the same is not an error."""
    # The study may have been deleted while it was computed.
    if session.get(StudyRow, study_id) is not None:
        session.merge(ArtifactRow(study_id=study_id, name=name, body=body))


def count_artifacts(session: Session, study_id: str, prefix: str) -> int:
    """How many artifacts of a study have a name that begins so."""
    query = select(func.count()).where(
        ArtifactRow.study_id == study_id, ArtifactRow.name.startswith(prefix, autoescape=True)
    )
    return session.execute(query).scalar_one()

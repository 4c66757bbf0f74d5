"""Answering a claimed study from the store, when an equal one has ended in the meantime."""

from __future__ import annotations

from typing import Any

from sqlalchemy.orm import Session

from api.store.database import Database
from api.store.tables import StudyRow
from api.studies import repository
from api.studies.lifecycle import Claim, Ending, finish


def answer_from_store(database: Database, held: Claim, retention_s: float) -> bool:
    """End a study just claimed with an equal one's result; False when there is none."""
    # Asked for with `Cache-Control: no-cache`: a new solve, whatever is stored.
    if held.fresh:
        return False
    with database.reading() as session:
        source = repository.answer_in_store(session, held.owner, held.fingerprint)
    if source is None:
        return False
    with database.writing() as session:
        return finish(
            session,
            held.study_id,
            ending_like(session, source),
            token=held.token,
            now=database.now(session),
            retention_s=retention_s,
            **figures_like(source),
        )


def ending_like(session: Session, source: StudyRow) -> Ending:
    """The end of a study, to end an equal one with."""
    result = repository.documents(session, source.id).result or "{}"
    return Ending(source.status or "error", result)


def figures_like(source: StudyRow) -> dict[str, Any]:
    """The figures for lists of an equal study, and where they come from."""
    return {
        # The one that was solved, not another answer made from it.
        "answered_from": source.answered_from or source.id,
        "score": source.score,
        "bound": source.bound,
        "seconds": source.seconds,
        "layouts_found": source.layouts_found,
    }

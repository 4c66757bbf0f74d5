"""Stored studies as they appear on the wire."""

from __future__ import annotations

import json
from typing import Any

from pydantic_core import to_jsonable_python
from sqlalchemy.orm import Session

from api.http.conditional import etag_of, json_bytes
from api.http.memory import Memory
from api.http.wire import moment
from api.store.tables import DONE, DocumentRow, StudyRow
from api.studies import repository
from api.studies.measuring import differences_of
from api.studies.schemas import RESULT_FIELDS

_EMPTY: dict[str, Any] = {
    name: to_jsonable_python(info.get_default(call_default_factory=True, validated_data={}))
    for name, info in RESULT_FIELDS.items()
    if not info.is_required()
}
"""Members of a study's result, for a study that has none yet."""

_ENDED = Memory(32 * 1024 * 1024)


def address(study_id: str) -> str:
    """Path of a study."""
    return f"/v1/studies/{study_id}"


def links(study_id: str) -> dict[str, str]:
    """Addresses of what belongs to a study."""
    here = address(study_id)
    parts = (
        "layouts",
        "events",
        "comparison",
        "reruns",
        "lineage",
        "sensitivity",
        "cancellation",
    )
    return {"self": here, **{part: f"{here}/{part}" for part in parts}}


def head_view(row: StudyRow) -> dict[str, Any]:
    """A study as it stands in a list."""
    return {
        "id": row.id,
        "name": row.name,
        "state": row.state,
        "status": row.status,
        "parent": row.parent_id,
        "answered_from": row.answered_from,
        "created_at": moment(row.created_at),
        "started_at": moment(row.started_at),
        "finished_at": moment(row.finished_at),
        "deadline_at": moment(row.deadline_at),
        "expires_at": moment(row.expires_at),
        "attempts": row.attempts,
        "progress": progress_view(row),
        "links": links(row.id),
    }


def progress_view(row: StudyRow) -> dict[str, Any]:
    """Where a run stands."""
    return {
        "stage": row.stage,
        "layouts_found": row.layouts_found,
        "score": row.score,
        "bound": row.bound,
        "seconds": row.seconds,
    }


def study_view(session: Session, row: StudyRow) -> dict[str, Any]:
    """A study in full."""
    texts = repository.documents(session, row.id)
    return _full_view(row, texts, result_view(session, row, texts))


def ended_view(row: StudyRow, texts: DocumentRow) -> dict[str, Any]:
    """A study in full that has ended."""
    return _full_view(row, texts, _final_result(texts.result or "{}"))


def _full_view(row: StudyRow, texts: DocumentRow, result: dict[str, Any]) -> dict[str, Any]:
    return {
        **head_view(row),
        "problem": json.loads(row.problem) if row.problem else None,
        "instant": instant_view(texts),
        "patch": json.loads(texts.patch) if texts.patch else None,
        **result,
    }


def result_view(session: Session, row: StudyRow, texts: DocumentRow) -> dict[str, Any]:
    """Members of the study's result: final when it is done, what there is until then."""
    if row.state == DONE and texts.result:
        return _final_result(texts.result)
    layouts = [json.loads(body) for body in repository.found_layouts(session, row.id)]
    if not layouts and texts.rescored:
        layouts = json.loads(texts.rescored)["layouts"]
    brief = json.loads(texts.brief)
    return {
        **_EMPTY,
        "brief": brief,
        "warnings": json.loads(texts.warnings),
        "layouts": layouts,
        "differences": differences_of(brief, layouts),
        "seconds": row.seconds or 0.0,
    }


def _final_result(text: str) -> dict[str, Any]:
    """What an earlier version stored may lack a member of today's, or have one more."""
    stored = json.loads(text)
    return {**_EMPTY, **{name: stored[name] for name in RESULT_FIELDS if name in stored}}


def whole_result(session: Session, row: StudyRow) -> dict[str, Any]:
    """A study as the optimizer reads it; while it has not ended it counts as cancelled."""
    result = result_view(session, row, repository.documents(session, row.id))
    return {**result, "status": row.status or "cancelled"}


def instant_view(texts: DocumentRow) -> dict[str, Any] | None:
    """What a rerun was answered at once."""
    return json.loads(texts.rescored)["instant"] if texts.rescored else None


def study_etag(row: StudyRow) -> str:
    """ETag of a study in full: it changes with each of its events and never after the last."""
    return etag_of("study", row.id, row.state, str(row.seq), str(row.cancel_requested))


def study_bytes(session: Session, row: StudyRow) -> bytes:
    """A study in full, as JSON text; that of an ended one is made once."""

    def make() -> bytes:
        return json_bytes(study_view(session, row))

    return _ENDED.get(row.id, make) if row.state == DONE else make()

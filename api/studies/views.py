"""Stored studies as they appear on the wire."""

from __future__ import annotations

import json

from pydantic_core import to_jsonable_python
from sqlalchemy.orm import Session

from api.http.conditional import etag_of, json_bytes
from api.http.memory import AnswerCache
from api.http.problem_schemas import StudyProblem
from api.http.wire import JsonObject
from api.store.tables import DONE, DocumentRow, StudyRow
from api.studies import repository
from api.studies.distances import differences_of
from api.studies.schemas import RESULT_FIELDS, Instant, StudyFrame

_EMPTY: JsonObject = {
    name: to_jsonable_python(info.get_default(call_default_factory=True, validated_data={}))
    for name, info in RESULT_FIELDS.items()
    if not info.is_required()
}
"""Members of a study's result, for a study that has none yet."""

_ENDED = AnswerCache(32 * 1024 * 1024)


def study_view(session: Session, row: StudyRow) -> JsonObject:
    """A study in full."""
    texts = repository.documents(session, row.id)
    return _full_view(row, texts, result_view(session, row, texts))


def ended_view(row: StudyRow, texts: DocumentRow) -> JsonObject:
    """A study in full that has ended."""
    return _full_view(row, texts, _final_result(texts.result or "{}"))


def _full_view(row: StudyRow, texts: DocumentRow, result: JsonObject) -> JsonObject:
    """Members of a `StudyResource`: its frame made now, its result as it was stored, which may
    have been under the rules of an earlier version."""
    frame = StudyFrame.from_row(
        row,
        problem=StudyProblem.model_validate_json(row.problem) if row.problem else None,
        instant=instant_of(texts),
        patch=json.loads(texts.patch) if texts.patch else None,
    )
    return {**frame.members(), **result}


def result_view(session: Session, row: StudyRow, texts: DocumentRow) -> JsonObject:
    """Members of the study's result: final when it is done, what there is until then."""
    if row.state == DONE and texts.result:
        return _final_result(texts.result)
    # While it runs: layouts as they were noted, not yet ranked by the run's end.
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


def _final_result(text: str) -> JsonObject:
    """What an earlier version stored may lack a member of today's, or have one more."""
    stored = json.loads(text)
    return {**_EMPTY, **{name: stored[name] for name in RESULT_FIELDS if name in stored}}


def whole_result(session: Session, row: StudyRow) -> JsonObject:
    """A study as the optimizer reads it; while it has not ended it counts as cancelled."""
    result = result_view(session, row, repository.documents(session, row.id))
    return {**result, "status": row.status or "cancelled"}


def instant_of(texts: DocumentRow) -> Instant | None:
    """What a rerun was answered at once."""
    if not texts.rescored:
        return None
    return Instant.model_validate(json.loads(texts.rescored)["instant"])


def study_etag(row: StudyRow) -> str:
    """ETag of a study in full: it changes with each of its events and never after the last."""
    return etag_of("study", row.id, row.state, str(row.seq), str(row.cancel_requested))


def study_bytes(session: Session, row: StudyRow) -> bytes:
    """A study in full, as JSON text; that of an ended one is made once."""

    def make() -> bytes:
        """The study as JSON text."""
        return json_bytes(study_view(session, row))

    # By id alone: an ended study never changes, and ids are never given twice.
    return _ENDED.get(row.id, make) if row.state == DONE else make()

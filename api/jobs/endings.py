"""How a study ends when its run could not end it: with the best that was found."""

from __future__ import annotations

import json
from typing import Any

from sqlalchemy.orm import Session

from api.jobs.measuring import differences_of
from api.problems import problem_document
from api.store import studies
from api.store.queue import Ending
from api.store.tables import StudyRow
from api.versions import versions


def ending_of(
    session: Session, row: StudyRow, status: str, problem: dict[str, Any] | None
) -> Ending:
    """The ending `status` with whatever layouts are known of a study.

    Layouts are those of the attempt that got furthest; failing those, in a rerun, the
    earlier ones ranked anew.
    """
    texts = studies.documents(session, row.id)
    layouts = [json.loads(body) for body in studies.found_layouts(session, row.id)]
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

"""Running one study in a child process: read it, run it, keep what it finds, end it."""

from __future__ import annotations

import json
import logging
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Protocol, TypeVar

from sqlalchemy.orm import Session

from api import logs
from api.http.errors import ServiceError, problem_document
from api.store.database import Database
from api.store.tables import DocumentRow, StudyRow
from api.studies import repository
from api.studies.lifecycle import Claim, Ending, cancelled, deadline_passed, ending_of, finish, look
from api.worker.recorder import Recorder
from api.worker.runners import Runner
from optimizer.domain.brief import Brief
from optimizer.domain.study import Status, Study, Warned
from optimizer.errors import CheckFailedError, InputError, NothingBuildableError, OptimizerError

_LOG = logging.getLogger("api.worker.solve")
LAST_NOTES_S = 5.0
"""Longest that an ended run waits for its last notes to be kept [s]."""
_FIRST_PAUSE_S = 0.1
_LONGEST_PAUSE_S = 2.0
_T = TypeVar("_T")


class StopSignal(Protocol):
    """Says while a run goes on whether it is to stop; the reason is `cancel` or `deadline`."""

    reason: str | None

    def asked(self) -> bool:
        """Whether the run should stop now."""


@dataclass(frozen=True, slots=True)
class RunOutcome:
    """What a run gave: a study, or the status of an end without one, and a problem if any."""

    study: Study | None
    status: str
    problem: dict[str, Any] | None = None


@dataclass(frozen=True, slots=True)
class Stores:
    """The store, opened for what ends a study and for what is noted of its run."""

    ends: Database
    notes: Database


def solve(stores: Stores, runner: Runner, task: dict[str, Any], stop: StopSignal) -> dict[str, Any]:
    """Run the study named in `task` and end it; says whether it did."""
    held = Claim(task["study"], task["token"], task["attempt"], task["run_until"])
    logs.study_id.set(held.study_id)
    started = time.monotonic()
    ended = False
    texts = _patiently(lambda: _read(stores.ends, held))
    if texts is not None:
        _LOG.info("run begins", extra=logs.fields(attempt=held.attempt))
        outcome = _run(stores.notes, runner, held, texts, stop)
        ended = _patiently(lambda: _end(stores.ends, held, outcome, stop, task["retention_s"]))
    seconds = round(time.monotonic() - started, 3)
    _LOG.info("run over", extra=logs.fields(ended=ended, attempt=held.attempt, s=seconds))
    logs.study_id.set("")
    return {"done": ended}


def _patiently(work: Callable[[], _T]) -> _T:
    """What `work` gives, tried again for as long as the database does not serve."""
    pause = _FIRST_PAUSE_S
    while True:
        try:
            return work()
        except ServiceError as error:
            _LOG.warning("the store does not serve: %s", error)
            time.sleep(pause)
            pause = min(2 * pause, _LONGEST_PAUSE_S)


def _read(database: Database, held: Claim) -> DocumentRow | None:
    """The texts of the study; None when it is not ours any more."""
    with database.reading() as session:
        row = session.get(StudyRow, held.study_id)
        if row is None or not look(session, held).held:
            return None
        return repository.documents(session, held.study_id)


def _run(
    database: Database,
    runner: Runner,
    held: Claim,
    texts: DocumentRow,
    stop: StopSignal,
) -> RunOutcome:
    """What the runner makes of the study, errors of every kind included."""
    recorder = Recorder(database, held)

    def should_stop() -> bool:
        """Whether a stop was asked for, or the study is not ours any more."""
        return stop.asked() or recorder.lost

    try:
        study = _solved(runner, texts, recorder, should_stop)
    except NothingBuildableError as error:
        problem = problem_document("nothing_buildable", str(error))
        return RunOutcome(None, Status.INFEASIBLE, problem)
    except OptimizerError as error:
        return RunOutcome(None, Status.ERROR, _problem(error))
    except Exception as error:
        _LOG.exception("the run failed")
        problem = problem_document("run_failed", f"{type(error).__name__} in the run")
        return RunOutcome(None, Status.ERROR, problem)
    finally:
        recorder.close(LAST_NOTES_S)
    why: dict[str, Any] | None = None
    if study.status is Status.INFEASIBLE:
        detail = "no layout obeys every rule; the study's warnings say more"
        why = problem_document("nothing_buildable", detail)
    return RunOutcome(study, study.status, why)


def _solved(
    runner: Runner,
    texts: DocumentRow,
    recorder: Recorder,
    should_stop: Callable[[], bool],
) -> Study:
    """Run the study: a rerun where it starts from an earlier one, else a proposal."""
    brief = Brief.model_validate_json(texts.brief)
    warnings = [Warned.model_validate(entry) for entry in json.loads(texts.warnings)]
    if texts.earlier is not None:
        earlier = Study.model_validate_json(texts.earlier)
        share = texts.stability or 0.0
        return runner.rerun(earlier, brief, warnings, recorder.note, should_stop, stability=share)
    return runner.propose(brief, warnings, recorder.note, should_stop)


def _problem(error: OptimizerError) -> dict[str, Any]:
    """The problem behind an error raised on purpose."""
    if isinstance(error, InputError):
        return problem_document("invalid_brief", str(error), errors=error.faults)
    findings = error.findings if isinstance(error, CheckFailedError) else ()
    return problem_document("run_failed", str(error), errors=findings)


def _end(
    database: Database, held: Claim, outcome: RunOutcome, stop: StopSignal, retention_s: float
) -> bool:
    """Write the end; False when the study is not ours any more."""
    with database.writing() as session:
        row = session.get(StudyRow, held.study_id)
        # Another worker has it, or it is deleted: an end written now would be a second one.
        if row is None or row.lease_token != held.token:
            return False
        return finish(
            session,
            held.study_id,
            _ending(session, row, outcome, stop),
            token=held.token,
            now=database.now(session),
            retention_s=retention_s,
            **_last_figures(outcome.study),
        )


def _ending(session: Session, row: StudyRow, outcome: RunOutcome, stop: StopSignal) -> Ending:
    """What the run's outcome means, given why it may have been stopped."""
    study = outcome.study
    if study is None:
        if stop.reason == "cancel" and outcome.status == Status.ERROR:
            return cancelled(session, row)
        return ending_of(session, row, outcome.status, outcome.problem)
    if study.status is not Status.CANCELLED:
        return Ending(study.status, _text(study, study.status), outcome.problem)
    # Stopped by us: by its deadline, or because the caller cancelled it.
    late = stop.reason == "deadline"
    kept = deadline_passed(session, row) if late else cancelled(session, row)
    # An earlier attempt may have kept more than this one came to.
    if not _goes_further(study, json.loads(kept.result)["layouts"]):
        return kept
    status = Status.TIME_LIMIT if late else Status.CANCELLED
    return Ending(status, _text(study, status), kept.problem)


def _goes_further(study: Study, kept: list[dict[str, Any]]) -> bool:
    """Whether a stopped run shows at least what is kept, of an earlier attempt perhaps."""
    if not study.layouts or not kept:
        return bool(study.layouts)
    own = (max(layout.score for layout in study.layouts), len(study.layouts))
    return own >= (max(layout["score"] for layout in kept), len(kept))


def _text(study: Study, status: Status) -> str:
    """The study as it is stored."""
    result = study.model_dump(mode="json")
    result["status"] = status.value
    return json.dumps(result, allow_nan=False)


def _last_figures(study: Study | None) -> dict[str, Any]:
    """Figures of the ended study for lists."""
    if study is None or not study.layouts:
        return {}
    best = study.layouts[0]
    return {
        "layouts_found": len(study.layouts),
        "score": best.score,
        "bound": best.bound,
        "seconds": study.seconds,
    }

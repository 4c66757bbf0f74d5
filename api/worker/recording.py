"""Keeping a run's progress in the store as it comes."""

from __future__ import annotations

import json
import logging
import math
import time
from typing import Any

from api.http.errors import ServiceError
from api.store.database import Database
from api.studies.events import LAYOUT, PROGRESS, append_event
from api.studies.lifecycle import Claim, note_layout, note_progress
from optimizer.domain.layout import Layout
from optimizer.domain.progress import Progress

LEAST_PAUSE_S = 0.25
"""Progress without a layout is written at most this often; a layout always."""

_LOG = logging.getLogger("api.worker.recording")


class Recorder:
    """Writes the progress of one run; a database that cannot take it does not stop the run.

    Once the study is another worker's, or is gone, `lost` is set and nothing more written.
    """

    def __init__(self, database: Database, held: Claim) -> None:
        self._database = database
        self._held = held
        self._written_at = time.monotonic()
        self._rank = 0
        self.lost = False
        self._unwritten: list[tuple[int, Layout]] = []

    def note(self, progress: Progress) -> None:
        """Keep one report."""
        if progress.layout is not None and progress.layouts_found > self._rank:
            # Reports repeat the newest layout until there is another.
            self._rank = progress.layouts_found
            self._unwritten.append((self._rank, progress.layout))
        elif time.monotonic() - self._written_at < LEAST_PAUSE_S:
            return
        self._written_at = time.monotonic()
        try:
            self._write(progress)
        except ServiceError as error:
            _LOG.warning("progress could not be kept: %s", error)
        else:
            self._unwritten.clear()

    def _write(self, progress: Progress) -> None:
        figures = {
            "stage": progress.stage[:60],
            "score": _finite(progress.score),
            "bound": _finite(progress.bound),
            "seconds": round(progress.seconds, 3),
            "layouts_found": max(progress.layouts_found, self._rank),
        }
        with self._database.writing() as session:
            now = self._database.now(session)
            if not note_progress(session, self._held, **figures):
                self.lost = True
                return
            append_event(session, self._held.study_id, PROGRESS, figures, now)
            for rank, layout in self._unwritten:
                body = layout.model_copy(update={"rank": rank}).model_dump(mode="json")
                note_layout(
                    session, self._held, rank=rank, score=layout.score, body=json.dumps(body)
                )
                append_event(session, self._held.study_id, LAYOUT, _event(rank, body), now)


def _event(rank: int, body: dict[str, Any]) -> dict[str, Any]:
    return {"rank": rank, "layout": body}


def _finite(value: float | None) -> float | None:
    """`value` where it is a number; a solver's infinite bound says nothing."""
    return value if value is not None and math.isfinite(value) else None

"""Keeping a run's progress in the store as it comes, without ever holding up the run."""

from __future__ import annotations

import json
import logging
import math
import threading
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
LONGEST_WAIT_S = 0.5
"""Longest that a run waits for a layout to be kept, once until a write succeeds again."""
AGAIN_S = 0.25
"""Pause before what could not be written is tried again."""

_LOG = logging.getLogger("api.worker.recorder")


class Recorder:
    """Writes the progress of one run from a thread of its own; a database that cannot take it
    just now holds up next to nothing, and layouts are tried again until they are kept.

    Once the study is another worker's, or is gone, `lost` is set and nothing more written.
    """

    def __init__(self, database: Database, held: Claim) -> None:
        """Starts its thread; `held` is the claim under which it writes."""
        self._database = database
        self._held = held
        self._noted_at = time.monotonic()
        self._newest: Layout | None = None
        self.lost = False
        self._layouts: list[tuple[int, Layout]] = []
        self._latest: Progress | None = None
        self._news = threading.Condition()
        self._closing = False
        self._struggling = False
        self._thread = threading.Thread(target=self._run, name="recorder", daemon=True)
        self._thread.start()

    def note(self, progress: Progress) -> None:
        """Take in a report of the run, to be written by the recorder's own thread.

        A report with a new layout is always kept, and waited for a moment; others at most one every
        `LEAST_PAUSE_S`.
        """
        now = time.monotonic()
        with self._news:
            if progress.layout is not None and progress.layout is not self._newest:
                # Reports repeat the newest layout until there is another.
                self._newest = progress.layout
                # A provisional one has the place of the one that is being sought.
                rank = progress.layouts_found + progress.provisional
                self._layouts.append((rank, progress.layout))
            elif now - self._noted_at < LEAST_PAUSE_S:
                return
            self._noted_at = now
            self._latest = progress
            self._news.notify_all()
            if self._layouts and not self._struggling:
                # A layout is safe before the run goes on, unless the database lets it wait.
                self._struggling = not self._news.wait_for(self._all_kept, LONGEST_WAIT_S)

    def _all_kept(self) -> bool:
        """Whether no layout waits to be kept."""
        return not self._layouts or self.lost

    def close(self, seconds: float) -> None:
        """Write what is left, for at most so long [s]: the study's end has it all anyway."""
        with self._news:
            self._closing = True
            self._news.notify_all()
        self._thread.join(seconds)

    def _run(self) -> None:
        """Write the newest report, and every layout, whenever there is one."""
        while True:
            with self._news:
                self._news.wait_for(lambda: self._latest is not None or self._closing)
                progress, layouts = self._latest, list(self._layouts)
                # Taken: reports that come while this one is written replace each other.
                self._latest = None
            if progress is None or self.lost:
                return
            try:
                self._write(progress, layouts)
            except ServiceError as error:
                _LOG.warning("progress could not be kept: %s", error)
                self._keep_for_later(progress)
            except Exception:
                _LOG.exception("progress could not be kept")
            else:
                with self._news:
                    # Only those written: more may have come meanwhile.
                    del self._layouts[: len(layouts)]
                    self._struggling = False
                    self._news.notify_all()

    def _keep_for_later(self, progress: Progress) -> None:
        """Try again soon, with what has come in the meantime; no longer once it is closed."""
        time.sleep(AGAIN_S)
        with self._news:
            if self._latest is None and not self._closing:
                self._latest = progress

    def _write(self, progress: Progress, layouts: list[tuple[int, Layout]]) -> None:
        """Write one report with these layouts, in one transaction; notices a lost lease."""
        figures = {
            "stage": progress.stage[:60],
            "score": _finite(progress.score),
            "bound": _finite(progress.bound),
            "seconds": round(progress.seconds, 3),
            "layouts_found": max([progress.layouts_found, *_found(layouts)]),
        }
        with self._database.writing() as session:
            now = self._database.now(session)
            # Nothing was written under our token: the lease is another's.
            if not note_progress(session, self._held, **figures):
                self.lost = True
                return
            append_event(session, self._held.study_id, PROGRESS, figures, now)
            for rank, layout in layouts:
                body = layout.model_copy(update={"rank": rank}).model_dump(mode="json")
                note_layout(
                    session, self._held, rank=rank, score=layout.score, body=json.dumps(body)
                )
                append_event(session, self._held.study_id, LAYOUT, _event(rank, body), now)


def _found(layouts: list[tuple[int, Layout]]) -> list[int]:
    """Ranks of those that are found for good."""
    return [rank for rank, layout in layouts if layout.status != "provisional"]


def _event(rank: int, body: dict[str, Any]) -> dict[str, Any]:
    """The data of an event that brings a layout."""
    return {"rank": rank, "layout": body}


def _finite(value: float | None) -> float | None:
    """`value` where it is a number; a solver's infinite bound says nothing."""
    return value if value is not None and math.isfinite(value) else None

"""Taking up what dead workers and passed deadlines left, and clearing out the old."""

from __future__ import annotations

import logging
import threading
import time

from api.http.errors import ServiceError
from api.settings import Settings
from api.store.database import Database
from api.studies import lifecycle
from api.studies.idempotency import expire_before, forget_before
from api.studies.lifecycle import RetryRules, close_in

_CLEAR_EVERY_S = 60.0
_BATCH = 200
"""Studies deleted in one transaction at most."""
_LOG = logging.getLogger("api.worker.reaper")


class Reaper(threading.Thread):
    """Looks for lost and overdue studies every moment, and for old ones now and then."""

    def __init__(self, settings: Settings, database: Database, wake: threading.Condition) -> None:
        super().__init__(name="reaper", daemon=True)
        self._settings = settings
        self._database = database
        self._wake = wake
        self._rules = RetryRules(settings.max_attempts, settings.retention_days * 86400)
        self._stopping = threading.Event()
        self._cleared_at = 0.0

    def stop(self) -> None:
        """End the thread at its next turn."""
        self._stopping.set()

    def run(self) -> None:
        """Look, rest, look again."""
        while not self._stopping.wait(self._settings.reap_s):
            try:
                self.reap()
                self._clear_now_and_then()
            except ServiceError as error:
                _LOG.warning("the store does not serve: %s", error)
            except Exception:
                _LOG.exception("the reaper stumbled")

    def reap(self) -> int:
        """Take up lost studies and end overdue ones; gives how many there were."""
        with self._database.reading() as session:
            now, lease_now = self._database.now(session), self._database.lease_now(session)
            if not lifecycle.lost(session, lease_now, 1) and not lifecycle.overdue(session, now, 1):
                return 0
        with self._database.writing() as session:
            now = self._database.now(session)
            lost = lifecycle.lost(session, self._database.lease_now(session))
            for row in lost:
                close_in(session, lifecycle.claim_of(row), "lost", self._rules, now)
            overdue = lifecycle.overdue(session, now)
            for row in overdue:
                ending = lifecycle.deadline_passed(session, row)
                lifecycle.finish(
                    session,
                    row.id,
                    ending,
                    token=None,
                    now=now,
                    retention_s=self._rules.retention_s,
                )
        with self._wake:
            self._wake.notify_all()
        return len(lost) + len(overdue)

    def _clear_now_and_then(self) -> None:
        if time.monotonic() - self._cleared_at < _CLEAR_EVERY_S and self._cleared_at:
            return
        self._cleared_at = time.monotonic()
        self.clear()

    def clear(self) -> None:
        """Delete what is past its time, a batch in a transaction, until nothing is."""
        with self._database.writing() as session:
            now = self._database.now(session)
            forget_before(session, now - self._settings.idempotency_hours * 3600)
        removed, batch = 0, _BATCH
        while batch == _BATCH and not self._stopping.is_set():
            with self._database.writing() as session:
                batch = expire_before(session, now, _BATCH)
            removed += batch
        if removed:
            _LOG.info("%d studies expired", removed)

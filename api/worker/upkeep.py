"""What keeps the store in order: taking up what was lost, ending what is late, clearing the old."""

from __future__ import annotations

import logging

from api.settings import Settings
from api.store import jobs
from api.store.database import Database
from api.studies import lifecycle
from api.studies.idempotency import expire_before, forget_before
from api.studies.lifecycle import RetryRules, close_in

_BATCH = 200
"""Studies deleted in one transaction at most."""
_LOG = logging.getLogger("api.worker.upkeep")


class Upkeep:
    """The work itself; who does it when is for the reaper or the job engine to say.

    Any number of processes may do it at once.
    """

    def __init__(self, settings: Settings, database: Database) -> None:
        """`settings` say how long studies, keys and attempts last."""
        self._settings = settings
        self._database = database
        self._rules = RetryRules(settings.max_attempts, settings.retention_days * 86400)

    def take_up(self) -> int:
        """Put lost studies back into the queue, and end overdue ones; gives how many."""
        # A look first: the write lock of SQLite is not taken every second for nothing.
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
        return len(lost) + len(overdue)

    def find_forgotten(self) -> None:
        """Make jobs for waiting studies that the job engine knows nothing of."""
        with self._database.writing() as session:
            found = jobs.defer_forgotten(session)
        if found:
            _LOG.warning("%d waiting studies had no job", found)

    def clear(self) -> None:
        """Delete what is past its time, a batch in a transaction, until nothing is."""
        with self._database.writing() as session:
            now = self._database.now(session)
            forget_before(session, now - self._settings.idempotency_hours * 3600)
        removed, batch = 0, _BATCH
        # In batches, so that others write in between.
        while batch == _BATCH:
            with self._database.writing() as session:
                batch = expire_before(session, now, _BATCH)
            removed += batch
        if removed:
            _LOG.info("%d studies expired", removed)

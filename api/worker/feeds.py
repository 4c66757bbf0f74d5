"""Where a slot gets its studies from: the queue's table itself, or the job engine."""

from __future__ import annotations

import queue
import threading
from concurrent.futures import Future
from dataclasses import dataclass, field
from typing import Protocol

from sqlalchemy.orm import Session

from api.settings import Settings
from api.store.database import Database
from api.studies.lifecycle import Claim, ClaimTerm, claim, claim_next
from api.studies.repository import waiting

_IDLE_S = 0.25


class NotTakenError(Exception):
    """The slot that was to have the study takes no more."""


class Feed(Protocol):
    """What a slot asks for work, whenever it is ready for some."""

    def take(self, worker: str) -> Claim | None:
        """A study, claimed for that worker; None when there was none for a moment."""

    def close(self) -> None:
        """The slot takes no more."""


def _term(settings: Settings, database: Database, session: Session, worker: str) -> ClaimTerm:
    """The term under which a worker claims a study now."""
    return ClaimTerm(
        worker,
        database.now(session),
        database.lease_end(session, settings.lease_s),
        settings.run_allowance_s,
    )


class Polling:
    """The queue of an SQLite store: looked at often, and at once when something was queued here."""

    def __init__(self, settings: Settings, database: Database, wake: threading.Condition) -> None:
        """`wake` is notified where a study is queued by this process."""
        self._settings = settings
        self._database = database
        self._wake = wake

    def take(self, worker: str) -> Claim | None:
        """The waiting study whose turn it is."""
        held = self._next(worker)
        if held is None:
            with self._wake:
                self._wake.wait(_IDLE_S)
        return held

    def close(self) -> None:
        """Nothing to do: what was not taken stays in the queue."""

    def _next(self, worker: str) -> Claim | None:
        """Claim the next study, if one waits."""
        # Reading first: an idle slot must not take the write lock four times a second.
        with self._database.reading() as session:
            if not waiting(session):
                return None
        with self._database.writing() as session:
            return claim_next(session, _term(self._settings, self._database, session, worker))


@dataclass(frozen=True, slots=True)
class _Letter:
    """A study left for a slot; `over` is done when the slot has done with it."""

    study_id: str
    over: Future[None] = field(default_factory=Future)


class Mailbox:
    """Where the job engine leaves the id of a study for one slot.

    A letter is answered once the slot is ready for the next: the engine then forgets the job.
    Where the study could not even be claimed, the engine is told so and offers it again.
    """

    def __init__(self, settings: Settings, database: Database) -> None:
        """Empty and open; `database` is where the study is claimed."""
        self._settings = settings
        self._database = database
        self._letters: queue.SimpleQueue[_Letter] = queue.SimpleQueue()
        self._open: _Letter | None = None
        self._closing = threading.Lock()
        self._closed = False

    def put(self, study_id: str) -> Future[None]:
        """Leave a study for the slot; the future is done when the slot has done with it."""
        letter = _Letter(study_id)
        with self._closing:
            # Checked and put under one lock: no letter comes in behind the last emptying.
            if self._closed:
                letter.over.set_exception(NotTakenError())
            else:
                self._letters.put(letter)
        return letter.over

    def take(self, worker: str) -> Claim | None:
        """The study of the next letter, if it still waits."""
        self._answer()
        try:
            letter = self._letters.get(timeout=_IDLE_S)
        except queue.Empty:
            return None
        # The engine has given it up meanwhile, and offers it elsewhere.
        if not letter.over.set_running_or_notify_cancel():
            return None
        try:
            with self._database.writing() as session:
                term = _term(self._settings, self._database, session, worker)
                held = claim(session, letter.study_id, term)
        except Exception as error:
            letter.over.set_exception(error)
            raise
        self._open = letter
        return held

    def close(self) -> None:
        """Answer what was done, and refuse what was not begun."""
        self._answer()
        with self._closing:
            self._closed = True
        while not self._letters.empty():
            letter = self._letters.get()
            if letter.over.set_running_or_notify_cancel():
                letter.over.set_exception(NotTakenError())

    def _answer(self) -> None:
        """Say that the study of the last letter is done with."""
        letter, self._open = self._open, None
        if letter is not None:
            letter.over.set_result(None)

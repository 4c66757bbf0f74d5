"""Waiting for studies to change: one look at the store for everyone who waits."""

from __future__ import annotations

import asyncio
import contextlib
import logging
from collections import Counter
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass

from starlette.concurrency import run_in_threadpool

from api.http.errors import ServiceError
from api.store.database import Database
from api.studies.events import standings

_LOOK_EVERY_S = 0.05
_LONGEST_PAUSE_S = 2.0


@dataclass(frozen=True, slots=True)
class LastEvent:
    """The number of a study's latest event, and whether it has ended or is gone."""

    seq: int
    ended: bool


GONE = LastEvent(-1, True)
"""What is told of a study that was deleted."""

_LOG = logging.getLogger("api.studies.watcher")


class Watcher:
    """Knows the latest event number of every study that someone waits for.

    It asks the store for all of them at once, so a hundred waiting clients cost one query
    a moment, and it sees what other servers on the same store do.
    """

    def __init__(self, database: Database) -> None:
        """Looks at nothing before `start`."""
        self._database = database
        self._watched: Counter[str] = Counter()
        self._standings: dict[str, LastEvent] = {}
        self._news = asyncio.Condition()
        self._someone = asyncio.Event()
        self._poked = asyncio.Event()
        self._loop: asyncio.AbstractEventLoop | None = None
        self._task: asyncio.Task[None] | None = None
        self.stopping = asyncio.Event()

    def start(self) -> None:
        """Begin to look, whenever someone waits."""
        self._loop = asyncio.get_running_loop()
        self._task = asyncio.create_task(self._look())

    async def stop(self) -> None:
        """Let everyone who waits go on, and look no more."""
        await self.release()
        if self._task is not None:
            self._task.cancel()
            with contextlib.suppress(asyncio.CancelledError):
                await self._task

    async def release(self) -> None:
        """Let everyone who waits go on: the service is about to stop."""
        self.stopping.set()
        async with self._news:
            self._news.notify_all()

    def poke(self) -> None:
        """Look at once: something has just ended here. Any thread may call it."""
        if self._loop is not None:
            with contextlib.suppress(RuntimeError):  # the loop is closed: nobody waits
                self._loop.call_soon_threadsafe(self._poked.set)

    @asynccontextmanager
    async def watching(self, study_id: str) -> AsyncIterator[None]:
        """Keep an eye on a study while the block runs."""
        self._watched[study_id] += 1
        self._someone.set()
        try:
            yield
        finally:
            self._watched[study_id] -= 1
            if not self._watched[study_id]:
                del self._watched[study_id]
                self._standings.pop(study_id, None)

    async def change(self, study_id: str, seen: int, timeout_s: float) -> LastEvent | None:
        """The last event of a study once its number is above `seen`; None after the time."""
        return await self._until(
            study_id, lambda standing: standing.seq > seen or standing == GONE, timeout_s
        )

    async def end(self, study_id: str, timeout_s: float) -> LastEvent | None:
        """The last event of a study once it has ended; None after the time."""
        return await self._until(study_id, lambda standing: standing.ended, timeout_s)

    async def _until(
        self, study_id: str, enough: Callable[[LastEvent], bool], timeout_s: float
    ) -> LastEvent | None:
        """Wait until `enough` is true of the study, at most `timeout_s`; None where it did not
        come."""

        def has_news() -> bool:
            """Whether there is anything to stop waiting for."""
            standing = self._standings.get(study_id)
            return self.stopping.is_set() or (standing is not None and enough(standing))

        async with self._news:
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(self._news.wait_for(has_news), max(0.0, timeout_s))
        standing = self._standings.get(study_id)
        return standing if standing is not None and enough(standing) else None

    async def _look(self) -> None:
        """Look into the store again and again, while anyone waits."""
        pause = _LOOK_EVERY_S
        while True:
            if not self._watched:
                self._someone.clear()
                await self._someone.wait()
            try:
                await self._look_once()
                pause = _LOOK_EVERY_S
            except ServiceError as error:
                _LOG.warning("the store does not serve: %s", error)
                pause = min(2 * pause, _LONGEST_PAUSE_S)
            except Exception:
                _LOG.exception("the watcher stumbled")
                pause = _LONGEST_PAUSE_S
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(self._poked.wait(), pause)
            self._poked.clear()

    async def _look_once(self) -> None:
        """Look once, and wake those who wait where something has changed."""
        wanted = list(self._watched)
        found = await run_in_threadpool(self._read, wanted)
        changed = False
        for study_id in wanted:
            standing = found.get(study_id, GONE)
            # Who waited for it may have left while the store was asked.
            if study_id in self._watched and self._standings.get(study_id) != standing:
                self._standings[study_id] = standing
                changed = True
        if changed:
            async with self._news:
                self._news.notify_all()

    def _read(self, study_ids: list[str]) -> dict[str, LastEvent]:
        """Where each of these studies stands; those that are gone are left out."""
        with self._database.reading() as session:
            found = standings(session, study_ids)
        return {study_id: LastEvent(seq, ended) for study_id, (seq, ended) in found.items()}

"""One worker: a thread that takes studies and watches over the child that runs them."""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass

from api import logs
from api.http.errors import ServiceError
from api.metrics import ServiceMetrics
from api.settings import Settings
from api.store.database import Database
from api.studies.lifecycle import Claim, Death, Holding, RetryRules, close, keep, look
from api.studies.reuse import answer_from_store
from api.worker.feeds import Feed
from api.worker.process import Child, ChildDiedError
from api.worker.template import Template

_GLANCE_S = 0.1
_IDLE_S = 0.25
_LAST_WORD_S = 1.0
_LONGEST_PAUSE_S = 5.0
_LOG = logging.getLogger("api.worker.slot")
SOLVER = "api.worker.solver"
"""Module of the child that solves."""


@dataclass(slots=True)
class RunDeadlines:
    """Where the watch over one run stands; times are of the monotonic clock."""

    stop_at: float
    kill_at: float
    next_beat: float
    stop_sent: str | None = None


class WorkerSlot(threading.Thread):
    """Claims, starts, prolongs, stops and, if need be, kills: one study at a time."""

    def __init__(
        self,
        settings: Settings,
        database: Database,
        metrics: ServiceMetrics,
        on_end: Callable[[], None],
        *,
        feed: Feed,
        name: str,
        template: Template | None = None,
    ) -> None:
        """`feed` gives the studies; `on_end` is told whenever one may have ended; children come
        from `template`."""
        super().__init__(name=name, daemon=True)
        self._settings = settings
        self._database = database
        self._metrics = metrics
        self._feed = feed
        self._template = template
        self._on_end = on_end
        self._rules = RetryRules(settings.max_attempts, settings.retention_days * 86400)
        self._child: Child | None = None
        self._stopping = threading.Event()
        self._hand_back = threading.Event()
        self.ready = False

    def stop(self) -> None:
        """Take no more studies; the one at hand may finish."""
        self._stopping.set()

    def hand_back(self) -> None:
        """Give up the study at hand, back into the queue, uncounted."""
        self._hand_back.set()

    @property
    def pid(self) -> int | None:
        """Process id of the child, while there is one."""
        return None if self._child is None else self._child.pid

    def run(self) -> None:
        """Until told to stop, serve one study after the other; rest after a failure."""
        pause = _IDLE_S
        while not self._stopping.is_set():
            try:
                self._serve_once()
                pause = _IDLE_S
            except ChildDiedError:
                _LOG.warning("a worker does not start", extra=logs.fields(worker=self.name))
                self._drop_child()
                pause = self._rest(pause)
            except ServiceError as error:
                _LOG.warning("the store does not serve: %s", error)
                pause = self._rest(pause)
            except Exception:
                _LOG.exception("a slot stumbled")
                pause = self._rest(pause)
        self._feed.close()
        self._drop_child()

    def _rest(self, pause: float) -> float:
        """Wait a little, longer each time; gives the next pause."""
        self._stopping.wait(pause)
        return min(2 * pause, _LONGEST_PAUSE_S)

    def _serve_once(self) -> None:
        """Take and run one study, or wait a moment for one."""
        child = self._ready_child()
        held = self._feed.take(self.name)
        if held is None:
            return
        if not answer_from_store(self._database, held, self._rules.retention_s):
            with self._metrics.run_seconds.time():
                death = self._attend(child, held)
            if death is not None:
                self._bury(held, death)
        self._on_end()

    def _bury(self, held: Claim, death: Death) -> None:
        """Drop the child, and say what becomes of the study it ran."""
        self._drop_child()
        self._metrics.runs_closed.labels(death).inc()
        self._persist(lambda: close(self._database, held, death, self._rules))

    def _ready_child(self) -> Child:
        """The child, started anew when there is none."""
        if self._child is not None and not self._child.alive:
            self._drop_child()
        if self._child is None:
            self._child = Child(self._settings, SOLVER, self.name, self._template)
            self._child.wait_ready()
            self._metrics.workers_started.inc()
        self.ready = True
        return self._child

    def _drop_child(self) -> None:
        """Kill the child, if there is one."""
        self.ready = False
        child, self._child = self._child, None
        if child is not None:
            child.kill()

    def _attend(self, child: Child, held: Claim) -> Death | None:
        """Watch over a run; None when it ended by itself, else what it died of."""
        try:
            child.send(_task(held, self._rules))
            return self._watch(child, held)
        except ChildDiedError:
            return "crash"

    def _watch(self, child: Child, held: Claim) -> Death | None:
        """Watch over a run; gives what it died of, None where it ended by itself."""
        watch = self._first_watch(held)
        # The wait for the answer is the pace of the watch.
        while child.receive(_GLANCE_S) is None:
            if self._hand_back.is_set():
                return "shutdown"
            now = time.monotonic()
            if now >= watch.kill_at:
                return "cancel" if watch.stop_sent == "cancel" else "limit"
            holding = self._look_or_keep(held, watch, now)
            if holding is not None and not holding.held:
                # Ended by the child itself this moment, or deleted, or taken by another.
                return None if child.receive(_LAST_WORD_S) is not None else "cancel"
            self._ask_to_stop(child, watch, now, holding)
        return None

    def _first_watch(self, held: Claim) -> RunDeadlines:
        """When the run at hand is asked to stop and when it is killed."""
        with self._database.reading() as session:
            left = held.run_until - self._database.now(session)
        now = time.monotonic()
        # Of a short limit half is left to stop in: it may be shorter than the usual grace.
        grace = min(self._settings.stop_grace_s, max(0.0, left) / 2)
        return RunDeadlines(now + left - grace, now + left, now + self._settings.heartbeat_s)

    def _look_or_keep(self, held: Claim, watch: RunDeadlines, now: float) -> Holding | None:
        """Prolong the lease when it is time, else only look; None while the store is down."""
        try:
            if now < watch.next_beat:
                with self._database.reading() as session:
                    return look(session, held)
            with self._database.writing() as session:
                holding = keep(
                    session,
                    held,
                    lease_until=self._database.lease_end(session, self._settings.lease_s),
                )
            watch.next_beat = now + self._settings.heartbeat_s
        except ServiceError:
            return None
        return holding

    def _ask_to_stop(
        self, child: Child, watch: RunDeadlines, now: float, holding: Holding | None
    ) -> None:
        """Pass on a cancel or a deadline, once, and set the time of the kill."""
        if watch.stop_sent is not None:
            return
        if holding is not None and holding.cancel_requested:
            watch.stop_sent = "cancel"
            # A cancel is not to wait for the end of the time limit.
            watch.kill_at = min(watch.kill_at, now + self._settings.stop_grace_s)
        elif now >= watch.stop_at:
            watch.stop_sent = "deadline"
        if watch.stop_sent is not None:
            child.send({"do": "stop", "reason": watch.stop_sent})

    def _persist(self, write: Callable[[], object]) -> None:
        """Write, trying a few times; the reaper takes up what could not be written."""
        for attempt in range(5):
            try:
                write()
            except ServiceError:
                self._hand_back.wait(0.2 * 2**attempt)
            else:
                return


def _task(held: Claim, rules: RetryRules) -> dict[str, object]:
    """The message by which a child is told to run a study."""
    return {
        "do": "solve",
        "study": held.study_id,
        "token": held.token,
        "attempt": held.attempt,
        "run_until": held.run_until,
        "retention_s": rules.retention_s,
    }

"""Everything that works beside the HTTP side: slots with their children, and what feeds them."""

from __future__ import annotations

import os
import secrets
import socket
import threading
import time
from collections.abc import Callable
from functools import partial

from api.metrics import ServiceMetrics
from api.settings import Settings
from api.store.database import Database
from api.worker.engine import Engine, Lane
from api.worker.feeds import Mailbox, Polling
from api.worker.pulse import Pulse
from api.worker.reaper import Reaper
from api.worker.slot import WorkerSlot
from api.worker.template import Template
from api.worker.upkeep import Upkeep

_LAST_WAIT_S = 8.0
_ENGINE_WAIT_S = 3.0


class Supervisor:
    """Starts the workers of one process, and stops them without losing a study.

    On SQLite slots look into the queue themselves and a reaper keeps the store in order; on
    PostgreSQL the job engine does both, across all processes.
    """

    def __init__(
        self,
        settings: Settings,
        database: Database,
        metrics: ServiceMetrics,
        on_end: Callable[[], None],
        template: Template | None = None,
    ) -> None:
        """Makes slots and what feeds them by the kind of store; nothing runs before `start`."""
        self._settings = settings
        self._wake = threading.Condition()
        # Host, process and chance: no two servers on one store have the same name.
        server = f"{socket.gethostname()[:30]}-{os.getpid()}-{secrets.token_hex(3)}"
        names = [f"{server}-{number}" for number in range(1, settings.workers + 1)]
        upkeep = Upkeep(settings, database)
        make = partial(WorkerSlot, settings, database, metrics, on_end, template=template)
        self._minder: Reaper | Engine
        # A server alone polls its file; where several share a database, one thread takes jobs off
        # the queue for all slots.
        if database.is_sqlite:
            polling = Polling(settings, database, self._wake)
            self._slots = [make(feed=polling, name=name) for name in names]
            self._minder = Reaper(upkeep, settings.reap_s, self.wake)
        else:
            boxes = [Mailbox(settings, database) for _ in names]
            self._slots = [
                make(feed=box, name=name) for box, name in zip(boxes, names, strict=True)
            ]
            lanes = map(Lane, names, boxes, self._slots)
            self._minder = Engine(settings, database, upkeep, lanes)
        self._pulse = Pulse(server, database, self.ready) if self._slots else None

    def start(self) -> None:
        """Start every thread; the children load in the background."""
        for slot in self._slots:
            slot.start()
        self._minder.start()
        if self._pulse is not None:
            self._pulse.start()

    def wake(self) -> None:
        """Say that there is something in the queue; on PostgreSQL the engine says it."""
        with self._wake:
            self._wake.notify_all()

    def ready(self) -> int:
        """How many workers are loaded."""
        return sum(slot.ready for slot in self._slots)

    @property
    def reaping(self) -> bool:
        """Whether the store is kept in order from here."""
        return self._minder.is_alive()

    def stop(self) -> None:
        """Let running studies finish for a while, then put them back into the queue."""
        # No new studies first, then time for those at hand, then what is left goes back.
        self._minder.stop()
        if self._pulse is not None:
            self._pulse.stop()
        for slot in self._slots:
            slot.stop()
        self.wake()
        self._join(self._settings.shutdown_grace_s)
        for slot in self._slots:
            slot.hand_back()
        self._join(_LAST_WAIT_S)
        self._minder.join(_ENGINE_WAIT_S)

    def _join(self, seconds: float) -> None:
        """Wait for all slots, at most so long in all."""
        until = time.monotonic() + seconds
        for slot in self._slots:
            slot.join(max(0.0, until - time.monotonic()))

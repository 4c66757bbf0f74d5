"""Everything that works beside the HTTP side: slots with their children, and the reaper."""

from __future__ import annotations

import os
import secrets
import socket
import threading
import time
from collections.abc import Callable

from api.metrics import Metrics
from api.settings import Settings
from api.store.database import Database
from api.worker.pulse import Pulse
from api.worker.reaper import Reaper
from api.worker.slot import Bells, Slot

_LAST_WAIT_S = 8.0


class Supervisor:
    """Starts the workers of one server, and stops them without losing a study."""

    def __init__(
        self,
        settings: Settings,
        database: Database,
        metrics: Metrics,
        on_end: Callable[[], None],
    ) -> None:
        self._settings = settings
        self._wake = threading.Condition()
        server = f"{socket.gethostname()[:30]}-{os.getpid()}-{secrets.token_hex(3)}"
        self._slots = [
            Slot(f"{server}-{number}", settings, database, metrics, Bells(self._wake, on_end))
            for number in range(1, settings.workers + 1)
        ]
        self._reaper = Reaper(settings, database, self._wake)
        self._pulse = Pulse(server, database, self.ready) if self._slots else None

    def start(self) -> None:
        """Start every thread; the children load in the background."""
        for slot in self._slots:
            slot.start()
        self._reaper.start()
        if self._pulse is not None:
            self._pulse.start()

    def wake(self) -> None:
        """Say that there is something in the queue."""
        with self._wake:
            self._wake.notify_all()

    def ready(self) -> int:
        """How many workers are loaded."""
        return sum(slot.ready for slot in self._slots)

    @property
    def reaping(self) -> bool:
        """Whether the reaper is at work."""
        return self._reaper.is_alive()

    def stop(self) -> None:
        """Let running studies finish for a while, then put them back into the queue."""
        self._reaper.stop()
        if self._pulse is not None:
            self._pulse.stop()
        for slot in self._slots:
            slot.stop()
        self.wake()
        self._join(self._settings.shutdown_grace_s)
        for slot in self._slots:
            slot.hand_back()
        self._join(_LAST_WAIT_S)

    def _join(self, seconds: float) -> None:
        until = time.monotonic() + seconds
        for slot in self._slots:
            slot.join(max(0.0, until - time.monotonic()))

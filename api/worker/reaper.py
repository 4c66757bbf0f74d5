"""Keeping an SQLite store in order from a thread of every server on it."""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable

from api.http.errors import ServiceError
from api.worker.upkeep import Upkeep

_CLEAR_EVERY_S = 60.0
_LOG = logging.getLogger("api.worker.reaper")


class Reaper(threading.Thread):
    """Looks for lost and overdue studies every moment, and for old ones now and then."""

    def __init__(self, upkeep: Upkeep, pause_s: float, wake: Callable[[], None]) -> None:
        """Looks every `pause_s`; `wake` is called where studies were put back into the queue."""
        super().__init__(name="reaper", daemon=True)
        self._upkeep = upkeep
        self._pause_s = pause_s
        self._wake = wake
        self._stopping = threading.Event()
        self._cleared_at = 0.0

    def stop(self) -> None:
        """End the thread at its next turn."""
        self._stopping.set()

    def run(self) -> None:
        """Until told to stop, take up what other workers left and clear away what is too old."""
        while not self._stopping.wait(self._pause_s):
            try:
                if self._upkeep.take_up():
                    self._wake()
                self._clear_now_and_then()
            except ServiceError as error:
                _LOG.warning("the store does not serve: %s", error)
            except Exception:
                _LOG.exception("the reaper stumbled")

    def _clear_now_and_then(self) -> None:
        """Clear out old studies once a minute, and at the start."""
        if time.monotonic() - self._cleared_at < _CLEAR_EVERY_S and self._cleared_at:
            return
        self._cleared_at = time.monotonic()
        self._upkeep.clear()

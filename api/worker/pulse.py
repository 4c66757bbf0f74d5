"""Signs of life of one process with workers."""

from __future__ import annotations

import contextlib
import logging
import threading
from collections.abc import Callable

from api.http.errors import ServiceError
from api.store.database import Database
from api.store.servers import BEAT_S, leave, sign

_LOOK_S = 0.5
_LOG = logging.getLogger("api.worker.pulse")


class Pulse(threading.Thread):
    """Says in the store, now and then and at each change, how many workers are ready here."""

    def __init__(self, name: str, database: Database, ready: Callable[[], int]) -> None:
        """`ready` tells how many workers are loaded at the moment."""
        super().__init__(name="pulse", daemon=True)
        self._server = name
        self._database = database
        self._ready = ready
        self._stopping = threading.Event()

    def stop(self) -> None:
        """Say good-bye, and end the thread."""
        self._stopping.set()
        self.join(_LOOK_S * 4)

    def run(self) -> None:
        """Until told to stop, write to the store how many workers are ready.

        At once when the number changes, else every `BEAT_S`; at the end the server signs off.
        """
        said, since = -1, 0.0
        while not self._stopping.wait(_LOOK_S):
            since += _LOOK_S
            ready = self._ready()
            if ready == said and since < BEAT_S:
                continue
            try:
                with self._database.writing() as session:
                    sign(session, self._server, ready, self._database.lease_now(session))
                said, since = ready, 0.0
            except ServiceError as error:
                _LOG.warning("the store does not serve: %s", error)
        with contextlib.suppress(ServiceError), self._database.writing() as session:
            leave(session, self._server)

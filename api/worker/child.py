"""What every child process does: tasks off a socket, one after the other, until it closes."""

from __future__ import annotations

import ctypes
import json
import os
import queue
import resource
import signal
import sys
import threading
from collections.abc import Callable
from multiprocessing.connection import Connection
from typing import Any

from api.logs import configure_logs
from api.settings import Settings

_PR_SET_PDEATHSIG = 1
_NICENESS = 5


class Stop:
    """Whether the run at hand is to stop, and for which reason; cleared before each run."""

    def __init__(self) -> None:
        """Nothing is asked yet."""
        self.reason: str | None = None

    def asked(self) -> bool:
        """Whether the run should stop now."""
        return self.reason is not None


class Inbox(threading.Thread):
    """Takes messages off the socket, so that a stop is heard during a run."""

    def __init__(self, connection: Connection, stop: Stop) -> None:
        """Reads `connection` from a thread of its own; `stop` is told of a stop at once."""
        super().__init__(daemon=True, name="inbox")
        self._connection = connection
        self._stop = stop
        self.tasks: queue.SimpleQueue[dict[str, Any]] = queue.SimpleQueue()

    def run(self) -> None:
        """Read until the service is gone, then end this process with it."""
        while True:
            try:
                message = json.loads(self._connection.recv_bytes())
            except (OSError, EOFError, ValueError):
                # From a thread: `sys.exit` would end only that, and the run would go on for nobody.
                os._exit(0)
            if message.get("do") == "stop":
                self._stop.reason = message.get("reason", "cancel")
            else:
                self.tasks.put(message)


def die_with_parent() -> None:
    """Ask Linux to kill this process when the thread that started it is gone."""
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(_PR_SET_PDEATHSIG, signal.SIGKILL)


def _limit(settings: Settings) -> None:
    """Leave the processor to the service first and take no more memory than allowed."""
    os.nice(_NICENESS)
    if settings.worker_memory_mb:
        size = settings.worker_memory_mb * 1024 * 1024
        resource.setrlimit(resource.RLIMIT_AS, (size, size))


Work = Callable[[dict[str, Any], Stop], tuple[dict[str, Any], bytes | None]]
"""What a task is answered with: a JSON message, and the bytes that follow it if any."""


def serve(descriptor: int, prepare: Callable[[Settings], Work]) -> None:
    """Serve the socket of that descriptor, for as long as the service lives.

    `prepare` loads what the tasks need; the service is told when it is done.
    """
    die_with_parent()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the service to act on
    settings = Settings()
    configure_logs(settings.log_level)
    _limit(settings)
    connection = Connection(descriptor)
    stop = Stop()
    inbox = Inbox(connection, stop)
    inbox.start()
    work = prepare(settings)
    connection.send_bytes(b'{"ready": true}')
    while True:
        task = inbox.tasks.get()
        # A stop meant for the run before may have come after its end.
        stop.reason = None
        answer, body = work(task, stop)
        connection.send_bytes(json.dumps(answer).encode())
        if body is not None:
            connection.send_bytes(body)

"""What a child process does: solve studies by id, or calculate from what it is sent.

Run as `python -m api.jobs.child FD NAME`, FD being its end of a socket to the service.
"""

from __future__ import annotations

import ctypes
import json
import logging
import os
import queue
import resource
import signal
import sys
import threading
from multiprocessing.connection import Connection
from typing import Any

from api.jobs.calculations import calculate
from api.jobs.running import Runner, load_runner
from api.jobs.solving import solve
from api.logs import configure_logs
from api.settings import Settings
from api.store.database import Database

_PR_SET_PDEATHSIG = 1
_NICENESS = 5
_LOG = logging.getLogger("api.jobs.child")


class Stop:
    """The wish that the run at hand ends, with the reason; cleared before each run."""

    def __init__(self) -> None:
        self.reason: str | None = None

    def asked(self) -> bool:
        """Whether the run should stop now."""
        return self.reason is not None


class Inbox(threading.Thread):
    """Takes messages off the socket, so that a wish to stop is heard during a run."""

    def __init__(self, connection: Connection, stop: Stop) -> None:
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
                os._exit(0)
            if message.get("do") == "stop":
                self._stop.reason = message.get("reason", "cancel")
            else:
                self.tasks.put(message)


def _die_with_parent() -> None:
    """Ask Linux to kill this process when the thread that started it is gone."""
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(_PR_SET_PDEATHSIG, signal.SIGKILL)


def _limit(settings: Settings) -> None:
    """Leave the processor to the service first and take no more memory than allowed."""
    os.nice(_NICENESS)
    if settings.worker_memory_mb:
        size = settings.worker_memory_mb * 1024 * 1024
        resource.setrlimit(resource.RLIMIT_AS, (size, size))


def _work(connection: Connection, inbox: Inbox, stop: Stop, settings: Settings) -> None:
    """Do one task after the other, for as long as the service lives."""
    runner: Runner = load_runner(settings.runner)
    database = Database(settings.database_url, timeout_s=settings.store_timeout_s)
    connection.send_bytes(b'{"ready": true}')
    while True:
        task = inbox.tasks.get()
        body: bytes | None = None
        if task["do"] == "solve":
            stop.reason = None
            answer = solve(database, runner, task, stop)
        else:
            answer, body = calculate(runner, task)
        connection.send_bytes(json.dumps(answer).encode())
        if body is not None:
            connection.send_bytes(body)


def main(arguments: list[str]) -> None:
    """Serve the socket named on the command line."""
    _die_with_parent()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the service to act on
    settings = Settings()
    configure_logs(settings.log_level)
    _limit(settings)
    connection = Connection(int(arguments[0]))
    stop = Stop()
    inbox = Inbox(connection, stop)
    inbox.start()
    _work(connection, inbox, stop, settings)


if __name__ == "__main__":
    main(sys.argv[1:])

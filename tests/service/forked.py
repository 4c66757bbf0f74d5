"""Server processes forked from one that has loaded the service, as its children are from theirs."""

from __future__ import annotations

import atexit
import contextlib
import functools
import json
import os
import signal
import socket
import subprocess
import sys
import threading
from pathlib import Path

from api.__main__ import main as run
from api.worker.child import die_with_parent
from api.worker.template import Forked, Template, fork_as_asked

MODULES = (
    "uvicorn",
    "api.app",
    "api.http.protocol",
    "api.worker.calculator",
    "api.worker.optimizer_runner",
    "api.worker.solver",
    "tests.service.fakes",
)
ROOT = Path(__file__).parents[2]
_ORDER_BYTES = 1 << 16


class ServerProcess:
    """A forked server, with what the tests use of `subprocess.Popen`."""

    def __init__(self, forked: Forked, line: socket.socket) -> None:
        self.pid = forked.pid
        self._forked = forked
        self._line = line
        self._status: int | None = None
        # One thread may wait for what another kills.
        self._waiting = threading.Lock()

    def poll(self) -> int | None:
        """None while it runs."""
        return self._forked.poll()

    def kill(self) -> None:
        """SIGKILL."""
        self._forked.kill()

    def send_signal(self, number: int) -> None:
        """Send the signal."""
        os.kill(self.pid, number)

    def wait(self, timeout: float | None = None) -> int:
        """Its exit status once it has ended, -9 where it was killed."""
        with self._waiting:
            if self._status is None:
                self._line.settimeout(timeout)
                told = b""
                with contextlib.suppress(ConnectionResetError):  # killed before it read its order
                    told = self._line.recv(16)
                self._forked.wait()
                self._line.close()
                self._status = int(told) if told else -signal.SIGKILL
            return self._status


def fork_server(
    arguments: list[str], environment: dict[str, str], folder: Path, log: int
) -> ServerProcess | None:
    """`python -m api` with these arguments; None where processes cannot be forked so."""
    template = _template()
    if template is None:
        return None
    ours, theirs = socket.socketpair()
    with theirs:
        forked = template.fork("tests.service.forked", theirs.fileno(), environment)
    if forked is None:
        ours.close()
        return None
    order = json.dumps({"arguments": arguments, "folder": str(folder)}).encode()
    socket.send_fds(ours, [order], [log])
    return ServerProcess(forked, ours)


@functools.cache
def _template() -> Template | None:
    """The process that servers are forked from, one for each process of the tests."""
    if not hasattr(signal, "pidfd_send_signal"):
        return None
    ours, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.service.forked", str(theirs.fileno())],
        pass_fds=(theirs.fileno(),),
        cwd=ROOT,
    )
    theirs.close()
    template = Template(ours)

    def end() -> None:
        template.close()
        process.wait()

    atexit.register(end)
    return template


def main(descriptor: int) -> None:
    """Be a server as the order on the socket says, and tell the exit status there."""
    die_with_parent()
    line = socket.socket(fileno=descriptor)
    order, (log,), _, _ = socket.recv_fds(line, _ORDER_BYTES, 1)
    told = json.loads(order)
    os.chdir(told["folder"])
    for standard in (1, 2):
        os.dup2(log, standard)
    os.close(log)
    status = 1
    try:
        status = run(told["arguments"])
    finally:
        with contextlib.suppress(OSError):
            line.send(str(status).encode())
    os._exit(status)


if __name__ == "__main__":
    fork_as_asked(socket.socket(fileno=int(sys.argv[1])), MODULES)

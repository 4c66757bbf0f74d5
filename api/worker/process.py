"""One child process of the service: started, spoken to and, if need be, killed."""

from __future__ import annotations

import contextlib
import json
import os
import socket
import subprocess
import sys
import time
from multiprocessing.connection import Connection
from typing import Any

from api.settings import ENV_PREFIX, Settings
from api.worker.template import Forked, Template

START_TIMEOUT_S = 60.0
_HANDED_ON = ("database_url", "log_level", "runner", "worker_memory_mb", "store_timeout_s")


class ChildDiedError(Exception):
    """The child is gone, killed or crashed."""


class Child:
    """A child process that answers JSON messages, each with an optional body of bytes.

    It ends by itself when this process is gone: its end of the socket closes. It is forked from the
    template, or a fresh interpreter where there is none.
    """

    def __init__(
        self, settings: Settings, module: str, name: str, template: Template | None = None
    ) -> None:
        """Starts `main` of `module`; one end of a socket pair goes along."""
        self.name = name
        ours, theirs = socket.socketpair()
        try:
            self._process = _started(
                module, name, theirs.fileno(), _environment(settings), template
            )
        finally:
            # The child has its own copy: as long as one stays open here, its end would not be seen.
            theirs.close()
        self._connection = Connection(ours.detach())

    @property
    def pid(self) -> int:
        """The process's id."""
        return self._process.pid

    @property
    def alive(self) -> bool:
        """Whether the process still runs."""
        return self._process.poll() is None

    def wait_ready(self) -> None:
        """Return once the child has loaded everything; ChildDiedError when it does not."""
        until = time.monotonic() + START_TIMEOUT_S
        while time.monotonic() < until:
            if self.receive(0.5) is not None:
                return
        raise ChildDiedError(f"{self.name} did not start within {START_TIMEOUT_S:.0f} s")

    def send(self, message: dict[str, Any]) -> None:
        """Send a message; ChildDiedError when nobody is there to take it."""
        try:
            self._connection.send_bytes(json.dumps(message).encode())
        except (OSError, ValueError) as error:
            raise ChildDiedError(self.name) from error

    def receive(self, timeout_s: float) -> dict[str, Any] | None:
        """The next message within the time, or None; ChildDiedError when it is gone."""
        try:
            if not self._connection.poll(timeout_s):
                return None
            message = json.loads(self._connection.recv_bytes())
        except (OSError, EOFError, ValueError) as error:
            raise ChildDiedError(self.name) from error
        if not isinstance(message, dict):
            raise ChildDiedError(self.name)
        return message

    def receive_body(self) -> bytes:
        """The bytes that follow a message that announced them."""
        try:
            return self._connection.recv_bytes()
        except (OSError, EOFError) as error:
            raise ChildDiedError(self.name) from error

    def kill(self) -> None:
        """End the process at once and wait for it to be gone."""
        # It may have ended this moment.
        with contextlib.suppress(OSError):
            self._process.kill()
        self._process.wait()
        self._connection.close()


def _started(
    module: str,
    name: str,
    descriptor: int,
    environment: dict[str, str],
    template: Template | None,
) -> Forked | subprocess.Popen[bytes]:
    """The process, with that end of the socket."""
    forked = template and template.fork(module, descriptor, environment)
    return forked or subprocess.Popen(  # noqa: S603 - our own module, no shell
        [sys.executable, "-m", module, str(descriptor), name],
        pass_fds=(descriptor,),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,  # solvers chat there
        env=environment,
    )


def _environment(settings: Settings) -> dict[str, str]:
    """This process's environment with the settings a child needs; the API keys stay here."""
    environment = {
        # Without the settings of this server, API keys among them: what a child needs follows
        # below.
        name: value
        for name, value in os.environ.items()
        if not name.startswith(ENV_PREFIX)
    }
    for name in _HANDED_ON:
        environment[f"{ENV_PREFIX}{name.upper()}"] = str(getattr(settings, name))
    return environment

"""A process that has loaded what children need and is forked for each of them.

A child that is forked is there within milliseconds, after a crash too, and shares the template's
memory. Only Linux says for certain which process a signal goes to (`pidfd_open(2)`); elsewhere, and
whenever the template is gone, children are fresh interpreters.
"""

from __future__ import annotations

import contextlib
import ctypes
import gc
import importlib
import json
import os
import select
import signal
import socket
import sys
import threading
from collections.abc import Iterator, Sequence
from typing import Any, NoReturn

from api.settings import ENV_PREFIX, Settings
from api.worker.child import die_with_parent

_ANSWER_S = 60.0
"""Longest wait for a child; the first waits until the template has loaded."""
_MESSAGE_BYTES = 1 << 17
_PR_SET_NAME = 15


class Forked:
    """A child of the template, held by a descriptor of its process; for any thread."""

    def __init__(self, pid: int, descriptor: int) -> None:
        self.pid = pid
        self._descriptor = descriptor
        self._over = False
        # A descriptor that is closed may be another file's at once.
        self._closing = threading.Lock()

    def poll(self) -> int | None:
        """None while the process runs."""
        return 0 if self._ended(0) else None

    def kill(self) -> None:
        """End the process at once; one that has just ended by itself is let be."""
        with self._closing, contextlib.suppress(ProcessLookupError):
            if not self._over:
                signal.pidfd_send_signal(self._descriptor, signal.SIGKILL)

    def wait(self) -> int:
        """Return once the process has ended."""
        self._ended(None)
        return 0

    def _ended(self, timeout_ms: int | None) -> bool:
        """Whether the process has ended within the time; what held it is then let go."""
        with self._closing:
            if self._over:
                return True
            # One of its own: another thread may let go of the shared one meanwhile.
            own = os.dup(self._descriptor)
        try:
            poll = select.poll()
            poll.register(own, select.POLLIN)
            ended = bool(poll.poll(timeout_ms))
        finally:
            os.close(own)
        with self._closing:
            if ended and not self._over:
                self._over = True
                os.close(self._descriptor)
        return ended


class Template:
    """This process's end of the line to the template."""

    def __init__(self, link: socket.socket) -> None:
        link.settimeout(_ANSWER_S)
        self._link = link
        self._turn = threading.Lock()

    def fork(self, module: str, descriptor: int, environment: dict[str, str]) -> Forked | None:
        """A child that does what `main` of that module does with the descriptor; None where the
        template is gone."""
        message = json.dumps({"module": module, "environment": environment}).encode()
        with self._turn:
            try:
                socket.send_fds(self._link, [message], [descriptor])
                answer, held, _, _ = socket.recv_fds(self._link, _MESSAGE_BYTES, 1)
                pid = json.loads(answer)["pid"]
            except (OSError, ValueError):
                # Out of step with it: what it answers late would be taken for another's.
                self._link.close()
                return None
        # Without a descriptor it ended before it could be held.
        return Forked(pid, held[0]) if held else None

    def close(self) -> None:
        """Let the template end, and every child of it."""
        self._link.close()


@contextlib.contextmanager
def unswept() -> Iterator[None]:
    """While modules are loaded: all of them stay, and to look through them again and again for
    rubbish takes a quarter of the time."""
    sweeping = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if sweeping:
            gc.enable()


def open_template(settings: Settings, modules: Sequence[str]) -> Template | None:
    """A template that loads these modules and the runner; None where there can be none.

    To be called before this process has threads or connections: neither outlives a fork.
    """
    if not hasattr(signal, "pidfd_send_signal") or threading.active_count() > 1:
        return None
    ours, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
    if os.fork():
        theirs.close()
        return Template(ours)
    try:
        ours.close()
        fork_as_asked(theirs, [*modules, settings.runner.partition(":")[0]])
    finally:
        os._exit(0)


def fork_as_asked(link: socket.socket, modules: Sequence[str]) -> None:
    """Load the modules, then fork a child for each message, until the service is gone."""
    die_with_parent()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the service to act on
    signal.signal(signal.SIGCHLD, _bury)
    for name in [name for name in os.environ if name.startswith(ENV_PREFIX)]:
        del os.environ[name]
    with unswept():
        for module in modules:
            # A child that needs it fails over it again, and says so.
            with contextlib.suppress(Exception):
                importlib.import_module(module)
    if threading.active_count() > 1:
        return
    gc.collect()
    gc.freeze()  # collections in the children leave the shared pages alone
    while True:
        message, held, _, _ = socket.recv_fds(link, _MESSAGE_BYTES, 1)
        if not message:
            return
        pid = os.fork()
        if not pid:
            link.close()
            _be_child(json.loads(message), held[0])
        os.close(held[0])
        answer = json.dumps({"pid": pid}).encode()
        try:
            process = os.pidfd_open(pid)
        except OSError:
            link.send(answer)
            continue
        socket.send_fds(link, [answer], [process])
        os.close(process)


def _bury(*_: object) -> None:
    """Leave no ended child behind as a zombie."""
    with contextlib.suppress(ChildProcessError):
        while os.waitpid(-1, os.WNOHANG)[0]:
            pass


def _be_child(message: dict[str, Any], descriptor: int) -> NoReturn:
    """Become what a fresh interpreter of that module would be."""
    try:
        signal.signal(signal.SIGCHLD, signal.SIG_DFL)
        os.environ.clear()
        os.environ.update(message["environment"])
        nothing = os.open(os.devnull, os.O_RDWR)
        for standard in (0, 1):  # solvers chat on the standard output
            os.dup2(nothing, standard)
        name = message["module"]
        ctypes.CDLL(None).prctl(_PR_SET_NAME, name.rpartition(".")[2].encode())
        importlib.import_module(name).main(descriptor)
    except BaseException:
        sys.excepthook(*sys.exc_info())
    finally:
        os._exit(1)

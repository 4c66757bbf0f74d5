"""Watching a running study: progress on standard error, Ctrl-C that keeps the best so far."""

from __future__ import annotations

import signal
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import IO, TYPE_CHECKING

from optimizer.figures import at_most

if TYPE_CHECKING:
    from optimizer.domain.progress import Progress

PATIENCE_S = 2.0
"""A study this short says nothing of its progress."""

_TERMINAL_PERIOD_S = 0.25
_PIPE_PERIOD_S = 5.0


def progress_words(progress: Progress) -> str:
    """Progress in one line: seconds, stage, layouts found, best score and bound."""
    words = [f"{progress.seconds:.0f} s", progress.stage]
    if progress.layouts_found:
        words.append(f"{progress.layouts_found} layout(s)")
    if progress.provisional:
        words.append("a provisional layout")
    if progress.score is not None:
        words.append(f"best so far {progress.score:.1f}")
    if progress.bound is not None:
        words.append(f"bound {at_most(progress.bound, 1)}")
    return ", ".join(words)


class RunMonitor:
    """Shows how a study goes on `stream` and asks it to stop on Ctrl-C."""

    def __init__(
        self, stream: IO[str], *, quiet: bool = False, clock: Callable[[], float] = time.monotonic
    ) -> None:
        """`quiet` shows no progress, yet Ctrl-C stops the study all the same; `clock` gives
        seconds, for tests."""
        self._stream, self._quiet, self._clock = stream, quiet, clock
        self._on_terminal = stream.isatty()
        self._next = clock() + PATIENCE_S
        self._shown = 0
        self._stop = False
        self._told = False

    def should_stop(self) -> bool:
        """Whether Ctrl-C was pressed; says so once."""
        if self._stop and not self._told:
            self._told = True
            self._clear()
            self._stream.write("stopping with the best so far; Ctrl-C again to quit at once\n")
            self._stream.flush()
        return self._stop

    def progress(self, progress: Progress) -> None:
        """Show the progress, unless it is too soon or too soon again."""
        now = self._clock()
        if self._quiet or now < self._next:
            return
        self._next = now + (_TERMINAL_PERIOD_S if self._on_terminal else _PIPE_PERIOD_S)
        self._say(progress_words(progress))

    def _say(self, line: str) -> None:
        """On a terminal write over the last line, else add one."""
        if not self._on_terminal:
            self._stream.write(f"{line}\n")
        else:
            # Padded: a shorter line would leave the end of the one before it standing.
            self._stream.write(f"\r{line.ljust(self._shown)}")
            self._shown = len(line)
        self._stream.flush()

    def _clear(self) -> None:
        """Wipe the line of progress off the terminal."""
        if self._shown:
            self._stream.write(f"\r{' ' * self._shown}\r")
            self._stream.flush()
            self._shown = 0

    def _interrupted(self, _signal: int, _frame: FrameType | None) -> None:
        """Take in Ctrl-C."""
        # Nothing is written here: the signal may have come in the midst of a write, and a buffered
        # stream refuses another one from inside it.
        self._stop = True
        # The next Ctrl-C ends the program in the usual way.
        signal.signal(signal.SIGINT, signal.default_int_handler)

    @contextmanager
    def watching(self) -> Iterator[RunMonitor]:
        """Take Ctrl-C as a request to stop while the block runs; then clean up the line."""
        # Python sets signal handlers in the main thread only.
        if threading.current_thread() is not threading.main_thread():
            yield self
            return
        before = signal.signal(signal.SIGINT, self._interrupted)
        try:
            yield self
        finally:
            signal.signal(signal.SIGINT, before)
            # A Ctrl-C that nobody asked about until the end is told all the same.
            self.should_stop()
            self._clear()

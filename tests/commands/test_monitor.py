"""Progress on standard error."""

from __future__ import annotations

import io
import itertools
import os
import signal
import threading
from pathlib import Path

from optimizer.commands.monitor import RunMonitor, progress_words
from optimizer.domain.layout import Layout
from optimizer.domain.progress import Progress


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        """It is."""
        return True


class Clock:
    """A clock set by hand."""

    now = 0.0

    def __call__(self) -> float:
        """The time set."""
        return self.now


def at(seconds: float) -> Progress:
    """Progress at a time."""
    return Progress("layout 2", 1, 80.25, 81.5, seconds)


def test_progress_in_words() -> None:
    """Seconds, stage, layouts found, best so far and bound; what is not known is left out."""
    assert progress_words(at(12.3)) == "12 s, layout 2, 1 layout(s), best so far 80.2, bound 81.5"
    assert progress_words(Progress("reading the room")) == "0 s, reading the room"


def test_a_provisional_layout_is_called_so() -> None:
    """It is there to be kept, and is no layout found."""
    early = Progress("searching", 0, 80.25, 81.5, 1.2, Layout(status="provisional"))
    words = "1 s, searching, a provisional layout, best so far 80.2, bound 81.5"
    assert progress_words(early) == words


def test_short_studies_say_nothing_and_long_ones_now_and_then() -> None:
    """In a pipe: silence for two seconds, then a line at most every five."""
    stream, clock = io.StringIO(), Clock()
    watch = RunMonitor(stream, clock=clock)
    for clock.now in (0.5, 1.9, 2.5, 3.0, 7.4, 7.6):
        watch.progress(at(clock.now))
    assert [line.split(",")[0] for line in stream.getvalue().splitlines()] == ["2 s", "8 s"]


def test_a_terminal_has_one_line_that_is_wiped_at_the_end() -> None:
    """Each line is written over the last; none stays when the study is done."""
    stream, clock = Terminal(), Clock()
    with RunMonitor(stream, clock=clock).watching() as watch:
        clock.now = 3.0
        watch.progress(at(3))
        clock.now = 3.1
        watch.progress(at(3.1))
        clock.now = 4.0
        watch.progress(Progress("placing", seconds=4))
    long, short = "3 s, layout 2, 1 layout(s), best so far 80.2, bound 81.5", "4 s, placing"
    wiped = "\r" + " " * len(short) + "\r"
    assert stream.getvalue() == f"\r{long}\r{short.ljust(len(long))}{wiped}"


def test_quiet_is_quiet() -> None:
    """No progress at all when asked for none."""
    stream, clock = Terminal(), Clock()
    watch = RunMonitor(stream, quiet=True, clock=clock)
    clock.now = 100.0
    watch.progress(at(100))
    assert stream.getvalue() == ""


def test_fifty_interruptions_in_the_midst_of_writing_are_all_taken(tmp_path: Path) -> None:
    """Whenever Ctrl-C comes, it stops the watch and breaks no write; each is told once."""
    told = []
    for number in range(50):
        path = tmp_path / f"{number}.txt"
        with path.open("w", encoding="utf-8", buffering=64) as stream:
            _interrupted(RunMonitor(stream, clock=itertools.count(0.0, 10.0).__next__), number)
        told.append(path.read_text(encoding="utf-8").count("stopping with the best so far"))
    assert told == [1] * 50


def _interrupted(watch: RunMonitor, number: int) -> None:
    """Write without a pause until a signal, sent at a moment of its own, has been noticed."""
    pressing = threading.Timer(0.001 + 0.0003 * number, os.kill, (os.getpid(), signal.SIGINT))
    with watch.watching():
        pressing.start()
        while not watch.should_stop():
            watch.progress(at(12.3))
    pressing.join()

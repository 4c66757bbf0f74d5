"""How the suite is shared out between processes (`pytest -n 2`): by folder, the long ones first."""

from __future__ import annotations

import sys
from pathlib import Path, PurePosixPath
from typing import IO

import pytest
from hypothesis import given, settings
from hypothesis.strategies import integers, text
from xdist.scheduler.loadscope import LoadScopeScheduling

BY_FILE = ("tests", "tests/model", "tests/service")
"""Folders whose files may run in different processes. In all others the files share what is
costly: the browser and its server, proposals of the scenarios, drawings of the samples."""

SOLVING = (
    "client",
    "drawn",
    "files",
    "hardened",
    "page",
    "prices",
    "readme",
    "reruns",
    "scenarios",
)
"""Files of the service's tests that share the one server that solves."""

WITH = {
    "tests/model/test_solvers_agree.py": "tests/scenarios",
    **{f"tests/service/test_api_{name}.py": "tests/service/solving" for name in SOLVING},
}
"""Files that run together with others, for what they share with them."""

FIRST = (
    "tests/browser",
    "tests/scenarios",
    "tests/service/solving",
    "tests/service/test_api_crashes.py",
    "tests/service/test_api_scale.py",
    "tests/service",
    "tests/properties",
    "tests/hand",
    "tests/test_quality.py",
    "tests/test_installed.py",
    "tests/explaining",
    "tests/proposing",
    "tests/model",
)
"""What takes long begins first, so that no process is left with it at the end."""


def unit_of(test_id: str) -> str:
    """What a test runs together with: its folder or its file, by the path in its id."""
    path = PurePosixPath(test_id.split("::", 1)[0])
    folder = str(path.parent)
    return WITH.get(str(path), str(path) if folder in BY_FILE else folder)


def turn_of(test_id: str) -> int:
    """When a test's unit has its turn; units of the same turn stay in their order."""
    unit = unit_of(test_id)
    for turn, prefix in enumerate(FIRST):
        if unit == prefix or unit.startswith(f"{prefix}/"):
            return turn
    return len(FIRST)


class ByUnit(LoadScopeScheduling):
    """Gives each process a unit at a time, in the order of the tests."""

    def __init__(self, config: pytest.Config, log: object) -> None:
        config.option.loadscopereorder = False
        super().__init__(config, log)

    def _split_scope(self, nodeid: str) -> str:
        return unit_of(nodeid)


class Compiling:
    """The time in which one process of a shared-out run loads all modules, while the others wait.

    On a fresh tree it compiles them, and rewrites the asserts of those of the tests, which takes
    as long as a hundred tests; the others then load what it wrote. So with what Hypothesis draws
    from.
    """

    def __init__(self, config: pytest.Config) -> None:
        """Waits for whichever process is at it."""
        self._lock: IO[bytes] | None = None
        # Windows has no such locks; and where nothing is written there is nothing to wait for.
        alone = not hasattr(config, "workerinput")
        if alone or sys.platform == "win32" or sys.dont_write_bytecode:
            return
        import fcntl

        self._lock = Path(__file__).open("rb")  # noqa: SIM115  (until `end`)
        # Given back by the system if this process dies.
        fcntl.flock(self._lock, fcntl.LOCK_EX)

    def end(self) -> None:
        """The next process may go on."""
        if self._lock is not None:
            draw_once()
            self._lock.close()
            self._lock = None


def draw_once() -> None:
    """Let Hypothesis write down what it draws from: a table of all characters, and the numbers and
    texts that stand in all modules. Either takes seconds to work out, and a fraction to read."""

    @settings(max_examples=50, derandomize=True, database=None)
    @given(text(), integers())
    def each(_: str, __: int) -> None:
        pass

    each()

"""How tests are shared out between processes: what is named is there, and nothing is left out."""

from __future__ import annotations

import sys
import threading
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import pytest

from tests.shares import BY_FILE, FIRST, SOLVING, WITH, Compiling, turn_of, unit_of

ROOT = Path(__file__).parents[1]
FILES = [str(path.relative_to(ROOT)) for path in ROOT.glob("tests/**/test_*.py")]


def test_what_is_named_is_there() -> None:
    """Files that go with others exist, and whatever begins first is the unit of some test."""
    assert set(WITH) <= set(FILES)
    assert all((ROOT / folder).is_dir() for folder in BY_FILE)
    assert {turn_of(file) for file in FILES} == set(range(len(FIRST) + 1))


def test_one_process_has_the_server_that_solves() -> None:
    """Every file of tests that asks for it is in its unit."""
    asking = {
        file
        for file in FILES
        if file.startswith("tests/service/") and "real_server" in (ROOT / file).read_text("utf-8")
    }
    assert asking == {f"tests/service/test_api_{name}.py" for name in SOLVING}
    assert {unit_of(f"{file}::test_it[a/b]") for file in asking} == {"tests/service/solving"}


@pytest.mark.skipif(sys.platform == "win32", reason="no such locks there")
def test_one_process_loads_all_modules_before_the_next_does(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The second waits until the first has them; one that runs alone waits for none."""
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    shared = cast(pytest.Config, SimpleNamespace(workerinput={}))
    first, begun = Compiling(shared), threading.Event()

    def second() -> None:
        waiting = Compiling(shared)
        begun.set()
        waiting.end()

    thread = threading.Thread(target=second)
    thread.start()
    Compiling(cast(pytest.Config, SimpleNamespace())).end()
    assert not begun.wait(0.2)
    first.end()
    assert begun.wait(60)
    thread.join()

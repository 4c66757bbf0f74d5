"""How tests are shared out between processes: what is named is there, and nothing is left out."""

from __future__ import annotations

from pathlib import Path

from tests.shares import BY_FILE, FIRST, SOLVING, WITH, turn_of, unit_of

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

"""What the README tells people to type works."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

from optimizer.commands.main import make_parser
from optimizer.commands.registry import COMMANDS

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def typed() -> list[list[str]]:
    """Words after `python -m optimizer` in every command line of the README."""
    lines = re.findall(r"-m optimizer ([^\n`|>]+)", README)
    return [shlex.split(line) for line in lines]


def test_every_command_line_is_understood() -> None:
    """The parser takes each of them."""
    lines = typed()
    assert len(lines) >= 4
    for words in lines:
        assert callable(make_parser().parse_args(words).run)


def test_the_main_job_runs_on_a_brief_that_is_there() -> None:
    """The first command plans a scenario of the project."""
    (words,) = [words for words in typed() if words[0] == "propose" and "/" in words[1]]
    assert (ROOT / words[1]).is_file()


def test_set_up_takes_one_line_each() -> None:
    """One line sets up and plans, one sets up and tests; `.ci/run` runs the latter."""
    lines = [line for line in README.splitlines() if line.startswith("python3 -m venv .venv && ")]
    assert [line.rsplit(" -m ", 1)[1].split()[0] for line in lines] == ["optimizer", "pytest"]


def test_every_command_is_in_the_table() -> None:
    """No command is left unexplained."""
    listed = re.findall(r"^\| `([a-z]+)", README, re.MULTILINE)
    names = [command.__name__.rsplit(".", 1)[-1] for command in COMMANDS]  # type: ignore[attr-defined]
    assert listed == names

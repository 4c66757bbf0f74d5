"""The command line as a process of its own: pipes, encodings and how fast it answers."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def call(
    *words: str | Path, env: dict[str, str] | None = None, **options: object
) -> subprocess.CompletedProcess[bytes]:
    """Run `python -m optimizer` with the words given."""
    return subprocess.run(
        [sys.executable, "-m", "optimizer", *map(str, words)],
        cwd=ROOT,
        env={**os.environ, **(env or {})},
        capture_output=True,
        timeout=60,
        check=False,
        **options,  # type: ignore[call-overload]
    )


def test_help_loads_nothing_heavy() -> None:
    """Solvers, drawings and validation stay unloaded until a command needs them."""
    probe = (
        "import sys; from optimizer.commands.main import make_parser; make_parser();"
        "print([m for m in ('pydantic', 'rich', 'pulp', 'highspy', 'shapely', 'networkx', 'ezdxf',"
        " 'reportlab', 'fastapi') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", probe], cwd=ROOT, capture_output=True, check=True)
    assert done.stdout.strip() == b"[]"


def test_the_version_is_told() -> None:
    """`--version` names the program's version."""
    done = call("--version")
    assert (done.returncode, done.stdout.split()[-1]) == (0, b"0.1.0")


def test_a_report_prints_where_only_ascii_can(hall_study_file: Path) -> None:
    """No encoding error, and a drawing all the same."""
    done = call("show", hall_study_file, env={"PYTHONIOENCODING": "ascii", "COLUMNS": "90"})
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout.isascii()
    assert b'#=72"======' in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 90


def test_a_piped_report_is_the_same_every_time(hall_study_file: Path) -> None:
    """Without a terminal the width is 100 and there is no colour."""
    env = {key: value for key, value in os.environ.items() if key != "COLUMNS"}
    runs = [
        subprocess.run(
            [sys.executable, "-m", "optimizer", "show", str(hall_study_file)],
            cwd=ROOT,
            env={**env, "PYTHONIOENCODING": "utf-8"},
            capture_output=True,
            check=True,
        ).stdout
        for _ in range(2)
    ]
    assert runs[0] == runs[1]
    assert b"\x1b" not in runs[0]
    assert max(map(len, runs[0].decode().splitlines())) == 100


def test_a_reader_that_stops_early_is_no_error(hall_study_file: Path) -> None:
    """`| head -1` ends quietly: no traceback, no complaint at exit."""
    code = (
        "import subprocess, sys;"
        "p = subprocess.Popen([sys.executable, '-m', 'optimizer', 'show', sys.argv[1],"
        " '--show', 'all'], stdout=subprocess.PIPE, stderr=subprocess.PIPE);"
        "p.stdout.close(); sys.stdout.write(p.stderr.read().decode()); sys.exit(p.wait())"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(hall_study_file)],
        cwd=ROOT,
        capture_output=True,
        check=False,
    )
    assert (done.returncode, done.stdout) == (141, b"")

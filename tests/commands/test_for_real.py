"""From a scenario to layouts and back through every command, with the real solver."""

from __future__ import annotations

import json
import math
import os
import signal
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
ENVIRONMENT = {**os.environ, "PYTHONIOENCODING": "utf-8", "COLUMNS": "100"}


def optimizer(*words: str | Path, text: str | None = None) -> subprocess.CompletedProcess[str]:
    """Run `python -m optimizer` with the words given and `text` on standard input."""
    return subprocess.run(
        [sys.executable, "-m", "optimizer", *map(str, words)],
        cwd=ROOT,
        env=ENVIRONMENT,
        input=text,
        capture_output=True,
        encoding="utf-8",
        timeout=120,
        check=False,
    )


@dataclass(frozen=True)
class Proposed:
    """A proposed study: what was printed, and what was written."""

    done: subprocess.CompletedProcess[str]
    path: Path
    study: dict[str, Any]


@pytest.fixture(scope="module")
def proposed(tmp_path_factory: pytest.TempPathFactory) -> Proposed:
    """Two layouts for the hall closet, solved once for all tests here."""
    path = tmp_path_factory.mktemp("real") / "study.json"
    options = ("--alternatives", "2", "--gap", "0.02", "--time-limit", "60", "--no-repairs")
    outputs = ("--json", path, "--drawings", path.parent / "drawings")
    done = optimizer("propose", "hall-reach-in", *options, *outputs)
    return Proposed(done, path, json.loads(path.read_text(encoding="utf-8")))


def test_layouts_come_out_ranked(proposed: Proposed) -> None:
    """Exit 0, two layouts, the better one first, and all figures of the file in the table."""
    layouts = proposed.study["layouts"]
    printed = [line.split() for line in proposed.done.stdout.splitlines() if line.startswith("   ")]
    rows = {row[0]: row for row in printed if len(row) == 14}
    assert proposed.done.returncode == 0
    assert [layout["rank"] for layout in layouts] == [1, 2]
    assert layouts[0]["score"] >= layouts[1]["score"]
    for layout in layouts:
        row = rows[str(layout["rank"])]
        # A bound is told rounded up: nothing is claimed that is not proved.
        assert row[1] == f"{layout['score']:.1f}"
        assert 0.0 <= float(row[2]) - layout["bound"] + 1e-6 <= 0.1
        assert row[11:13] == [str(layout["metrics"]["sheets"]), str(layout["metrics"]["parts"])]
        assert int(row[13].rstrip("%")) == math.ceil(layout["structure"]["share"] * 100 - 1e-9)


def test_each_layout_is_drawn(proposed: Proposed) -> None:
    """A plan and the back wall of each layout, as SVG and as DXF."""
    folder = proposed.path.parent / "drawings"
    for rank in (1, 2):
        names = [path.name for path in (folder / f"layout-{rank}").iterdir()]
        kinds = {name.rsplit(".", 1)[-1] for name in names}
        assert kinds == {"svg", "dxf"}
        assert len([name for name in names if "plan" in name]) == 2
        assert len([name for name in names if "back" in name]) == 2


def test_every_bay_of_the_best_is_shown(proposed: Proposed) -> None:
    """Table and elevation name each bay; each unmet need is told."""
    best = proposed.study["layouts"][0]
    full = proposed.done.stdout.split("Layout 2 ---")[0]
    assert [full.count(bay["id"]) >= 2 for bay in best["bays"]] == [True] * len(best["bays"])
    assert full.count("- long hang:") == sum(u["need"] == "long_hang" for u in best["unmet"])


def test_the_checker_finds_every_rule_kept(proposed: Proposed) -> None:
    """What was written passes the independent checker."""
    done = optimizer("check", "hall-reach-in", proposed.path)
    assert (done.returncode, done.stdout) == (0, "2 layout(s): every rule is kept\n")


def test_the_checker_finds_a_bay_moved_by_hand(proposed: Proposed, tmp_path: Path) -> None:
    """A bay moved off its wall, or into it, is found, in its own layout only."""
    study = json.loads(json.dumps(proposed.study))
    study["layouts"][1]["bays"][0]["start"] = 0.5
    path = tmp_path / "moved.json"
    path.write_text(json.dumps(study))
    whole, first = (
        optimizer("check", "hall-reach-in", path, *words) for words in ((), ("--layout", "1"))
    )
    assert (whole.returncode, first.returncode) == (1, 0)
    assert "/layouts/1/bays/0" in whole.stdout


def test_a_saved_study_shows_and_compares(proposed: Proposed) -> None:
    """The file is all that `show` and `compare` need."""
    shown, compared = optimizer("show", proposed.path), optimizer("compare", proposed.path)
    assert (shown.returncode, compared.returncode) == (0, 0)
    assert shown.stdout == proposed.done.stdout
    assert "difference to layout 1" in compared.stdout


def test_a_rerun_tells_what_moved(proposed: Proposed, tmp_path: Path) -> None:
    """With other weights, from the earlier study: exit 0 and what changed."""
    out = tmp_path / "again.json"
    options = ("--alternatives", "1", "--gap", "0.05", "--no-repairs", "--priority", "open_floor=9")
    words = ("propose", "hall-reach-in", *options, "--from", proposed.path, "--json", out)
    done = optimizer(*words)
    assert done.returncode == 0
    assert json.loads(out.read_text())["brief"]["priorities"]["open_floor"] == 9
    assert "changed since the earlier study" in done.stdout


def test_nothing_buildable_exits_with_3() -> None:
    """A wall behind a radiator from end to end takes no bay."""
    brief = {
        "room": {
            "ceiling_height": 96,
            "walls": [{"id": "A", "length": 72}],
            "obstructions": [
                {"wall": "A", "start": 0, "width": 72, "bottom": 0, "height": 96, "projection": 20}
            ],
        },
        "needs": {"short_hang": 24},
    }
    done = optimizer("propose", "-", text=json.dumps(brief))
    assert done.returncode == 3
    assert done.stderr == "nothing can be built under the hard rules of this brief\n"


def test_ctrl_c_keeps_what_was_found() -> None:
    """Interrupted in the midst of a long search it ends soon, with layouts and exit 0."""
    words = ("propose", "two-households", "--alternatives", "20", "--time-limit", "600")
    with subprocess.Popen(
        [sys.executable, "-m", "optimizer", *words, "--gap", "0"],
        cwd=ROOT,
        env=ENVIRONMENT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        encoding="utf-8",
    ) as process:
        assert process.stderr is not None
        for line in process.stderr:
            if "best so far" in line:
                break
        pressed = time.monotonic()
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=120)
    assert (process.returncode, "Layout 1 ---" in out) == (0, True)
    assert "stopped on request" in out
    assert "stopping with the best so far" in err
    assert time.monotonic() - pressed < 60

"""`propose`: what it hands on, prints, writes and exits with."""

from __future__ import annotations

import io
import json
import os
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from optimizer.domain.study import Status, Study
from optimizer.errors import BuildError, NothingBuildableError, SolverFailedError

Run = Callable[..., Any]


def test_layouts_print_and_exit_with_0(run: Run, hall_brief_file: Path, proposing: Any) -> None:
    """Unmet needs are no failure; they are shown."""
    ran = run("propose", hall_brief_file)
    assert (ran.status, ran.err) == (0, "")
    assert "Rank  Score" in ran.out
    assert 'long hang: 0" of 3\' 0"' in ran.out
    assert "Wall B from inside" in ran.out


def test_the_command_line_goes_before_the_brief(
    run: Run, hall_brief_file: Path, proposing: Any
) -> None:
    """Options and priorities given replace the brief's own; the others stay."""
    ran = run(
        *("propose", hall_brief_file, "--alternatives", 3, "--time-limit", "2.5", "--gap", "0.01"),
        *("--solver", "cbc", "--seed", 7, "--priority", "hanging=5", "--priority", "low_cost=0"),
        "--no-repairs",
    )
    brief = proposing.asked["brief"]
    options = brief.options
    assert ran.status == 0
    assert (options.alternatives, options.time_limit_s, options.gap) == (3, 2.5, 0.01)
    assert (options.solver, options.seed, options.min_difference) == ("cbc", 7, 0.2)
    assert brief.priorities.weights() == {
        "hanging": 5,
        "shelving": 2,
        "open_floor": 1,
        "easy_reach": 1,
        "low_cost": 0,
        "simple_build": 1,
    }
    assert proposing.asked["repairs"] is False


def test_without_options_the_brief_is_as_written(
    run: Run, hall_brief_file: Path, hall_study: Study, proposing: Any
) -> None:
    """Nothing is changed that was not asked for, and repairs are looked for."""
    run("propose", hall_brief_file)
    assert proposing.asked["brief"] == hall_study.brief
    assert proposing.asked["repairs"] is True


@pytest.mark.parametrize(
    ("words", "pointer"),
    [
        (["--alternatives", "0"], "/options/alternatives"),
        (["--time-limit", "nan"], "/options/time_limit_s"),
        (["--priority", "beauty=3"], "/priorities/beauty"),
        (["--priority", "hanging=-1"], "/priorities/hanging"),
    ],
)
def test_faulty_options_are_told_as_faults_of_the_brief(
    run: Run, hall_brief_file: Path, proposing: Any, words: list[str], pointer: str
) -> None:
    """The command line obeys the brief's rules: exit 2 and the field's name."""
    ran = run("propose", hall_brief_file, *words)
    assert (ran.status, ran.out) == (2, "")
    assert f"  {pointer}: " in ran.err


@pytest.mark.parametrize("words", [["--priority", "hanging"], ["--show", "0"], ["--solver", "x"]])
def test_faulty_command_lines_exit_with_2(
    run: Run, hall_brief_file: Path, proposing: Any, words: list[str]
) -> None:
    """What cannot be read at all is refused before any work."""
    ran = run("propose", hall_brief_file, *words)
    assert ran.status == 2
    assert words[0] in ran.err
    assert proposing.asked == {}


def test_every_fault_of_a_brief_is_told(run: Run, tmp_path: Path) -> None:
    """A bad brief exits with 2 and lists all that is wrong on standard error."""
    path = tmp_path / "bad.json"
    path.write_text('{"room": {"ceiling_height": -1, "walls": []}, "needs": {}, "colour": 1}')
    ran = run("propose", path)
    assert (ran.status, ran.out) == (2, "")
    assert [
        pointer in ran.err for pointer in ("/room/ceiling_height:", "/room/walls:", "/colour:")
    ] == [True] * 3


def test_a_brief_comes_from_a_pipe(
    run: Run, hall_brief_file: Path, proposing: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A dash reads standard input."""
    stream = io.TextIOWrapper(io.BytesIO(hall_brief_file.read_bytes()))
    monkeypatch.setattr(sys, "stdin", stream)
    assert run("propose", "-").status == 0
    assert proposing.asked["brief"].name == "Hall closet"


def test_nothing_buildable_exits_with_3(
    run: Run, hall_brief_file: Path, proposing: Any, tmp_path: Path
) -> None:
    """A study proved empty prints its repairs, is still written, and exits with 3."""
    proposing.study = proposing.study.model_copy(
        update={"status": Status.INFEASIBLE, "layouts": (), "differences": ()}
    )
    out = tmp_path / "out.json"
    ran = run("propose", hall_brief_file, "--json", out)
    assert ran.status == 3
    assert "shelf spacing 11 in" in ran.out
    assert ran.err == "nothing can be built under the hard rules of this brief\n"
    assert json.loads(out.read_text())["status"] == "infeasible"


@pytest.mark.parametrize(("state", "status"), [("time_limit", 1), ("cancelled", 130)])
def test_a_study_stopped_too_early_is_not_called_impossible(
    run: Run, hall_brief_file: Path, proposing: Any, state: str, status: int
) -> None:
    """No layout by the time limit proves nothing."""
    empty = Study.model_validate({**proposing.study.model_dump(), "status": state, "layouts": []})
    proposing.study = empty.model_copy(update={"differences": ()})
    ran = run("propose", hall_brief_file)
    assert ran.status == status
    assert ran.err == f"stopped before any layout was found ({state})\n"


@pytest.mark.parametrize(
    ("error", "status", "message"),
    [
        (NothingBuildableError("pins overlap"), 3, "nothing can be built: pins overlap\n"),
        (SolverFailedError("no answer"), 1, "error: no answer\n"),
    ],
)
def test_errors_of_solving_have_their_own_status(
    run: Run,
    hall_brief_file: Path,
    proposing: Any,
    monkeypatch: pytest.MonkeyPatch,
    error: Exception,
    status: int,
    message: str,
) -> None:
    """No traceback: a message on standard error and a status."""

    def fail(*_: Any, **__: Any) -> Study:
        raise error

    monkeypatch.setattr(proposing, "propose", fail)
    ran = run("propose", hall_brief_file)
    assert (ran.status, ran.out, ran.err) == (status, "", message)


def test_the_study_is_written_as_json(
    run: Run, hall_brief_file: Path, proposing: Any, tmp_path: Path, hall_study: Study
) -> None:
    """What is written reads back as the same study, and nothing else is left behind."""
    out = tmp_path / "new" / "study.json"
    out.parent.mkdir()
    assert run("propose", hall_brief_file, "--json", out).status == 0
    assert Study.model_validate_json(out.read_text()) == hall_study
    assert [path.name for path in out.parent.iterdir()] == ["study.json"]


def test_a_dash_prints_the_json_alone(
    run: Run, hall_brief_file: Path, proposing: Any, hall_study: Study
) -> None:
    """Standard output can be piped straight into another program."""
    ran = run("propose", hall_brief_file, "--json", "-")
    assert Study.model_validate_json(ran.out) == hall_study


def test_unwritable_outputs_are_refused_before_the_work(
    run: Run, hall_brief_file: Path, proposing: Any, tmp_path: Path
) -> None:
    """A wrong path costs no solving and gives a message, whatever the option."""
    (tmp_path / "file").write_text("x")
    for words in (
        ("--json", tmp_path),
        ("--json", tmp_path / "nowhere" / "x.json"),
        ("--drawings", tmp_path / "file"),
        ("--drawings", tmp_path / "file" / "deeper"),
    ):
        ran = run("propose", hall_brief_file, *words)
        assert (ran.status, ran.out) == (1, "")
        assert ran.err.startswith(f"error: cannot write '{words[1]}': ")
    assert proposing.asked == {}


def test_a_write_that_fails_keeps_the_report_and_the_old_file(
    run: Run,
    hall_brief_file: Path,
    proposing: Any,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A full disk loses neither what was found nor what stood there before."""
    out = tmp_path / "study.json"
    out.write_text("old")

    def full(*_: Any) -> None:
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr(Path, "replace", full)
    ran = run("propose", hall_brief_file, "--json", out)
    assert ran.status == 1
    assert "Rank  Score" in ran.out
    assert ran.err == f"error: cannot write '{out}': No space left on device\n"
    assert out.read_text() == "old"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["hall.json", "study.json"]


def test_drawings_come_in_a_folder_for_each_layout(
    run: Run,
    hall_brief_file: Path,
    proposing: Any,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Each layout's files land in its own folder, beside what is there already."""

    def write_drawings(brief: Any, layout: Any, folder: Path) -> list[Path]:
        path = folder / "wall-B.svg"
        path.write_text(f"{brief.name} {layout.rank}")
        return [path]

    fake = ModuleType("optimizer.drawing")
    fake.write_drawings = write_drawings  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "optimizer.drawing", fake)
    folder = tmp_path / "deep" / "drawings"
    folder.mkdir(parents=True)
    (folder / "notes.txt").write_text("mine")
    assert run("propose", hall_brief_file, "--drawings", folder).status == 0
    texts = {str(p.relative_to(folder)): p.read_text() for p in folder.rglob("*") if p.is_file()}
    assert texts == {
        "notes.txt": "mine",
        "layout-1/wall-B.svg": "Hall closet 1",
        "layout-2/wall-B.svg": "Hall closet 2",
    }
    assert [path.name for path in folder.parent.iterdir()] == ["drawings"]


def test_a_drawing_that_fails_keeps_the_report(
    run: Run,
    hall_brief_file: Path,
    proposing: Any,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What cannot be drawn is told after the report, the study is written all the same."""

    def write_drawings(*_: Any) -> list[Path]:
        raise BuildError("bay B1 cannot be drawn")

    fake = ModuleType("optimizer.drawing")
    fake.write_drawings = write_drawings  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "optimizer.drawing", fake)
    folder, out = tmp_path / "drawings", tmp_path / "out.json"
    ran = run("propose", hall_brief_file, "--drawings", folder, "--json", out)
    assert ran.status == 1
    assert ran.err == f"error: cannot write '{folder}': bay B1 cannot be drawn\n"
    assert "Layout 1 ---" in ran.out
    assert (out.exists(), folder.exists()) == (True, False)


def test_a_rerun_starts_from_the_earlier_study(
    run: Run, hall_brief_file: Path, hall_study_file: Path, hall_study: Study, proposing: Any
) -> None:
    """`--from` reads a study and hands it on with the brief."""
    ran = run("propose", hall_brief_file, "--from", hall_study_file)
    assert ran.status == 0
    assert proposing.asked["earlier"] == hall_study


def test_a_faulty_earlier_study_exits_with_2(
    run: Run, hall_brief_file: Path, tmp_path: Path, proposing: Any
) -> None:
    """A study that cannot be read is told with its faults."""
    bad = tmp_path / "bad.json"
    bad.write_text('{"brief": {}}')
    ran = run("propose", hall_brief_file, "--from", bad)
    assert ran.status == 2
    assert "/brief" in ran.err
    assert proposing.asked == {}


@pytest.mark.parametrize(
    ("words", "drawn"),
    [([], 1), (["--show", "all"], 2), (["--show", "2,9"], 1), (["--quiet"], 0)],
)
def test_layouts_are_shown_in_full_as_asked(
    run: Run, hall_brief_file: Path, proposing: Any, words: list[str], drawn: int
) -> None:
    """The best one by default; unmet needs of every layout always."""
    ran = run("propose", hall_brief_file, *words)
    assert ran.out.count("Wall B from inside") == drawn
    assert ran.out.count("Unmet needs:") == 2


def test_ctrl_c_keeps_the_best_so_far(
    run: Run, hall_brief_file: Path, proposing: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first Ctrl-C asks to stop; what was found is printed with exit 0."""
    seen: list[bool] = []

    def interrupted(brief: Any, *, should_stop: Callable[[], bool], **_: Any) -> Study:
        seen.append(should_stop())
        os.kill(os.getpid(), signal.SIGINT)
        seen.append(should_stop())
        return proposing.study.model_copy(update={"status": Status.CANCELLED})

    monkeypatch.setattr(proposing, "propose", interrupted)
    before = signal.getsignal(signal.SIGINT)
    ran = run("propose", hall_brief_file)
    assert (ran.status, seen) == (0, [False, True])
    assert "stopping with the best so far" in ran.err
    assert "stopped on request" in ran.out
    assert signal.getsignal(signal.SIGINT) is before


def test_a_second_ctrl_c_quits(
    run: Run, hall_brief_file: Path, proposing: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever presses twice does not have to wait."""

    def stubborn(brief: Any, **_: Any) -> Study:
        os.kill(os.getpid(), signal.SIGINT)
        os.kill(os.getpid(), signal.SIGINT)
        raise AssertionError("still running")

    monkeypatch.setattr(proposing, "propose", stubborn)
    ran = run("propose", hall_brief_file)
    assert (ran.status, ran.out) == (130, "")
    assert ran.err.endswith("interrupted\n")


def test_messages_cannot_drive_the_terminal(
    run: Run, hall_brief_file: Path, proposing: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An escape sequence in an error's text is defused."""

    def fail(*_: Any, **__: Any) -> Study:
        raise SolverFailedError("bad \x1b[2J name")

    monkeypatch.setattr(proposing, "propose", fail)
    assert run("propose", hall_brief_file).err == "error: bad  [2J name\n"


def test_warnings_of_the_brief_are_handed_on(
    run: Run, hall_brief_file: Path, proposing: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The reader's warnings reach the study."""
    from optimizer.briefs.reader import read_brief_file

    _, warnings = read_brief_file(hall_brief_file)
    run("propose", hall_brief_file)
    assert proposing.asked["warnings"] == warnings

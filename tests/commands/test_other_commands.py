"""`show`, `compare`, `check`, `validate`, `scenarios`, and the arguments they share."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from optimizer.briefs import scenarios
from optimizer.commands.arguments import ranks, shown_ranks
from optimizer.commands.main import main
from optimizer.commands.registry import COMMANDS
from optimizer.domain.brief import Brief
from optimizer.errors import Fault

Run = Callable[..., Any]


@pytest.fixture
def two_scenarios(
    tmp_path: Path, hall_data: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> Path:
    """A folder with two scenarios in place of the project's own."""
    folder = tmp_path / "scenarios"
    folder.mkdir()
    (folder / "hall.json").write_text(json.dumps(hall_data["brief"]))
    hall_data["brief"]["name"] = "Attic"
    (folder / "attic.json").write_text(json.dumps(hall_data["brief"]))
    monkeypatch.setattr(scenarios, "scenario_folder", lambda: folder)
    return folder


@pytest.fixture
def checking(monkeypatch: pytest.MonkeyPatch) -> list[Fault]:
    """Findings that a stand-in for the checker gives, to be filled by the test."""
    findings: list[Fault] = []
    fake = ModuleType("optimizer.checking")
    fake.check_study = lambda brief, study: tuple(findings)  # type: ignore[attr-defined]
    fake.check_layout = lambda brief, layout: tuple(  # type: ignore[attr-defined]
        finding for finding in findings if str(layout.rank) in finding.detail
    )
    monkeypatch.setitem(sys.modules, "optimizer.checking", fake)
    return findings


def test_show_prints_what_propose_printed(run: Run, hall_study_file: Path) -> None:
    """A saved study prints again, the layout asked for in full."""
    ran = run("show", hall_study_file, "--show", "2")
    assert (ran.status, ran.err) == (0, "")
    assert "Rank  Score" in ran.out
    assert ran.out.index("Wall B from inside") > ran.out.index("Layout 2 ---")


def test_compare_holds_later_layouts_against_the_first(run: Run, hall_study_file: Path) -> None:
    """The order given is kept."""
    ran = run("compare", hall_study_file, "--layouts", "2,1")
    assert ran.status == 0
    assert "difference to layout 2" in ran.out
    assert '60" (+60")' in ran.out


@pytest.mark.parametrize(
    "words", [("compare", "--layouts", "1,7"), ("show", "--show", "7"), ("check", "--layout", "7")]
)
def test_a_layout_that_is_not_there_exits_with_2(
    run: Run,
    hall_study_file: Path,
    hall_brief_file: Path,
    checking: list[Fault],
    words: tuple[str, str, str],
) -> None:
    """The message says which layouts there are."""
    command, option, rank = words
    files = [hall_brief_file, hall_study_file] if command == "check" else [hall_study_file]
    ran = run(command, *files, option, rank)
    assert (ran.status, ran.out) == (2, "")
    assert "there is no layout 7; the study has 1, 2" in ran.err


def test_a_study_without_layouts_cannot_be_compared(
    run: Run, tmp_path: Path, hall_data: dict[str, Any]
) -> None:
    """An empty study is told apart from an empty table."""
    path = tmp_path / "empty.json"
    path.write_text(json.dumps({**hall_data, "layouts": [], "differences": []}))
    ran = run("compare", path)
    assert ran.status == 2
    assert "the study has no layouts" in ran.err


def test_check_says_that_every_rule_is_kept(
    run: Run, hall_brief_file: Path, hall_study_file: Path, checking: list[Fault]
) -> None:
    """No finding, exit 0."""
    ran = run("check", hall_brief_file, hall_study_file)
    assert (ran.status, ran.out) == (0, "2 layout(s): every rule is kept\n")


def test_check_lists_findings_and_exits_with_1(
    run: Run, hall_brief_file: Path, hall_study_file: Path, checking: list[Fault]
) -> None:
    """Each finding on a line, of all layouts or of one."""
    checking += [Fault("/bays/0", "layout 1 too wide", "R2"), Fault("", "layout 2 odd", "R11")]
    whole = run("check", hall_brief_file, hall_study_file)
    one = run("check", hall_brief_file, hall_study_file, "--layout", "2")
    assert (whole.status, one.status) == (1, 1)
    assert whole.out == (
        "2 layout(s): 2 finding(s)\n  /bays/0: layout 1 too wide [R2]\n  /: layout 2 odd [R11]\n"
    )
    assert one.out == "layout 2: 1 finding(s)\n  /: layout 2 odd [R11]\n"


def test_validate_tells_how_a_brief_was_understood(run: Run, hall_brief_file: Path) -> None:
    """Walls, openings, obstructions and needs in words."""
    ran = run("validate", hall_brief_file)
    assert ran.status == 0
    told = [
        "Hall closet: the brief is sound",
        "  - Wall B: 6' 0\" long, 7' 10\" high",
        'outlet at 34" to 39" along, 14" to 19" up',
        'bifold door 4\' 0" wide, at 12" to 60"',
        "  - long hang: 3' 0\"",
        '  - item bin x2: 11" x 11" x 7" (wide, deep, high), place: shelf, used: weekly',
    ]
    assert [words in ran.out for words in told] == [True] * len(told)


def test_validate_prints_the_resolved_brief(
    run: Run, hall_brief_file: Path, hall_brief: Brief
) -> None:
    """JSON with every default, ready to be read again."""
    ran = run("validate", hall_brief_file, "--resolved")
    assert Brief.model_validate_json(ran.out) == hall_brief
    assert json.loads(ran.out)["construction"]["panel_thickness"] == 0.75


def test_validate_lists_faults(run: Run, tmp_path: Path) -> None:
    """A faulty brief exits with 2."""
    path = tmp_path / "bad.json"
    path.write_text("{")
    ran = run("validate", path)
    assert (ran.status, ran.out) == (2, "")
    assert "no valid JSON" in ran.err


def test_scenarios_are_listed(run: Run, two_scenarios: Path) -> None:
    """Name, title, number of walls, the longest, ceiling height and pieces of each."""
    ran = run("scenarios")
    rows = [" ".join(line.split()) for line in ran.out.splitlines()[2:]]
    size = "4 6' 0\" 8' 0\" 3"
    assert ran.status == 0
    assert rows == [f"attic Attic {size}", f"hall Hall closet {size}"]


def test_a_scenario_is_printed_as_it_is(run: Run, two_scenarios: Path) -> None:
    """The JSON to start one's own brief from."""
    ran = run("scenarios", "--show", "attic")
    assert ran.out == (two_scenarios / "attic.json").read_text()


def test_a_scenario_goes_by_its_bare_name(run: Run, two_scenarios: Path) -> None:
    """Where there is no such file, a name means a scenario."""
    assert "Attic: the brief is sound" in run("validate", "attic").out


def test_a_file_goes_before_a_scenario(
    run: Run, two_scenarios: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file of the same name is what is meant."""
    other = (two_scenarios / "hall.json").read_bytes()
    (two_scenarios.parent / "attic").write_bytes(other)
    monkeypatch.chdir(two_scenarios.parent)
    assert "Hall closet: the brief is sound" in run("validate", "attic").out


def test_an_unknown_name_is_met_with_what_comes_close(run: Run, two_scenarios: Path) -> None:
    """A slip of the pen is answered with a guess, a wild one with the list."""
    assert "no scenario is called 'atic'; did you mean attic?" in run("validate", "atic").err
    assert "scenarios: attic, hall" in run("validate", "zzz").err
    assert run("scenarios", "--show", "zzz").status == 2


def test_a_missing_file_is_told_by_its_path(run: Run, tmp_path: Path) -> None:
    """A path is never taken for a scenario."""
    ran = run("validate", tmp_path / "none.json")
    assert ran.status == 2
    assert "none.json" in ran.err
    assert "No such file" in ran.err


@pytest.mark.parametrize(
    ("text", "expected"), [("1", (1,)), ("1,3", (1, 3)), ("2-4", (2, 3, 4)), ("3,1,3", (3, 1))]
)
def test_ranks_are_read(text: str, expected: tuple[int, ...]) -> None:
    """Lists and ranges, in the order given, each once."""
    assert ranks(text) == expected


@pytest.mark.parametrize("text", ["", "x", "0", "3-1", "1-", "-1", "1,,2", "1-999"])
def test_what_is_no_list_of_ranks_is_refused(text: str) -> None:
    """A faulty list is an error of the command line."""
    with pytest.raises(argparse.ArgumentTypeError):
        ranks(text)


def test_all_and_none_are_ranks_to_show() -> None:
    """All layouts, or none."""
    assert (shown_ranks("all"), shown_ranks("none"), shown_ranks("2")) == (None, (), (2,))


def test_every_command_has_help(run: Run) -> None:
    """Each registered command is listed and explains itself."""
    listed = run("--help").out
    names = [command.__name__.rsplit(".", 1)[-1] for command in COMMANDS]  # type: ignore[attr-defined]
    assert [name in listed for name in names] == [True] * len(names)
    assert [run(name, "--help").status for name in names] == [0] * len(names)


def test_no_command_is_a_faulty_command_line(run: Run) -> None:
    """Nothing asked for: exit 2 and the usage."""
    ran = run()
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith("usage: ")


def test_survey_writes_a_sheet_blank_or_of_a_room(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A PDF where it was asked for; what is no number of walls is named."""
    for words in (["--units", "mm", "--walls", "6"], ["hall-reach-in"]):
        out = tmp_path / "survey.pdf"
        assert main(["survey", *words, "--out", str(out)]) == 0
        assert out.read_bytes().startswith(b"%PDF")
        assert str(out) in capsys.readouterr().out
    with pytest.raises(SystemExit):
        main(["survey", "--walls", "none"])
    assert "1 to 16" in capsys.readouterr().err

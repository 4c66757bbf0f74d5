"""The pack as files: complete, readable by others, or not written at all."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import ezdxf
import pytest

from optimizer.commands.main import main
from optimizer.delivery import pack_files, pack_folder, write_pack
from optimizer.domain.pack import BuildPack
from optimizer.domain.sheets import NestingResult
from optimizer.errors import BuildError, CheckFailedError
from tests.delivery.conftest import delivery_of
from tests.drawing.samples import reach_in, single_bay


def test_the_pack_is_complete(name: str) -> None:
    """Document, data, tables of every wall, and both formats of every drawing."""
    delivery = delivery_of(name)
    files = pack_files(delivery)
    wanted = {
        "build-pack.pdf", "build-pack.json", "cut-list.json", "cut-list.csv", "sheets.json",
        "shopping-list.csv", "structural-checks.csv", "customer.pdf", "part-labels.pdf",
    }  # fmt: skip
    assert wanted <= set(files)
    for drawing in delivery.drawings:
        assert {f"{drawing.name}.svg", f"{drawing.name}.dxf"} <= set(files)
    walls = {line.wall for line in delivery.pack.markout}
    assert {bay.wall for bay in delivery.layout.bays} <= walls
    assert sum(file.startswith("mark-out-") for file in files) == len(walls)
    assert all(Path(file).name == file for file in files)
    assert all(files.values())


def test_data_come_back_as_they_were() -> None:
    """JSON of pack and sheets reads back to equal records, but for the time it took."""
    delivery = delivery_of("reach_in")
    files = pack_files(delivery)
    assert BuildPack.model_validate_json(files["build-pack.json"]) == delivery.pack
    sheets = json.loads(files["sheets.json"])["sheets"]
    assert delivery.plan.sheets is not None
    assert NestingResult.model_validate(sheets) == delivery.plan.sheets.model_copy(
        update={"seconds": 0.0}
    )


def test_tables_read_as_csv() -> None:
    """The cut list has a row for each row, its counts add up to the parts."""
    delivery = delivery_of("metric")
    files = pack_files(delivery)
    rows = list(csv.DictReader(io.StringIO(files["cut-list.csv"].decode())))
    assert sum(int(row["count"]) for row in rows) == len(delivery.pack.parts)


def test_files_are_the_same_each_time() -> None:
    """Two writings of one delivery agree in every byte."""
    assert pack_files(delivery_of("reach_in")) == pack_files(delivery_of("reach_in"))


def test_dxf_files_open(tmp_path: Path) -> None:
    """Every DXF of a written pack is read by a library and found sound."""
    brief, layout = single_bay()
    paths = write_pack(brief, layout, tmp_path)
    drawings = [path for path in paths if path.suffix == ".dxf"]
    assert len(drawings) >= 4
    for path in drawings:
        assert not ezdxf.readfile(path).audit().has_errors


def test_nothing_is_written_of_a_layout_that_fails(tmp_path: Path) -> None:
    """Neither folder nor file is left behind by a layout that breaks a rule."""
    brief, layout = reach_in()
    wide = layout.bays[0].model_copy(update={"width": 47.0})
    bad = layout.model_copy(update={"bays": (wide, layout.bays[1])})
    with pytest.raises(CheckFailedError):
        write_pack(brief, bad, tmp_path / "pack")
    assert list(tmp_path.iterdir()) == []


def test_nothing_is_written_when_the_document_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What fails last leaves nothing of what came before."""

    def fail(_: object) -> bytes:
        raise BuildError("part X: cannot be printed")

    monkeypatch.setattr(pack_folder, "pack_document", fail)
    with pytest.raises(BuildError, match="part X"):
        write_pack(*single_bay(), tmp_path / "pack")
    assert list(tmp_path.iterdir()) == []


@pytest.fixture
def inputs(tmp_path: Path) -> tuple[Path, Path]:
    """Brief and study of the single bay as files."""
    brief, layout = single_bay()
    study = {"brief": brief.model_dump(mode="json"), "status": "optimal",
             "layouts": [layout.model_dump(mode="json")]}  # fmt: skip
    brief_path, study_path = tmp_path / "brief.json", tmp_path / "study.json"
    brief_path.write_text(brief.model_dump_json())
    study_path.write_text(json.dumps(study))
    return brief_path, study_path


def test_command_builds_a_layout_of_a_study(
    inputs: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit status 0, the document in the folder, and a short report of it."""
    out = tmp_path / "out"
    arguments = ["build", *map(str, inputs), "--layout", "1", "--out", str(out)]
    assert main([*arguments, "--date", "2026-03-14", "--margin", "0.25"]) == 0
    assert (out / "build-pack.pdf").read_bytes().startswith(b"%PDF")
    pack = json.loads((out / "build-pack.json").read_text())
    assert pack["quote"]["margin_rate"] == 0.25
    report = capsys.readouterr().out
    assert "build pack of layout 1" in report
    assert f"{len(pack['parts'])} parts" in report


def test_command_proposes_where_there_is_no_study(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """From a brief alone: a layout is proposed, then built."""
    brief = tmp_path / "brief.json"
    brief.write_text(
        json.dumps(
            {
                "room": {"ceiling_height": 90, "walls": [{"id": "A", "length": 31.5}]},
                "needs": {"shelf_length": 60},
                "options": {"alternatives": 1, "time_limit_s": 20},
            }
        )
    )
    assert main(["build", str(brief), "--out", str(tmp_path / "out")]) == 0
    assert (tmp_path / "out" / "elevation-A.svg").exists()
    capsys.readouterr()


@pytest.mark.parametrize(
    ("extra", "status", "message"),
    [
        (["--layout", "7"], 2, "there is no layout 7"),
        (["--prices", "/nowhere/prices.toml"], 2, "prices.toml"),
        (["--margin", "20"], 2, "margin"),
    ],
)
def test_command_refuses_bad_arguments(
    inputs: tuple[Path, Path],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    extra: list[str],
    status: int,
    message: str,
) -> None:
    """A clear message, the right status, and nothing written."""
    out = tmp_path / "out"
    assert main(["build", *map(str, inputs), "--out", str(out), *extra]) == status
    assert message in capsys.readouterr().err
    assert not out.exists()


@pytest.mark.parametrize("extra", [["--date", "yesterday"], ["--tax", "-1"], ["--tax", "nan"]])
def test_command_line_faults_exit_with_2(
    inputs: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str], extra: list[str]
) -> None:
    """Argparse names what is no date or no number."""
    with pytest.raises(SystemExit) as caught:
        main(["build", *map(str, inputs), "--out", str(tmp_path / "out"), *extra])
    assert caught.value.code == 2
    assert extra[1] in capsys.readouterr().err


def test_command_reports_a_layout_that_fails(
    inputs: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A study edited by hand into a bay off the wall: exit status 1 and the finding."""
    study = json.loads(inputs[1].read_text())
    study["layouts"][0]["bays"][0]["start"] = 3.0
    inputs[1].write_text(json.dumps(study))
    out = tmp_path / "out"
    assert main(["build", *map(str, inputs), "--out", str(out)]) == 1
    assert "A1" in capsys.readouterr().err
    assert not out.exists()


def test_command_names_what_fails_in_strength_and_writes_the_pack(
    inputs: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Boards too long for practice: exit status 1, each named with a mend, everything written."""
    brief = json.loads(inputs[0].read_text())
    brief.setdefault("construction", {})["max_plain_span"] = 12
    inputs[0].write_text(json.dumps(brief))
    out = tmp_path / "out"
    assert main(["build", *map(str, inputs), "--out", str(out)]) == 1
    told = capsys.readouterr()
    assert "FAILS: A1-S1, board: length between supports" in told.err
    assert "not to be built as drawn" in told.err
    assert (out / "build-pack.pdf").exists()
    assert "A1-S1" in (out / "structural-checks.csv").read_text()

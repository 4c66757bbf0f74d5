"""Reading studies and writing files."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import pytest

from optimizer.briefs.files import json_text, write_json, write_text
from optimizer.briefs.studies import read_study, read_study_file, read_study_text
from optimizer.domain.study import Study
from optimizer.errors import LayoutError, OptimizerError
from tests.briefs.changes import changed


def codes(data: Any) -> list[tuple[str, str]]:
    """(pointer, code) of every fault of a study."""
    with pytest.raises(LayoutError) as caught:
        read_study(data)
    return [(fault.pointer, fault.code) for fault in caught.value.faults]


def test_study_to_file_and_back_is_identity(hall_study: Study, tmp_path: Path) -> None:
    """A study written and read again is the same study."""
    path = tmp_path / "study.json"
    write_json(path, hall_study)
    assert read_study_file(path) == hall_study
    assert read_study_text(json_text(hall_study)) == hall_study


@pytest.mark.parametrize(
    ("pointer", "value", "code"),
    [
        ("/layouts/0/bays/0/wall", "Q", "unknown_wall"),
        ("/layouts/0/bays/1/zones/1/items", ["bin", "crown"], "unknown_item"),
        ("/layouts/0/bays/1/zones/2/top", 1, "zone_upside_down"),
        ("/layouts/0/bays/0/width", -3, "length_negative"),
        ("/brief/room/openings/0/wall", "Q", "unknown_wall"),
        ("/brief/room/ceiling_height", "high", "length_text"),
        ("/status", "fine", "enum"),
        ("/mood", "good", "extra_forbidden"),
    ],
)
def test_one_fault(hall_data: Any, pointer: str, value: Any, code: str) -> None:
    """A spoilt study gives one fault, of the brief's rules or of the layouts'."""
    at = pointer + "/1" if code == "unknown_item" else pointer
    expected = "length_not_positive" if code == "length_negative" else code
    assert codes(changed(hall_data, {pointer: value})) == [(at, expected)]


def test_faults_of_brief_and_layouts_come_together(hall_data: Any) -> None:
    """All is told at once, the brief first."""
    spoilt = {"/brief/needs/users": [{}], "/layouts/1/bays/0/wall": "Q"}
    assert codes(changed(hall_data, spoilt)) == [
        ("/brief/needs/users/0", "user_form"),
        ("/layouts/1/bays/0/wall", "unknown_wall"),
    ]


@pytest.mark.parametrize("text", ["", "[]", "null", b"\xff", '{"brief": NaN}', "[" * 1000])
def test_texts_that_are_no_study(text: str | bytes) -> None:
    """No text without a study in it gets through."""
    with pytest.raises(LayoutError):
        read_study_text(text)


def test_missing_file_is_named(tmp_path: Path) -> None:
    """The fault names the file."""
    with pytest.raises(LayoutError, match=r"nowhere\.json"):
        read_study_file(tmp_path / "nowhere.json")


def test_written_file_is_whole_and_readable(tmp_path: Path) -> None:
    """Text is written in UTF-8 with the usual permissions, over what was there."""
    path = tmp_path / "out.json"
    path.write_text("old", encoding="utf-8")
    write_json(path, {"name": "Flur 2 m\u00b2"})
    assert json.loads(path.read_text(encoding="utf-8")) == {"name": "Flur 2 m\u00b2"}
    mask = os.umask(0)
    os.umask(mask)
    assert path.stat().st_mode & 0o777 == 0o666 & ~mask
    assert [entry.name for entry in tmp_path.iterdir()] == ["out.json"]


def test_failed_write_leaves_nothing_behind(tmp_path: Path) -> None:
    """Where a file cannot be put, an error says so and no half of it stays."""
    (tmp_path / "folder").mkdir()
    for path in (tmp_path / "none" / "out.json", tmp_path / "folder"):
        with pytest.raises(OptimizerError, match="cannot write"):
            write_text(path, "{}")
    assert [entry.name for entry in tmp_path.iterdir()] == ["folder"]


def test_numbers_that_json_lacks_are_not_written() -> None:
    """Infinity has no form in JSON."""
    with pytest.raises(ValueError, match="JSON"):
        json_text({"bound": float("inf")})

"""Reading studies."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from optimizer.briefs.studies import read_study_file, read_study_text
from optimizer.domain.study import Study
from optimizer.errors import LayoutError
from tests.briefs.changes import changed


def codes(data: Any) -> list[tuple[str, str]]:
    """(pointer, code) of every fault of a study."""
    with pytest.raises(LayoutError) as caught:
        read_study_text(json.dumps(data))
    return [(fault.pointer, fault.code) for fault in caught.value.faults]


def test_study_to_text_and_back_is_identity(hall_study: Study) -> None:
    """A study written as JSON and read again is the same study."""
    assert read_study_text(hall_study.model_dump_json(indent=2)) == hall_study


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

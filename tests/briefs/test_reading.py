"""Reading as a whole: all faults at once, odd JSON, files, defaults and echoes."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from pydantic import ValidationError

from optimizer.briefs.json_text import MAX_BRIEF_BYTES, MAX_DEPTH
from optimizer.briefs.reader import MAX_FAULTS, read_brief, read_brief_file, read_brief_text
from optimizer.domain.brief import Brief
from optimizer.domain.room import Wall
from optimizer.domain.study import Study
from optimizer.errors import BriefError
from tests.briefs.changes import ALCOVE_IN, ALCOVE_MM, GONE, REACH_IN, changed


def codes(data: Any) -> list[tuple[str, str]]:
    """(pointer, code) of every fault of some data."""
    with pytest.raises(BriefError) as caught:
        read_brief(data)
    return [(fault.pointer, fault.code) for fault in caught.value.faults]


def text_codes(text: str | bytes) -> list[tuple[str, str]]:
    """(pointer, code) of every fault of some text."""
    with pytest.raises(BriefError) as caught:
        read_brief_text(text)
    return [(fault.pointer, fault.code) for fault in caught.value.faults]


def test_five_mistakes_are_told_at_once() -> None:
    """Wrong fields and broken rules come in one list, in the order of the document."""
    spoilt = {
        "/room/walls/2/id": "A",
        "/room/openings/0/wall": "Z",
        "/needs/items/0/width": "wide",
        "/needs/garments/0/kind": "toga",
        "/construction/rod_setback": 30,
    }
    assert codes(changed(REACH_IN, spoilt)) == [
        ("/room/walls/2/id", "duplicate_id"),
        ("/room/openings/0/wall", "unknown_wall"),
        ("/needs/items/0/width", "length_text"),
        ("/needs/garments/0/kind", "unknown_garment"),
        ("/construction/rod_setback", "rod_setback_too_large"),
    ]


def test_unknown_key_hides_no_other_fault() -> None:
    """A misspelt key is refused, and the rules still run on what is beside it."""
    spoilt = {"/room/walls/0/lenght": 26, "/room/walls/2/id": "A", "/shape": "L"}
    assert codes(changed(REACH_IN, spoilt)) == [
        ("/room/walls/0/lenght", "extra_forbidden"),
        ("/room/walls/2/id", "duplicate_id"),
        ("/shape", "extra_forbidden"),
    ]


def test_missing_parts_are_named_and_the_rest_is_examined() -> None:
    """Without its walls, what does not need them is still examined."""
    spoilt = {"/room/walls": GONE, "/needs/users/0": {}, "/construction/min_bay_width": 60}
    spoilt["/construction/max_bay_width"] = 48
    spoilt["/pins"] = []
    assert codes(changed(REACH_IN, spoilt)) == [
        ("/room/walls", "missing"),
        ("/needs/users/0", "user_form"),
        ("/construction/min_bay_width", "bay_widths"),
    ]


def test_missing_room() -> None:
    """An empty object lacks a room; without needs as much goes in as the priorities favour."""
    assert codes({}) == [("/room", "missing")]
    room = {"ceiling_height": 96, "walls": [{"id": "A", "length": 60}]}
    brief, _ = read_brief({"room": room})
    assert not brief.needs.amounts


@pytest.mark.parametrize("data", [None, 5, "brief", [], [ALCOVE_IN], True])
def test_no_object(data: Any) -> None:
    """Anything but an object is refused in one line."""
    assert codes(data) == [("", "not_an_object")]


def test_faulty_units_silence_the_rules() -> None:
    """When the units are unknown no rule can tell what is too large."""
    spoilt = {"/units": "cubits", "/room/ceiling_height": 500}
    assert codes(changed(REACH_IN, spoilt)) == [("/units", "enum")]


def test_absurd_size_is_told_once() -> None:
    """Rules that would stumble over an absurd size stay silent about it."""
    assert codes(changed(ALCOVE_MM, {"/room/ceiling_height": 96})) == [
        ("/room/ceiling_height", "units_mixed_up")
    ]


def test_many_faults_are_cut_short() -> None:
    """A thousand faults are counted, not listed."""
    found = codes({f"key {i}": i for i in range(1000)})
    assert len(found) == MAX_FAULTS + 1
    assert found[-1] == ("", "more_faults")


def test_same_key_twice_is_a_fault_where_it_is() -> None:
    """JSON that gives a key twice is ambiguous; the pointer leads to the key."""
    text = json.dumps(ALCOVE_IN).replace('"length": 60', '"length": 60, "length": 66')
    assert text_codes(text) == [("/room/walls/0/length", "duplicate_key")]


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e999"])
def test_numbers_that_are_none(number: str) -> None:
    """Tokens that JSON does not know, and numbers without a float, name their field once."""
    text = json.dumps(ALCOVE_IN).replace('"length": 60', f'"length": {number}')
    assert text_codes(text) == [("/room/walls/0/length", "not_finite")]


def test_numbers_of_too_many_digits() -> None:
    """Hundreds of digits are refused at their field, thousands outright."""
    text = json.dumps(ALCOVE_IN)
    for digits, expected in ((400, "/room/walls/0/length"), (3500, ""), (9000, "")):
        (found,) = text_codes(text.replace("60", "6" * digits))
        assert found[0] == expected
    assert codes(changed(ALCOVE_IN, {"/priorities/hanging": 10**9000})) == [("", "not_finite")]


def test_nesting_too_deep() -> None:
    """Neither text nor data may nest without end."""
    inner: Any = []
    for _ in range(MAX_DEPTH + 5):
        inner = [inner]
    assert codes({**ALCOVE_IN, "name": inner}) == [("", "too_deep")]
    for depth in (MAX_DEPTH + 5, 100_000):
        assert text_codes("[" * depth + "]" * depth) == [("", "too_deep")]
    endless: dict[str, Any] = {}
    endless["room"] = endless
    assert codes(endless) == [("", "too_deep")]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "invalid_json"),
        ("{", "invalid_json"),
        ("{'room': 1}", "invalid_json"),
        (b"\xff\xfe{}", "not_utf8"),
        (" " * (MAX_BRIEF_BYTES + 1), "too_big"),
    ],
)
def test_text_that_cannot_be_read(text: str | bytes, code: str) -> None:
    """Text that is no JSON, of another encoding or too big is refused whole."""
    assert text_codes(text) == [("", code)]


def test_invalid_json_says_where() -> None:
    """The fault gives line and column."""
    with pytest.raises(BriefError, match="line 2, column 11"):
        read_brief_text('{"units":\n "inches" 5}')


def test_text_may_start_with_a_byte_order_mark() -> None:
    """Files written by some editors start with one."""
    expected = read_brief(ALCOVE_IN)
    assert read_brief_text(b"\xef\xbb\xbf" + json.dumps(ALCOVE_IN).encode()) == expected
    assert read_brief_text("\ufeff" + json.dumps(ALCOVE_IN)) == expected


def test_half_characters_are_refused() -> None:
    """A lone surrogate cannot be printed; neither as value nor in a key does it pass."""
    assert text_codes(json.dumps({**ALCOVE_IN, "name": "\ud800"})) == [("/name", "not_unicode")]
    found = text_codes(json.dumps({**ALCOVE_IN, "\ud800": 1}))
    assert ("", "not_unicode") in found
    assert all(pointer.encode() is not None for pointer, _ in found)


def test_file_is_read_like_its_text(tmp_path: Path) -> None:
    """A file gives what its text gives."""
    path = tmp_path / "brief.json"
    path.write_text(json.dumps(REACH_IN), encoding="utf-8")
    assert read_brief_file(path) == read_brief(REACH_IN)
    assert read_brief_file(str(path)) == read_brief(REACH_IN)


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    """A missing file, a folder, an odd name and one too big are named in one line."""
    big = tmp_path / "big.json"
    big.write_bytes(b" " * (MAX_BRIEF_BYTES + 1))
    cases = {
        str(tmp_path / "none.json"): ("unreadable", "No such file"),
        str(tmp_path): ("unreadable", "directory"),
        "a\0b": ("unreadable", "null"),
        str(big): ("too_big", "1,000,000 bytes"),
    }
    for path, (code, reason) in cases.items():
        with pytest.raises(BriefError) as caught:
            read_brief_file(path)
        (fault,) = caught.value.faults
        assert (fault.pointer, fault.code) == ("", code)
        assert reason in fault.detail


def test_shortest_brief_gets_its_defaults() -> None:
    """Walls, ceiling and one need are enough in inches and in millimetres."""
    inch, _ = read_brief(ALCOVE_IN)
    metric, _ = read_brief(ALCOVE_MM)
    assert inch.construction.sheet == (96, 48)
    assert (metric.construction.sheet, metric.construction.kerf) == ((2440, 1220), 3)
    assert metric.construction.panel_thickness == 18
    assert metric.needs.aisle == 600


def test_text_lengths_are_read_in_the_units_of_the_brief() -> None:
    """Feet and inches, fractions and units written out all give the same wall."""
    for text in ("7' 2-1/2\"", "86 1/2", "86.5in", "86.5"):
        brief, _ = read_brief(changed(ALCOVE_IN, {"/room/walls/0/length": text}))
        assert brief.room.walls[0].length == 86.5


def test_units_reach_the_lengths_of_every_way_to_make_a_record() -> None:
    """From JSON, by name, or alone with units given; without units a text is refused, no number."""
    wall = {"id": "A", "length": "50"}
    data: dict[str, Any] = {"units": "mm", "room": {"ceiling_height": "2.4 m", "walls": [wall]}}
    read = Brief.model_validate(data)
    assert (read.room.ceiling_height, read.room.walls[0].length) == (2400.0, 50.0)
    assert read == Brief(**data) == Brief.model_validate_json(json.dumps(data))
    assert Study(brief=data, status="optimal").brief == read  # type: ignore[arg-type]
    assert Wall.model_validate({"id": "A", "length": "1 in"}, context=read.units).length == 25.4
    assert Wall(id="A", length=50.0).length == 50.0
    with pytest.raises(ValidationError, match="needs units"):
        Wall.model_validate(wall)


def test_keys_that_are_no_text_are_refused() -> None:
    """A brief made in Python may have such keys; they are unknown ones."""
    assert ("/1", "extra_forbidden") in codes({**REACH_IN, 1: 2})


def test_brief_itself_is_examined_again() -> None:
    """A brief made in Python goes through the same rules."""
    brief, warnings = read_brief(REACH_IN)
    assert read_brief(brief) == (brief, warnings)
    pinned = brief.model_copy(update={"pins": brief.pins * 2})
    assert codes(pinned) == [("/pins/1/start", "overlap")]


def test_reading_leaves_the_data_as_it_was() -> None:
    """The data handed in is not changed, by a good brief nor by a bad one."""
    data = changed(REACH_IN, {"/room/walls/0/lenght": 26, "/needs/items/0/width": "wide"})
    before = json.dumps(data)
    codes(data)
    assert json.dumps(data) == before
    assert isinstance(read_brief(REACH_IN)[0], Brief)

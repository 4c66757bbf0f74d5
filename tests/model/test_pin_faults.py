"""Pins that cannot stand are told without a solve, all of them, and none that can."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.errors import BriefError
from optimizer.model.pins import pin_faults
from optimizer.model.search.alternatives import Search
from optimizer.model.search.lines import ladder_for
from tests.model.rooms import brief_of

LONG = "floor:17.25+long@80.25+shelfx12@84"
GOOD: dict[str, Any] = {"wall": "A", "start": 2, "width": 24, "pattern": LONG}
PIPE = {"wall": "A", "width": 6, "bottom": 0, "height": 96, "projection": 12, "kind": "pipe"}


def faults_of(*pins: dict[str, Any], **room: Any) -> list[tuple[str, str]]:
    """Pointer and code of each fault of a brief with these pins."""
    brief = brief_of([120, 60], {"long_hang": 24}, pins=list(pins), room=room)
    return [(fault.pointer, fault.code) for fault in pin_faults(brief)]


def test_pins_that_can_stand_have_no_fault() -> None:
    """One, two, or none at all."""
    assert faults_of() == []
    assert faults_of(GOOD) == []
    assert faults_of(GOOD, {**GOOD, "start": 60}) == []


def test_every_pin_that_cannot_stand_is_named() -> None:
    """An unknown pattern, and a pipe where the bay would be; the sound one between is not."""
    unknown = {**GOOD, "start": 80, "pattern": "a secret door"}
    behind = {**GOOD, "start": 30}
    pipe = {**PIPE, "start": 40}
    assert faults_of(unknown, GOOD, behind, obstructions=[pipe]) == [
        ("/pins/0", "pin_refused"),
        ("/pins/2", "pin_refused"),
    ]


@pytest.mark.parametrize(
    "pin",
    [GOOD, {**GOOD, "pattern": "none"}, {**GOOD, "width": 47, "start": 60}, {**GOOD, "start": 40}],
    ids=["good", "unknown", "wide", "pipe"],
)
def test_what_is_told_is_what_a_study_would_say(pin: dict[str, Any]) -> None:
    """The model refuses a brief exactly when a fault is told, and with the same words."""
    room = {"obstructions": [{**PIPE, "start": 50}]}
    brief = brief_of([120, 60], {"long_hang": 24}, pins=[pin], room=room)
    told = pin_faults(brief)
    try:
        Search(brief)
    except BriefError as error:
        assert told == tuple(error.faults)
    else:
        assert told == ()


@pytest.mark.parametrize("start", [13.75, 14, 33.5, 33.75])
def test_a_mount_kept_before_a_switch_is_told(start: float) -> None:
    """A mirror 18 in wide just beside a switch is fine, on either side; not a grid step over it."""
    free = start in (13.75, 33.75)
    switch = {**PIPE, "start": 31.75, "width": 2, "bottom": 46, "height": 5, "kind": "switch"}
    kept = [{"mount": "glass", "wall": "A", "start": start}]
    needs = {"long_hang": 24, "mirrors": [{"id": "glass", "width": 18, "height": 50}]}
    brief = brief_of([120, 60], needs, mount_pins=kept, room={"obstructions": [switch]})
    told = pin_faults(brief)
    assert [(fault.pointer, fault.code) for fault in told] == (
        [] if free else [("/mount_pins/0", "pin_refused")]
    )
    if not free:
        with pytest.raises(BriefError, match="glass cannot hang"):
            Search(brief)


@pytest.mark.parametrize("end", ["wall", "upright"])
def test_nothing_is_in_the_way_of_an_upright_that_does_not_stand(end: str) -> None:
    """A lamp round the corner keeps clothes 24 in deep low near the end of wall A: an upright 84 in
    high would stand in its way there, the other wall carries the bay's boards."""
    lamp = {"wall": "B", "start": 30, "width": 2, "bottom": 80, "height": 4, "kind": "light"}
    lamp |= {"setback": 9, "projection": 12, "luminaire": "open_lamp"}
    needs = {"short_hang": 40, "shelf_length": 40}
    pin = {"wall": "A", "start": 1, "pattern": "floor:19.25+short@56.25+shelf*3x12@60"}
    pin |= {"right": end, "width": 47.0 if end == "wall" else 46.25}
    brief = brief_of([48, 61], needs, pins=[pin], room={"obstructions": [lamp]})
    told = [fault.detail for fault in pin_faults(brief)]
    assert len(told) == (end == "upright")
    assert all("uprights" in detail for detail in told)


def test_what_is_kept_has_no_say_in_the_line() -> None:
    """Under a slope several lines are compared: with a mirror that is kept, and may not be where
    it is, the line is that of the room alone, and the fault is told all the same."""
    walls = [{"length": 45, "height": {"left": 98, "right": 53}}, {"length": 107, "height": 53}]
    outlet = {**PIPE, "wall": "B", "width": 6.5, "bottom": 30, "height": 12, "kind": "other"}
    brief = brief_of(
        walls,
        {"medium_hang": 9, "mirrors": [{"id": "glass", "width": 15, "height": 33}]},
        mount_pins=[{"mount": "glass", "wall": "B", "start": 1}],
        room={"obstructions": [{**outlet, "start": 1}]},
    )
    assert [fault.pointer for fault in pin_faults(brief)] == ["/mount_pins/0"]
    assert ladder_for(brief) == ladder_for(brief.unpinned())


@pytest.mark.parametrize(("width", "free"), [(28.25, True), (28.5, False)])
def test_a_switch_over_the_upright_is_not_in_the_shelf_s_way(width: float, free: bool) -> None:
    """A low bay beside a switch, its upright under it: the bay stands, one a quarter of an inch
    wider does not."""
    switch = {"wall": "A", "start": 29.25, "width": 3, "bottom": 37.75, "height": 5}
    pin = {"wall": "A", "start": 1, "width": width, "pattern": "floor:33+shelfx12@33.75"}
    sloped = {"length": 106.25, "height": {"left": 46.25, "right": 100.5}}
    brief = brief_of(
        [{"length": 67.75, "height": 46.25}, sloped],
        {"shelf_length": 40, "long_hang": 27.5, "users": [{"stature": 63}]},
        pins=[pin],
        room={"ceiling_height": 100.5, "obstructions": [{**switch, "kind": "switch"}]},
    )
    assert bool(pin_faults(brief)) is not free

"""The scenarios: each is a sound brief, and together they cover what a brief can say."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

import optimizer
from optimizer.briefs.reader import read_brief, read_brief_file
from optimizer.briefs.rules.brief_view import BriefView
from optimizer.briefs.scenarios import scenario_file, scenario_folder, scenario_names
from optimizer.domain.brief import Brief
from optimizer.domain.needs import Hang
from optimizer.domain.room import ObstructionKind, OpeningKind, Slope
from optimizer.errors import BriefError
from optimizer.reference.garments import required_hang
from optimizer.units import Units
from tests.ready_briefs import load_scenario

NAMES = scenario_names()

WARNED = {
    "childs-closet": {"double_hang_out_of_reach"},
    "duct-walk-in": {"aisle_tight"},
    "galley-walk-in": {"aisle_tight"},
    "l-shaped-walk-in": {"aisle_tight"},
    "laundry": {"aisle_tight"},
    "old-house": {"reading_spread", "out_of_square"},
    "pantry": {"aisle_tight"},
    "seated-user": {"double_hang_out_of_reach"},
}
"""Warnings that a scenario is there to show, beside studs that were not located."""


@pytest.fixture(scope="module")
def briefs() -> dict[str, Brief]:
    """Every scenario, read."""
    return {name: load_scenario(name) for name in NAMES}


@pytest.mark.parametrize("name", NAMES)
def test_scenario_is_a_sound_brief(name: str) -> None:
    """It is read without a fault, and warns of what it is there to show and no more."""
    brief, warnings = read_brief_file(scenario_file(name))
    assert {w.code for w in warnings} - {"studs_assumed"} == WARNED.get(name, set())
    assert brief.name != "Closet"


@pytest.mark.parametrize("name", NAMES)
def test_scenario_survives_being_written(name: str) -> None:
    """Written out as resolved and read again it is the same brief."""
    brief = load_scenario(name)
    assert read_brief(json.loads(brief.model_dump_json()))[0] == brief


def test_there_are_enough_and_titles_differ(briefs: dict[str, Brief]) -> None:
    """At least fourteen, each with a title of its own."""
    assert len(briefs) >= 14
    assert len({brief.name for brief in briefs.values()}) == len(briefs)


def test_kinds_of_room_are_covered(briefs: dict[str, Brief]) -> None:
    """Reach-ins, walk-ins and open runs; one wall, two, five, six and eight of them."""
    cases = [BriefView(brief) for brief in briefs.values()]
    kinds = {(case.outline.closed, case.is_reach_in) for case in cases}
    assert kinds == {(True, True), (True, False), (False, False)}
    assert {1, 2, 4, 5, 6, 7, 8} <= {len(brief.room.walls) for brief in briefs.values()}
    assert any(w.corner == "outside" for b in briefs.values() for w in b.room.walls)


def test_features_are_covered(briefs: dict[str, Brief]) -> None:
    """Openings, obstructions, kept space, slopes, readings, people, millimetres."""
    rooms = [brief.room for brief in briefs.values()]
    openings = {opening.kind for room in rooms for opening in room.openings}
    assert openings == set(OpeningKind)
    things = {thing.kind for room in rooms for thing in room.obstructions}
    assert things == set(ObstructionKind)
    walls = [wall for room in rooms for wall in room.walls]
    assert any(isinstance(wall.height, Slope) for wall in walls)
    assert any(isinstance(wall.length, tuple) for wall in walls)
    users = [user for brief in briefs.values() for user in brief.needs.users]
    assert any(user.age == 6 for user in users)
    assert any(user.posture == "seated" for user in users)
    assert any(brief.units is Units.MILLIMETRE for brief in briefs.values())
    assert any(room.keep_clear for room in rooms)
    assert any(room.measuring_tolerance for room in rooms)


def test_dressing_room_is_the_largest(briefs: dict[str, Brief]) -> None:
    """Five walls and eight bulky items."""
    brief = briefs["dressing-room"]
    assert (len(brief.room.walls), len(brief.needs.items)) == (5, 8)


def test_two_households_want_far_more_than_the_room_holds(briefs: dict[str, Brief]) -> None:
    """Even hung on two rods along the whole wall, less than half of the wishes would fit."""
    brief = briefs["two-households"]
    wall = brief.room.wall("back").clear_length
    required = required_hang(brief.needs, brief.units)
    least = required[Hang.LONG] + required[Hang.MEDIUM] + required[Hang.SHORT] / 2
    assert least > 2 * wall


def test_unknown_scenario_names_the_known() -> None:
    """A name that is none, or a way out of the folder, is refused with the list."""
    for name in ("ballroom", "../pyproject", "hall-reach-in.json"):
        with pytest.raises(BriefError, match="hall-reach-in"):
            load_scenario(name)


def test_folder_missing_is_said(monkeypatch: Any, tmp_path: Path) -> None:
    """An installation without scenarios says so instead of finding none."""
    assert scenario_folder().name == "scenarios"
    monkeypatch.setattr(optimizer, "__file__", str(tmp_path / "optimizer" / "__init__.py"))
    with pytest.raises(BriefError, match="not installed"):
        scenario_names()

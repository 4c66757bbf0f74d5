"""What a builder would expect of a ready brief, and gets of its first layout."""

from __future__ import annotations

import pytest

from optimizer.checking import check_layout
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Carried, Layout, ZoneKind
from optimizer.domain.needs import Hang
from optimizer.domain.room import OpeningKind
from tests.scenarios.proposals import proposed

NAMES = ("wrap-around-pantry", "laundry", "six-foot-reach-in", "knee-wall")


def first(name: str) -> tuple[Brief, Layout]:
    """A scenario and its first layout."""
    study = proposed(name)
    return study.brief, study.layouts[0]


@pytest.mark.parametrize("name", NAMES)
def test_everything_asked_for_goes_in(name: str) -> None:
    """Of no need is more than a hundredth short, and the independent checker finds nothing."""
    brief, layout = first(name)
    assert check_layout(brief, layout) == ()
    assert all(unmet.shortfall <= 0.01 * unmet.required for unmet in layout.unmet)


def test_the_shelves_of_the_pantry_wrap_its_corners() -> None:
    """On three walls, and in a corner boards butt against boards of the same heights."""
    _, layout = first("wrap-around-pantry")
    assert {bay.wall for bay in layout.bays} == {"left", "back", "right"}
    ends = [end for bay in layout.bays for end in (bay.left, bay.right)]
    assert Carried.CORNER in ends


def test_nothing_stands_before_the_water_heater() -> None:
    """The working space of the laundry is free from the back wall out, on every wall."""
    brief, layout = first("laundry")
    (kept,) = brief.room.keep_clear
    assert "water heater" in kept.why
    assert min(kept.width, kept.depth) >= 30
    for bay in layout.bays:
        if bay.wall == kept.wall:
            assert bay.end <= kept.start or bay.start >= kept.start + kept.width
        if bay.wall == "right":
            assert bay.start >= kept.depth or bay.end <= 0


def test_the_six_foot_closet_is_served_through_its_sliding_doors() -> None:
    """Everything on the back wall; the shirts of two hang over one another."""
    brief, layout = first("six-foot-reach-in")
    assert [opening.kind for opening in brief.room.openings] == [OpeningKind.SLIDING]
    assert {bay.wall for bay in layout.bays} == {"back"}
    rods = [[z for z in bay.zones if z.kind is ZoneKind.ROD] for bay in layout.bays]
    assert max(map(len, rods)) == 2
    assert brief.room.wall("back").clear_length == 72


def test_the_knee_wall_takes_what_is_low() -> None:
    """Under its 60 in nothing is higher than leaves a hand over it; nothing long hangs there."""
    brief, layout = first("knee-wall")
    wall = brief.room.wall("knee wall")
    assert wall.height == 60
    low = [bay for bay in layout.bays if bay.wall == "knee wall"]
    assert low
    assert all(bay.height + brief.construction.min_shelf_clear <= 60 for bay in low)
    hung = {b.wall for b in layout.bays if any(z.kind is ZoneKind.ROD for z in b.zones)}
    assert hung
    assert hung & {"left gable", "right gable", "door wall"}
    rods = [zone for bay in low for zone in bay.zones if zone.kind is ZoneKind.ROD]
    assert all(zone.hang is Hang.SHORT for zone in rods)

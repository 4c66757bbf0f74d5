"""Plans of the model put on their walls."""

from __future__ import annotations

import time
from dataclasses import replace
from typing import Any

import pytest

import optimizer.model.search.alternatives as alternatives_module
from optimizer.domain.layout import Carried, ZoneKind
from optimizer.errors import UnplacedError
from optimizer.model.placement import place
from optimizer.model.records import WallEnd
from optimizer.model.search.alternatives import Found, Search
from optimizer.model.search.rounds import Times, alternatives
from optimizer.model.slots import Slot
from optimizer.model.solution import BayPlan, PlannedBay, SharedUpright
from optimizer.scoring.distance import distance, portrait_of
from optimizer.solving.search import exploration
from optimizer.solving.search.parts import Parts
from tests.model.rooms import PATIENCE_S, brief_of

NEEDS: dict[str, Any] = {"shelf_length": 60}


def _inner(search: Search, index: int) -> Slot:
    """The first slot inside one stretch."""
    return next(
        v.slot
        for v in search.model.slots
        if v.slot.inner and v.slot.first == index and not v.slot.hosts
    )


def _bay(slot: Slot, width: float) -> PlannedBay:
    return PlannedBay(slot, width, slot.min_width, slot.max_width, ())


def test_a_joint_beside_an_empty_stretch_shares_no_upright() -> None:
    """Bays in the outer of three stretches, a joint at the inner boundary: each has its own.

    The outlet keeps uprights out of the middle stretch, 20 in wide, so that the bays stand
    far apart whatever the joint says.
    """
    outlet = {"wall": "A", "start": 40, "width": 20, "bottom": 30, "height": 20, "kind": "vent"}
    brief = brief_of([100.0], NEEDS)
    room = brief.model_dump(mode="json")["room"] | {"obstructions": [outlet]}
    brief = type(brief).model_validate(brief.model_dump(mode="json") | {"room": room})
    search = Search(brief)
    assert [(s.start, s.end) for s in search.surveyed.stretches] == [(0, 40), (40, 60), (60, 100)]
    left, right = _bay(_inner(search, 0), 20.0), _bay(_inner(search, 2), 20.0)
    joint = SharedUpright(1, 2, keeper=2)
    plan = BayPlan((left, right), {}, frozenset({joint}), frozenset({1}))
    bays = place(search.model, plan).bays
    assert [bay.width for bay in bays] == [20.0, 20.0]
    assert bays[0].end + 0.75 <= 40.0
    assert bays[1].start - 0.75 >= 60.0


def _carried_ends(*sides: float) -> tuple[Search, list[WallEnd]]:
    """A wall of 60 in between two side walls too short for bays, and its ends."""
    needs = {"long_hang": 20, "shelf_length": 60}
    rules = {"min_bay_width": 18}
    search = Search(brief_of([sides[0], 60.0, sides[1]], needs, construction=rules))
    return search, [WallEnd(1, at_left=True), WallEnd(1, at_left=False)]


def _slot(search: Search, *, rods: bool) -> Slot:
    return next(
        v.slot
        for v in search.model.slots
        if search.surveyed.stretches[v.slot.first].wall == 1 and v.slot.pattern.has_rod is rods
    )


@pytest.mark.parametrize("sides", [(13.0, 15.0), (15.0, 13.0)])
@pytest.mark.parametrize("many", [1, 5])
def test_a_bay_stands_at_the_wall_that_carries_it(sides: tuple[float, float], many: int) -> None:
    """A side wall of 13 in carries boards of 12 in; a rod's cleat is 14 in long."""
    search, ends = _carried_ends(*sides)
    rod, shelves = _slot(search, rods=True), _slot(search, rods=False)
    width = (60.0 - 0.75 * many) / (many + 1)
    bays = [PlannedBay(rod, width, width, width, ()) for _ in range(many)]
    plan = BayPlan(
        (*bays, PlannedBay(shelves, width, width, width, ())),
        {},
        frozenset(),
        frozenset(),
        frozenset(ends),
    )
    placed = place(search.model, plan).bays
    hangs = [any(zone.kind is ZoneKind.ROD for zone in bay.zones) for bay in placed]
    assert hangs == sorted(hangs, reverse=sides[0] > sides[1])
    assert placed[0].left is placed[-1].right is Carried.WALL
    assert placed[0].start == 0.0
    assert placed[-1].end == pytest.approx(60.0)


def test_measuring_tolerance_is_left_where_no_bay_is_cut_to_fit() -> None:
    """A quarter of an inch is left at a row's right end, or by a bay on a side wall nowhere."""
    for left in (15.0, 9.0):
        brief = brief_of(
            [left, 40.0],
            {"long_hang": 30},
            construction={"min_bay_width": 18},
            room={"measuring_tolerance": 0.25},
        )
        search = Search(brief)
        slot = _slot(search, rods=True)
        carried = frozenset({WallEnd(1, at_left=True)}) if left == 15.0 else frozenset()
        bay = PlannedBay(slot, 39.0, 38.0, 39.5, ())
        (placed,) = place(search.model, BayPlan((bay,), {}, frozenset(), frozenset(), carried)).bays
        spare = 0.0 if carried else 0.25
        assert placed.end + 0.75 <= 40.0 - spare + 1e-6
        assert placed.width == pytest.approx(39.0 if carried else 38.25)


@pytest.mark.parametrize(("studs", "stiffened"), [([20.0, 36.0], False), ([2.0, 58.0], True)])
def test_mid_supports_of_the_plan_stand_instead_of_stiffeners(
    studs: list[float], stiffened: bool
) -> None:
    """A width that stiffeners would do for: on a stud as planned, stiffened where none is."""
    brief = brief_of([60.0], NEEDS, construction={"mid_support": "bracket"})
    data = brief.model_dump(mode="json")
    data["room"]["walls"][0]["studs"] = {"positions": studs}
    search = Search(type(brief).model_validate(data))
    slot = _inner(search, 0)
    stiff = next(tier for tier in slot.possible() if tier.stiffened)
    width = stiff.width - 1.0
    assert slot.stiffened(width)
    plan = BayPlan(
        (PlannedBay(slot, width, width, width, (), propped=True),), {}, frozenset(), frozenset({0})
    )
    placed = place(search.model, plan)
    assert not placed.unsupported
    (bay,) = placed.bays
    assert bay.stiffened is stiffened
    assert len(bay.mid_supports) == (0 if stiffened else 1)


COAT_CLOSET: dict[str, Any] = {
    "openings": [
        {"wall": "D", "start": 8, "width": 32, "height": 80, "kind": "hinged_out", "casing": 2.25}
    ]
}


def test_a_bay_carried_at_both_walls_over_several_stretches_fills_the_wall() -> None:
    """A closet a quarter inch wider than a rod reaches: no plan holds it a hair too short.

    The door's returns cut the back wall in three, and what spans them all has no boundary where a
    scribe could hide.
    """
    needs = {"long_hang": 40, "shelf_length": 48, "shelf_depth": 12}
    brief = brief_of(
        [25.5, 48.25, 25.5, 48.25], needs, room=COAT_CLOSET, options={"alternatives": 4}
    )
    search = Search(brief)
    met = list(alternatives(search, Times(time.monotonic() + PATIENCE_S), least=0.22))
    found = [layout.bays for layout in met if isinstance(layout, Found)]
    assert len(found) >= 3
    assert search.exact
    whole = [bays[0] for bays in found if len(bays) == 1]
    assert whole
    assert all(bay.width == pytest.approx(48.25) for bay in whole)


@pytest.mark.parametrize("early", [False, True])
def test_a_plan_that_finds_no_places_is_left_out(
    early: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The next best layout is given instead, and nothing is said to be proved of all of them; of a
    huge problem's first plan nothing is proved at all."""
    proofs: list[bool] = []
    if early:
        monkeypatch.setattr(exploration, "LARGE", 0)
        monkeypatch.setattr(exploration, "HUGE", 0)
    brief = brief_of([100.0], {"short_hang": 40, "shelf_length": 60})
    first = Search(brief).next(time.monotonic() + PATIENCE_S)
    assert isinstance(first, Found)
    real, refused, whole = alternatives_module.place, [], Parts.search_all

    def fussy(model: Any, plan: BayPlan) -> Any:
        """Refuse the first plan."""
        if not refused:
            refused.append(plan)
            raise UnplacedError("no places")
        return real(model, plan)

    def search_all(parts: Parts, *given: Any) -> bool:
        """Note whether a plan was refused before the proof."""
        proofs.append(bool(refused))
        return whole(parts, *given)

    monkeypatch.setattr(alternatives_module, "place", fussy)
    monkeypatch.setattr(Parts, "search_all", search_all)
    search = Search(brief)
    second = search.next(time.monotonic() + PATIENCE_S)
    assert isinstance(second, Found)
    assert not search.exact
    assert refused
    if early:
        assert proofs
        assert all(proofs)
    assert sorted(bay.pattern for bay in second.bays) != sorted(bay.pattern for bay in first.bays)
    assert second.outcome.objective is not None
    assert first.outcome.bound is not None
    assert second.outcome.bound is not None
    # What was proved of all layouts when the first plan was refused; less by then, if it was early.
    least = first.outcome.objective if early else first.outcome.bound
    assert least is not None
    assert second.outcome.bound >= least - 1e-6
    assert early or second.outcome.bound == pytest.approx(first.outcome.bound)


def test_a_layout_placed_too_like_an_earlier_one_is_left_out(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What is placed has the distance asked for, too, not its plan alone."""
    brief = brief_of([100.0], {"short_hang": 40, "shelf_length": 60})
    search = Search(brief)
    first = search.next(time.monotonic() + PATIENCE_S)
    assert isinstance(first, Found)
    asked = brief.options.min_difference
    search.keep_away(first.bays, asked + 0.02, 0)
    real, met = alternatives_module.place, []

    def shrinking(model: Any, plan: BayPlan) -> Any:
        """Give the first layout's bays once more in place of what the second plan says."""
        placed = real(model, plan)
        met.append(placed)
        return replace(placed, bays=first.bays) if len(met) == 1 else placed

    monkeypatch.setattr(alternatives_module, "place", shrinking)
    second = search.next(time.monotonic() + PATIENCE_S)
    assert isinstance(second, Found)
    assert len(met) == 2
    assert not search.exact
    apart = distance(portrait_of(first.bays), portrait_of(second.bays), brief, search.walls)
    assert apart >= asked

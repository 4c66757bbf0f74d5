"""Plans of the model put on their walls."""

from __future__ import annotations

from typing import Any

from optimizer.model.placing import place
from optimizer.model.search.alternatives import Search
from optimizer.model.slots import Slot, SlotKind
from optimizer.model.solution import Plan, PlannedBay
from tests.model.rooms import brief_of

NEEDS: dict[str, Any] = {"shelf_length": 60}


def _inner(search: Search, index: int) -> Slot:
    """The first slot inside one stretch."""
    return next(
        v.slot
        for v in search.model.slots
        if v.slot.kind is SlotKind.INNER and v.slot.first == index and not v.slot.hosts
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
    plan = Plan((left, right), {}, frozenset({"j_1_2_2"}), frozenset({1}))
    bays = place(search.model, plan)
    assert [bay.width for bay in bays] == [20.0, 20.0]
    assert bays[0].end + 0.75 <= 40.0
    assert bays[1].start - 0.75 >= 60.0

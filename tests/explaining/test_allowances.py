"""What the rules leave room for is never less than any layout under the rules holds."""

from __future__ import annotations

import random
import time
from collections import Counter

import pytest
from hypothesis import HealthCheck, assume, event, given, settings

from optimizer.briefs.reader import read_brief_file
from optimizer.briefs.scenarios import scenario_names
from optimizer.checking import check_layout
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Layout, ZoneKind
from optimizer.domain.need_ids import NeedId
from optimizer.domain.study import Yardstick
from optimizer.explaining.allowances import room_of
from optimizer.model.search.alternatives import Search
from optimizer.proposing import propose
from tests.explaining.packed import packed_rooms
from tests.hand.rooms import FOLDER, ROOMS
from tests.model.rooms import brief_of
from tests.ready_briefs import load_scenario


def held(bays: tuple[Bay, ...]) -> dict[str, float]:
    """What bays hold of each need, counted zone by zone."""
    found: Counter[str] = Counter()
    for bay in bays:
        for zone in bay.zones:
            if zone.kind is ZoneKind.ROD and zone.hang is not None:
                found[f"{zone.hang.value}_hang"] += bay.width  # type: ignore[assignment]
            elif zone.kind is ZoneKind.SHELF:
                found["shelf_length"] += bay.width  # type: ignore[assignment]
            for item in zone.items:
                found[f"item:{item}"] += 1
            for kept in zone.stored:
                found[f"stored:{kept.kind}"] += kept.count
    return dict(found)


def excluded(brief: Brief, bays: tuple[Bay, ...]) -> dict[str, tuple[float, float]]:
    """Needs of which bays hold more than is said to be possible: (held, said)."""
    room = room_of(brief)
    found = {}
    for need, amount in held(bays).items():
        allowance = room.allowance(NeedId(need))
        assert allowance is not None
        if amount > allowance.most + brief.units.from_inch(2e-3) * len(bays):
            found[need] = (amount, allowance.most)
    return found


@settings(
    max_examples=250,
    deadline=None,
    suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow],
)
@given(packed_rooms())
def test_no_layout_drawn_by_chance_holds_what_is_called_impossible(
    drawn: tuple[Brief, Layout],
) -> None:
    """Rooms of one and two walls in both units: layouts that the checker passes."""
    brief, layout = drawn
    assume(layout.bays and not check_layout(brief, layout))
    held_of = " ".join(sorted(held(layout.bays)))
    event(f"{len({bay.wall for bay in layout.bays})} walls, {brief.units.value}, {held_of}")
    assert excluded(brief, layout.bays) == {}


@pytest.mark.parametrize("seed", range(6))
def test_no_layout_for_priorities_by_chance_holds_what_is_called_impossible(seed: int) -> None:
    """The model under priorities at random, in rooms of one and two walls."""
    chance = random.Random(seed)
    walls = [chance.randint(40, 110) for _ in range(1 + seed % 2)]
    case = {"id": "case", "width": 20, "depth": 12, "height": 20, "count": 4}
    brief = brief_of(
        list(walls),
        {"short_hang": 400, "long_hang": 300, "shelf_length": 900, "items": [case]},
        construction={"top_line": chance.choice(["level", "free"])},
        options={"gap": 0.02},
    )
    weights = Yardstick(
        hanging=chance.random() + 0.1,
        shelving=chance.random() + 0.1,
        open_floor=1.0,
        easy_reach=1.0,
        low_cost=1.0,
        simple_build=1.0,
    )
    search = Search(brief, weights)
    for need in ("short_hang", "long_hang", "shelf_length", "item:case"):
        search.forget()
        search.model.problem.setObjective(search.objective.met[need] + 1e-3 * search.score)
        found = search.next(1e12)
        bays = getattr(found, "bays", ())
        assert bays
        assert excluded(brief, bays) == {}


CROWDED = {
    "shoes": {"kind": "shoes", "count": 900},
    "boots and books": {"kind": "boots", "count": 300},
    "wide rows": {"kind": "bedding", "count": 200, "depth": 10},
}


@pytest.mark.parametrize("walls", [[47], [61.5, 44], [26, 73, 26]])
@pytest.mark.parametrize("name", CROWDED)
def test_no_layout_stores_more_than_is_said_to_be_possible(name: str, walls: list[float]) -> None:
    """As many as the model can get in, alone and beside clothes, on one wall and round corners."""
    stored = CROWDED[name]
    needs = {"stored": [stored], "shelf_depth": 12, "short_hang": 20}
    for narrow in (8, 18):
        brief = brief_of(
            list(walls), needs, construction={"min_bay_width": narrow}, options={"gap": 0.05}
        )
        search = Search(brief)
        allowance = room_of(brief).allowance(NeedId.stored(stored["kind"]))
        assert allowance is not None
        found = search.next(time.monotonic() + 20.0)
        bays = getattr(found, "bays", ())
        assert bays
        # Closer shelves count for nothing else.
        assert f"stored:{stored['kind']}" not in excluded(brief, bays)


def test_what_is_counted_is_impossible_by_the_rule_that_binds() -> None:
    """40 in of wall: up to 84 in, 7 in apart, are 12 shelves of 4 pairs, 9 in each: 48, not 60."""
    needs = {"stored": [{"kind": "shoes", "count": 60}]}
    brief = brief_of([40], needs, options={"time_limit_s": 10.0, "gap": 0.01})
    room = room_of(brief)
    allowance = room.allowance(NeedId.stored("shoes"))
    assert allowance is not None
    assert allowance.tiers == 12
    assert allowance.most == 12 * 4
    (layout,) = propose(brief, repairs=False).layouts
    (unmet,) = layout.unmet
    assert (unmet.reason, unmet.rule) == ("impossible", "/needs/stored/0/pitch")
    assert "shelves with 6-1/4 in over them are 12 over one another" in unmet.detail
    assert "at most 48 pairs can be had" in unmet.detail


@pytest.mark.parametrize("name", ROOMS)
def test_what_a_builder_drew_is_not_called_impossible(name: str) -> None:
    """The rooms fitted out by hand."""
    brief, _ = read_brief_file(FOLDER / f"{name}.brief.json")
    text = (FOLDER / f"{name}.layout.json").read_text("utf-8")
    layout = Layout.model_validate_json(text, context=brief.units)
    assert excluded(brief, layout.bays) == {}


@pytest.mark.parametrize("name", scenario_names())
def test_every_scenario_has_an_answer_for_every_need(name: str) -> None:
    """Whatever is asked for, the rules say how much of it they leave room for at most."""
    brief = load_scenario(name)
    room = room_of(brief)
    for need in Search(brief, None).frame.needs():
        allowance = room.allowance(need.name)
        assert allowance is not None
        assert allowance.most >= 0

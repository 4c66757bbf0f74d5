"""Trying every choice of bays in a small room finds the optimum that the model proves."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from optimizer.checking import check_layout
from optimizer.domain.layout import Layout
from optimizer.geometry.obstacles import Block
from tests.model.rooms import Raw, best_of, brief_of
from tests.model.walls import Beside, Tried, corner_room, obstructed_wall, uniform_wall

AGREE = 1e-4
"""Points within which two solvers' optima agree: their feasibility tolerances add up."""

PLAIN = {
    # Strong enough that boards which run through a corner are as long as any other.
    "material": "plywood",
    "min_bay_width": 14,
    "stiffener_allowed": False,
    "mid_support": "none",
}

SHELVES_ONLY = {"shelf_length": 90}
MIXED = {"long_hang": 20, "short_hang": 20, "shelf_length": 40}
WITH_HAMPER = {
    "short_hang": 40,
    "shelf_length": 30,
    "items": [{"id": "hamper", "width": 17, "depth": 15, "height": 25}],
}

ONE_WALL = {
    "shelves": (40.0, SHELVES_ONLY, {}),
    "long": (47.3, {"long_hang": 30, "shelf_length": 20}, {}),
    "mixed": (44.1, MIXED, {}),
    "plain": (52.0, MIXED, {"stiffener_allowed": False, "min_bay_width": 16}),
    "hamper": (45.0, WITH_HAMPER, {}),
    "too short": (14.0, MIXED, {}),
}


@pytest.mark.parametrize("name", ONE_WALL)
def test_one_wall_is_solved_exactly(name: str) -> None:
    """One uniform wall: the model's optimum is that of all choices of bays."""
    length, needs, construction = ONE_WALL[name]
    brief = brief_of([length], needs, construction={"min_bay_width": 14, **construction})
    search, found = best_of(brief)
    tried = uniform_wall(Tried(search.catalogue, search.yardstick), length)
    assert found.outcome.objective == pytest.approx(tried, abs=AGREE)


SHOES = {"stored": [{"kind": "shoes", "count": 20}]}
COUNTED: dict[str, tuple[float, Raw]] = {
    "shoes alone": (40.0, SHOES),
    "two bays of them": (58.0, SHOES),
    "with shelf beside": (47.0, {**SHOES, "shelf_length": 60}),
    "with clothes": (43.0, {**SHOES, "short_hang": 20}),
    "more than there is room for": (41.0, {"stored": [{"kind": "shoes", "count": 90}]}),
    "boots, further apart": (40.0, {"stored": [{"kind": "boots", "count": 4, "width": 9}]}),
    "stacks on plain shelves": (40.0, {"stored": [{"kind": "folded", "count": 50, "width": 9}]}),
}


@pytest.mark.parametrize("name", COUNTED)
def test_things_that_are_counted_are_stored_exactly(name: str) -> None:
    """Whole rows on each shelf, closer ones among them, against every choice of bays.

    Bays are whole numbers of rows wide at least and at most, so that rows of bays alike add up.
    """
    length, needs = COUNTED[name]
    construction = {**PLAIN, "min_bay_width": 18, "max_bay_width": 36}
    brief = brief_of([length], needs, construction=construction)
    search, found = best_of(brief)
    tried = uniform_wall(Tried(search.catalogue, search.yardstick), length)
    assert found.outcome.objective == pytest.approx(tried, abs=AGREE)
    assert check_layout(brief, Layout(bays=found.bays)) == ()
    stored = sum(kept.count for bay in found.bays for zone in bay.zones for kept in zone.stored)
    assert stored > 0


BOX = {"id": "box", "width": 15, "depth": 10, "height": 22.5}


@pytest.mark.parametrize("length", [24.0, 44.0])
@pytest.mark.parametrize("stiffener", [True, False])
def test_what_stands_before_the_cleats_is_housed_exactly(length: float, stiffener: bool) -> None:
    """A box as high as an opening of two spacings less its air: it needs no higher shelf."""
    construction = {"min_bay_width": 14, "stiffener_allowed": stiffener}
    needs = {"shelf_length": 400, "items": [BOX]}
    brief = brief_of([length], needs, construction=construction)
    search, found = best_of(brief)
    tried = uniform_wall(Tried(search.catalogue, search.yardstick), length)
    assert found.outcome.objective == pytest.approx(tried, abs=AGREE)
    assert check_layout(brief, Layout(bays=found.bays)) == ()
    boxed = next(bay for bay in found.bays if "box" in bay.zones[0].items)
    assert boxed.zones[0].top == 23.25
    assert not boxed.stiffened


DRAWERS = {"id": "drawers", "width": 19, "depth": 20, "height": 26}
UNITS: dict[str, tuple[float, float, Raw]] = {
    "a snug bay": (19.25, 19.75, {"shelf_length": 60}),
    "more room than the shelves want": (19.5, 26.0, {"shelf_length": 40, "short_hang": 20}),
    "under clothes": (20.0, 20.5, {"long_hang": 14, "short_hang": 24}),
}


@pytest.mark.parametrize("length", [22.0, 47.5])
@pytest.mark.parametrize("name", UNITS)
def test_bought_units_have_bays_of_their_width(name: str, length: float) -> None:
    """Drawers on the floor of a bay as wide as they ask, against every choice of bays."""
    least, most, needs = UNITS[name]
    unit = {**DRAWERS, "fits_between": {"least": least, "most": most}}
    brief = brief_of([length], {**needs, "items": [unit]}, construction=PLAIN)
    search, found = best_of(brief)
    tried = uniform_wall(Tried(search.catalogue, search.yardstick), length)
    assert found.outcome.objective == pytest.approx(tried, abs=AGREE)
    assert check_layout(brief, Layout(bays=found.bays)) == ()
    own = next(bay for bay in found.bays if any(zone.items for zone in bay.zones))
    assert least <= own.width <= most


SHALLOW, DEEP = Beside(13.0), Beside(15.0)
FALLING = Beside(15.0, slope=2.0)
BETWEEN_WALLS: dict[str, tuple[Beside | None, float, Beside | None, Raw, Raw]] = {
    "filled from wall to wall": (DEEP, 36.75, DEEP, SHELVES_ONLY, {}),
    "longer than bays fill": (DEEP, 74.0, DEEP, {"long_hang": 50}, {"mid_support": "none"}),
    "too long for one bay": (DEEP, 43.5, DEEP, {"shelf_length": 60}, {}),
    "one wall too short for rods": (SHALLOW, 48.0, DEEP, MIXED, {}),
    "both too short for rods": (SHALLOW, 41.0, SHALLOW, {"long_hang": 20}, {}),
    "too short for any": (Beside(11.5), 45.0, Beside(11.5), MIXED, {}),
    "under a falling wall": (FALLING, 45.0, DEEP, {"shelf_length": 20, "long_hang": 20}, {}),
    "on the left alone": (DEEP, 44.0, None, MIXED, {}),
    "on the right alone": (None, 44.0, DEEP, MIXED, {}),
    "free tops": (DEEP, 44.0, SHALLOW, {"long_hang": 20, "shelf_length": 40}, {"top_line": "free"}),
}


def _beside(side: Beside, *, at_left: bool) -> Raw:
    """A side wall as data; its lower end is the one away from the corner."""
    low = 96.0 - side.slope * side.length
    ends = (low, 96.0) if at_left else (96.0, low)
    height = {"height": {"left": ends[0], "right": ends[1]}} if side.slope else {}
    return {"length": side.length, **height}


@pytest.mark.parametrize("off", [0.0, 0.25], ids=["as measured", "a little shorter perhaps"])
@pytest.mark.parametrize("name", BETWEEN_WALLS)
def test_wall_between_side_walls_is_solved_exactly(name: str, off: float) -> None:
    """Ends on uprights or on the side walls that can carry them, filled or broken by a hand."""
    left, length, right, needs, rules = BETWEEN_WALLS[name]
    walls: list[Any] = [_beside(left, at_left=True)] if left else []
    walls += [length, *([_beside(right, at_left=False)] if right else [])]
    construction = {"min_bay_width": 18, "stiffener_allowed": False, **rules}
    brief = brief_of(walls, needs, construction=construction, room={"measuring_tolerance": off})
    search, found = best_of(brief)
    tried = uniform_wall(Tried(search.catalogue, search.yardstick), length, left, right)
    assert found.outcome.objective == pytest.approx(tried, abs=AGREE)
    assert check_layout(brief, Layout(bays=found.bays)) == ()


@pytest.mark.parametrize("support", ["triangle", "bracket", "none"])
@pytest.mark.parametrize("length", [88.0, 100.0])
def test_wide_bays_are_solved_exactly(length: float, support: str) -> None:
    """Mid supports, each with its cost and its parts, against more uprights and stiffeners."""
    construction = {"min_bay_width": 26, "mid_support": support}
    needs = {"shelf_length": 400}
    brief = brief_of([length], needs, construction=construction, priorities={"simple_build": 8.0})
    search, found = best_of(brief)
    tried = uniform_wall(Tried(search.catalogue, search.yardstick), length)
    assert found.outcome.objective == pytest.approx(tried, abs=AGREE)
    assert check_layout(brief, Layout(bays=found.bays)) == ()


def test_reach_in_is_solved_exactly() -> None:
    """Closed all round, open in front: the back wall's bays end on both side walls."""
    walls = [24, 66.0, 24, 66.0]
    opening = {"wall": "D", "start": 0, "width": 66, "kind": "bifold"}
    construction = {"min_bay_width": 18, "stiffener_allowed": False, "mid_support": "none"}
    needs = {"long_hang": 24, "shelf_length": 60}
    brief = brief_of(walls, needs, construction=construction, room={"openings": [opening]})
    search, found = best_of(brief)
    side = Beside(24.0)
    tried = uniform_wall(Tried(search.catalogue, search.yardstick), 66.0, side, side)
    assert found.outcome.objective == pytest.approx(tried, abs=AGREE)
    assert check_layout(brief, Layout(bays=found.bays)) == ()


@pytest.mark.parametrize("priority", ["hanging", "open_floor", "low_cost", "easy_reach"])
def test_one_wall_is_solved_exactly_under_any_priorities(priority: str) -> None:
    """The same where one term outweighs the others."""
    brief = brief_of([41.5], MIXED, construction={"min_bay_width": 13}, priorities={priority: 20.0})
    search, found = best_of(brief)
    tried = uniform_wall(Tried(search.catalogue, search.yardstick), 41.5)
    assert found.outcome.objective == pytest.approx(tried, abs=AGREE)


OBSTRUCTED = {
    "outlet": (48.0, (20.0, 4.5, 12.0, 5.0), {"long_hang": 20, "shelf_length": 40}),
    "switch": (44.0, (24.0, 4.0, 46.0, 5.0), {"short_hang": 30, "shelf_length": 30}),
    "high": (46.0, (15.0, 3.0, 70.0, 6.0), {"long_hang": 20, "shelf_length": 30}),
    "at the end": (40.0, (33.0, 5.0, 30.0, 5.0), {"short_hang": 30, "shelf_length": 30}),
}


@pytest.mark.parametrize("name", OBSTRUCTED)
def test_wall_with_an_obstruction_is_solved_exactly(name: str) -> None:
    """Bays left and right of something on the wall, and over it."""
    length, (start, width, bottom, height), needs = OBSTRUCTED[name]
    thing = {"wall": "A", "start": start, "width": width, "bottom": bottom, "height": height}
    brief = brief_of(
        [length],
        needs,
        room={"obstructions": [thing]},
        construction={"min_bay_width": 14, "stiffener_allowed": False, "mid_support": "none"},
    )
    search, found = best_of(brief)
    block = Block(bottom, bottom + height, 0.0)
    tried = Tried(search.catalogue, search.yardstick)
    best = obstructed_wall(tried, length, start, start + width, block)
    assert found.outcome.objective == pytest.approx(best, abs=AGREE)


CORNERS: dict[str, tuple[tuple[float, float], Raw, Raw]] = {
    "shelves": ((40.0, 34.0), SHELVES_ONLY, {}),
    "hanging": ((42.0, 36.0), {"long_hang": 40}, {}),
    "mixed": ((44.0, 38.0), {"long_hang": 20, "shelf_length": 40}, {}),
    "narrow": ((30.0, 42.0), {"long_hang": 24, "shelf_length": 20}, {}),
    "shelves beside hanging": (
        (47.6, 48.0),
        {"long_hang": 40, "shelf_length": 120},
        {"min_bay_width": 18},
    ),
    "end bay kept wide": ((41.9, 45.0), {"shelf_length": 20}, {"min_bay_width": 16}),
    "held by the sag of a board": (
        (42.8, 42.0),
        {"long_hang": 40, "shelf_length": 120},
        {"min_bay_width": 18, "corner_clearance": 3, "corner_opening": 18},
    ),
    "no aisle asked for": (
        (49.6, 42.7),
        {"long_hang": 40, "shelf_length": 60, "aisle": 0},
        {"corner_opening": 8},
    ),
    "clearance wider than the opening": (
        (52.0, 44.0),
        {"long_hang": 20, "shelf_length": 40},
        {"corner_clearance": 9, "corner_opening": 5},
    ),
    "clearance beyond the deeper bays": (
        (43.0, 42.5),
        {"long_hang": 20, "shelf_length": 120, "aisle": 36},
        {"min_bay_width": 16, "corner_clearance": 12, "corner_opening": 8},
    ),
    "two depths": (
        (46.6, 36.6),
        {"long_hang": 20, "shelf_length": 20, "shelf_depth": 20, "aisle": 10},
        {"min_bay_width": 18, "corner_clearance": 3},
    ),
}


WAYS: dict[str, Raw] = {
    "level": {},
    "free": {"top_line": "free"},
    "uprights": {"wall_ends": "uprights"},
    "free on uprights": {"top_line": "free", "wall_ends": "uprights"},
}


IN_WAY: dict[str, tuple[str, ...]] = {
    "level": tuple(CORNERS),
    "free": ("shelves", "mixed", "end bay kept wide"),
    "uprights": ("shelves", "mixed", "end bay kept wide", "clearance beyond the deeper bays"),
    "free on uprights": ("shelves", "end bay kept wide"),
}
"""Rooms tried in each way: without a line there are several times as many bays to choose from."""


@pytest.mark.parametrize(("name", "way"), [(n, way) for way in WAYS for n in IN_WAY[way]])
def test_corner_is_solved_exactly(name: str, way: str) -> None:
    """Two walls that meet: every order of bays, every way to use the corner."""
    lengths, needs, rules = CORNERS[name]
    construction = {**PLAIN, **WAYS[way], **rules}
    brief = brief_of(list(lengths), needs, construction=construction)
    search, found = best_of(brief)
    best = corner_room(Tried(search.catalogue, search.yardstick), lengths)
    assert found.outcome.objective == pytest.approx(best, abs=AGREE)
    assert check_layout(brief, Layout(bays=found.bays)) == ()


def _eighths(low: int, high: int) -> st.SearchStrategy[float]:
    return st.integers(8 * low, 8 * high).map(lambda n: n / 8)


@settings(max_examples=12, deadline=None, derandomize=True, phases=(Phase.explicit, Phase.generate))
@given(
    lengths=st.tuples(_eighths(12, 46), _eighths(12, 46)),
    hang=st.sampled_from([{}, {"long_hang": 20}, {"long_hang": 40}, {"short_hang": 30}]),
    shelves=st.sampled_from([20, 60, 120]),
    depth=st.sampled_from([12, 12, 16, 20]),
    aisle=st.sampled_from([0, 10, 24, 36]),
    least=st.sampled_from([14, 18, 20]),
    clearance=st.sampled_from([0, 3, 6, 12]),
    opening=st.sampled_from([5, 8, 12, 20]),
    way=st.sampled_from(list(WAYS)),
)
def test_any_corner_is_solved_exactly(
    lengths: tuple[float, float],
    hang: Raw,
    shelves: float,
    depth: float,
    aisle: float,
    least: float,
    clearance: float,
    opening: float,
    way: str,
) -> None:
    """The same in rooms that nobody chose: never better than the rules allow, and as good.

    Where clothes reach further out than shelves and the clearance beside them, the model keeps
    some more wall free before them than the rules ask: half a point at most here.
    """
    corner = {"corner_clearance": clearance, "corner_opening": opening}
    construction = {**PLAIN, **WAYS[way], "min_bay_width": least, **corner}
    needs = {**hang, "shelf_length": shelves, "shelf_depth": depth, "aisle": aisle}
    brief = brief_of(list(lengths), needs, construction=construction)
    search, found = best_of(brief)
    best = corner_room(Tried(search.catalogue, search.yardstick), lengths)
    ours = found.outcome.objective or 0.0
    assert ours <= best + AGREE
    reach = brief.construction.hang_depth if hang else depth
    assert ours >= best - (0.5 if reach > depth + clearance else AGREE)
    assert check_layout(brief, Layout(bays=found.bays)) == ()

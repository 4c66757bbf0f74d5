"""Trying every choice of bays in a small room finds the optimum that the model proves."""

from __future__ import annotations

import pytest

from optimizer.geometry.obstacles import Block
from tests.model.rooms import Raw, best_of, brief_of
from tests.model.walls import Tried, corner_room, obstructed_wall, uniform_wall

AGREE = 1e-4
"""Points within which two solvers' optima agree: their feasibility tolerances add up."""

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
        construction={"min_bay_width": 14, "stiffener_allowed": False},
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


@pytest.mark.parametrize("name", CORNERS)
def test_corner_is_solved_exactly(name: str) -> None:
    """Two walls that meet: every order of bays, every way to use the corner."""
    lengths, needs, rules = CORNERS[name]
    construction = {"min_bay_width": 14, "stiffener_allowed": False, **rules}
    brief = brief_of(list(lengths), needs, construction=construction)
    search, found = best_of(brief)
    best = corner_room(Tried(search.catalogue, search.yardstick), lengths)
    assert found.outcome.objective == pytest.approx(best, abs=AGREE)

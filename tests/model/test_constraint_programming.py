"""OR-tools' constraint solver, on a half-inch grid, agrees with the model to the grid's loss.

The loss is bounded, not chosen: rounding every width of our optimum down to the grid keeps
a layout a layout (least widths and depths here lie on the grid) and takes less than half
an inch from each bay, so that the grid's optimum is at least ours less bays x 1/2 in x the
most points that an inch of any bay is worth. It is never above our bound.
"""

from __future__ import annotations

import pytest

from optimizer.patterns.column import Column
from optimizer.scoring.terms import Frame
from tests.model.bays import kinds_in, steepest
from tests.model.cp import GridModel
from tests.model.rooms import Raw, best_of, brief_of

GRID_IN = 0.5
SOLVER_NOISE = 1e-3
"""Points: gains are rounded to 1e-6 points a quarter inch, of which there are some hundreds."""

ROOMS: dict[str, tuple[list[float], Raw]] = {
    "shelves": ([60.0], {"shelf_length": 150}),
    "hanging": ([72.25], {"long_hang": 24, "short_hang": 60, "shelf_length": 30}),
    "long wall": ([96.5], {"long_hang": 40, "shelf_length": 120}),
    "corner": ([50.0, 44.0], {"short_hang": 60}),
    "corner with shelves": ([44.0, 60.0], {"long_hang": 30, "shelf_length": 60}),
    "shelves round the corner": ([50.0, 44.0], {"shelf_length": 300}),
}


@pytest.mark.parametrize("name", ROOMS)
def test_grid_optimum_is_ours_less_what_the_grid_takes(name: str) -> None:
    """Never above the bound, and never further below the optimum than the grid explains."""
    lengths, needs = ROOMS[name]
    construction = {"material": "plywood", "min_bay_width": 14, "stiffener_allowed": False}
    construction["mid_support"] = "none"
    brief = brief_of(list(lengths), needs, construction=construction)
    search, found = best_of(brief)
    depth = brief.construction.hang_depth
    kinds = kinds_in(Column(brief.room.ceiling_height, depth, ()), search.catalogue)
    grid = GridModel(kinds, search.frame, search.yardstick)
    walls = [grid.wall(length) for length in lengths]
    if len(walls) == 2:
        grid.corner(*walls)
    else:
        grid.alone(walls[0])
    on_grid = grid.solved(seconds=60.0)
    assert on_grid is not None, "the constraint solver proved nothing in time"
    ours = found.outcome
    assert ours.objective is not None
    assert ours.bound is not None
    slope = steepest(kinds, Frame(search.rules), search.yardstick)
    loss = len(found.bays) * GRID_IN * slope
    assert ours.objective - loss - SOLVER_NOISE <= on_grid <= ours.bound + SOLVER_NOISE

"""Hooks and mirrors against every choice of bays beside them, and where they come to hang."""

from __future__ import annotations

import pytest

from optimizer.checking import check_layout
from optimizer.domain.layout import Layout
from tests.model.rooms import Raw, best_of, brief_of
from tests.model.walls import Beside, Tried, uniform_wall

AGREE = 1e-4
"""Points within which two solvers' optima agree."""
MIRROR = {"mirrors": [{"id": "glass", "width": 18, "height": 50}]}
HOOKS = {"hooks": [{"id": "coats", "count": 3}]}
CONSTRUCTION = {"min_bay_width": 18, "stiffener_allowed": False, "mid_support": "none"}

WALLS: dict[str, tuple[float, Raw, float]] = {
    "a mirror beside shelves": (58.0, {**MIRROR, "shelf_length": 60}, 18.0),
    "hooks beside clothes": (66.0, {**HOOKS, "short_hang": 30, "shelf_length": 20}, 24.0),
    "both, and nothing else asked for": (80.0, {**MIRROR, **HOOKS}, 42.0),
    "less worth than the clothes": (32.0, {**MIRROR, "long_hang": 28}, 18.0),
}


@pytest.mark.parametrize("name", WALLS)
@pytest.mark.parametrize("side", [None, Beside(15.0)])
def test_bays_and_mounts_share_a_wall_exactly(name: str, side: Beside | None) -> None:
    """The best of the bays that go beside all mounts, or beside none of them; a side wall that
    carries is itself too short for any."""
    length, needs, taken = WALLS[name]
    walls = [length] if side is None else [side.length, length]
    brief = brief_of(walls, needs, construction=CONSTRUCTION)
    search, found = best_of(brief)
    worth = sum(n.worth for n in search.frame.needs() if n.name.startswith("mounted:"))
    beside = uniform_wall(Tried(search.catalogue, search.yardstick), length - taken, side)
    alone = uniform_wall(Tried(search.catalogue, search.yardstick), length, side)
    best = max(alone, beside + 100.0 * search.frame.needs_share * worth)
    assert found.outcome.objective == pytest.approx(best, abs=AGREE)
    layout = Layout(bays=found.bays, mounts=found.mounts)
    assert check_layout(brief, layout) == ()
    assert len(layout.mounts) in (0, len(search.rules.mounted))


def test_between_side_walls_a_mirror_breaks_the_bays_or_stands_beside_them() -> None:
    """In a reach-in it takes its width, and a panel where it costs an upright; it hangs in the
    middle of what the bays leave."""
    needs = {**MIRROR, "short_hang": 60, "shelf_length": 40}
    opening = {"wall": "D", "start": 0, "width": 90, "kind": "bifold"}
    brief = brief_of(
        [26, 90, 26, 90], needs, construction=CONSTRUCTION, room={"openings": [opening]}
    )
    _, found = best_of(brief)
    (mirror,) = found.mounts
    assert check_layout(brief, Layout(bays=found.bays, mounts=found.mounts)) == ()
    ends = [0.0, 90.0, *(edge for bay in found.bays for edge in (bay.start - 0.75, bay.end + 0.75))]
    left = max(end for end in ends if end <= mirror.start + 1e-6)
    right = min(end for end in ends if end >= mirror.end - 1e-6)
    assert mirror.start - left == pytest.approx(right - mirror.end, abs=1 / 16)


SWITCH = {"wall": "A", "start": 20, "width": 3, "bottom": 46, "height": 5, "kind": "switch"}
OUTLET = {**SWITCH, "bottom": 8, "kind": "outlet"}


@pytest.mark.parametrize(("thing", "hung"), [(SWITCH, False), (OUTLET, True)])
def test_what_is_on_the_wall_counts_at_its_height(thing: Raw, hung: bool) -> None:
    """A mirror 14 in up hangs over an outlet, not over a switch, where it fits nowhere else."""
    needs = {"mirrors": [{"id": "glass", "width": 22, "height": 50}]}
    brief = brief_of([40.0], needs, construction=CONSTRUCTION, room={"obstructions": [thing]})
    _, found = best_of(brief)
    assert len(found.mounts) == int(hung)
    assert check_layout(brief, Layout(bays=found.bays, mounts=found.mounts)) == ()

"""Hooks and mirrors against every choice of bays beside them, and where they come to hang."""

from __future__ import annotations

import pytest

from optimizer.briefs.reader import read_brief
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


KEPT = [{"mount": "coats", "wall": "A", "start": 31}]


@pytest.mark.parametrize("needs", [HOOKS, {**HOOKS, **MIRROR}])
def test_what_is_kept_hangs_there_and_costs_what_the_bays_beside_it_lose(needs: Raw) -> None:
    """Off the grid of other places: the best has no more than the one that chose the place."""
    brief = brief_of([112.0], {**needs, "shelf_length": 300}, construction=CONSTRUCTION)
    kept = read_brief({**brief.model_dump(mode="json"), "mount_pins": KEPT})[0]
    free, held = (best_of(one)[1] for one in (brief, kept))
    where = {mount.id: (mount.wall, mount.start) for mount in held.mounts}
    assert where["coats"] == ("A", 31)
    assert len(where) == len(free.mounts)
    assert check_layout(kept, Layout(bays=held.bays, mounts=held.mounts)) == ()
    (elsewhere,) = [mount for mount in free.mounts if mount.id == "coats"]
    assert elsewhere.start != 31
    assert [f.code for f in check_layout(kept, Layout(bays=free.bays, mounts=free.mounts))] == [
        "pin"
    ]
    assert held.outcome.objective <= free.outcome.objective + AGREE


def test_a_place_that_the_best_layout_chose_is_kept_at_no_cost() -> None:
    """Round a corner, with bays on the other wall: the same optimum as without the pin."""
    brief = brief_of([60.0, 72.0], {**HOOKS, "shelf_length": 480}, construction=CONSTRUCTION)
    _, found = best_of(brief)
    (hung,) = found.mounts
    pins = [{"mount": "coats", "wall": hung.wall, "start": hung.start}]
    _, again = best_of(read_brief({**brief.model_dump(mode="json"), "mount_pins": pins})[0])
    assert [(m.wall, m.start) for m in again.mounts] == [(hung.wall, hung.start)]
    assert again.outcome.objective == pytest.approx(found.outcome.objective, abs=AGREE)

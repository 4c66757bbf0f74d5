"""Corners by hand: who runs through, what the other wall leaves, and the open front kept."""

from __future__ import annotations

import time
from typing import Any

import pytest
from pulp import lpSum

from optimizer.briefs.reader import read_brief
from optimizer.checking import check_layout, check_study
from optimizer.domain.layout import Bay, Carried, Layout
from optimizer.model.records import WallEnd
from optimizer.model.search.alternatives import Found, Search
from optimizer.proposing import propose
from tests.model.rooms import PATIENCE_S, best_of, brief_of, optimum_of
from tests.ready_briefs import load_scenario

LONG = {"long_hang": 60}
PANEL, CLEARANCE, OPENING = 0.75, 6.0, 12.0


def _gap(bay: Bay, length: float) -> float:
    """Free wall between a bay and the corner: the right end of wall A, the left end of B."""
    return length - bay.end - PANEL if bay.wall == "A" else bay.start - PANEL


@pytest.mark.parametrize("lengths", [(48.0, 44.0), (60.0, 60.0), (80.0, 40.0), (40.0, 80.0)])
def test_who_runs_into_the_corner_leaves_the_other_its_clearance(
    lengths: tuple[float, float],
) -> None:
    """Bays on both walls: where one comes into the other's depth, the other starts at its
    depth and 6 in more, and the one keeps 12 in of its front open beside the other."""
    brief = brief_of(list(lengths), LONG, construction={"min_bay_width": 14})
    _, found = best_of(brief)
    assert check_layout(brief, Layout(bays=found.bays)) == ()
    pairs = [(a, b) for a in found.bays for b in found.bays if (a.wall, b.wall) == ("A", "B")]
    if lengths == (60.0, 60.0):
        assert pairs
    for one, other in [*pairs, *((b, a) for a, b in pairs)]:
        gap = _gap(one, lengths[0])
        if gap < other.depth - 1e-3:
            assert _gap(other, lengths[0]) >= one.depth + CLEARANCE - 1e-3
            assert gap + PANEL + one.width - other.depth >= OPENING - 1e-3


def test_a_corner_costs_and_an_outside_corner_does_not() -> None:
    """Two walls round an outside corner hold at least as much as at an inside one."""
    walls: list[Any] = [{"length": 50, "corner": "outside"}, 50]
    needs = {"long_hang": 60, "shelf_length": 60}
    outside = brief_of(walls, needs, construction={"min_bay_width": 14})
    inside = brief_of([50, 50], needs, construction={"min_bay_width": 14})
    search, found = best_of(outside)
    assert found.outcome.objective is not None
    assert found.outcome.objective > optimum_of(inside, search.yardstick)


def test_more_clearance_or_more_opening_never_helps() -> None:
    """Wider rules at the corner leave the same or a lower best score, on one yardstick."""
    scores = []
    search, _ = best_of(brief_of([50, 46], LONG))
    for clearance, opening in ((0, 6), (6, 12), (10, 16), (16, 24)):
        construction = {"corner_clearance": clearance, "corner_opening": opening}
        brief = brief_of([50, 46], LONG, construction=construction)
        scores.append(optimum_of(brief, search.yardstick))
    assert scores == sorted(scores, reverse=True)


def test_swapped_walls_have_the_same_optimum() -> None:
    """The corner knows no first and second wall."""
    needs = {"long_hang": 30, "shelf_length": 60}
    one = optimum_of(brief_of([52, 44], needs))
    other = optimum_of(brief_of([44, 52], needs))
    assert one == pytest.approx(other, abs=1e-4)


def test_one_corner_limits_the_end_bays_of_the_next() -> None:
    """A wall between two corners: what stands against its far end counts at its near end."""
    walls = [{"id": name, "length": n} for name, n in zip("ABCD", [2960, 2000] * 2, strict=True)]
    radiator = {"wall": "B", "start": 0, "width": 198, "bottom": 291, "height": 97}
    opening = {"wall": "D", "start": 221, "width": 1779, "height": 2023, "kind": "bifold"}
    raw = {
        "units": "mm",
        "room": {
            "ceiling_height": 2659,
            "walls": walls,
            "openings": [{**opening, "casing": 26}],
            "obstructions": [{**radiator, "projection": 89}],
        },
        "needs": {"short_hang": 865, "garments": [{"kind": "trousers", "count": 12}]},
        "options": {"alternatives": 2, "gap": 0.05, "time_limit_s": 20.0},
    }
    brief = read_brief(raw)[0]
    study = propose(brief, repairs=False)
    assert study.layouts
    assert check_study(brief, study) == ()


@pytest.mark.parametrize("through", [0, 1])
def test_what_butts_stands_in_the_stretch_at_the_corner(through: int) -> None:
    """The galley's first wall is low in its last 6 in: bays that end before are not, so that
    no wrapped corner may leave nothing of them; the other wall's butts as it likes."""
    brief = load_scenario("galley-walk-in")
    options = brief.options.model_copy(update={"alternatives": 1, "gap": 0.05})
    brief = brief.model_copy(update={"options": options})
    search = Search(brief)
    corner, model = search.model.corners[0], search.model
    wraps = [s for s in corner.states if s.wraps and s.through == through]
    if through == 1:
        assert corner.sides[0].end_length < min(corner.sides[1].shelf_depths)
        assert wraps == []
        return
    assert wraps
    model.add(lpSum(model.states[0, state.name] for state in wraps) == 1, "asked")
    found = search.next(time.monotonic() + 60.0)
    assert isinstance(found, Found)
    assert check_layout(brief, Layout(bays=found.bays)) == ()


def test_hooks_that_are_kept_make_no_shelves_deep() -> None:
    """Hooks 10 in deep between shelves 12 in deep and a corner into which clothes run: with the
    hooks kept where they hang, the shelves count no deeper than without, and all of it stands."""
    shelves = {
        "wall": "A",
        "start": 0.75,
        "width": 25.25,
        "pattern": "floor:31.25+shelf*5x12@32-84",
    }
    clothes = {
        "wall": "B",
        "start": 0,
        "width": 28.25,
        "pattern": "floor:17.25+long@80.25+shelfx12@84",
    }
    needs = {
        "shelf_spacing": 13,
        **LONG,
        "shelf_length": 100,
        "hooks": [{"id": "robes", "count": 2}],
    }
    brief = brief_of(
        [72.75, 56.25],
        needs,
        pins=[shelves, {**clothes, "left": "wall"}],
        mount_pins=[{"mount": "robes", "wall": "A", "start": 26.75}],
        room={"ceiling_height": 106},
    )
    _, found = best_of(brief)
    assert check_layout(brief, Layout(bays=found.bays, mounts=found.mounts)) == ()


@pytest.mark.parametrize("more", [0, 1])
def test_boards_in_a_corner_reach_the_chimney_breast_alone(more: int) -> None:
    """Boards 12 in deep at the corner of an alcove, 13-3/4 in deep, are carried by its other side
    as well, and fill it; a second bay, deeper than that side is, would stand there instead."""
    search = Search(load_scenario("chimney-alcoves"))
    model, end = search.model, WallEnd(1, at_left=False)
    (stretch,) = [i for i, s in enumerate(search.surveyed.stretches) if s.wall == 1]
    own = [v for v in model.slots if v.slot.first == stretch and not v.slot.spans]
    boards = [v.count for v in own if v.slot.at_left and v.slot.pattern.depth < 13.0]
    deep = [v.count for v in own if v.slot.inner and v.slot.pattern.depth > 14.0]
    assert boards
    assert deep
    model.problem += model.carried[end] >= 1
    model.problem += lpSum(boards) >= 1
    model.problem += lpSum(deep) >= more
    found = search.next(time.monotonic() + PATIENCE_S)
    if more:
        assert found.outcome.status == "infeasible"
        return
    assert isinstance(found, Found)
    (bay,) = [bay for bay in found.bays if bay.wall == "left alcove"]
    assert (bay.start, bay.end, bay.right) == (0.0, 41.5, Carried.WALL)
    assert not check_layout(search.brief, Layout(bays=found.bays))

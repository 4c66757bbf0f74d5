"""Walls cut into stretches: by hand, and by what must hold in any room."""

from __future__ import annotations

from typing import Any

import pytest
import shapely
from hypothesis import given, settings

from optimizer.domain.brief import Brief
from optimizer.geometry.access import opened_ranges
from optimizer.geometry.obstacles import Block
from optimizer.geometry.outline import outline_of
from optimizer.geometry.stretches import Stretch, Surveyed, survey
from tests.geometry.test_access import FEW, closed
from tests.model.rooms import brief_of
from tests.strategies import briefs

Raw = dict[str, Any]


def surveyed(brief: Brief, *thresholds: float) -> Surveyed:
    """The room of a brief cut up."""
    return survey(brief, outline_of(brief.room, brief.units), thresholds)


def cut(brief: Brief, wall: int, *thresholds: float) -> list[tuple[float, float, float, float]]:
    """Start, end, clear height and depth of each stretch of a wall."""
    found = [s for s in surveyed(brief, *thresholds).stretches if s.wall == wall]
    return [(s.start, s.end, s.height, s.depth) for s in found]


def wall_with(*things: Raw, **rest: Any) -> Brief:
    """One wall of 80 in with things on it."""
    things = tuple({"wall": "A", **thing} for thing in things)
    room = {"obstructions": list(things)}
    return brief_of([80], {"long_hang": 30, "shelf_length": 40}, room=room, **rest)


def test_a_bare_wall_is_one_stretch() -> None:
    """As deep as the deepest bay of the brief: the hanging depth."""
    assert cut(wall_with(), 0) == [(0.0, 80.0, 96.0, 24.0)]


def test_a_thing_on_the_wall_cuts_it_in_three() -> None:
    """Its heights are in the way where it hangs and nowhere else, but for what sticks out less."""
    vent = {"start": 30, "width": 10, "bottom": 40, "height": 6, "kind": "vent"}
    pieces = surveyed(wall_with(vent)).stretches
    assert [(p.start, p.end) for p in pieces] == [(0.0, 30.0), (30.0, 40.0), (40.0, 80.0)]
    assert [p.blocks for p in pieces] == [(), (Block(40.0, 46.0, 0.0),), ()]


def test_what_may_be_covered_and_what_hangs_further_out_than_bays_cut_nothing() -> None:
    """A light 40 in from the wall, and an outlet that may be covered."""
    outlet = {"start": 30, "width": 5, "bottom": 14, "height": 5, "kind": "outlet"}
    light = {"start": 30, "width": 5, "bottom": 80, "height": 6, "setback": 40, "projection": 50}
    brief = wall_with({**outlet, "may_cover": True}, {**light, "kind": "light"})
    assert cut(brief, 0) == [(0.0, 80.0, 96.0, 24.0)]


def test_a_box_leaves_the_depth_before_it() -> None:
    """Kept clear from 10 in out: shallow bays stand behind it at any height."""
    kept = {"wall": "B", "start": 0, "width": 14, "depth": 14, "bottom": 20, "height": 9}
    brief = brief_of([80, 60], {"shelf_length": 40}, room={"keep_clear": [kept]})
    last = [s for s in surveyed(brief).stretches if s.wall == 0][-1]
    assert (last.start, last.end) == (66.0, 80.0)
    assert last.blocks == (Block(20.0, 29.0, 0.0),)


def test_a_rising_ceiling_is_cut_on_the_grid_where_it_allows_more() -> None:
    """From 40 in to 100 over 80 in it passes 70 in at 40 in, and 71 at 41-1/3, cut at 41-3/8."""
    brief = brief_of(
        [{"length": 80, "height": {"left": 40, "right": 100}}],
        {"shelf_length": 40},
        room={"ceiling_height": 100},
    )
    assert cut(brief, 0, 70.0)[1][0] == pytest.approx(40.0)
    assert [piece[2] for piece in cut(brief, 0, 70.0)] == pytest.approx([40.0, 70.0])
    assert cut(brief, 0, 71.0)[1][0] == pytest.approx(41.375)
    assert cut(brief, 0, 71.0)[1][2] >= 71.0


def test_a_falling_ceiling_is_cut_before_it_allows_less() -> None:
    """The mirror of the room above: 71 in up to 38-2/3, cut at 38-5/8."""
    brief = brief_of(
        [{"length": 80, "height": {"left": 100, "right": 40}}],
        {"shelf_length": 40},
        room={"ceiling_height": 100},
    )
    assert cut(brief, 0, 71.0)[0][1] == pytest.approx(38.625)
    assert cut(brief, 0, 71.0)[0][2] >= 71.0


def test_a_walk_in_leaves_the_aisle_and_the_way_in() -> None:
    """A room 90 in wide and 70 deep, its door [10, 40] of the front with 3 in of casing.

    The back is 70 in away and has its whole depth. On the front nothing stands in the door or its
    casing. A door near the left wall, whose floor lies [5, 35] out from that, leaves 5 in there.
    """
    brief = closed(90, 70, {"start": 10, "width": 30, "casing": 3}, needs={"aisle": 26})
    assert cut(brief, 0) == [(0.0, 90.0, 96.0, 24.0)]
    assert [piece[:2] for piece in cut(brief, 2)] == [(0.0, 7.0), (43.0, 90.0)]
    near = closed(90, 70, {"start": 55, "width": 30}, needs={"aisle": 26})
    left = cut(near, 3)
    assert left[0] == (0.0, 26.0, 96.0, 5.0)
    assert left[1] == (26.0, 70.0, 96.0, 24.0)


def test_a_reach_in_has_its_back_alone_and_says_what_lies_before_the_door() -> None:
    """72 in wide, 26 deep, open [12, 60] of the front: of the back the same."""
    brief = closed(72, 26, {"start": 12, "width": 40}, needs={"long_hang": 20})
    found = surveyed(brief)
    assert found.reach_in
    assert {s.wall for s in found.stretches} == {0}
    assert [(s.start, s.end, s.opened) for s in found.stretches] == [
        (0.0, 20.0, False),
        (20.0, 60.0, True),
        (60.0, 72.0, False),
    ]
    assert found.opened_width("A", 10.0, 30.0) == 10.0
    assert found.opened_width("A", 0.0, 72.0) == 40.0
    assert found.opened_width("A", 62.0, 70.0) == 0.0


def test_a_pinned_bay_takes_its_wall_with_its_uprights() -> None:
    """From 20 to 44 in with 3/4 in at either side, cut from what is free."""
    pin = {"wall": "A", "start": 20, "width": 24, "pattern": "any"}
    brief = wall_with(pins=[pin])
    pieces = surveyed(brief).stretches
    assert [(p.start, p.end, p.pin is not None) for p in pieces] == [
        (0.0, 19.25, False),
        (19.25, 44.75, True),
        (44.75, 80.0, False),
    ]


@pytest.mark.parametrize(
    ("start", "blocked", "beside"),
    [(79.25, False, False), (79.0, False, True), (78.5, False, True), (78.25, True, True)],
)
def test_what_is_in_front_of_a_pinned_bays_scribe_is_not_in_its_way(
    start: float, blocked: bool, beside: bool
) -> None:
    """An inch of scribe at the wall's end belongs to the bay; its upright ends 79-1/4 in along, and
    what is where that stands is in its way alone: the clear space ends 78-1/2 in along."""
    vent = {"start": start, "width": 80.25 - start, "bottom": 40, "height": 6, "kind": "vent"}
    pin = {"wall": "A", "start": 50, "width": 28.5, "pattern": "shelf*2x12@40"}
    room = {"obstructions": [{"wall": "A", **vent}]}
    brief = brief_of([80.25], {"shelf_length": 40}, room=room, pins=[pin])
    (own,) = [s for s in surveyed(brief).stretches if s.pin is not None]
    assert (own.start, own.end) == (49.25, 80.25)
    assert bool(own.blocks) is blocked
    assert bool(own.beside) is beside


def _of_wall(found: Surveyed, wall: int) -> list[Stretch]:
    return [stretch for stretch in found.stretches if stretch.wall == wall]


@settings(**FEW)
@given(briefs())
def test_stretches_lie_on_their_walls_and_keep_out_of_everything(brief: Brief) -> None:
    """In order, apart, within the wall, none in an opening; the floor before each lies in the room
    and, with the aisle of a walk-in, is nowhere beyond a wall; neighbours differ."""
    outline = outline_of(brief.room, brief.units)
    found = survey(brief, outline)
    room = outline.polygon.buffer(1e-3) if outline.closed else None
    aisle = 0.0 if found.reach_in else brief.needs.aisle
    for index, wall in enumerate(brief.room.walls):
        pieces = _of_wall(found, index)
        edges = [edge for piece in pieces for edge in (piece.start, piece.end)]
        assert edges == sorted(edges)
        assert not edges or (edges[0] >= 0.0 and edges[-1] <= outline.walls[index].length + 1e-6)
        for opening in brief.room.openings if pieces else ():
            if opening.wall == wall.id:
                low = opening.start - opening.casing
                high = opening.start + opening.width + opening.casing
                assert all(p.end <= low + 1e-3 or p.start >= high - 1e-3 for p in pieces)
        for piece in pieces:
            assert piece.depth > 0.0
            out = piece.depth + aisle
            corners = [(a, d) for a in (piece.start, piece.end) for d in (0.0, out)]
            floor = shapely.MultiPoint([outline.to_plan(index, *c) for c in corners]).convex_hull
            assert room is None or room.covers(floor)
        if found.reach_in and pieces:
            assert opened_ranges(brief, outline, index)


@settings(**FEW)
@given(briefs(shapes=("single", "ell", "u")))
def test_open_runs_lose_no_wall_but_to_depth(brief: Brief) -> None:
    """With no opening and no wall ahead every inch of the first wall carries something."""
    outline = outline_of(brief.room, brief.units)
    found = survey(brief, outline)
    if len(outline.walls) < 3:
        covered = sum(piece.length for piece in _of_wall(found, 0))
        assert covered == pytest.approx(outline.walls[0].length, abs=1e-3)

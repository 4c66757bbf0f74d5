"""R7 No pocket: uprights wall off no floor from a hand, and no fixture is out of reach.

A hand counts as a disc. It starts from the floor that is walked on (in a reach-in from outside,
through the openings) and may pass between boards; only uprights, walls and what fills the room from
floor to ceiling stop it. What a hand cannot reach in the empty room is no fault of a layout.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import shapely

from optimizer.checking.boxes import obstruction_box, upright_depth
from optimizer.checking.case import Case, Placed
from optimizer.checking.floors import given_back, worn
from optimizer.checking.shapes import Rect
from optimizer.domain.room import Obstruction, ObstructionKind
from optimizer.errors import Fault
from optimizer.units import Units

HAND = {Units.INCH: 4.0, Units.MILLIMETRE: 100.0}
"""Width of a hand that holds something [brief units]. Common practice."""

LEAST_POCKET = {Units.INCH: 60.0, Units.MILLIMETRE: 38_700.0}
"""A smaller piece of floor out of reach is no loss [brief units squared]. Common practice."""

HAND_ARC = 16
"""Pieces in which a quarter of a circle is drawn: a hand's is true to 0.003 in."""

OUTSIDE_HANDS = 2.0
"""How far outside an opening a hand starts, in hands."""

HANDLED = frozenset({ObstructionKind.OUTLET, ObstructionKind.SWITCH})
"""What on a wall must stay within reach of a hand."""


def check_pockets(case: Case, floor: Any, walked: Any) -> Iterator[Fault]:
    """Findings on walled-off floor and on what is to be handled in it.

    `walked` is the floor from which a hand starts; none at all is a matter of access.
    """
    panels = _panels(case)
    starts = _sills(case) if case.reach_in else walked
    if not panels or starts.is_empty:
        return
    if case.reach_in:
        # The sills belong to it, or a hand that starts on them would be off the floor.
        floor = floor.union(starts)
    pockets = _pockets(case, floor, panels, starts)
    if not pockets:
        return
    for pocket in pockets:
        if pocket.area >= LEAST_POCKET[case.units]:
            yield _pocket(case, pocket)
    for thing, place in _handled(case):
        shared = place.intersection(shapely.union_all(pockets))
        # An outlet half in the open is reached from there.
        if shared.area > place.area / 2.0:
            yield _unreached(case, thing, shared)


def _panels(case: Case) -> list[tuple[Placed, str, Rect]]:
    """Every upright with its bay, its side and where it stands."""
    return [
        (placed, side, placed.wall.rect(span, (0.0, upright_depth(case, placed.bay))))
        for placed in case.bays
        for side, span in placed.uprights.items()
    ]


def _sills(case: Case) -> Any:
    """The floor just outside the openings, from where a hand comes into a reach-in."""
    out = OUTSIDE_HANDS * HAND[case.units]
    return shapely.union_all(
        [
            line.rect((opening.start, opening.start + opening.width), (-out, 0.0)).shape()
            for opening, line in case.openings()
        ]
    )


def _standing(case: Case, *, to_ceiling: bool) -> Any:
    """Floor taken by what stands out from a wall at floor level; with `to_ceiling`, up to the
    ceiling."""
    shapes = []
    for thing in case.brief.room.obstructions:
        line = case.plan.find(thing.wall)
        if line is None or thing.bottom > case.tolerance or thing.projection <= 0:
            continue
        along = (thing.start, thing.start + thing.width)
        clear = line.clear_height(along, case.brief.room.ceiling_height)
        # A hand's width under the ceiling: nothing can be put in over it.
        if not to_ceiling or thing.bottom + thing.height >= clear - HAND[case.units]:
            shapes.append(obstruction_box(case, thing, line).plan.shape())
    return shapely.union_all(shapes)


def _handled(case: Case) -> Iterator[tuple[Obstruction, Any]]:
    """Fixtures that have to be reached by hand, each with its place in plan."""
    for thing in case.brief.room.obstructions:
        line = case.plan.find(thing.wall)
        if thing.kind in HANDLED and line is not None:
            yield thing, obstruction_box(case, thing, line).plan.shape()


def _out_of_reach(case: Case, floor: Any, starts: Any | None) -> Any:
    """Parts of a floor that a hand cannot reach; `starts` None for a hand that may begin
    anywhere."""
    width = HAND[case.units] - case.tolerance
    places = worn(floor, width, HAND_ARC)
    if starts is not None:
        places = [place for place in places if place.intersects(starts)]
    return floor.difference(shapely.union_all(given_back(places, width, HAND_ARC)))


def _pockets(
    case: Case, floor: Any, panels: list[tuple[Placed, str, Rect]], starts: Any
) -> list[Any]:
    """Pieces of floor that uprights keep from every hand: large ones, or behind fixtures."""
    bare = floor.difference(_standing(case, to_ceiling=True))
    free = bare.difference(shapely.union_all([rect.shape() for _, _, rect in panels]))
    fixtures = [place for _, place in _handled(case)]
    lost = [
        part
        for part in shapely.get_parts(_out_of_reach(case, free, starts))
        if part.area >= LEAST_POCKET[case.units] or any(map(part.intersects, fixtures))
    ]
    if not lost:
        return []
    # What the bare room keeps from a hand, and what stands on the floor, is not the layout's doing.
    of_the_room = [_out_of_reach(case, bare, None), _standing(case, to_ceiling=False)]
    left = shapely.union_all(lost).difference(shapely.union_all(of_the_room))
    return list(shapely.get_parts(left))


def _nearest(case: Case, pocket: Any) -> tuple[Placed, str]:
    """The upright that takes most of a pocket's edge, or is nearest to it."""
    # Widened a little, so that it overlaps the uprights that it only touches.
    edge = pocket.buffer(case.tolerance, join_style="mitre")

    def key(panel: tuple[Placed, str, Rect]) -> tuple[float, float]:
        """Order of uprights: most of the edge first, then the nearest."""
        shape = panel[2].shape()
        return (-shape.intersection(edge).area, shape.distance(pocket))

    placed, side, _ = min(_panels(case), key=key)
    return placed, side


def _pocket(case: Case, pocket: Any) -> Fault:
    """The finding on one pocket."""
    placed, side = _nearest(case, pocket)
    unit = case.units.value
    return Fault(
        placed.pointer,
        f"beside the {side} upright of bay {placed.bay.id} {pocket.area:.0f} sq {unit} of floor "
        f"are walled off: a hand {case.say(HAND[case.units])} wide does not come there, and less "
        f"than {LEAST_POCKET[case.units]:.0f} sq {unit} may be lost in one piece",
        "pocket",
    )


def _unreached(case: Case, thing: Obstruction, place: Any) -> Fault:
    """The finding on one thing that cannot be handled."""
    placed, side = _nearest(case, place)
    return Fault(
        placed.pointer,
        f"the {thing.kind} on wall {thing.wall} at {case.say(thing.start)} is walled off by the "
        f"{side} upright of bay {placed.bay.id}: a hand {case.say(HAND[case.units])} wide does "
        "not come there",
        "out_of_reach",
    )

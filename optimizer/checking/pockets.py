"""R7 No pocket: no floor is walled off from a hand by uprights, and no fixture is out of reach.

A hand counts as a disc. It starts from the floor that is walked on, in a reach-in from outside
through the openings, and passes between boards: only uprights, walls and what fills the room
from floor to ceiling stop it. What the bare room keeps from a hand is no fault of a layout.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import shapely

from optimizer.checking.boxes import obstruction_box
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
        floor = floor.union(starts)
    pockets = _pockets(case, floor, panels, starts)
    for pocket in pockets:
        if pocket.area >= LEAST_POCKET[case.units]:
            yield _pocket(case, pocket)
    yield from _fixtures(case, pockets)


def _panels(case: Case) -> list[tuple[Placed, str, Rect]]:
    """Every upright with its bay, its side and where it stands."""
    return [
        (placed, side, placed.wall.rect(span, (0.0, placed.bay.depth)))
        for placed in case.bays
        for side, span in placed.uprights.items()
    ]


def _sills(case: Case) -> Any:
    """Places outside the openings from which a hand comes in."""
    out = OUTSIDE_HANDS * HAND[case.units]
    return shapely.union_all(
        [
            line.rect((opening.start, opening.start + opening.width), (-out, 0.0)).shape()
            for opening, line in case.openings()
        ]
    )


def _standing(case: Case, *, to_ceiling: bool) -> Any:
    """Floor taken by what stands out from a wall on the floor, reaching the ceiling or not."""
    shapes = []
    for thing in case.brief.room.obstructions:
        line = case.plan.find(thing.wall)
        if line is None or thing.bottom > case.tolerance or thing.projection <= 0:
            continue
        along = (thing.start, thing.start + thing.width)
        clear = line.clear_height(along, case.brief.room.ceiling_height)
        if not to_ceiling or thing.bottom + thing.height >= clear - HAND[case.units]:
            shapes.append(obstruction_box(case, thing, line).plan.shape())
    return shapely.union_all(shapes)


def _out_of_reach(case: Case, floor: Any, starts: Any | None) -> Any:
    """What of a floor no hand comes to; `starts` is None for a hand that is anywhere already."""
    width = HAND[case.units] - case.tolerance
    places = worn(floor, width)
    if starts is not None:
        places = [place for place in places if place.intersects(starts)]
    return floor.difference(shapely.union_all(given_back(places, width)))


def _pockets(case: Case, floor: Any, panels: list[tuple[Placed, str, Rect]], starts: Any) -> Any:
    """Pieces of floor that uprights keep from every hand."""
    bare = floor.difference(_standing(case, to_ceiling=True))
    free = bare.difference(shapely.union_all([rect.shape() for _, _, rect in panels]))
    lost = _out_of_reach(case, free, starts)
    if lost.area <= case.tolerance:
        return []
    lost = lost.difference(_standing(case, to_ceiling=False))
    lost = lost.difference(_out_of_reach(case, bare, None))
    return [part for part in shapely.get_parts(lost) if part.area > case.tolerance]


def _nearest(case: Case, pocket: Any) -> tuple[Placed, str]:
    """The upright that takes most of a pocket's edge, or is nearest to it."""
    edge = pocket.buffer(case.tolerance, join_style="mitre")

    def key(panel: tuple[Placed, str, Rect]) -> tuple[float, float]:
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


def _fixtures(case: Case, pockets: list[Any]) -> Iterator[Fault]:
    """What is to be handled, and lies for the most part where no hand comes."""
    lost = shapely.union_all(pockets)
    for thing in case.brief.room.obstructions:
        line = case.plan.find(thing.wall)
        if thing.kind not in HANDLED or line is None:
            continue
        place = obstruction_box(case, thing, line).plan.shape()
        shared = place.intersection(lost)
        if shared.area > place.area / 2.0:
            yield _unreached(case, thing, shared)


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

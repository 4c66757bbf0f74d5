"""Ends that a side wall or the next wall's boards carry: no upright stands there."""

from __future__ import annotations

from typing import Any

from pulp import lpSum

from optimizer.geometry.sidewalls import SideWall, side_wall
from optimizer.model.records import FINE, Model, SlotVars, WallEnd
from optimizer.patterns.ends import wall_carries


def add_carried(model: Model) -> None:
    """A variable for each wall's end that may be carried, tied to the bays that reach it."""
    if not model.rules.walls_carry:
        return
    for chain in model.chains:
        for index, at_left in ((chain[0], True), (chain[-1], False)):
            end = model.end_of(index, at_left=at_left)
            side = _side(model, end) if end is not None else None
            if end is not None and side is not None:
                _add(model, index, end, side)


def _side(model: Model, end: WallEnd) -> SideWall | None:
    return side_wall(model.rules.brief, model.surveyed.outline, end.wall, at_left=end.at_left)


def _add(model: Model, index: int, end: WallEnd, side: SideWall) -> None:
    """`carried` only where the bay at the wall's end is one that the side wall can carry."""
    own = [v for v in model.slots if _may_end(v, index, end)]
    fit = [v for v in own if wall_carries(v.slot.pattern, side, model.rules)]
    if not fit:
        return
    place = f"{end.wall}_{'left' if end.at_left else 'right'}"
    carried = model.binary(f"c_{place}")
    model.carried[end] = carried
    model.add(carried <= model.stretches[index].occupied, f"carried_occupied_{place}")
    if len(fit) < len(own):
        sure = [v.count for v in fit if _is_end(v, end)]
        model.add(carried <= lpSum(sure), f"carried_fit_{place}")


def _may_end(vars_: SlotVars, index: int, end: WallEnd) -> bool:
    """Whether a slot's bay may be the one at the wall's end."""
    return (vars_.slot.first if end.at_left else vars_.slot.last) == index


def _is_end(vars_: SlotVars, end: WallEnd) -> bool:
    """Whether a slot's bay, where there is one, is sure to be the one at the wall's end."""
    slot = vars_.slot
    if slot.at_end:
        return slot.at_left if end.at_left else slot.at_right
    # A spanning bay may have others between it and the wall.
    return not slot.spans


def tie_to_corners(model: Model) -> None:
    """What a corner takes from a wall leaves nothing at its end, but for what wraps."""
    for number, corner in enumerate(model.corners):
        for which, side in enumerate(corner.sides):
            carried = model.carried.get(WallEnd(side.wall, side.at_left))
            if carried is None:
                continue
            lost = _holding(model, number, lambda s, w=which: s.losses[w] > FINE and not s.wraps)
            if lost:
                model.add(carried <= 1 - lpSum(lost), f"carried_lost_{number}_{which}")
            wraps = _holding(model, number, lambda s: s.wraps)
            if wraps:
                model.add(carried >= lpSum(wraps), f"carried_wrap_{number}_{which}")


def _holding(model: Model, number: int, wanted: Any) -> list[Any]:
    return [
        model.states[number, state.name] for state in model.corners[number].states if wanted(state)
    ]

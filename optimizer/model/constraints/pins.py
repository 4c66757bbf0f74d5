"""Pinned bays and mounts: each bay is built, with its ends carried as the pin says, and each mount
hangs in its place."""

from __future__ import annotations

from typing import Any

from optimizer.domain.layout import Carried
from optimizer.domain.need_ids import NeedId
from optimizer.errors import BriefError
from optimizer.geometry.stretches import pin_ends
from optimizer.model.corners import CornerState, Side
from optimizer.model.mount_pins import mount_pin_faults
from optimizer.model.records import Model, WallEnd
from optimizer.solving import total
from optimizer.tolerances import TOUCH


def keep_pins(model: Model) -> None:
    """Require every pinned bay, inside its stretch or as the end bay of a corner, and every pinned
    mount; BriefError for one whose place is not free."""
    refused = list(mount_pin_faults(model.surveyed))
    if refused:
        raise BriefError(refused)
    for number, kept in enumerate(model.rules.brief.mount_pins):
        model.add(model.hung[NeedId.mounted(kept.mount)] >= 1, f"mount_pin_{number}")
    for index, stretch in enumerate(model.surveyed.stretches):
        if stretch.pin is None:
            continue
        bays = [v.count for v in model.slots if v.slot.first == index]
        model.add(total(bays) == 1, f"pin_{index}")
        pin, length = stretch.pin, model.surveyed.outline.walls[stretch.wall].length
        ends = pin_ends(pin, length, model.rules.panel)
        free = pin.start, length - pin.start - pin.width
        for at_left, carried, gap in ((True, ends[0], free[0]), (False, ends[1], free[1])):
            end = model.end_of(index, at_left=at_left)
            if end is not None:
                _keep_end(model, end, carried, gap)


def _keep_end(model: Model, end: WallEnd, carried: Carried, gap: float) -> None:
    """What carries a pinned bay at a wall's end, `gap` from there."""
    name = f"pin_{end.wall}_{'left' if end.at_left else 'right'}"
    stands = model.carried.get(end, 0)
    if carried is Carried.UPRIGHT:
        # `total`, since what stands there may be the number 0, which makes no constraint.
        model.add(total([stands]) <= 0, f"{name}_upright")
        return
    model.add(total([stands]) >= 1, f"{name}_carried")
    butting = [(state, z) for side, state, z in _wrapped(model, end) if side != state.through]
    if carried is Carried.WALL:
        model.add(total(z for _, z in butting) <= 0, f"{name}_wall")
    else:
        fitting = [z for state, z in butting if abs(state.depth - gap) < TOUCH]
        model.add(total(fitting) >= 1, f"{name}_corner")


def _wrapped(model: Model, end: WallEnd) -> list[tuple[int, CornerState, Any]]:
    """Wrapped states of the corner at a wall's end, with the side that the wall is there."""
    return [
        (which, state, model.states[number, state.name])
        for number, corner in enumerate(model.corners)
        for which, side in enumerate(corner.sides)
        if _is_at(side, end)
        for state in corner.states
        if state.wraps
    ]


def _is_at(side: Side, end: WallEnd) -> bool:
    """Whether a side of a corner is this end of a wall."""
    return side.wall == end.wall and side.at_left is end.at_left

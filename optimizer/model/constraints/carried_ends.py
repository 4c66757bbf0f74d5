"""Ends of walls at which a side wall, or the next wall's boards, carries the bay: no upright
there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from optimizer.geometry.sidewalls import SideWall, side_wall
from optimizer.model.records import FINE, Model, SlotVars, WallEnd
from optimizer.patterns.ends import wall_carries
from optimizer.solving import total


def add_carried(model: Model) -> None:
    """Add a binary for each wall's end that may carry a bay, tied to the bays that may reach it."""
    if not model.rules.walls_carry:
        return
    for chain in model.chains:
        for index, at_left in ((chain[0], True), (chain[-1], False)):
            end = model.end_of(index, at_left=at_left)
            side = _side(model, end) if end is not None else None
            if end is not None and side is not None:
                _add(model, index, end, side)
    _part_ends(model)


def _side(model: Model, end: WallEnd) -> SideWall | None:
    """What the side wall at an end of a wall offers; None where none meets it there."""
    return side_wall(model.rules.brief, model.surveyed.outline, end.wall, at_left=end.at_left)


def _add(model: Model, index: int, end: WallEnd, side: SideWall) -> None:
    """Let `carried` be 1 only where the bay at the wall's end is one that the side wall can
    carry."""
    own = [v for v in model.slots if _may_end(v, index, end)]
    fit = [v for v in own if wall_carries(v.slot.pattern, side, model.rules)]
    if not fit:
        return
    place = f"{end.wall}_{'left' if end.at_left else 'right'}"
    carried = model.binary(f"c_{place}")
    model.carried[end] = carried
    model.sides[end] = side
    model.add(carried <= model.stretches[index].occupied, f"carried_occupied_{place}")
    # Where the wall carries every bay that may come to stand there, nothing more is to be said.
    if len(fit) < len(own):
        others = [v for v in own if v not in fit]
        spanning = _spanning(model, fit, others, place)
        alone = _alone(model, index, fit, end, place)
        model.add(carried <= total(_sure(fit, end)) + spanning + alone, f"carried_fit_{place}")
        # Of the bays inside, the placement puts one that fits at the end; these stand there anyway.
        unfit = [v.count for v in own if v not in fit and _stands_at(v, end)]
        if unfit:
            model.add(carried + total(unfit) <= 1, f"carried_unfit_{place}")


def _sure(fit: Sequence[SlotVars], end: WallEnd) -> list[Any]:
    """Counts of bays that can stand at the wall's end wherever there are any."""
    # A spanning bay may have others between it and the wall.
    return [v.count for v in fit if (_stands_at(v, end) if v.slot.at_end else not v.slot.spans)]


def _spanning(model: Model, fit: Sequence[SlotVars], others: Sequence[SlotVars], place: str) -> Any:
    """1 where a spanning bay that the wall can carry stands at its end, as an expression.

    0 where there is none, or where a bay that the wall cannot carry stands between.
    """
    spans = [v.count for v in fit if v.slot.spans and not v.slot.at_end]
    if not spans:
        return 0
    between = [v for v in others if not v.slot.spans]
    return _unless(model, spans, between, ("f", "first", "between"), place)


def _alone(model: Model, index: int, fit: Sequence[SlotVars], end: WallEnd, place: str) -> Any:
    """1 where a bay that stands against the wall's other end, and that the wall can carry, is the
    only one in the stretch, as an expression; 0 where there is no such bay."""
    across = [v for v in fit if v.slot.at_end and not _stands_at(v, end)]
    if not across:
        return 0
    others = [v for v in model.slots if index in v.parts and v not in across]
    counts = [v.count for v in across]
    return _unless(model, counts, others, ("l", "across", "across_alone"), place)


def _unless(
    model: Model,
    bays: Sequence[Any],
    others: Sequence[SlotVars],
    names: tuple[str, str, str],
    place: str,
) -> Any:
    """A variable that may be 1 where there is one of some bays, by their counts, and none of
    others; `names` are those of the variable and of either row."""
    variable = model.continuous(f"{names[0]}_{place}", 1.0)
    model.add(variable <= total(bays), f"{names[1]}_{place}")
    if others:
        most = max(v.slot.most for v in others)
        model.add(total(v.count for v in others) <= most * (1 - variable), f"{names[2]}_{place}")
    return variable


def _may_end(vars_: SlotVars, index: int, end: WallEnd) -> bool:
    """Whether a slot's bay may be the one at the wall's end."""
    return (vars_.slot.first if end.at_left else vars_.slot.last) == index


def _stands_at(vars_: SlotVars, end: WallEnd) -> bool:
    """Whether a slot's bays stand against the wall's end, whatever else is there."""
    return vars_.slot.at_left if end.at_left else vars_.slot.at_right


def _part_ends(model: Model) -> None:
    """Where both ends of one stretch are carried: two bays for it, or a single one alone in it.

    Of several bays inside, at least one suits either wall; if only that one did, a bay that the
    wall cannot carry would stand at the other end.
    """
    for index in range(len(model.stretches)):
        left, right = (model.end_of(index, at_left=at_left) for at_left in (True, False))
        if left in model.carried and right in model.carried:
            assert left is not None  # noqa: S101 - neither is, being carried
            assert right is not None  # noqa: S101
            _two_ends(model, index, left, right)


def _two_ends(model: Model, index: int, left: WallEnd, right: WallEnd) -> None:
    """No bay that neither wall carries in a stretch carried at both ends, unless others stand
    outermost: two bays that fit, or bays against the wall's ends."""
    own = [v for v in model.slots if v.slot.inner and v.slot.first == index]
    fit = [v for v in own if any(_fits(model, v, end) for end in (left, right))]
    unfit = [v for v in own if v not in fit]
    if not unfit:
        return
    held = [v.count for v in model.slots if v.slot.at_end and v.slot.first == index]
    most = max(v.slot.most for v in unfit)
    both = model.carried[left] + model.carried[right]
    ends = total(v.count for v in fit) + total(held)
    model.add(total(v.count for v in unfit) <= most * (1 - both + ends), f"carried_both_{index}")


def _fits(model: Model, vars_: SlotVars, end: WallEnd) -> bool:
    """Whether the side wall at an end carries a slot's bays."""
    return wall_carries(vars_.slot.pattern, model.sides[end], model.rules)


def tie_to_corners(model: Model) -> None:
    """Where a corner's state takes length from a wall, no end is carried there, except in a
    wrap."""
    for number, corner in enumerate(model.corners):
        wraps = _holding(model, number, lambda s: s.wraps)
        for which, side in enumerate(corner.sides):
            carried = model.carried.get(WallEnd(side.wall, side.at_left))
            if wraps:
                most = 0 if carried is None else carried
                model.add(total(wraps) <= most, f"carried_wrap_{number}_{which}")
            lost = _holding(model, number, lambda s, w=which: s.losses[w] > FINE and not s.wraps)
            if lost and carried is not None:
                model.add(carried <= 1 - total(lost), f"carried_lost_{number}_{which}")


def _holding(model: Model, number: int, wanted: Any) -> list[Any]:
    """The variables of a corner's states that have a property."""
    return [
        model.states[number, state.name] for state in model.corners[number].states if wanted(state)
    ]

"""The states of inside corners: one is chosen, and it decides on end bays and depths near the
corner."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from optimizer.model.constraints.bays import add_bays
from optimizer.model.constraints.end_bays import ask_end_bay, ends_at, shelves
from optimizer.model.constraints.through_boards import limit_through
from optimizer.model.corners import SCRIBE_IN, Corner, CornerState, overlap
from optimizer.model.records import FINE, Model, Rank, SlotVars, WallEnd
from optimizer.model.slots import SlotMaker
from optimizer.solving import total


def add_states(model: Model) -> None:
    """Add a binary for each state of each corner; exactly one of a corner is 1."""
    for number, corner in enumerate(model.corners):
        for state in corner.states:
            z = model.binary(f"z_{number}_{state.name}", Rank.STATES)
            model.states[number, state.name] = z
        chosen = [model.states[number, state.name] for state in corner.states]
        model.add(total(chosen) == 1, f"one_state_{number}")


def add_end_bays(model: Model, maker: SlotMaker) -> None:
    """Add the slots of bays against ends of walls, wherever a state of the corner may ask for
    one."""
    asked = set(_asked(model))
    for chain in model.chains:
        wall = model.surveyed.stretches[chain[0]].wall
        left = WallEnd(wall, at_left=True) in asked and model.end_of(chain[0], at_left=True)
        right = WallEnd(wall, at_left=False) in asked and model.end_of(chain[-1], at_left=False)
        if left:
            add_bays(model, maker.ends(chain, at_left=True, at_right=False))
        if right:
            add_bays(model, maker.ends(chain, at_left=False, at_right=True))
        if left and right:
            # A narrower one reaches both ends in no state that asks for end bays.
            least = _least_alone(model, wall)
            add_bays(model, maker.ends(chain, at_left=True, at_right=True, least=least))


def _asked(model: Model) -> Iterator[WallEnd]:
    """The ends of walls at which some state asks for an end bay."""
    for corner in model.corners:
        for which, side in enumerate(corner.sides):
            if any(state.reach_of(which) is not None for state in corner.states):
                yield WallEnd(side.wall, side.at_left)


def _least_alone(model: Model, wall: int) -> float:
    """Least width of a bay that stands against both ends of its wall [brief units].

    The wall's length less all that corners, uprights and a scribe at either end may take.
    """
    taken = [
        max(state.losses[which] for state in corner.states if state.reach_of(which) is not None)
        for corner in model.corners
        for which, side in enumerate(corner.sides)
        if side.wall == wall
    ]
    length = model.surveyed.outline.walls[wall].length
    scribe = model.rules.brief.units.from_inch(SCRIBE_IN)
    return float(length - sum(taken) - 2.0 * (model.rules.panel + scribe + model.rules.grid))


def limit_corner(model: Model, number: int) -> None:
    """Tie the end bays, and the depths of bays near the corner, to the state that is chosen."""
    corner = model.corners[number]
    for which in range(len(corner.sides)):
        ask_end_bay(model, number, which)
    wraps: dict[tuple[int | None, float, float], list[CornerState]] = {}
    for state in corner.states:
        if state.wraps:
            wraps.setdefault((state.through, state.depth, state.beside), []).append(state)
    for alike in wraps.values():
        _wrapped(model, number, alike)
    _limit_depths(model, number, corner)


def _wrapped(model: Model, number: int, states: Sequence[CornerState]) -> None:
    """In a wrap, shelves run through on one wall, and the other wall's end at them at the same
    heights.

    `states` differ only in what may stand further along the walls.
    """
    corner, state = model.corners[number], states[0]
    through = state.through or 0
    holds = total(model.states[number, own.name] for own in states)
    sides = corner.sides[through], corner.sides[1 - through]
    runs, butts = (ends_at(model, WallEnd(side.wall, side.at_left)) for side in sides)
    runs = [v for v in runs if shelves(v, state.depth)]
    others = [v for v in butts if shelves(v, state.beside)]
    name = f"{number}_{state.name}"
    for place, (agreeing, alike) in enumerate(_levels(runs, others)):
        if len(agreeing) < len(runs):
            number_of = total(v.count for v in alike)
            most = 1 + total(v.count for v in agreeing)
            model.add(number_of + holds <= most, f"wrap_level_{name}_{place}")
    if runs and others:
        where = [(number, own.name) for own in states]
        limit_through(model, runs, others, where, name)


def _levels(
    runs: Sequence[SlotVars], butts: Sequence[SlotVars]
) -> Iterator[tuple[list[SlotVars], list[SlotVars]]]:
    """Pairs of slots: those that run through with every level that the others, which butt, have."""
    own = [_levels_of(v) for v in runs]
    agreeing = [frozenset(i for i, has in enumerate(own) if _levels_of(v) <= has) for v in butts]
    for chosen in sorted(set(agreeing), key=sorted):
        alike = [v for v, found in zip(butts, agreeing, strict=True) if found <= chosen]
        yield [runs[i] for i in sorted(chosen)], alike


def _levels_of(vars_: SlotVars) -> set[float]:
    """Heights of a pattern's boards above the floor, rounded so that equal ones compare equal."""
    return {round(board.bottom, 3) for board in vars_.slot.pattern.boards}


def _limit_depths(model: Model, number: int, corner: Corner) -> None:
    """Limit the depth of bays near the corner by the state that is chosen."""
    limited: dict[tuple[int, float], list[Any]] = {}
    for state in corner.states:
        for limit in state.limits:
            for index, near, _ in corner.sides[limit.side].reaches:
                if near < limit.reach - FINE:
                    holds = model.states[number, state.name]
                    limited.setdefault((index, limit.depth), []).append(holds)
    for (index, depth), states in sorted(limited.items(), key=lambda entry: entry[0]):
        deeper = model.usage(index, deeper_than=depth)
        if deeper:
            length = model.surveyed.stretches[index].length + 2 * model.rules.panel
            name = f"shallow_{number}_{index}_{depth:g}"
            # One row for all states that say so: they exclude each other, and their sum is tighter.
            model.add(total(deeper) <= length * (1 - total(states)), name)
            for which, bays in enumerate(model.single(index, deeper_than=depth)):
                model.add(bays <= 1 - total(states), f"{name}_{which}")


def lost_in_corners(model: Model, index: int) -> list[Any]:
    """Lengths that the chosen states of corners take from a stretch, as terms of a sum."""
    lost = []
    for number, corner in enumerate(model.corners):
        for which, side in enumerate(corner.sides):
            for reached, near, far in side.reaches:
                if reached != index:
                    continue
                for state in corner.states:
                    taken = overlap(near, far, state.losses[which])
                    if taken > FINE:
                        lost.append(taken * model.states[number, state.name])
    return lost

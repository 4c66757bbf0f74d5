"""End bays and limits at inside corners, by the state that is chosen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from pulp import lpSum

from optimizer.model.constraints.bays import add_bays
from optimizer.model.constraints.joining import limit_through
from optimizer.model.corners import SCRIBE_IN, Corner, CornerState, overlap
from optimizer.model.records import FINE, Model, Rank, SlotVars, WallEnd
from optimizer.model.slots import SlotMaker


def add_states(model: Model) -> None:
    """Variables of each corner's states, of which one holds."""
    for number, corner in enumerate(model.corners):
        for state in corner.states:
            z = model.binary(f"z_{number}_{state.name}", Rank.STATES)
            model.states[number, state.name] = z
        chosen = [model.states[number, state.name] for state in corner.states]
        model.add(lpSum(chosen) == 1, f"one_state_{number}")


def add_end_bays(model: Model, maker: SlotMaker) -> None:
    """Bays against the ends of walls, where a state of the corner there may ask for one."""
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
            add_bays(model, maker.ends(chain, at_left=True, at_right=True))


def _asked(model: Model) -> Iterator[WallEnd]:
    for corner in model.corners:
        for which, side in enumerate(corner.sides):
            if any(state.reach_of(which) is not None for state in corner.states):
                yield WallEnd(side.wall, side.at_left)


def ends_at(model: Model, end: WallEnd) -> list[SlotVars]:
    """Slots whose bay stands against an end of a wall."""
    return [
        v
        for v in model.slots
        if (v.slot.at_left if end.at_left else v.slot.at_right)
        and model.surveyed.stretches[v.slot.first].wall == end.wall
    ]


def limit_corner(model: Model, number: int) -> None:
    """The end bays that a corner's state asks for, and how deep bays near it may be."""
    corner = model.corners[number]
    for which in range(len(corner.sides)):
        _end_bay(model, number, which)
    for state in corner.states:
        if state.wraps:
            _wrapped(model, number, state)
    _limit_depths(model, number, corner)


def _end_bay(model: Model, number: int, which: int) -> None:
    """One bay nearest the corner where a state asks for it, deep as asked, its front open."""
    corner = model.corners[number]
    side = corner.sides[which]
    asking = [s for s in corner.states if s.reach_of(which) is not None]
    if side.end is None:
        return
    end = WallEnd(side.wall, side.at_left)
    ends = ends_at(model, end)
    holds = {state.name: model.states[number, state.name] for state in asking}
    model.add(lpSum(v.count for v in ends) == lpSum(holds.values()), f"end_bay_{number}_{which}")
    if not asking:
        return
    through = [state for state in asking if state.through == which]
    for above, depth in sorted({(state.above, state.depth) for state in through}):
        own = [v.count for v in ends if above + FINE < v.slot.pattern.depth <= depth + FINE]
        asked = [
            holds[state.name] for state in through if (state.above, state.depth) == (above, depth)
        ]
        name = f"end_depth_{number}_{which}_{above:g}_{depth:g}"
        model.add(lpSum(own) >= lpSum(asked), name)
    needed = lpSum((state.reach_of(which) or 0.0) * holds[state.name] for state in asking)
    # An upright in the corner is part of what the bay reaches; where no state asks for such a
    # bay, another one may be carried there.
    stands = 1 - model.carried[end] if end in model.carried else lpSum(holds.values())
    upright = model.rules.panel * stands
    gap = _gap(model, number, which, asking)
    model.add(lpSum(v.width for v in ends) + gap + upright >= needed, f"end_open_{number}_{which}")


def _gap(model: Model, number: int, which: int, asking: Sequence[CornerState]) -> Any:
    """Free wall that an end bay leaves before it, a scribe at most; 0 for a pinned one."""
    side = model.corners[number].sides[which]
    index = side.end
    if index is None or model.surveyed.stretches[index].pin is not None:
        return 0
    scribe = model.rules.brief.units.from_inch(SCRIBE_IN)
    gap = model.continuous(f"g_{number}_{which}", scribe)
    holds = [model.states[number, state.name] for state in asking]
    model.add(gap <= scribe * lpSum(holds), f"gap_{number}_{which}")
    carried = model.carried.get(WallEnd(side.wall, side.at_left))
    if carried is not None:
        model.add(gap <= scribe * (1 - carried), f"gap_carried_{number}_{which}")
    model.gaps.setdefault(index, []).append(gap)
    return gap


def _wrapped(model: Model, number: int, state: CornerState) -> None:
    """Shelves run through on one wall; the other's, at the same heights, butt against them."""
    corner = model.corners[number]
    through = state.through or 0
    holds = model.states[number, state.name]
    sides = corner.sides[through], corner.sides[1 - through]
    runs, butts = (ends_at(model, WallEnd(side.wall, side.at_left)) for side in sides)
    runs = [v for v in runs if _shelves(v, state.depth)]
    others = [v for v in butts if _shelves(v, state.beside)]
    name = f"{number}_{state.name}"
    model.add(lpSum(v.count for v in runs) >= holds, f"wrap_runs_{name}")
    model.add(lpSum(v.count for v in others) >= holds, f"wrap_butts_{name}")
    for place, butt in enumerate(others):
        levels = {round(board.bottom, 3) for board in butt.slot.pattern.boards}
        agreeing = [
            v.count
            for v in runs
            if levels <= {round(board.bottom, 3) for board in v.slot.pattern.boards}
        ]
        if len(agreeing) < len(runs):
            model.add(butt.count + holds <= 1 + lpSum(agreeing), f"wrap_level_{name}_{place}")
    if runs and others:
        limit_through(model, runs, others, (number, state.name), name)


def _shelves(vars_: SlotVars, depth: float) -> bool:
    """Whether a slot's bay holds shelves of one depth and nothing that hangs."""
    return vars_.slot.pattern.shelves_alone and abs(vars_.slot.pattern.depth - depth) < FINE


def _limit_depths(model: Model, number: int, corner: Corner) -> None:
    """How deep bays near the corner may be, by state."""
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
            model.add(lpSum(deeper) <= length * (1 - lpSum(states)), name)


def lost_in_corners(model: Model, index: int) -> list[Any]:
    """Lengths that corners take from a stretch, as terms."""
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

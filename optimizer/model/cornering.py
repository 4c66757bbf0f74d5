"""End bays and limits at inside corners, by the state that is chosen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from pulp import lpSum

from optimizer.model.corners import SCRIBE_IN, CornerState, overlap
from optimizer.model.slots import SlotMaker

if TYPE_CHECKING:
    from optimizer.model.formulation import Formulation

_FINE = 1e-6


def add_corner(model: Formulation, number: int, maker: SlotMaker) -> None:
    """Variables of a corner's states, of which one holds, and the end bays they ask for."""
    corner = model.corners[number]
    for state in corner.states:
        model.states[number, state.name] = model.binary(f"z_{number}_{state.name}")
    chosen = [model.states[number, state.name] for state in corner.states]
    model.add(lpSum(chosen) == 1, f"one_state_{number}")
    for which in range(len(corner.sides)):
        _end_bay(model, number, which, maker)


def _end_bay(model: Formulation, number: int, which: int, maker: SlotMaker) -> None:
    """One bay nearest the corner where a state asks for it, deep as asked, its front open."""
    corner = model.corners[number]
    side = corner.sides[which]
    asking = [s for s in corner.states if s.reach_of(which) is not None]
    if not asking or side.end is None:
        return
    ends = [model.add_end(slot) for slot in maker.ends(side.end, at_left=side.at_left)]
    holds = {state.name: model.states[number, state.name] for state in asking}
    model.add(lpSum(v.count for v in ends) == lpSum(holds.values()), f"end_bay_{number}_{which}")
    through = [state for state in asking if state.through == which]
    for above, depth in sorted({(state.above, state.depth) for state in through}):
        own = [v.count for v in ends if above + _FINE < v.slot.pattern.depth <= depth + _FINE]
        asked = [
            holds[state.name] for state in through if (state.above, state.depth) == (above, depth)
        ]
        model.add(lpSum(own) >= lpSum(asked), f"end_depth_{number}_{which}_{depth:g}")
    panel = model.rules.panel
    needed = lpSum(
        max(0.0, (state.reach_of(which) or 0.0) - panel) * holds[state.name] for state in asking
    )
    gap = _gap(model, number, which, asking)
    model.add(lpSum(v.width for v in ends) + gap >= needed, f"end_open_{number}_{which}")


def _gap(model: Formulation, number: int, which: int, asking: Sequence[CornerState]) -> Any:
    """Free wall that an end bay leaves before it, 0 for a pinned one."""
    index = model.corners[number].sides[which].end
    if index is None or model.surveyed.stretches[index].pin is not None:
        return 0
    gap = model.continuous(f"g_{number}_{which}")
    scribe = model.rules.brief.units.from_inch(SCRIBE_IN)
    most = [s.gap_of(which, scribe) * model.states[number, s.name] for s in asking]
    model.add(gap <= lpSum(most), f"gap_{number}_{which}")
    model.gaps.setdefault(index, []).append(gap)
    return gap


def limit_depths(model: Formulation, number: int) -> None:
    """How deep bays near the corner may be, by state."""
    corner = model.corners[number]
    limited: dict[tuple[int, float], list[Any]] = {}
    for state in corner.states:
        for limit in state.limits:
            for index, near, _ in corner.sides[limit.side].reaches:
                if near < limit.reach - _FINE:
                    holds = model.states[number, state.name]
                    limited.setdefault((index, limit.depth), []).append(holds)
    for (index, depth), states in sorted(limited.items(), key=lambda entry: entry[0]):
        deeper = model.usage(index, deeper_than=depth)
        if deeper:
            length = model.surveyed.stretches[index].length
            name = f"shallow_{number}_{index}_{depth:g}"
            model.add(lpSum(deeper) <= length * (1 - lpSum(states)), name)


def lost_in_corners(model: Formulation, index: int) -> list[Any]:
    """Lengths that corners take from a stretch, as terms."""
    lost = []
    for number, corner in enumerate(model.corners):
        for which, side in enumerate(corner.sides):
            for reached, near, far in side.reaches:
                if reached != index:
                    continue
                for state in corner.states:
                    taken = overlap(near, far, state.losses[which])
                    if taken > _FINE:
                        lost.append(taken * model.states[number, state.name])
    return lost

"""End bays at corners: one wherever the chosen state asks for it, of a kind that the state allows.

The states of a corner exclude each other. All states that ask for end bays of one kind (or of kinds
within it) therefore share one row: as many such bays as such states chosen, and as wide as asked. A
row for each state would be weaker in the relaxation.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from optimizer.domain.layout import Carried
from optimizer.model.corners import SCRIBE_IN, CornerState, Side
from optimizer.model.records import FINE, Model, SlotVars, WallEnd
from optimizer.solving import combined, total

Kind = frozenset[int]
"""Places of slots in a list of end bays."""


def ends_at(model: Model, end: WallEnd) -> list[SlotVars]:
    """The slots whose bay stands against this end of a wall."""
    return [
        v
        for v in model.slots
        if (v.slot.at_left if end.at_left else v.slot.at_right)
        and model.wall_of(v.slot) == end.wall
    ]


def ask_end_bay(model: Model, number: int, which: int) -> None:
    """Ask for one bay nearest the corner, of the depth and width that the chosen state needs."""
    corner = model.corners[number]
    side = corner.sides[which]
    asking = [s for s in corner.states if s.reach_of(which) is not None]
    if side.end is None:
        return
    end = WallEnd(side.wall, side.at_left)
    ends = ends_at(model, end)
    holds = {state.name: model.states[number, state.name] for state in asking}
    model.add(total(v.count for v in ends) == total(holds.values()), f"end_bay_{number}_{which}")
    if not asking:
        return
    gap = _gap(model, number, which, asking)
    # An upright in the corner is part of what the bay reaches; where no state asks for such a
    # bay, another one may be carried there.
    stands = 1 - model.carried[end] if end in model.carried else total(holds.values())
    beside = gap + model.rules.panel * stands
    kinds = {state.name: _allowed(model, ends, state, which) for state in asking}
    for place, kind in enumerate(_kinds(kinds.values(), len(ends))):
        own = [ends[i] for i in sorted(kind)]
        met = [state for state in asking if kinds[state.name] <= kind]
        name = f"{number}_{which}_{place}"
        if len(own) < len(ends):
            asked = total(holds[state.name] for state in met)
            model.add(total(v.count for v in own) >= asked, f"end_kind_{name}")
        needed = combined((state.reach_of(which) or 0.0, holds[state.name]) for state in met)
        model.add(total(v.width for v in own) + beside >= needed, f"end_open_{name}")


def _kinds(found: Iterable[Kind], number: int) -> list[Kind]:
    """The kinds of end bays that states ask for, the kind that all of them fall in last."""
    return sorted({*found, frozenset(range(number))}, key=lambda kind: (len(kind), sorted(kind)))


def _allowed(model: Model, ends: Sequence[SlotVars], state: CornerState, which: int) -> Kind:
    """The end bays that may stand on a side of the corner in a state."""
    most = min((limit.depth for limit in state.limits if limit.side == which), default=None)
    reach = (state.reach_of(which) or 0.0) - model.rules.panel
    reach -= model.rules.brief.units.from_inch(SCRIBE_IN)
    return frozenset(
        place
        for place, v in enumerate(ends)
        if _suits(v, state, which)
        and v.widest >= reach - FINE
        and (most is None or v.slot.pattern.depth <= most + FINE)
    )


def _suits(vars_: SlotVars, state: CornerState, which: int) -> bool:
    """Whether a slot's bay is of the depth, and the sort, that a state asks for on a side."""
    depth = vars_.slot.pattern.depth
    if state.wraps:
        return shelves(vars_, state.depth if which == state.through else state.beside)
    return which != state.through or state.above + FINE < depth <= state.depth + FINE


def shelves(vars_: SlotVars, depth: float) -> bool:
    """Whether a slot's bay holds shelves of one depth and nothing that hangs."""
    # The depth first: it is soon looked at, and leaves few.
    pattern = vars_.slot.pattern
    return abs(pattern.depth - depth) < FINE and pattern.shelves_alone


def _beside_pinned(model: Model, index: int, side: Side) -> float:
    """Free wall between the corner and the upright of the bay pinned beside it [brief units]."""
    pin = model.surveyed.stretches[index].pin
    if pin is None or (pin.left if side.at_left else pin.right) is not Carried.UPRIGHT:
        return 0.0
    length = model.surveyed.outline.walls[side.wall].length
    away = pin.start if side.at_left else length - pin.start - pin.width
    return max(0.0, away - model.rules.panel)


def _gap(model: Model, number: int, which: int, asking: Sequence[CornerState]) -> Any:
    """Free wall between the corner and an end bay: a scribe at most; what is there beside a pinned
    bay."""
    side = model.corners[number].sides[which]
    index = side.end
    scribe = model.rules.brief.units.from_inch(SCRIBE_IN)
    if index is None:
        return 0.0
    if model.surveyed.stretches[index].kept:
        return min(scribe, _beside_pinned(model, index, side))
    gap = model.continuous(f"g_{number}_{which}", scribe)
    holds = [model.states[number, state.name] for state in asking]
    model.add(gap <= scribe * total(holds), f"gap_{number}_{which}")
    carried = model.carried.get(WallEnd(side.wall, side.at_left))
    if carried is not None:
        model.add(gap <= scribe * (1 - carried), f"gap_carried_{number}_{which}")
    model.gaps.setdefault(index, []).append(gap)
    return gap

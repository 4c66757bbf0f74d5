"""Reading the variables: which bays of which slots, how wide, holding what."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from optimizer.model.formulation import Formulation, SlotVars
from optimizer.model.slots import Slot, SlotKind
from optimizer.patterns.groups import Group

_HALF = 0.5


@dataclass(frozen=True, slots=True)
class PlannedBay:
    """A bay as the model chose it: its least and greatest width and what it holds.

    `width` is where the model puts it; `left` and `right` are the parts of a spanning bay
    in its first and last stretch.
    """

    slot: Slot
    width: float
    least: float
    hosts: tuple[tuple[int, Group], ...]
    left: float = 0.0
    right: float = 0.0


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything chosen: bays, corner states by number, shared uprights, broken stretches."""

    bays: tuple[PlannedBay, ...]
    states: dict[int, str]
    joints: frozenset[str]
    broken: frozenset[int]


def read_plan(model: Formulation) -> Plan:
    """The plan that the model's variables now hold."""
    bays: list[PlannedBay] = []
    for vars_ in model.slots:
        number = round(vars_.count.value() or 0.0)
        if number:
            bays.extend(_bays_of(vars_, number))
    states = {
        number: name for (number, name), z in model.states.items() if (z.value() or 0) > _HALF
    }
    joints = frozenset(j.name for j in model.joints if (j.value() or 0) > _HALF)
    broken = frozenset(
        index
        for index, stretch in enumerate(model.stretches)
        if (stretch.broken.value() or 0) > _HALF
    )
    return Plan(tuple(bays), states, joints, broken)


def _bays_of(vars_: SlotVars, number: int) -> list[PlannedBay]:
    slot = vars_.slot
    hosted = _paired(vars_, number)
    if slot.kind is SlotKind.SPAN:
        width, left, right = (
            float(x.value() or 0.0) for x in (vars_.width, vars_.left, vars_.right)
        )
        least = max([slot.min_width, *(g.width for _, g in hosted[0])])
        return [PlannedBay(slot, width, least, hosted[0], left, right)]
    total = float(vars_.width.value() or 0.0)
    leasts = [max([slot.min_width, *(g.width for _, g in held)]) for held in hosted]
    widths = shared_out(total, leasts, slot.max_width)
    return [
        PlannedBay(slot, width, least, held)
        for width, least, held in zip(widths, leasts, hosted, strict=True)
    ]


def _paired(vars_: SlotVars, number: int) -> list[tuple[tuple[int, Group], ...]]:
    """Groups given to the slot's bays, the widest floor group with the widest shelf group."""
    chosen = [(zone, g) for zone, g, held in vars_.hosts if (held.value() or 0) > _HALF]
    floor = [c for c in chosen if vars_.slot.pattern.hosting and c[0] == 0]
    shelf = [c for c in chosen if c not in floor]
    given: list[list[tuple[int, Group]]] = [[] for _ in range(number)]
    for part in (floor, shelf):
        for bay, choice in zip(given, sorted(part, key=lambda c: -c[1].width), strict=False):
            bay.append(choice)
    return [tuple(bay) for bay in given]


def shared_out(total: float, leasts: Sequence[float], most: float) -> list[float]:
    """`total` given out as evenly as the least widths and the greatest one allow."""
    widths = list(leasts)
    left = total - sum(widths)
    for _ in range(len(widths) + 1):
        if left <= 1e-9:
            break
        lowest = min(widths)
        level = [i for i, w in enumerate(widths) if w <= lowest + 1e-9]
        above = [w for w in widths if w > lowest + 1e-9]
        target = min([most, *above])
        step = min(left / len(level), target - lowest)
        if step <= 1e-9:
            break
        for index in level:
            widths[index] += step
        left -= step * len(level)
    return widths

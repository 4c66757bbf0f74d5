"""What fits into a stretch: bays, uprights, those shared over a boundary, and gaps."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING, Any

from pulp import lpSum

from optimizer.model.cornering import lost_in_corners
from optimizer.model.slots import SlotKind

if TYPE_CHECKING:
    from optimizer.model.formulation import Formulation

_FINE = 1e-6
SCRIBED_STEPS = 2
"""Grid steps that rounding may leave open in a run held at both ends; they are scribed."""


def join(model: Formulation) -> None:
    """Boundaries: spanning bays, or an upright that both sides share."""
    for chain in model.chains:
        for left, right in itertools.pairwise(chain):
            joints = []
            for keeper, guest in ((left, right), (right, left)):
                if not _may_keep(model, keeper, guest):
                    continue
                joint = model.binary(f"j_{left}_{right}_{keeper}")
                joints.append(joint)
                model.stretches[guest].shared.append(joint)
                for index in (left, right):
                    model.add(
                        joint <= model.stretches[index].occupied, f"joint_{index}_{joint.name}"
                    )
            model.joints += joints
            model.stretches[left].joined_right += joints
            model.stretches[right].joined_left += joints
            crossing = [
                v.count
                for v in model.slots
                if v.slot.kind is SlotKind.SPAN and v.slot.first <= left < v.slot.last
            ]
            if joints or crossing:
                model.add(lpSum(joints + crossing) <= 1, f"boundary_{left}_{right}")


def _may_keep(model: Formulation, keeper: int, guest: int) -> bool:
    """Whether an upright of any bay of `guest` may stand in `keeper`."""
    stretches = model.surveyed.stretches
    column = model.column(keeper)
    pin = stretches[guest].pin
    if pin is not None:
        # A pinned bay has its own uprights, but for one shared with the pin before it.
        lacks_one = stretches[guest].length < pin.width + 2 * model.rules.panel - _FINE
        return lacks_one and keeper < guest
    own = [
        v.slot.pattern
        for v in model.slots
        if v.slot.kind is not SlotKind.SPAN and v.slot.first == guest
    ]
    if not own or stretches[keeper].length < model.rules.panel:
        return False
    if not _as_free(model, keeper, guest):
        return False
    # The guest's clear space reaches over the upright it shares, up to its own ceiling.
    if stretches[keeper].height < stretches[guest].height - _FINE:
        return False
    return all(column.free(0.0, p.height, p.depth) for p in own)


def _as_free(model: Formulation, keeper: int, guest: int) -> bool:
    """Whether whatever is in the way of bays of `keeper` is in that of `guest` as well."""
    ways = [pair for conflict in model.conflicts for pair in (conflict, conflict[::-1])]
    own = {(depth, other) for (index, depth), other in ways if index == keeper}
    guests = [(depth, other) for (index, depth), other in ways if index == guest]
    return all(
        any(
            g <= depth + _FINE and across[0] == other[0] and across[1] <= other[1] + _FINE
            for g, across in guests
        )
        for depth, other in own
    )


def limit_length(model: Formulation, index: int) -> None:
    """Bays, uprights and what corners take fit into a stretch."""
    stretch, own, panel = (
        model.surveyed.stretches[index],
        model.stretches[index],
        model.rules.panel,
    )
    spans = [v for v in model.slots if v.slot.kind is SlotKind.SPAN]
    own.entered = lpSum(v.count for v in spans if v.slot.last == index)
    own.left_by = lpSum(v.count for v in spans if v.slot.first == index)
    own.covered = lpSum(v.count for v in spans if v.slot.first < index < v.slot.last)
    inner = _usage_without_cover(model, index)
    shared = lpSum(own.shared)
    used = lpSum(inner) + panel * own.broken - panel * shared
    model.add(used <= (stretch.length - panel) * own.occupied, f"occupied_{index}")
    lost = lpSum(lost_in_corners(model, index))
    model.add(
        used + panel * own.occupied <= stretch.length - stretch.length * own.covered - lost,
        f"length_{index}",
    )
    model.add(own.entered + own.covered <= 1, f"entered_{index}")
    model.add(own.left_by + own.covered <= 1, f"left_by_{index}")
    model.add(own.covered + own.occupied <= 1, f"covered_{index}")
    model.add(own.entered <= own.occupied, f"entered_needs_{index}")
    model.add(own.left_by <= own.occupied, f"left_by_needs_{index}")
    _close_ranks(model, index, used + panel * own.occupied)


def _close_ranks(model: Formulation, index: int, used: Any) -> None:
    """With bays held at both ends of a stretch, a gap between them costs an upright."""
    own, length = model.stretches[index], model.surveyed.stretches[index].length
    held_left = own.entered + lpSum(own.joined_left) + _ends(model, index, at_left=True)
    held_right = own.left_by + lpSum(own.joined_right) + _ends(model, index, at_left=False)
    if not len(lpSum([held_left])) or not len(lpSum([held_right])):
        model.add(own.broken <= 0, f"unbroken_{index}")
        return
    slack = length - used
    scribed = SCRIBED_STEPS * model.rules.grid
    model.add(
        slack <= scribed + length * (2 - held_left - held_right) + length * own.broken,
        f"closed_{index}",
    )


def _ends(model: Formulation, index: int, *, at_left: bool) -> Any:
    """Number of bays of a stretch that stand against the wall's end in a corner."""
    return lpSum(
        v.count
        for v in model.slots
        if v.slot.kind is SlotKind.END and v.slot.first == index and v.slot.at_left is at_left
    )


def _usage_without_cover(model: Formulation, index: int) -> list[Any]:
    panel = model.rules.panel
    terms: list[Any] = list(model.gaps.get(index, ()))
    for vars_ in model.slots:
        slot = vars_.slot
        if slot.kind is not SlotKind.SPAN and slot.first == index:
            terms.append(vars_.width + panel * vars_.count)
        elif slot.kind is SlotKind.SPAN and slot.first == index:
            terms.append(vars_.left)
        elif slot.kind is SlotKind.SPAN and slot.last == index:
            terms.append(vars_.right)
    return terms

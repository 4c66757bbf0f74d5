"""The length of each stretch: bays, uprights, uprights shared over boundaries, and gaps fit into
it."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import Any

from optimizer.domain.layout import Carried
from optimizer.geometry.stretches import Stretch
from optimizer.model.constraints.corner_states import lost_in_corners
from optimizer.model.constraints.mounts import taken_by_mounts
from optimizer.model.records import FINE, Joint, Model, Rank
from optimizer.model.slots import Slot
from optimizer.solving import combined, total

HAND_IN = 4.0
"""Least width [in] of a gap that a hand gets into (common practice)."""
SCRIBED_STEPS = 2
"""Grid steps that rounding may leave open in a run held at both ends; they are scribed."""


def join(model: Model) -> None:
    """Decide at each boundary: a bay that spans it, an upright that both sides share, or
    neither."""
    for chain in model.chains:
        for left, right in itertools.pairwise(chain):
            _join(model, left, right)


def _join(model: Model, left: int, right: int) -> None:
    """Binaries for an upright over one boundary, kept by either stretch; one holds at most, and
    none where a bay spans the boundary."""
    joints = []
    for keeper, guest in ((left, right), (right, left)):
        if not _may_keep(model, keeper, guest):
            continue
        holds = model.binary(f"j_{left}_{right}_{keeper}", Rank.UPRIGHTS)
        joints.append(holds)
        model.joints.append(Joint(left, right, keeper, holds))
        model.stretches[guest].shared.append(holds)
        for index in (left, right):
            occupied = model.stretches[index].occupied
            model.add(holds <= occupied, f"joint_{index}_{left}_{right}_{keeper}")
    model.stretches[left].joined_right += joints
    model.stretches[right].joined_left += joints
    crossing = [v.count for v in model.slots if v.slot.first <= left < v.slot.last]
    if joints or crossing:
        model.add(total(joints + crossing) <= 1, f"boundary_{left}_{right}")


def _may_keep(model: Model, keeper: int, guest: int) -> bool:
    """Whether an upright of any bay of stretch `guest` may stand in stretch `keeper`."""
    stretches = model.surveyed.stretches
    column = model.column(keeper)
    if stretches[keeper].mount is not None:
        return False
    if stretches[keeper].pin is not None:
        # What lies between a pinned bay's uprights is in no upright's way.
        column = replace(column, blocks=stretches[keeper].beside)
    pin = stretches[guest].pin
    if pin is not None:
        # A pinned bay has its own uprights, but for one shared with the pin before it.
        return keeper < guest and abs(pin.start - stretches[guest].start) < FINE
    slots = [v.slot for v in model.slots if guest in (v.slot.first, v.slot.last)]
    # Where nothing stands inside the guest, what spans from it may share the upright.
    own = [slot.pattern for slot in slots if not slot.spans] or [slot.pattern for slot in slots]
    if not own or stretches[keeper].length < model.rules.panel:
        return False
    if not _as_free(model, keeper, guest):
        return False
    # The guest's clear space reaches over the upright it shares, up to its own ceiling.
    if stretches[keeper].height < stretches[guest].height - FINE:
        return False
    return all(column.free(0.0, p.height, p.depth) for p in own)


def _as_free(model: Model, keeper: int, guest: int) -> bool:
    """Whether everything that is in the way in `keeper` is in the way in `guest` as well."""
    ways = [pair for conflict in model.conflicts for pair in (conflict, conflict[::-1])]
    own = {(depth, other) for (index, depth), other in ways if index == keeper}
    guests = [(depth, other) for (index, depth), other in ways if index == guest]
    return all(
        any(
            g <= depth + FINE and across[0] == other[0] and across[1] <= other[1] + FINE
            for g, across in guests
        )
        for depth, other in own
    )


def limit_length(model: Model, index: int) -> None:
    """Bays, uprights, mounts and what corners take are no longer than the stretch."""
    stretch, own, panel = (
        model.surveyed.stretches[index],
        model.stretches[index],
        model.rules.panel,
    )
    spans = [v for v in model.slots if v.slot.spans]
    own.entered = total(v.count for v in spans if v.slot.last == index)
    own.left_by = total(v.count for v in spans if v.slot.first == index)
    own.covered = total(v.count for v in spans if v.slot.first < index < v.slot.last)
    at_left = model.carried_at(index, at_left=True)
    at_right = model.carried_at(index, at_left=False)
    inner = _usage_without_cover(model, index)
    used = (
        combined(inner)
        + (panel + _hand(model)) * own.broken
        - panel * total(own.shared)
        + panel * own.occupied
        - panel * at_left
        - panel * at_right
    )
    # Tighter than the row below for the relaxation: a part of an upright allows but a part of the
    # length.
    model.add(used <= stretch.length * own.occupied, f"occupied_{index}")
    lost = total(lost_in_corners(model, index))
    free = stretch.length - stretch.length * own.covered - lost
    hung = total(taken_by_mounts(model, index))
    model.add(used + hung <= free, f"length_{index}")
    unsure = _unsure(model, index)
    if unsure > FINE:
        # A bay that a wall carries is cut to fit, at whichever end.
        fitted = total(c for end, c in model.carried.items() if end.wall == stretch.wall)
        left = used + hung + unsure * (own.occupied - fitted)
        model.add(left <= free, f"unsure_{index}")
    model.add(own.entered + own.covered <= 1, f"entered_{index}")
    model.add(own.left_by + own.covered <= 1, f"left_by_{index}")
    model.add(own.covered + own.occupied <= 1, f"covered_{index}")
    model.add(own.entered <= own.occupied, f"entered_needs_{index}")
    model.add(own.left_by <= own.occupied, f"left_by_needs_{index}")
    touching = [v.count for v in model.slots if index in (v.slot.first, v.slot.last)]
    # Two runs are of one bay each at least.
    model.add(2 * own.broken <= total(touching), f"two_runs_{index}")
    _alone_at_end(model, index)
    _close_ranks(model, index, used + lost)


def fill_walls(model: Model) -> None:
    """Make a bay that stands against both ends of its wall fill it, but for corners and scribes.

    A pinned one is where it is: its stretch reaches an end only where no more than a scribe is
    left there.
    """
    for chain in model.chains:
        whole = [v for v in model.slots if v.slot.at_left and v.slot.at_right]
        whole = [v for v in whole if v.slot.first == chain[0]]
        if not whole or model.surveyed.stretches[chain[0]].pin is not None:
            continue
        wall = model.surveyed.stretches[chain[0]].wall
        length = model.surveyed.outline.walls[wall].length
        lost = [term for index in chain for term in lost_in_corners(model, index)]
        gaps = [gap for index in chain for gap in model.gaps.get(index, ())]
        least = length - 2.0 * model.rules.panel - SCRIBED_STEPS * model.rules.grid
        there = total(v.count for v in whole)
        filled = total(v.width for v in whole) + total(lost) + total(gaps)
        model.add(filled >= least * there, f"fill_{wall}")


def _alone_at_end(model: Model, index: int) -> None:
    """A bay that stands at the wall's end and takes all of a stretch leaves no room for another in
    it."""

    def alone(slot: Slot) -> bool:
        """Whether a slot's bay fills the stretch as far as others are concerned."""
        if not slot.spans:
            return slot.first == index and slot.at_left and slot.at_right
        return (slot.at_left and slot.first == index) or (slot.at_right and slot.last == index)

    whole = [v.count for v in model.slots if alone(v.slot)]
    others = [
        v for v in model.slots if not v.slot.spans and v.slot.first == index and not alone(v.slot)
    ]
    if whole and others:
        most = max(v.slot.most for v in others)
        number = total(v.count for v in others)
        model.add(number <= most * (1 - total(whole)), f"alone_{index}")


def _hand(model: Model) -> float:
    """Least gap between two runs [brief units]; uprights closer than a hand stand back to back."""
    return model.rules.brief.units.from_inch(HAND_IN)


def _unsure(model: Model, index: int) -> float:
    """Length kept free for a wall that may turn out shorter: half of it at each end [brief units].

    Beside a pinned bay it is free or it is not; where no bay can come near an end, enough is free
    anyway.
    """
    stretches, own = model.surveyed.stretches, model.surveyed.stretches[index]
    whole, length = (
        model.rules.brief.room.measuring_tolerance,
        model.surveyed.outline.walls[own.wall].length,
    )
    row = [stretch for stretch in stretches if stretch.wall == own.wall]
    settled = _settled(row[0], row[0].start, model), _settled(row[-1], length - row[-1].end, model)
    wanted = 0.0
    for at_left, here, there in ((True, *settled), (False, *settled[::-1])):
        if here is None and model.end_of(index, at_left=at_left) is not None:
            # The wall may be short anywhere: where the other end has enough, nothing is kept here.
            wanted += whole / 2.0 if there is None else max(0.0, whole - there)
    return wanted


def _settled(stretch: Stretch, away: float, model: Model) -> float | None:
    """Wall that is free at an end whatever is built, if that is known; None if it depends [brief
    units].

    `away` is the distance from the outermost stretch to the end; a bay may also be pinned beside
    it.
    """
    if stretch.pin is not None:
        ends = (stretch.pin.left, stretch.pin.right)
        uprights = sum(end is Carried.UPRIGHT for end in ends)
        free = stretch.length - stretch.pin.width - uprights * model.rules.panel
        return away + max(0.0, free)
    return away if away > FINE else None


def _close_ranks(model: Model, index: int, used: Any) -> None:
    """Where bays are held at both ends of a stretch, a gap between them costs one more upright.

    What holds a run exactly (a wall, or a bay that spans into the next stretch, which reaches the
    boundary by definition) leaves nothing to scribe; an upright over a boundary, or one in a
    corner, stands on the grid and may.
    """
    own, length = model.stretches[index], model.surveyed.stretches[index].length
    if model.surveyed.stretches[index].pin is not None:
        model.add(own.broken <= 0, f"unbroken_{index}")
        return
    lefts = [
        (total(own.joined_left) + _ends(model, index, at_left=True), False),
        (own.entered + model.carried_at(index, at_left=True), True),
    ]
    rights = [
        (total(own.joined_right) + _ends(model, index, at_left=False), False),
        (own.left_by + model.carried_at(index, at_left=False), True),
    ]
    slack = length - used
    closed = False
    for (left, exact_left), (right, exact_right) in itertools.product(lefts, rights):
        # An empty expression: nothing can ever hold bays at this end.
        if not len(total([left])) or not len(total([right])):
            continue
        closed = True
        # Between two walls the bays are cut to what is there; otherwise rounding leaves a step or
        # two.
        scribed = 0.0 if exact_left and exact_right else SCRIBED_STEPS * model.rules.grid
        name = f"closed_{index}_{int(exact_left)}{int(exact_right)}"
        model.add(slack <= scribed + length * (2 - left - right) + length * own.broken, name)
    if not closed:
        model.add(own.broken <= 0, f"unbroken_{index}")


def _ends(model: Model, index: int, *, at_left: bool) -> Any:
    """Number of bays of a stretch that stand against the wall's end at a corner, as an
    expression."""
    if at_left:
        return total(v.count for v in model.slots if v.slot.at_left and v.slot.first == index)
    return total(v.count for v in model.slots if v.slot.at_right and v.slot.last == index)


def _usage_without_cover(model: Model, index: int) -> list[tuple[float, Any]]:
    """Lengths of the bays with an upright each, and of gaps in corners, that one stretch holds;
    spanning bays by their parts, without one. Parts of a sum."""
    panel = model.rules.panel
    parts: list[tuple[float, Any]] = [(1.0, gap) for gap in model.gaps.get(index, ())]
    for vars_ in model.slots:
        slot = vars_.slot
        if not slot.spans and slot.first == index:
            parts += [(1.0, vars_.width), (panel, vars_.count)]
        elif slot.spans and index in (slot.first, slot.last):
            parts.append((1.0, vars_.parts[index]))
    return parts

"""Combinations of bays that the model allows but a check of the placed layout refuses.

The model keeps facing bays an aisle apart, but bays far from one another may still block the way
through a room between them. That is found once a layout is placed. The smallest set of its bays
that blocks the way is then looked for, and a constraint forbids that these stretches all carry bays
so deep (lazy constraints, or no-good cuts).

This is stricter than the rule, which would allow narrower bays on the same stretches: the bound
then holds only for layouts without a combination that was forbidden. `Search` keeps account of
that.
"""

from __future__ import annotations

from collections.abc import Sequence

from optimizer.domain.layout import Bay, Mount
from optimizer.geometry.floor import Footprint, hardly_reached
from optimizer.model.formulation import Formulation
from optimizer.model.slots import Slot
from optimizer.solving import total
from optimizer.tolerances import FINE

_HALF = 0.5


def forbid_unreached(model: Formulation, bays: Sequence[Bay | Mount]) -> bool:
    """Forbid the smallest cause for which a bay or mount is not reached; False if all are
    reached."""
    # A reach-in is served from outside: nothing in it blocks a way.
    if model.surveyed.reach_in or not bays:
        return False
    brief, outline = model.rules.brief, model.surveyed.outline
    index = {wall.id: number for number, wall in enumerate(brief.room.walls)}
    panel = model.rules.panel
    prints = [
        Footprint(index[b.wall], b.start, b.end, b.depth, panel if isinstance(b, Bay) else 0.0)
        for b in bays
    ]
    if not hardly_reached(brief, outline, prints):
        return False
    kept = list(range(len(bays)))
    # A deletion filter: each bay in turn stays out where the way is blocked without it.
    for candidate in list(kept):
        rest = [i for i in kept if i != candidate]
        if rest and hardly_reached(brief, outline, [prints[i] for i in rest]):
            kept = rest
    # By stretch and depth, not by bay: the next solve would move the bay by an inch.
    uses = sorted({(_stretch(model, bays[i], index), round(bays[i].depth, 6)) for i in kept})
    flags = [model.uses(stretch, depth) for stretch, depth in uses]
    model.add(total(flags) <= len(flags) - 1, f"shut_{len(model.shut)}")
    model.shut.append(tuple(uses))
    return True


def forbid_unsupported(model: Formulation, slots: Sequence[Slot]) -> None:
    """Forbid mid supports in slots whose bays found no studs; stricter than the rule.

    Slots whose bays had none are forbidden altogether.
    """
    for vars_ in model.slots:
        if not any(vars_.slot is slot for slot in slots):
            continue
        name, supported = f"unsupported_{vars_.count.name}", vars_.supported
        # Where the bays of a slot have no variable for their supports, it is the integer 0.
        carried = not isinstance(supported, int) and (supported.value() or 0.0) > _HALF
        model.add((supported if carried else vars_.count) <= 0, name)


def forbid_refused(model: Formulation, slots: Sequence[Slot], *, alike: bool) -> None:
    """Forbid slots of bays that the checker refused; stricter than the rule.

    With `alike`, all slots in the same place that are as deep or deeper are forbidden, too.
    """
    for vars_ in model.slots:
        slot = vars_.slot
        same = any(slot is other or (alike and _stands_as(slot, other)) for other in slots)
        if same:
            model.add(vars_.count <= 0, f"refused_{len(model.refused)}")
            model.refused.append(slot)


def blamed(
    model: Formulation, refused: Sequence[Slot], hung: Sequence[str], built: Sequence[Slot]
) -> tuple[list[Slot], list[str]]:
    """What to forbid of a layout where the checker refuses bays in the slots `refused` and the
    mounts `hung`: slots and mounts.

    What the brief keeps stays: in its place goes what was built on the same wall, or anywhere.
    Nothing where all that was built is kept.
    """
    stretches, brief = model.surveyed.stretches, model.rules.brief
    names = [wall.id for wall in brief.room.walls]
    kept = {pin.mount: names.index(pin.wall) for pin in brief.mount_pins}
    slots = [slot for slot in refused if stretches[slot.first].pin is None]
    mounts = [mount for mount in hung if mount not in kept]
    if slots or mounts:
        return slots, mounts
    walls = {stretches[slot.first].wall for slot in refused} | {kept[mount] for mount in hung}
    free = [slot for slot in built if stretches[slot.first].pin is None]
    return [slot for slot in free if stretches[slot.first].wall in walls] or free, []


def forbid_plan(model: Formulation, number: int) -> None:
    """Forbid the plan that the variables hold, and all that has as many bays and mounts of each
    of its kinds; stricter than the rule. `number` tells several from each other."""
    chosen = [vars_.count for vars_ in model.slots] + [h.chosen for h in model.hangings]
    there = [(count, round(count.value() or 0.0)) for count in chosen]
    used = [(count, most) for count, most in there if most]
    model.add(total(c for c, _ in used) <= sum(m for _, m in used) - 1, f"unplaced_{number}")


def forbid_hung(model: Formulation, refused: Sequence[str]) -> None:
    """Forbid the places of mounts that the checker refused."""
    ids = [mount.id for mount in model.rules.mounted]
    for place, hanging in enumerate(model.hangings):
        if ids[hanging.mount] in refused and (hanging.chosen.value() or 0.0) > _HALF:
            model.add(hanging.chosen <= 0, f"unhung_{place}")


def _stands_as(slot: Slot, other: Slot) -> bool:
    """Whether a slot's bays stand in the same place as another's and are at least as deep."""
    place = (slot.first, slot.last, slot.at_left, slot.at_right)
    where = (other.first, other.last, other.at_left, other.at_right)
    return place == where and slot.pattern.depth > other.pattern.depth - FINE


def _stretch(model: Formulation, bay: Bay | Mount, index: dict[str, int]) -> int:
    """Index of the stretch that carries most of a bay's width."""
    wall = index[bay.wall]
    own = [(i, s) for i, s in enumerate(model.surveyed.stretches) if s.wall == wall]
    return max(own, key=lambda e: min(e[1].end, bay.end) - max(e[1].start, bay.start))[0]

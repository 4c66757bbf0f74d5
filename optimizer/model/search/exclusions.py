"""Bays that cannot be got at: found after a solve, forbidden before the next.

The model keeps facing bays an aisle apart, but a way through the room can still be shut
by bays far from one another. When a placed layout shuts one, the smallest set of its bays
that does so is looked for, and those stretches are not used that deep together again.

This is stricter than the rule, which would allow shorter runs on the same stretches: the
model's layouts are those without a combination that was found shut.
"""

from __future__ import annotations

from collections.abc import Sequence

from pulp import lpSum

from optimizer.domain.layout import Bay, Mount
from optimizer.geometry.floor import Footprint, hardly_reached
from optimizer.model.formulation import Formulation
from optimizer.model.slots import Slot
from optimizer.tolerances import FINE

_HALF = 0.5


def forbid_unreached(model: Formulation, bays: Sequence[Bay | Mount]) -> bool:
    """Whether some bay or mount is hardly reached; its smallest cause is then forbidden."""
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
    for candidate in list(kept):
        rest = [i for i in kept if i != candidate]
        if rest and hardly_reached(brief, outline, [prints[i] for i in rest]):
            kept = rest
    uses = sorted({(_stretch(model, bays[i], index), round(bays[i].depth, 6)) for i in kept})
    flags = [model.uses(stretch, depth) for stretch, depth in uses]
    model.add(lpSum(flags) <= len(flags) - 1, f"shut_{len(model.shut)}")
    model.shut.append(tuple(uses))
    return True


def forbid_unsupported(model: Formulation, slots: Sequence[Slot]) -> None:
    """Leave out mid supports in slots of bays for which studs stand unluckily, or, where a bay
    is to have none, the slots; stricter than the rule, too."""
    for vars_ in model.slots:
        if not any(vars_.slot is slot for slot in slots):
            continue
        name, supported = f"unsupported_{vars_.count.name}", vars_.supported
        carried = not isinstance(supported, int) and (supported.value() or 0.0) > _HALF
        model.add((supported if carried else vars_.count) <= 0, name)


def forbid_refused(model: Formulation, slots: Sequence[Slot], *, alike: bool) -> None:
    """Leave out slots of bays that a checker refused; with `alike` all that stand where they do,
    as deep or deeper. Stricter than the rule."""
    for vars_ in model.slots:
        slot = vars_.slot
        same = any(slot is other or (alike and _stands_as(slot, other)) for other in slots)
        if same:
            model.add(vars_.count <= 0, f"refused_{len(model.refused)}")
            model.refused.append(slot)


def forbid_hung(model: Formulation, refused: Sequence[str]) -> None:
    """Leave out the places in which mounts hang now that a checker refused there."""
    ids = [mount.id for mount in model.rules.mounted]
    for place, hanging in enumerate(model.hangings):
        if ids[hanging.mount] in refused and (hanging.chosen.value() or 0.0) > _HALF:
            model.add(hanging.chosen <= 0, f"unhung_{place}")


def _stands_as(slot: Slot, other: Slot) -> bool:
    """Whether a slot's bays stand where another's do, at least as deep."""
    place = (slot.first, slot.last, slot.at_left, slot.at_right)
    where = (other.first, other.last, other.at_left, other.at_right)
    return place == where and slot.pattern.depth > other.pattern.depth - FINE


def _stretch(model: Formulation, bay: Bay | Mount, index: dict[str, int]) -> int:
    """Stretch that carries most of a bay."""
    wall = index[bay.wall]
    own = [(i, s) for i, s in enumerate(model.surveyed.stretches) if s.wall == wall]
    return max(own, key=lambda e: min(e[1].end, bay.end) - max(e[1].start, bay.start))[0]

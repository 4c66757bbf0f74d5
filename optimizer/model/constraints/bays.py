"""Numbers and widths of the bays of each slot, and how many need more than plain boards."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from optimizer.model.constraints.items import add_levels
from optimizer.model.records import FINE, Model, Rank, SlotVars
from optimizer.model.slots import Slot
from optimizer.patterns.pattern import Tier
from optimizer.solving import combined, total


def add_bays(model: Model, slots: Iterable[Slot]) -> list[SlotVars]:
    """Add the variables of slots to the model; gives their records."""
    return [_add(model, slot) for slot in slots]


def _add(model: Model, slot: Slot) -> SlotVars:
    """Add one slot: variables, the widths that items need, and its record."""
    name = f"{slot.first}_{slot.last}_{len(model.slots)}"
    vars_ = _spanning(model, slot, name) if slot.spans else _single(model, slot, name)
    add_levels(model, vars_, name)
    model.slots.append(vars_)
    return vars_


def _single(model: Model, slot: Slot, name: str) -> SlotVars:
    """Variables of bays inside one stretch."""
    room = model.surveyed.stretches[slot.first].length
    count = model.integer(f"n_{name}", slot.most, Rank.BAYS)
    widest = min(slot.max_width, max(room, slot.min_width))
    extra = model.continuous(f"e_{name}", (widest - slot.min_width) * slot.most)
    # An expression, not a variable: one column less for each of hundreds of slots.
    width = combined([(slot.min_width, count), (1.0, extra)])
    tiers = _limit_width(model, slot, (count, width), room, name)
    return SlotVars(slot, count, width, extra, tiers, {slot.first: width}, widest)


def _spanning(model: Model, slot: Slot, name: str) -> SlotVars:
    """Variables of a bay over several stretches: parts of the first and the last, and all
    between."""
    stretches = model.surveyed.stretches
    count = model.binary(f"n_{name}", Rank.BAYS)
    parts: dict[int, Any] = {}
    for index in range(slot.first, slot.last + 1):
        length = stretches[index].length
        if slot.first < index < slot.last:
            parts[index] = combined([(length, count)])
            continue
        most = min(slot.max_width, length)
        parts[index] = model.continuous(f"a_{index}_{name}", most)
        # A bay that is not built takes no part of any stretch.
        within = combined([(1.0, parts[index]), (-most, count)])
        model.add(within <= 0, f"part_{index}_{name}")
    width = total(parts.values())
    extra = combined([(1.0, width), (-slot.min_width, count)])
    model.add(extra >= 0, f"least_{name}")
    room = sum(stretches[index].length for index in parts)
    tiers = _limit_width(model, slot, (count, width), room, name)
    widest = min(slot.max_width, room)
    return SlotVars(slot, count, width, extra, tiers, parts, widest)


def _limit_width(
    model: Model, slot: Slot, both: tuple[Any, Any], room: float, name: str
) -> list[tuple[Tier, Any]]:
    """Keep the total width within what the tiers reach and what `room` there is; gives the tiers'
    counts.

    The count of a tier is the number of bays that need at least it, and each such bay adds what the
    tier reaches beyond the one before.
    """
    count, width = both
    needs: list[tuple[Tier, Any]] = []
    slack: list[tuple[float, Any]] = [(1.0, width)]
    for number, tier in enumerate(slot.tiers(room)):
        if not needs:
            needs.append((tier, count))
            slack.append((-min(tier.width, room), count))
            continue
        before, more = needs[-1]
        need = model.integer(f"q_{number}_{name}", slot.most)
        model.add(need <= more, f"tier_{number}_{name}")
        slack.append((before.width - min(tier.width, room), need))
        needs.append((tier, need))
    # With one width alone the row would say what the count says.
    if slot.max_width > slot.min_width + FINE or slot.spans:
        model.add(combined(slack) <= 0, f"widest_{name}")
    return needs

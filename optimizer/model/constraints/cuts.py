"""Valid inequalities that tighten the model; none removes a layout.

The linear relaxation likes fractions of bays: half a bay meets a short need, and one and a
half fill a wall. Counts of bays on each wall and for each need are made integers of their
own, and three families of cuts tie widths to them:

* a bay gives at most the need itself: met <= sum of min(required, rods x widest) x n;
* rounding (Marchand and Wolsey, "Aggregation and mixed integer rounding to solve MIPs",
  Operations Research 49, 2001): met <= R - r (ceil(R / w) - N) with r = R - w floor(R / w);
* the hull of (bays, total width) on a wall: between k and k + 1 bays, k being what the
  widest bays fill, the width grows only by what is left of the wall.
"""

from __future__ import annotations

import math
from typing import Any

from optimizer.domain.need_ids import SHELF_LENGTH, NeedId
from optimizer.domain.needs import Hang
from optimizer.model.records import Model, Rank, SlotVars
from optimizer.reference.stored import Thing
from optimizer.solving import combined, total
from optimizer.tolerances import FINE


def tighten(model: Model, met: dict[NeedId, Any]) -> None:
    """Add the cuts; `met` are the expressions that meet the needs, by need."""
    _walls(model)
    needs = model.rules.brief.needs
    for hang in Hang:
        name, required = NeedId.hang(hang), model.rules.required[hang]
        if required > 0 and name in met:
            rods = [(v, v.slot.pattern.measures.hang(hang) * v.widest) for v in model.slots]
            _need(model, name, required, met[name], rods)
    if needs.shelf_length > 0 and SHELF_LENGTH in met:
        shelves = [(v, v.slot.pattern.measures.plain_shelves * v.widest) for v in model.slots]
        _need(model, SHELF_LENGTH, needs.shelf_length, met[SHELF_LENGTH], shelves)
    for number, thing in enumerate(model.rules.things):
        each = thing.width / thing.together
        given = [(v, v.slot.pattern.measures.takes[number] * _whole(v, thing)) for v in model.slots]
        _need(model, f"stored_{number}", thing.length, each * met[thing.name], given)


def _whole(vars_: SlotVars, thing: Thing) -> float:
    """Length that whole rows of a thing take of a slot's widest board."""
    return math.floor(vars_.widest / thing.width + FINE) * thing.width


def _need(
    model: Model, name: str, required: float, met: Any, given: list[tuple[SlotVars, float]]
) -> None:
    """Tie what meets a need to the number of bays that give to it, each so much at most."""
    givers = [(v, most) for v, most in given if most]
    if not givers:
        return
    given_at_most = combined((min(required, most), v.count) for v, most in givers)
    model.add(met <= given_at_most, f"give_{name}")
    widest = max(most for _, most in givers)
    # A variable of its own, so that a search may branch on the count of all.
    bays = model.integer(f"bays_{name}", None, Rank.COUNTS)
    model.add(bays == total(v.count for v, _ in givers), f"bays_{name}")
    # Where whole bays meet the need exactly, rounding has nothing to cut off.
    rest = required - widest * math.floor(required / widest)
    if rest > FINE:
        model.add(met <= required - rest * (math.ceil(required / widest) - bays), f"round_{name}")


def _walls(model: Model) -> None:
    """Count the bays of each wall and bound their width by the count."""
    panel = model.rules.panel
    for wall in sorted({stretch.wall for stretch in model.surveyed.stretches}):
        own = [v for v in model.slots if model.wall_of(v.slot) == wall]
        if not own:
            continue
        length = sum(s.length for s in model.surveyed.stretches if s.wall == wall)
        bays = model.integer(f"bays_wall_{wall}", None, Rank.COUNTS)
        model.add(bays == total(v.count for v in own), f"bays_wall_{wall}")
        widest = max(v.widest for v in own)
        # n bays in one run stand on n + 1 uprights, less those whose place a wall takes.
        closing = panel * (1 - sum(end.wall == wall for end in model.carried))
        full = math.floor((length - closing + FINE) / (widest + panel))
        if full < 1:
            continue
        left = length - closing - panel * (full + 1) - widest * full
        width = total(v.width for v in own)
        model.add(width <= widest * full + left * (bays - full), f"hull_wall_{wall}")

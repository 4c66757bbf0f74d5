"""R5 Obstructions and R14 Lights: boxes in the room that storage keeps clear of."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.checking.boxes import Solid, obstruction_box, upright_solids, zone_solids
from optimizer.checking.case import Case
from optimizer.checking.shapes import Box
from optimizer.domain.room import Obstruction, ObstructionKind
from optimizer.errors import Fault
from optimizer.reference.lights import light_clearance


def check_obstructions(case: Case) -> Iterator[Fault]:
    """Findings on everything that reaches into an obstruction or too near a light."""
    zones = [solid for placed in case.bays for solid in zone_solids(case, placed)]
    uprights = [solid for placed in case.bays for solid in upright_solids(case, placed)]
    for thing in case.brief.room.obstructions:
        line = case.plan.find(thing.wall)
        if line is None:
            continue
        box = obstruction_box(case, thing, line)
        if not thing.may_cover:
            yield from _covering(case, thing, box, [*zones, *uprights])
        if thing.kind is ObstructionKind.LIGHT:
            yield from _lit(case, thing, box, zones)


def _covering(case: Case, thing: Obstruction, box: Box, solids: list[Solid]) -> Iterator[Fault]:
    """R5: nothing reaches into the box."""
    for solid in solids:
        gap = solid.box.gap(box)
        if gap < -case.tolerance:
            yield Fault(
                solid.pointer,
                f"{solid.name} reaches {case.say(-gap)} into the {thing.kind} on wall "
                f"{thing.wall} ({case.say(thing.start)} to "
                f"{case.say(thing.start + thing.width)} along it, {case.say(box.z[0])} to "
                f"{case.say(box.z[1])} up)",
                "obstruction",
            )


def _lit(case: Case, thing: Obstruction, box: Box, zones: list[Solid]) -> Iterator[Fault]:
    """R14: storage stays the published clearance away from a light."""
    clearance = light_clearance(thing.luminaire, case.units)
    for solid in zones:
        gap = solid.box.gap(box)
        if gap < clearance - case.tolerance:
            yield Fault(
                solid.pointer,
                f"{solid.name} is {case.say(max(gap, 0.0))} from the light measured from wall "
                f"{thing.wall}; {case.say(clearance)} is the least",
                "light",
            )

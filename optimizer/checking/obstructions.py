"""R5 Obstructions, R14 Lights, R18 Kept clear: boxes in the room that storage stays out of."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from optimizer.checking.boxes import (
    Solid,
    obstruction_box,
    support_solids,
    upright_solids,
    zone_solids,
)
from optimizer.checking.case import Case
from optimizer.checking.floor_plan import WallLine
from optimizer.checking.mounted import mount_solids
from optimizer.checking.shapes import Box
from optimizer.domain.room import KeepClear, Obstruction, ObstructionKind
from optimizer.errors import Fault
from optimizer.reference.lights import light_clearance


def check_obstructions(case: Case) -> Iterator[Fault]:
    """Findings on everything that reaches into an obstruction or too near a light."""
    zones = [solid for placed in case.bays for solid in zone_solids(case, placed)]
    others = [solid for placed in case.bays for solid in upright_solids(placed)]
    others += [solid for placed in case.bays for solid in support_solids(case, placed)]
    yield from in_the_way(case, [*zones, *mount_solids(case)], others)


def in_the_way(case: Case, zones: Sequence[Solid], others: Sequence[Solid]) -> Iterator[Fault]:
    """A finding for each solid in an obstruction, too near a light, or in what is kept clear.

    `zones` are what is stored, `others` uprights and supports, which may be near a light.
    """
    room = case.brief.room
    for thing in room.obstructions:
        line = case.plan.find(thing.wall)
        if line is None:
            continue
        box = obstruction_box(case, thing, line)
        if not thing.may_cover:
            yield from _covering(case, thing, box, [*zones, *others])
        if thing.kind is ObstructionKind.LIGHT:
            yield from _lit(case, thing, box, zones)
    for kept in room.keep_clear:
        line = case.plan.find(kept.wall)
        if line is not None:
            yield from _kept(case, kept, line, [*zones, *others])


def _reaching(case: Case, box: Box, solids: Iterable[Solid]) -> Iterator[tuple[Solid, float]]:
    """Solids that reach into a box, and by how much."""
    for solid in solids:
        gap = solid.box.gap(box)
        if gap < -case.tolerance:
            yield solid, -gap


def _place(case: Case, thing: Obstruction | KeepClear) -> str:
    """Where a box is, for messages."""
    return (
        f"on wall {thing.wall} ({case.say(thing.start)} to {case.say(thing.start + thing.width)} "
        f"along it, {case.say(thing.bottom)} to {case.say(thing.bottom + thing.height)} up)"
    )


def _covering(case: Case, thing: Obstruction, box: Box, solids: list[Solid]) -> Iterator[Fault]:
    """R5: nothing reaches into the box."""
    for solid, reach in _reaching(case, box, solids):
        yield Fault(
            solid.pointer,
            f"{solid.name} reaches {case.say(reach)} into the {thing.kind} {_place(case, thing)}",
            "obstruction",
        )


def _lit(case: Case, thing: Obstruction, box: Box, zones: Iterable[Solid]) -> Iterator[Fault]:
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


def _kept(case: Case, kept: KeepClear, line: WallLine, solids: list[Solid]) -> Iterator[Fault]:
    """R18: nothing reaches into what is kept clear."""
    plan = line.rect((kept.start, kept.start + kept.width), (0.0, kept.depth))
    box = Box(plan, (kept.bottom, kept.bottom + kept.height))
    why = f", kept clear for {kept.why}" if kept.why else ", which is kept clear"
    for solid, reach in _reaching(case, box, solids):
        yield Fault(
            solid.pointer,
            f"{solid.name} reaches {case.say(reach)} into the box {_place(case, kept)}, "
            f"{case.say(kept.depth)} out{why}",
            "keep_clear",
        )

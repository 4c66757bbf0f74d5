"""Warnings about the needs: wishes that this room or these users cannot meet."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.briefs.rules.context import Case, Notice
from optimizer.briefs.rules.room_notices import needs_chair
from optimizer.domain.needs import Hang, Place
from optimizer.domain.study import Warned
from optimizer.reference.garments import garment, hang_class, required_hang
from optimizer.reference.weights import heavy_limit, is_heavy
from optimizer.units import Units

WALK_IN_AISLE = {Units.INCH: 36.0, Units.MILLIMETRE: 900.0}
"""Clear way between garments, or garments and a shelf: Panero and Zelnik, Human Dimension and
Interior Space, 2.3 (36 in). The same width is the accessible route of the 2010 ADA Standards,
403.5.1."""


def _aisle(case: Case) -> Iterator[Warned]:
    """An aisle under the handbook figure, where one is asked for at all."""
    aisle, handbook = case.brief.needs.aisle, WALK_IN_AISLE[case.units]
    if case.is_reach_in or aisle >= handbook - case.tolerance:
        return
    also = ""
    if needs_chair(case.brief.needs):
        also = "; someone seated needs it too (2010 ADA Standards, 403.5.1)"
    yield Warned(
        code="aisle_tight",
        pointer="/needs/aisle",
        detail=f"an aisle of {case.say(aisle)} is under the {case.say(handbook)} of Panero and "
        f"Zelnik, Human Dimension and Interior Space, 2.3 (36 in); 24 in is a tight minimum{also}",
    )


def _wanted(case: Case) -> Iterator[tuple[Hang, str]]:
    """Hang classes wanted, with the pointer to what wants each."""
    needs = case.brief.needs
    required = required_hang(needs, case.units)
    for hang in Hang:
        if not required[hang]:
            continue
        pointer = f"/needs/{hang.value}_hang"
        if not needs.explicit_hang(hang):
            for i, line in enumerate(needs.garments):
                allowance = garment(line.kind)
                if allowance and hang_class(allowance, needs, case.units) is hang:
                    pointer = f"/needs/garments/{i}"
                    break
        yield hang, pointer


def _hang_heights(case: Case) -> Iterator[Warned]:
    """A rod wanted that would be above the ceiling or out of everybody's reach."""
    construction = case.brief.construction
    for hang, pointer in _wanted(case):
        rod = construction.floor_clearance + case.brief.needs.hang_drop.of(hang)
        above = rod + construction.rod_clearance + construction.panel_thickness
        if above > case.top + case.tolerance:
            rule = f"with a board above it takes {case.say(above)}; the ceiling is at " + (
                case.say(case.top)
            )
        elif rod > case.reach.highest_rod + case.tolerance:
            rule = f"is above {case.say(case.reach.highest_rod)}, the highest the users reach"
        else:
            continue
        yield Warned(
            code="hang_does_not_fit",
            pointer=pointer,
            detail=f"{hang.value} hang needs a rod at {case.say(rod)}, which {rule}: it will be "
            "unmet",
        )


def _hang_depth(case: Case) -> Iterator[Warned]:
    """Hanging wanted in a room that is too shallow for it."""
    depth = case.brief.construction.hang_depth
    for _, pointer in _wanted(case):
        if depth > case.depth + case.tolerance:
            yield Warned(
                code="room_too_shallow",
                pointer=pointer,
                detail=f"hanging takes {case.say(depth)} (hang_depth) and the room is "
                f"{case.say(case.depth)} deep: it will be unmet",
            )


def _double_hang(case: Case) -> Iterator[Warned]:
    """Short hang for users who do not reach the upper of two rods."""
    needs, construction = case.brief.needs, case.brief.construction
    if not needs.users or all(hang is not Hang.SHORT for hang, _ in _wanted(case)):
        return
    lower = construction.floor_clearance + needs.hang_drop.short
    # Clothes of the upper rod may hang down to the air above the lower one: no board between.
    upper = lower + construction.rod_clearance + needs.hang_drop.short
    fits = upper + construction.rod_clearance + construction.panel_thickness <= case.top
    if fits and lower <= case.reach.highest_rod < upper - case.tolerance:
        yield Warned(
            code="double_hang_out_of_reach",
            pointer="/needs/users",
            detail=f"two short rods one above the other put the upper at {case.say(upper)}; the "
            f"users reach {case.say(case.reach.highest_rod)}, so short hang stays single",
        )


def _heavy(case: Case) -> Iterator[Warned]:
    """Heavy things wished on a shelf."""
    limit, height = heavy_limit(case.units)
    unit = "lb" if case.units is Units.INCH else "kg"
    for i, item in enumerate(case.brief.needs.items):
        if item.place is Place.SHELF and is_heavy(item, case.units):
            yield Warned(
                code="heavy_on_shelf",
                pointer=f"/needs/items/{i}/place",
                detail=f"{item.id} weighs {limit:g} {unit} or more and is wished on a shelf: only "
                f"one up to {case.say(height)} takes it",
            )


NOTICES = tuple(
    Notice(check) for check in (_aisle, _hang_heights, _hang_depth, _double_hang, _heavy)
)

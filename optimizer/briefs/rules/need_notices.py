"""Warnings about the needs: what this room or these users cannot have."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.briefs.rules.brief_view import BriefView, Notice
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


def _aisle(view: BriefView) -> Iterator[Warned]:
    """An aisle under the handbook figure, where one is asked for at all."""
    aisle, handbook = view.brief.needs.aisle, WALK_IN_AISLE[view.units]
    if view.is_reach_in or aisle >= handbook - view.tolerance:
        return
    also = ""
    if needs_chair(view.brief.needs):
        also = "; someone seated needs it too (2010 ADA Standards, 403.5.1)"
    yield Warned(
        code="aisle_tight",
        pointer="/needs/aisle",
        detail=f"an aisle of {view.say(aisle)} is under the {view.say(handbook)} of Panero and "
        f"Zelnik, Human Dimension and Interior Space, 2.3 (36 in); 24 in is a tight minimum{also}",
    )


def _wanted(view: BriefView) -> Iterator[tuple[Hang, str]]:
    """Hang classes wanted, with the pointer to what wants each."""
    needs = view.brief.needs
    required = required_hang(needs, view.units)
    for hang in Hang:
        if not required[hang]:
            continue
        pointer = f"/needs/{hang.value}_hang"
        if not needs.explicit_hang(hang):
            for i, line in enumerate(needs.garments):
                allowance = garment(line.kind)
                if allowance and hang_class(allowance, needs, view.units) is hang:
                    pointer = f"/needs/garments/{i}"
                    break
        yield hang, pointer


def _hang_heights(view: BriefView) -> Iterator[Warned]:
    """A rod wanted that would be above the ceiling or out of everybody's reach."""
    construction = view.brief.construction
    for hang, pointer in _wanted(view):
        rod = construction.floor_clearance + view.brief.needs.hang_drop.of(hang)
        above = rod + construction.rod_clearance + construction.panel_thickness
        if above > view.top + view.tolerance:
            rule = f"with a board above it takes {view.say(above)}; the ceiling is at " + (
                view.say(view.top)
            )
        elif rod > view.reach.highest_rod + view.tolerance:
            rule = f"is above {view.say(view.reach.highest_rod)}, the highest the users reach"
        else:
            continue
        yield Warned(
            code="hang_does_not_fit",
            pointer=pointer,
            detail=f"{hang.value} hang needs a rod at {view.say(rod)}, which {rule}: it will be "
            "unmet",
        )


def _hang_depth(view: BriefView) -> Iterator[Warned]:
    """Hanging wanted in a room that is too shallow for it."""
    depth = view.brief.construction.hang_depth
    for _, pointer in _wanted(view):
        if depth > view.depth + view.tolerance:
            yield Warned(
                code="room_too_shallow",
                pointer=pointer,
                detail=f"hanging takes {view.say(depth)} (hang_depth) and the room is "
                f"{view.say(view.depth)} deep: it will be unmet",
            )


def _double_hang(view: BriefView) -> Iterator[Warned]:
    """Short hang for users who do not reach the upper of two rods."""
    needs, construction = view.brief.needs, view.brief.construction
    if not needs.users or all(hang is not Hang.SHORT for hang, _ in _wanted(view)):
        return
    lower = construction.floor_clearance + needs.hang_drop.short
    # Clothes of the upper rod may hang down to the air above the lower one: no board between.
    upper = lower + construction.rod_clearance + needs.hang_drop.short
    fits = upper + construction.rod_clearance + construction.panel_thickness <= view.top
    if fits and lower <= view.reach.highest_rod < upper - view.tolerance:
        yield Warned(
            code="double_hang_out_of_reach",
            pointer="/needs/users",
            detail=f"two short rods one above the other put the upper at {view.say(upper)}; the "
            f"users reach {view.say(view.reach.highest_rod)}, so short hang stays single",
        )


def _heavy(view: BriefView) -> Iterator[Warned]:
    """Heavy things meant for a shelf."""
    limit, height = heavy_limit(view.units)
    unit = "lb" if view.units is Units.INCH else "kg"
    for i, item in enumerate(view.brief.needs.items):
        if item.place is Place.SHELF and is_heavy(item, view.units):
            yield Warned(
                code="heavy_on_shelf",
                pointer=f"/needs/items/{i}/place",
                detail=f"{item.id} weighs {limit:g} {unit} or more and is meant for a shelf: only "
                f"one up to {view.say(height)} takes it",
            )


NOTICES = tuple(
    Notice(check) for check in (_aisle, _hang_heights, _hang_depth, _double_hang, _heavy)
)

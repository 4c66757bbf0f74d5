"""From a plan of the model to bays at positions.

The plan says which bay stands on which stretch, which uprights are shared and which ends walls
carry. A small integer program then gives each bay a start and a width on the grid, as near to the
planned widths as the walls allow, without losing a need that the plan meets. Mid supports go to
studs, and things stored by count onto shelves.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from optimizer.domain.layout import Bay, Carried, Mount, Zone
from optimizer.model.formulation import Formulation
from optimizer.model.mount_places import MountPlace
from optimizer.model.positions import Positions, Spot
from optimizer.model.rows import Seat, rows_of
from optimizer.model.shelf_contents import stowed
from optimizer.model.slots import Slot
from optimizer.model.solution import BayPlan, PlannedBay
from optimizer.model.supports import with_supports


@dataclass(frozen=True, slots=True)
class Placed:
    """Placed bays with the slot of each, those for which no studs make mid supports that hold, and
    the mounts beside them."""

    bays: tuple[Bay, ...]
    slots: tuple[Slot, ...]
    unsupported: tuple[Slot, ...]
    mounts: tuple[Mount, ...] = ()


def place(model: Formulation, plan: BayPlan) -> Placed:
    """The bays of `plan` with their positions [brief units], wall by wall from left to right.

    Raises UnplacedError where they find no places.
    """
    rows = rows_of(model, plan)
    spots, hung = Positions(model, plan, rows).solved()
    bays: list[Bay] = []
    planned: list[PlannedBay] = []
    names = [wall.id for wall in model.rules.brief.room.walls]
    counts = dict.fromkeys(names, 0)
    for row, row_spots in zip(rows, spots, strict=True):
        for seat, spot in zip(row, row_spots, strict=True):
            wall = names[model.wall_of(seat.bay.slot)]
            counts[wall] += 1
            planned.append(seat.bay)
            # Numbered from the left, as they are read off a drawing.
            bays.append(_bay(model, plan, seat, f"{wall}{counts[wall]}", spot))
    # After the positions: only then is it known which studs are behind a bay.
    placed, lacking = _supported(model, bays, planned)
    slots = tuple(bay.slot for bay in planned)
    mounts = tuple(_mount(model, hanging, hung[hanging.mount]) for hanging in plan.hangings)
    unsupported = tuple(slots[index] for index in lacking)
    # Things last, since mid supports break the shelves into the pieces that rows go onto.
    return Placed(stowed(placed, model.rules), slots, unsupported, mounts)


def _supported(
    model: Formulation, bays: list[Bay], planned: Sequence[PlannedBay]
) -> tuple[tuple[Bay, ...], list[int]]:
    """Bays with their mid supports, and the indexes of bays that nothing holds.

    A bay is stiffened instead where no stud takes the supports that the plan has.
    """
    outline, rules = model.surveyed.outline, model.rules
    placed, lacking = with_supports(bays, outline, rules)
    stiff = [index for index in lacking if planned[index].slot.stiffened(bays[index].width)]
    if not stiff:
        return placed, lacking
    instead = list(bays)
    for index in stiff:
        instead[index] = bays[index].model_copy(update={"stiffened": True})
    return with_supports(instead, outline, rules)


def _mount(model: Formulation, hanging: MountPlace, start: float) -> Mount:
    """A mount of the layout, as the brief asks for it, at the start found for it [brief units]."""
    mounted = model.rules.mounted[hanging.mount]
    wall = model.surveyed.stretches[hanging.first].wall
    return Mount(
        id=mounted.id,
        kind=mounted.kind,
        wall=model.rules.brief.room.walls[wall].id,
        start=start,
        width=mounted.width,
        bottom=mounted.bottom,
        top=mounted.top,
        depth=mounted.depth,
        hook_height=mounted.hook_height,
        hooks=mounted.hooks(start),
    )


def _bay(model: Formulation, plan: BayPlan, seat: Seat, name: str, spot: Spot) -> Bay:
    """A bay of the layout from its seat and spot: zones of the pattern with the items they hold."""
    planned, (start, width) = seat.bay, spot
    pattern = planned.slot.pattern
    held: dict[int, tuple[str, ...]] = {zone: group.items for zone, group in planned.hosts}
    zones: list[Zone] = [
        zone.model_copy(update={"items": held[index]}) if index in held else zone
        for index, zone in enumerate(pattern.zones)
    ]
    number = model.wall_of(planned.slot)
    wall = model.rules.brief.room.walls[number]
    return Bay(
        id=name,
        wall=wall.id,
        start=start,
        width=width,
        depth=pattern.depth,
        pattern=pattern.label,
        zones=tuple(zones),
        height=pattern.height,
        # By the width that it got: moved onto the grid it may have come under a plain tier.
        stiffened=not planned.propped and planned.slot.stiffened(width),
        left=_carried(model, plan, number, at_left=True) if seat.flush_left else Carried.UPRIGHT,
        right=_carried(model, plan, number, at_left=False) if seat.flush_right else Carried.UPRIGHT,
    )


def _carried(model: Formulation, plan: BayPlan, wall: int, *, at_left: bool) -> Carried:
    """What carries a bay at a wall's end; in a wrapped corner, the butting side is on the
    corner."""
    for number, corner in enumerate(model.corners):
        state = next(s for s in corner.states if s.name == plan.states[number])
        for which, side in enumerate(corner.sides):
            butts = state.wraps and state.through != which
            if butts and side.wall == wall and side.at_left is at_left:
                return Carried.CORNER
    return Carried.WALL

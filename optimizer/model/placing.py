"""From a plan to bays with positions: ordered, on the grid, never over a wall.

Topology (which bay stands where, which uprights are shared, which walls carry) comes from the
plan; a small integer program then gives every bay a width on the grid as near to the planned
one as the walls allow, keeping every need that the plan meets; mid supports go to studs.
"""

from __future__ import annotations

from optimizer.domain.layout import Bay, Carried, Zone, ZoneKind
from optimizer.domain.studs import stud_centres
from optimizer.errors import SolverFailedError
from optimizer.model.formulation import Formulation
from optimizer.model.positions import Positions, Spot
from optimizer.model.rows import Seat, rows_of
from optimizer.model.solution import Plan
from optimizer.patterns.pattern import Pattern
from optimizer.patterns.rules import Rules
from optimizer.patterns.tiers import support_places

MORE_SUPPORTS = 4
"""Mid supports tried beyond those planned where studs stand unluckily."""


def place(model: Formulation, plan: Plan) -> tuple[Bay, ...]:
    """Bays of `plan` with their positions [brief units], wall by wall from left to right."""
    rows = rows_of(model, plan)
    spots = Positions(model, plan, rows).solved()
    bays: list[Bay] = []
    names = [wall.id for wall in model.rules.brief.room.walls]
    counts = dict.fromkeys(names, 0)
    for row, placed in zip(rows, spots, strict=True):
        for seat, spot in zip(row, placed, strict=True):
            wall = names[model.surveyed.stretches[seat.bay.slot.first].wall]
            counts[wall] += 1
            bays.append(_bay(model, plan, seat, f"{wall}{counts[wall]}", spot))
    return tuple(bays)


def _bay(model: Formulation, plan: Plan, seat: Seat, name: str, spot: Spot) -> Bay:
    planned, (start, width) = seat.bay, spot
    pattern = planned.slot.pattern
    held: dict[int, tuple[str, ...]] = {zone: group.items for zone, group in planned.hosts}
    zones: list[Zone] = [
        zone.model_copy(update={"items": held[index]}) if index in held else zone
        for index, zone in enumerate(pattern.zones)
    ]
    number = model.surveyed.stretches[planned.slot.first].wall
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
        stiffened=pattern.stiffened(width),
        left=_carried(model, plan, number, at_left=True) if seat.flush_left else Carried.UPRIGHT,
        right=_carried(model, plan, number, at_left=False) if seat.flush_right else Carried.UPRIGHT,
        mid_supports=_supports(
            pattern, start, width, stud_centres(wall, model.rules.brief.units), model.rules
        ),
    )


def _carried(model: Formulation, plan: Plan, wall: int, *, at_left: bool) -> Carried:
    """What carries a bay at a wall's end: in a wrapped corner the side that butts, the corner."""
    for number, corner in enumerate(model.corners):
        state = next(s for s in corner.states if s.name == plan.states[number])
        for which, side in enumerate(corner.sides):
            butts = state.wraps and state.through != which
            if butts and side.wall == wall and side.at_left is at_left:
                return Carried.CORNER
    return Carried.WALL


def _supports(
    pattern: Pattern, start: float, width: float, studs: tuple[float, ...], rules: Rules
) -> tuple[float, ...]:
    """Studs that carry a bay between its ends, as many as its tier needs."""
    needed = pattern.tier(width).supports
    if not needed:
        return ()
    piece = min(rules.board_piece(zone.depth or pattern.depth, stiffened=False)
                for zone in pattern.zones if zone.kind is ZoneKind.SHELF)  # fmt: skip
    if pattern.has_rod:
        piece = min(piece, rules.rod_piece)
    # Studs may stand more luckily than the tier, which holds wherever the bay starts, allows for.
    for number in range(1, needed + MORE_SUPPORTS):
        found = support_places(start, start + width, number, piece, studs)
        if found is not None:
            return found
    raise SolverFailedError(f"no studs carry a bay of {pattern.label} {width:g} wide")

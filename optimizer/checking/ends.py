"""R16 Ends: what a bay's end that has no upright stands on can carry it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimizer.checking.boxes import obstruction_box
from optimizer.checking.case import Case, Placed
from optimizer.checking.floor_plan import SIDES, Side, WallLine
from optimizer.checking.shapes import Box, Interval, gap_between
from optimizer.checking.wraps import OTHER, carried, end_bay
from optimizer.domain.layout import Carried, ZoneKind
from optimizer.errors import Fault


@dataclass(frozen=True, slots=True)
class Cleat:
    """A strip on a side wall, `reach` out from the corner, between the heights `z`.

    `what` names what it carries, for messages.
    """

    reach: float
    z: Interval
    what: str


def check_ends(case: Case) -> Iterator[Fault]:
    """Findings on ends carried by walls and corners that cannot carry them."""
    allowed = case.brief.construction.wall_ends == "cleats"
    for placed in case.bays:
        for side in SIDES:
            end = carried(placed, side)
            if end is Carried.UPRIGHT:
                continue
            if not allowed:
                yield _fault(placed, side, f"is carried by the {end}; the brief asks for uprights")
            elif end is Carried.WALL:
                yield from _on_wall(case, placed, side)
            else:
                yield from _at_corner(case, placed, side)


def _fault(placed: Placed, side: Side, detail: str, code: str = "ends") -> Fault:
    """A finding on one end of a bay."""
    pointer = f"{placed.pointer}/{side}"
    return Fault(pointer, f"the {side} end of bay {placed.bay.id} {detail}", code)


def cleats(case: Case, placed: Placed) -> Iterator[Cleat]:
    """The cleats that carry a bay's boards and rods on a side wall."""
    rules, t = case.brief.construction, case.thickness
    for top, depth in placed.boards():
        under = top - t
        what = f"the board at {case.say(top)}"
        yield Cleat(depth, (under - rules.cleat_height, under), what)
    half = rules.rod_cleat_height / 2.0
    for zone in placed.bay.zones:
        if zone.kind is not ZoneKind.ROD or zone.rod_height is None:
            continue
        rod = zone.rod_height
        # A rod close under a board shares its cleat, which then reaches up to the board.
        # The lowest board over the rod: that is the one that it hangs from.
        over = min((top - t for top, _ in placed.boards() if top - t >= rod), default=None)
        near = over is not None and over - rod <= rules.rod_clearance + case.tolerance
        high = over if over is not None and near else rod + half
        reach = rules.rod_setback + rules.rod_overlap
        yield Cleat(reach, (rod - half, high), f"the rod at {case.say(rod)}")


def _on_wall(case: Case, placed: Placed, side: Side) -> Iterator[Fault]:
    """The side wall is there, long and high enough, and free where cleats go."""
    wall = case.plan.beside(placed.wall, side)
    if wall is None:
        detail = f"has no side wall that could carry it: wall {placed.bay.wall} ends free there"
        yield _fault(placed, side, detail)
        return
    found = list(cleats(case, placed))
    reach = max((cleat.reach for cleat in found), default=0.0)
    if reach > wall.length + case.tolerance:
        yield _fault(
            placed,
            side,
            f"is carried by wall {wall.wall.id}, {case.say(wall.length)} long; its cleats reach "
            f"{case.say(reach)} out",
        )
        return
    for cleat in found:
        yield from _cleat(case, placed, side, wall, cleat)


def _cleat(case: Case, placed: Placed, side: Side, wall: WallLine, cleat: Cleat) -> Iterator[Fault]:
    """Nothing on the side wall is where one cleat goes."""
    # The bay's left end is at the right end of the wall before it.
    near = (wall.length - cleat.reach, wall.length) if side == "left" else (0.0, cleat.reach)
    clear = wall.clear_height(near, case.brief.room.ceiling_height)
    where = f"the cleat on wall {wall.wall.id} for {cleat.what}"
    if cleat.z[1] > clear + case.tolerance:
        detail = f"has no wall behind {where}: it is {case.say(clear)} high there"
        yield _fault(placed, side, detail)
    for what, reach in _things_behind(case, wall, near, cleat):
        detail = f"has the {what} {case.say(reach)} in the way of {where}"
        yield _fault(placed, side, detail)


def _things_behind(
    case: Case, wall: WallLine, near: Interval, cleat: Cleat
) -> Iterator[tuple[str, float]]:
    """What is in the way of a cleat on a side wall, and how far it reaches into it."""
    for opening, line in case.openings():
        trim = (opening.start - opening.casing, opening.start + opening.width + opening.casing)
        # Apart as soon as they are apart in one direction; below zero by how far they overlap.
        gap = max(
            gap_between(trim, near),
            gap_between((0.0, opening.height + opening.casing), cleat.z),
        )
        if line is wall and gap < -case.tolerance:
            yield "opening with its casing", -gap
    box = Box(wall.rect(near, (0.0, case.brief.construction.cleat_thickness)), cleat.z)
    for thing in case.brief.room.obstructions:
        line_of = case.plan.find(thing.wall)
        if line_of is None or thing.may_cover:
            continue
        gap = box.gap(obstruction_box(case, thing, line_of))
        if gap < -case.tolerance:
            yield str(thing.kind), -gap


def _at_corner(case: Case, placed: Placed, side: Side) -> Iterator[Fault]:
    """The next wall's boards are there, run through, and have this bay's heights."""
    wall = case.plan.beside(placed.wall, side)
    through = None if wall is None else end_bay(case, wall, OTHER[side])
    if through is None or carried(through, OTHER[side]) is not Carried.WALL:
        detail = "has no bay of the next wall that runs through to the corner to butt against"
        yield _fault(placed, side, detail)
        return
    for bay in (placed, through):
        if bay.has_rod:
            detail = f"is carried by the corner, and bay {bay.bay.id} holds a rod"
            yield _fault(placed, side, detail)
    # What runs through has to reach along its wall as far as the other is deep.
    if through.bay.width < placed.bay.depth - case.tolerance:
        yield _fault(
            placed,
            side,
            f"is {case.say(placed.bay.depth)} deep, and bay {through.bay.id}, which runs "
            f"through behind it, only {case.say(through.bay.width)} wide",
        )
    yield from _joints(case, placed, side, through)


def _joints(case: Case, placed: Placed, side: Side, through: Placed) -> Iterator[Fault]:
    """Each board meets one of its height, and ends at its front edge."""
    bay = placed.bay
    # Distance from the corner to this bay's end: how deep the other wall's boards have to be.
    end = bay.start if side == "left" else placed.wall.length - bay.end
    for top, _ in placed.boards():
        fronts = [d for other, d in through.boards() if abs(other - top) <= case.tolerance]
        if not fronts:
            detail = f"has no board of bay {through.bay.id} at {case.say(top)} to butt against"
            yield _fault(placed, side, detail)
        elif max(abs(front - end) for front in fronts) > case.tolerance:
            yield _fault(
                placed,
                side,
                f"lies {case.say(end)} from the corner; the board of bay {through.bay.id} at "
                f"{case.say(top)} is {case.say(fronts[0])} deep",
            )

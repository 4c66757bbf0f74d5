"""The boards and rods of a bay with what has to be known to carry them: heights, depths, cleats.

Everything is in brief units. No layout is refused here: what makes no sense is left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from optimizer.domain.construction import Construction
from optimizer.domain.layout import Zone, ZoneKind
from optimizer.structure.fixings import TOUCH_IN
from optimizer.units import Units, floor_to

LEAST_CLEAT_IN = 0.75
"""Lowest cleat worth screwing on: common practice. A board with less room under it lies on
packing on the floor."""
TRIANGLE_SHARE = 0.75
"""Legs of a triangle under a board, of the board's depth: common practice."""


@dataclass(frozen=True, slots=True)
class Board:
    """One shelf board of a bay; `number` counts from the floor up, from 1.

    `below` is the height of the floor or of the top of the board under it. `cleat` is the height of
    its cleats, 0 where it has none and lies on packing. `cleat_back` is how far its back cleat
    stands off the wall, because of a baseboard behind it.
    """

    number: int
    zone: Zone
    is_top: bool
    underside: float
    below: float
    depth: float
    cleat: float
    cleat_back: float


def zone_depth(zone: Zone, bay_depth: float) -> float:
    """How far a zone reaches out from the wall."""
    return bay_depth if zone.depth is None else zone.depth


def boards_in(
    construction: Construction, units: Units, zones: Iterable[Zone], bay_depth: float
) -> tuple[Board, ...]:
    """Boards of a bay from the floor up."""
    # Sorted, since a layout drawn by hand may list its zones in any order.
    shelves = sorted(
        (zone for zone in zones if zone.kind is ZoneKind.SHELF), key=lambda zone: zone.bottom
    )
    found, below = [], 0.0
    for number, zone in enumerate(shelves, 1):
        underside = zone.bottom - construction.panel_thickness
        cleat = cleat_height(construction, units, underside - below)
        found.append(
            Board(
                number=number,
                zone=zone,
                is_top=number == len(shelves),
                underside=underside,
                below=below,
                depth=zone_depth(zone, bay_depth),
                cleat=cleat,
                cleat_back=off_the_wall(construction, underside - cleat),
            )
        )
        below = zone.bottom
    return tuple(found)


def off_the_wall(construction: Construction, bottom: float) -> float:
    """How far the baseboard keeps a part off the wall whose lower edge is at `bottom`."""
    # Only what reaches down to the baseboard stands off by it.
    behind = bottom < construction.baseboard_height - TOUCH_IN
    return construction.baseboard_thickness if behind else 0.0


def cleat_height(construction: Construction, units: Units, room: float) -> float:
    """Height of cleats with so much room under their board: lower where it is scant, or none."""
    height = min(construction.cleat_height, round(floor_to(room, units.grid), 6))
    least = units.from_inch(LEAST_CLEAT_IN - TOUCH_IN)
    return height if height >= least else 0.0


def has_stiffener(construction: Construction, board: Board, *, stiffened: bool) -> bool:
    """Whether a board has a front stiffener: in a stiffened bay, unless it lies on the floor."""
    room = board.underside - board.below
    return stiffened and room >= construction.stiffener_height - TOUCH_IN


def side_cleat_length(
    construction: Construction, units: Units, board: Board, *, stiffened: bool
) -> float:
    """Length of a side cleat: from the back cleat to short of the front, or of the stiffener."""
    front = construction.side_cleat_setback
    if has_stiffener(construction, board, stiffened=stiffened):
        front = construction.panel_thickness
    length = board.depth - board.cleat_back - construction.cleat_thickness - front
    return round(floor_to(length, units.grid), 6)


def side_cleat_reach(
    construction: Construction, units: Units, board: Board, *, stiffened: bool
) -> float:
    """How far out from the wall the front end of a side cleat is."""
    length = side_cleat_length(construction, units, board, stiffened=stiffened)
    return length + board.cleat_back + construction.cleat_thickness


def lies_on_uprights(construction: Construction, board: Board) -> bool:
    """Whether a board lies on the edges of its uprights: the top board of a level line."""
    return construction.top_line == "level" and board.is_top


def rod_heights(zones: Iterable[Zone]) -> tuple[float, ...]:
    """Centres of the rods of a bay, from the floor up; those without a height are left out."""
    heights = (zone.rod_height for zone in zones if zone.kind is ZoneKind.ROD)
    return tuple(sorted(height for height in heights if height is not None))


def rod_cleat_joined(construction: Construction, rod_height: float, underside: float) -> bool:
    """Whether a rod's cleat reaches up to the board over it, whose underside is given.

    It does where the two are one rod clearance apart, or less, or half the height of the cleat.
    """
    near = max(construction.rod_clearance, construction.rod_cleat_height / 2.0)
    return 0.0 <= underside - rod_height <= near + TOUCH_IN


def rod_cleat_height(
    construction: Construction, units: Units, rod_height: float, underside: float | None
) -> float:
    """Height of the cleat on a side wall that takes a rod's socket.

    From the board above, where it is one clearance away, or half of `rod_cleat_height` over
    the rod's centre, to that half under it.
    """
    half = construction.rod_cleat_height / 2.0
    over = half
    if underside is not None and rod_cleat_joined(construction, rod_height, underside):
        over = underside - rod_height
    return round(floor_to(over + half, units.grid), 6)


def rod_reach(construction: Construction, over: Board | None) -> float:
    """How far out from the wall a rod's cleat on a side wall reaches, with the board over it."""
    reach = construction.rod_setback + construction.rod_overlap
    board = 0.0 if over is None else over.depth - construction.side_cleat_setback
    return max(reach, board)


def upright_depth(construction: Construction, zones: Sequence[Zone], bay_depth: float) -> float:
    """Depth that a bay asks of its uprights, never more than its own.

    The deepest board, or `rod_overlap` past the centre of a rod, common practice; all of
    the bay's depth where it has neither.
    """
    depths = [zone_depth(z, bay_depth) for z in zones if z.kind is ZoneKind.SHELF]
    if any(zone.kind is ZoneKind.ROD for zone in zones):
        depths.append(construction.rod_setback + construction.rod_overlap)
    return min(bay_depth, max(depths)) if depths else bay_depth


def triangle_leg(units: Units, board: Board) -> float:
    """Legs of the triangle under a board: 3/4 of its depth, or what room there is under it."""
    room = board.underside - board.below
    leg = min(TRIANGLE_SHARE * board.depth, room)
    return round(floor_to(leg, units.grid), 6)

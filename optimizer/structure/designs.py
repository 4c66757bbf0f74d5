"""How each board and rod of a bay is held at its ends and between them: sizes, fasteners.

Strength takes its shares from here, the build pack its parts, hardware and mark-out lines, so that
what is checked is what is built. `part` is the id that a piece has in the cut list. Lengths are in
brief units, loads in pounds; `left` says at which end of the bay.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimizer.domain.layout import Bay, Carried
from optimizer.reference.materials import rod
from optimizer.structure.back_cleats import shared_cleat
from optimizer.structure.bay_surroundings import BaySurroundings, pieces_of
from optimizer.structure.cleats import (
    Held,
    WallCleat,
    board_on_wall,
    side_cleat,
    wall_cleat,
)
from optimizer.structure.fixings import spaced
from optimizer.structure.joints import joint_cleat, mid_support, rod_bracket, socket
from optimizer.structure.loadings import end_patch, end_piece, piece_load
from optimizer.structure.loads import rod_load_lb
from optimizer.structure.members import (
    TRIANGLE_SHARE,
    Board,
    rod_cleat_height,
    rod_cleat_joined,
    rod_heights,
    rod_reach,
    side_cleat_length,
    side_cleat_reach,
    triangle_leg,
)
from optimizer.units import floor_to

ROD_SPARE_IN = 0.5
"""Air between a triangle and the rod in front of it: common practice."""


@dataclass(frozen=True, slots=True)
class UprightCleat:
    """A side cleat on an upright, with its screws."""

    bay: Bay
    board: Board
    left: bool
    length: float
    screws: int
    held: Held

    @property
    def part(self) -> str:
        """Id of its part."""
        return f"{self.bay.id}-K{self.board.number}{letter(left=self.left)}"


@dataclass(frozen=True, slots=True)
class OnWall:
    """A cleat on a side wall, from `begin` to `reach` out from the corner, its top edge at `top`.

    `board` is what lies on it, `rod` the number of the rod whose socket sits on it; one of the two
    may be None. `shared` is the part of the next wall's back cleat that it is a piece of, if any.
    """

    bay: Bay
    left: bool
    board: Board | None
    rod: int | None
    begin: float
    reach: float
    top: float
    height: float
    held: WallCleat
    shared: str = ""

    @property
    def part(self) -> str:
        """Id of its part."""
        if self.shared:
            return self.shared
        side = letter(left=self.left)
        if self.rod is not None:
            return f"{self.bay.id}-Q{self.rod}{side}"
        number = 0 if self.board is None else self.board.number
        return f"{self.bay.id}-K{number}{side}"

    @property
    def length(self) -> float:
        """Length of the piece."""
        return self.reach - self.begin


@dataclass(frozen=True, slots=True)
class JointCleat:
    """A cleat flat under the joint of two boards in a wrapped corner.

    From `begin` to `reach` out from the wall of its bay, the joint at `at` along that wall.
    """

    bay: Bay
    board: Board
    left: bool
    at: float
    begin: float
    reach: float
    held: Held

    @property
    def part(self) -> str:
        """Id of its part."""
        return f"{self.bay.id}-J{self.board.number}{letter(left=self.left)}"


@dataclass(frozen=True, slots=True)
class MidSupport:
    """A triangle or a bracket under a board, at `at` along the wall.

    `place` counts from the left, from 1; `leg` is its height on the wall, `out` how far it reaches
    out under the board.
    """

    bay: Bay
    board: Board
    at: float
    place: int
    out: float
    leg: float
    held: Held

    @property
    def part(self) -> str:
        """Id of its part."""
        return f"{self.bay.id}-T{self.board.number}{place_letter(self.place)}"


@dataclass(frozen=True, slots=True)
class RodBracket:
    """A centre bracket of a rod, at `at` along the wall."""

    bay: Bay
    rod: int
    height: float
    at: float
    place: int
    held: Held

    @property
    def part(self) -> str:
        """What the report calls it."""
        return f"{self.bay.id}-C{self.rod}{place_letter(self.place)}"


@dataclass(frozen=True, slots=True)
class Socket:
    """A rod's socket on the face of an upright or on a rod cleat."""

    bay: Bay
    rod: int
    height: float
    left: bool
    on_panel: bool
    held: Held


def letter(*, left: bool) -> str:
    """L or R, for the ids of parts."""
    return "L" if left else "R"


def place_letter(place: int) -> str:
    """The letter of a mid support, for the ids of parts: a for the first from the left."""
    return chr(ord("a") + place - 1)


def upright_cleats(standing: BaySurroundings, bay: Bay, *, left: bool) -> Iterator[UprightCleat]:
    """Side cleats of a bay on its upright at one end; a board lying on the upright has none."""
    if (bay.left if left else bay.right) is not Carried.UPRIGHT:
        return
    rules, units = standing.construction, standing.units
    piece = end_piece(bay, left=left)
    for board in standing.boards(bay):
        length = side_cleat_length(rules, units, board, stiffened=bay.stiffened)
        if not board.cleat or length <= 0.0 or standing.rests(bay, board, left=left):
            continue
        load, least = piece_load(standing, bay, board, piece), spaced(length, units)
        held, count = side_cleat(rules, units, load, length=length, least=least)
        yield UprightCleat(bay, board, left, length, count, held)


def wall_cleats(standing: BaySurroundings, bay: Bay, *, left: bool) -> Iterator[OnWall]:
    """Cleats of a bay on the side wall at one end: rod cleats, then those of other boards."""
    if (bay.left if left else bay.right) is not Carried.WALL:
        return
    # A board close over a rod lies on the rod's cleat and needs none of its own.
    taken = set()
    for cleat in _rod_cleats(standing, bay, left=left):
        if cleat.board is not None:
            taken.add(cleat.board.number)
        yield cleat
    rules, units = standing.construction, standing.units
    for board in standing.boards(bay):
        length = side_cleat_length(rules, units, board, stiffened=bay.stiffened)
        if not board.cleat or board.number in taken or length <= 0.0:
            continue
        reach = side_cleat_reach(rules, units, board, stiffened=bay.stiffened)
        loads = _board_loads(standing, bay, board, reach, left=left)
        held = _on_wall(
            standing, bay, list(loads), board, reach=reach, height=board.cleat, left=left
        )
        yield OnWall(
            bay=bay,
            left=left,
            board=board,
            rod=None,
            begin=reach - length,
            reach=reach,
            top=board.underside,
            height=board.cleat,
            held=held,
            shared=shared_cleat(standing, bay, board, left=left),
        )


def _rod_cleats(standing: BaySurroundings, bay: Bay, *, left: bool) -> Iterator[OnWall]:
    """Cleats that take a rod's socket; of the board over it as well, where that is near."""
    rules, units = standing.construction, standing.units
    load = rod_load_lb(rules, units, end_piece(bay, left=left)) / 2.0
    used: set[int] = set()
    for number, height in enumerate(rod_heights(bay.zones), 1):
        over = next((b for b in standing.boards(bay) if b.underside >= height), None)
        near = over is not None and rod_cleat_joined(rules, height, over.underside)
        # Of two rods under one board only the first can share a cleat with it.
        board = over if near and over is not None and over.number not in used else None
        tall = rod_cleat_height(rules, units, height, board.underside if board else None)
        reach = rod_reach(rules, board)
        loads = [(load, rules.rod_setback)]
        top = height + rules.rod_cleat_height / 2.0
        if board is not None:
            used.add(board.number)
            top = board.underside
            # The board's own end load comes onto the joined cleat as well.
            loads += _board_loads(standing, bay, board, board.depth, left=left)
        yield OnWall(
            bay=bay,
            left=left,
            board=board,
            rod=number,
            begin=0.0 if board is None else board.cleat_back + rules.cleat_thickness,
            reach=reach,
            top=top,
            height=tall,
            held=_on_wall(standing, bay, loads, board, reach=reach, height=tall, left=left),
        )


def _board_loads(
    standing: BaySurroundings, bay: Bay, board: Board, reach: float, *, left: bool
) -> Iterator[tuple[float, float]]:
    """Loads of a board's end on its side wall, by their distance from the corner."""
    load = piece_load(standing, bay, board, end_piece(bay, left=left))
    yield from board_on_wall(load, reach)
    brought = end_patch(standing, bay, board, left=left)
    if brought is not None:
        yield brought.load, reach


def _on_wall(
    standing: BaySurroundings,
    bay: Bay,
    loads: list[tuple[float, float]],
    board: Board | None,
    *,
    reach: float,
    height: float,
    left: bool,
) -> WallCleat:
    """How a cleat on the side wall at that end is fastened under these loads."""
    return wall_cleat(
        standing.construction,
        standing.units,
        loads,
        reach=reach,
        height=height,
        studs=standing.studs_beside(bay, left=left),
        packing=0.0 if board is None else board.cleat_back,
    )


def joint_cleats(standing: BaySurroundings, bay: Bay, *, left: bool) -> Iterator[JointCleat]:
    """Cleats under the joints with the next wall's boards, at one end of a bay."""
    if (bay.left if left else bay.right) is not Carried.CORNER:
        return
    rules, units = standing.construction, standing.units
    piece = end_piece(bay, left=left)
    for board in standing.boards(bay):
        begin = board.cleat_back + rules.cleat_thickness
        reach = round(floor_to(board.depth - rules.side_cleat_setback, units.grid), 6)
        load = piece_load(standing, bay, board, piece) / 2.0
        held = joint_cleat(rules, units, load, reach - begin)
        at = bay.start if left else bay.end
        yield JointCleat(bay, board, left, at, begin, reach, held)


def mid_supports(standing: BaySurroundings, bay: Bay) -> Iterator[MidSupport]:
    """Triangles or brackets under the boards of a bay, place by place from the left."""
    rules, units = standing.construction, standing.units
    for place, at, length in _places(bay):
        for board in standing.boards(bay):
            if not board.cleat:
                continue
            load = piece_load(standing, bay, board, length)
            leg = triangle_leg(units, board)
            held = mid_support(rules, units, load, depth=board.depth, leg=leg)
            out = round(floor_to(_leg_out(standing, bay, board, leg), units.grid), 6)
            yield MidSupport(bay, board, at, place, out, leg, held)


def _leg_out(standing: BaySurroundings, bay: Bay, board: Board, leg: float) -> float:
    """How far out the leg of a triangle reaches: 3/4 of the depth, less where a rod is in its way.

    Its slope passes behind the rod with 1/2 in to spare.
    """
    rules, units = standing.construction, standing.units
    out = TRIANGLE_SHARE * board.depth
    # What is left between the wall and the rod's back, at the height of the rod.
    behind = rules.rod_setback - units.from_inch(rod(rules.rod_stock).outside / 2.0 + ROD_SPARE_IN)
    for height in rod_heights(bay.zones):
        down = board.underside - height
        if 0.0 < down < leg:
            # The slope falls from `out` at the board to 0 at the foot: at the rod's height it is
            # out x (1 - down / leg), which is not to be more than `behind`.
            out = min(out, behind / (1.0 - down / leg))
    return out


def rod_brackets(standing: BaySurroundings, bay: Bay) -> Iterator[RodBracket]:
    """Centre brackets of the rods of a bay, place by place from the left."""
    rules, units = standing.construction, standing.units
    for place, at, length in _places(bay):
        held = rod_bracket(rules, units, rod_load_lb(rules, units, length))
        for number, height in enumerate(rod_heights(bay.zones), 1):
            yield RodBracket(bay, number, height, at, place, held)


def _places(bay: Bay) -> Iterator[tuple[int, float, float]]:
    """Mid supports of a bay: number, position, and the length of board that each gets."""
    pieces = pieces_of(bay)
    for place in range(1, len(pieces)):
        yield place, pieces[place][0], (pieces[place][1] - pieces[place - 1][0]) / 2.0


def sockets(standing: BaySurroundings, bay: Bay, *, left: bool) -> Iterator[Socket]:
    """Sockets of the rods of a bay at one end."""
    carried = bay.left if left else bay.right
    # No rod hangs in a wrapped corner (R16).
    if carried is Carried.CORNER:
        return
    rules, units = standing.construction, standing.units
    load = rod_load_lb(rules, units, end_piece(bay, left=left)) / 2.0
    on_panel = carried is Carried.UPRIGHT
    for number, height in enumerate(rod_heights(bay.zones), 1):
        held = socket(rules, load, on_panel=on_panel)
        yield Socket(bay, number, height, left, on_panel, held)

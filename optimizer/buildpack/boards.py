"""Boards of a bay with what carries them: back and side cleats, and a stiffener in front."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimizer.buildpack.job import Job, boards_of, depth_of
from optimizer.domain.layout import Bay, Zone, ZoneKind
from optimizer.domain.pack import Box, Edge, Part, PartKind, Stock
from optimizer.errors import BuildError

LEAST_CLEAT_IN = 0.75
"""Lowest cleat worth screwing on: common practice. A board with less room under it lies on
packing on the floor."""
STRIP_MATERIAL = "softwood strip"
"""What cleats are cut from: it holds screws and brads better than the edge of a panel
(common practice)."""


@dataclass(frozen=True, slots=True)
class Board:
    """One shelf board with the clear height under it down to the floor or the next board.

    `underside` and `depth` in brief units; `cleat` is the height of its cleats, 0 where it
    lies on the floor or on packing; `back` is how far a baseboard holds the board off the
    wall and `cleat_back` how far it holds the back cleat off.
    """

    bay: Bay
    zone: Zone
    number: int
    is_top: bool
    underside: float
    below: float
    depth: float
    cleat: float
    back: float
    cleat_back: float

    @property
    def id(self) -> str:
        """Id of the board's part."""
        return f"{self.bay.id}-S{self.number}"


def boards_in(bay: Bay, job: Job) -> tuple[Board, ...]:
    """Boards of a bay from the floor up; BuildError where one lies on or in another."""
    zones, found = boards_of(bay), []
    below = 0.0
    for number, zone in enumerate(zones, 1):
        underside = zone.bottom - job.panel
        cleat = _cleat_height(underside - below, job)
        board = Board(
            bay=bay,
            zone=zone,
            number=number,
            is_top=number == len(zones),
            underside=underside,
            below=below,
            depth=depth_of(zone, bay),
            cleat=cleat,
            back=_off_the_wall(underside, job),
            cleat_back=_off_the_wall(underside - cleat, job),
        )
        _refuse_no_room(board, job)
        found.append(board)
        below = zone.bottom
    return tuple(found)


def _off_the_wall(bottom: float, job: Job) -> float:
    """How far the baseboard holds off what begins at `bottom`."""
    rules = job.construction
    return rules.baseboard_thickness if bottom < rules.baseboard_height - job.tolerance else 0.0


def _cleat_height(room: float, job: Job) -> float:
    """Height of cleats with so much room under their board: lower where it is scant, or none."""
    height = min(job.construction.cleat_height, job.cut(room))
    return height if height >= job.units.from_inch(LEAST_CLEAT_IN) - job.tolerance else 0.0


def _refuse_no_room(board: Board, job: Job) -> None:
    room = board.underside - board.below
    if room < -job.tolerance:
        raise BuildError(f"shelf {board.id} would stand in the floor or in the shelf below it")
    if board.below and not board.cleat:
        raise BuildError(
            f"shelf {board.id} is {job.short(max(room, 0.0))} above the shelf below: no room for "
            "its cleats"
        )


def side_cleat_length(board: Board, job: Job) -> float:
    """Length of a side cleat: from the back cleat to short of the front, or of the stiffener."""
    rules = job.construction
    front = job.panel if has_stiffener(board, job) else rules.side_cleat_setback
    return job.cut(board.depth - board.cleat_back - rules.cleat_thickness - front)


def parts_of_board(board: Board, job: Job) -> Iterator[Part]:
    """The board, its back cleat, two side cleats and, in a stiffened bay, its stiffener."""
    yield _shelf(board, job)
    if board.cleat:
        yield _back_cleat(board, job)
        yield _side_cleat(board, job, left=True)
        yield _side_cleat(board, job, left=False)
    if has_stiffener(board, job):
        yield _stiffener(board, job)


def has_stiffener(board: Board, job: Job) -> bool:
    """Whether a board has a front stiffener: in a stiffened bay, unless it lies on the floor."""
    room = board.underside - board.below
    return board.bay.stiffened and room >= job.construction.stiffener_height - job.tolerance


def over_rod(board: Board, job: Job) -> bool:
    """Whether a rod hangs under the board.

    Its stiffener then stands up on the front edge, so that hangers lift off (common
    practice); the composite section is the same.
    """
    return any(
        zone.kind is ZoneKind.ROD and abs(zone.top - board.underside) <= job.tolerance
        for zone in board.bay.zones
    )


def _clear_length(board: Board, job: Job) -> float:
    """Length of what lies between the uprights of a bay."""
    length = job.cut(board.bay.width - job.construction.shelf_clearance)
    if length <= 0.0:
        raise BuildError(f"bay {board.bay.id} is too narrow for a shelf: {board.bay.width:g} wide")
    return length


def _between(board: Board, length: float) -> float:
    """Left end of a piece of `length` centred in its bay."""
    return board.bay.start + (board.bay.width - length) / 2.0


def _shelf(board: Board, job: Job) -> Part:
    length, width = _clear_length(board, job), job.cut(board.depth - board.back)
    if width <= 0.0:
        raise BuildError(f"shelf {board.id} has no depth left in front of the baseboard")
    return Part(
        id=board.id,
        name="Top shelf" if board.is_top else "Shelf",
        kind=PartKind.TOP_SHELF if board.is_top else PartKind.SHELF,
        stock=Stock.SHEET,
        material=job.construction.material.value,
        length=length,
        width=width,
        thickness=job.panel,
        wall=board.bay.wall,
        bays=(board.bay.id,),
        box=Box(
            along=_between(board, length),
            out=board.back,
            bottom=board.underside,
            size_along=length,
            size_out=width,
            size_up=job.panel,
        ),
        grain=job.construction.grain,
        shown=(Edge.FRONT,),
        note=_shelf_note(board, job),
    )


def _shelf_note(board: Board, job: Job) -> str:
    notes = []
    if board.back:
        notes.append("less the baseboard behind it")
    if not board.cleat:
        lies = f"packing {job.short(board.underside)} thick" if board.underside else "the floor"
        notes.append(f"lies on {lies} at both ends, at the back and in the middle")
    return "; ".join(notes)


def _back_cleat(board: Board, job: Job) -> Part:
    rules, length = job.construction, _clear_length(board, job)
    note = (
        f"packed out {job.short(board.cleat_back)} over the baseboard" if board.cleat_back else ""
    )
    return Part(
        id=f"{board.bay.id}-K{board.number}",
        name="Back cleat",
        kind=PartKind.BACK_CLEAT,
        stock=Stock.STRIP,
        material=STRIP_MATERIAL,
        length=length,
        width=board.cleat,
        thickness=rules.cleat_thickness,
        wall=board.bay.wall,
        bays=(board.bay.id,),
        box=Box(
            along=_between(board, length),
            out=board.cleat_back,
            bottom=board.underside - board.cleat,
            size_along=length,
            size_out=rules.cleat_thickness,
            size_up=board.cleat,
        ),
        shown=(Edge.BOTTOM,),
        note=note,
    )


def _side_cleat(board: Board, job: Job, *, left: bool) -> Part:
    rules, length = job.construction, side_cleat_length(board, job)
    if length <= 0.0:
        raise BuildError(
            f"shelf {board.id} is {job.short(board.depth)} deep: its side cleats have no length"
        )
    bay = board.bay
    return Part(
        id=f"{bay.id}-K{board.number}{'L' if left else 'R'}",
        name="Side cleat",
        kind=PartKind.SIDE_CLEAT,
        stock=Stock.STRIP,
        material=STRIP_MATERIAL,
        length=length,
        width=board.cleat,
        thickness=rules.cleat_thickness,
        wall=bay.wall,
        bays=(bay.id,),
        box=Box(
            along=bay.start if left else bay.end - rules.cleat_thickness,
            out=board.cleat_back + rules.cleat_thickness,
            bottom=board.underside - board.cleat,
            size_along=rules.cleat_thickness,
            size_out=length,
            size_up=board.cleat,
        ),
        shown=(Edge.FRONT, Edge.BOTTOM),
    )


def _stiffener(board: Board, job: Job) -> Part:
    rules, length = job.construction, _clear_length(board, job)
    up = over_rod(board, job)
    place = "upright on the front edge" if up else "under the front"
    return Part(
        id=f"{board.bay.id}-N{board.number}",
        name="Stiffener",
        kind=PartKind.STIFFENER,
        stock=Stock.SHEET,
        material=rules.material.value,
        length=length,
        width=rules.stiffener_height,
        thickness=job.panel,
        wall=board.bay.wall,
        bays=(board.bay.id,),
        box=Box(
            along=_between(board, length),
            out=board.depth - job.panel,
            bottom=board.zone.bottom if up else board.underside - rules.stiffener_height,
            size_along=length,
            size_out=job.panel,
            size_up=rules.stiffener_height,
        ),
        grain=rules.grain,
        shown=(Edge.TOP,) if up else (Edge.BOTTOM,),
        note=f"glued and screwed {place} of {board.id}",
    )

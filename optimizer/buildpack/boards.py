"""Boards of a bay with what carries them: back and side cleats, and a stiffener in front."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimizer.buildpack.job import Job, boards_of, depth_of
from optimizer.domain.layout import Bay, Zone
from optimizer.domain.pack import Box, Edge, Part, PartKind, Stock
from optimizer.errors import BuildError

STRIP_MATERIAL = "softwood strip"
"""What cleats are cut from: it holds screws and brads better than the edge of a panel
(common practice)."""


@dataclass(frozen=True, slots=True)
class Board:
    """One shelf board with the clear height under it down to the floor or the next board.

    `underside` and `depth` in brief units; `back` is how far a baseboard holds the board
    off the wall and `cleat_back` how far it holds the back cleat off.
    """

    bay: Bay
    zone: Zone
    number: int
    is_top: bool
    underside: float
    below: float
    depth: float
    back: float
    cleat_back: float

    @property
    def id(self) -> str:
        """Id of the board's part."""
        return f"{self.bay.id}-S{self.number}"


def boards_in(bay: Bay, job: Job) -> tuple[Board, ...]:
    """Boards of a bay from the floor up; BuildError where no cleat fits under one."""
    rules, zones, found = job.construction, boards_of(bay), []
    below = 0.0
    for number, zone in enumerate(zones, 1):
        underside = zone.bottom - job.panel
        board = Board(
            bay=bay,
            zone=zone,
            number=number,
            is_top=number == len(zones),
            underside=underside,
            below=below,
            depth=depth_of(zone, bay),
            back=_off_the_wall(underside, job),
            cleat_back=_off_the_wall(underside - rules.cleat_height, job),
        )
        _refuse_no_room(board, job)
        found.append(board)
        below = zone.bottom
    return tuple(found)


def _off_the_wall(bottom: float, job: Job) -> float:
    """How far the baseboard holds off what begins at `bottom`."""
    rules = job.construction
    return rules.baseboard_thickness if bottom < rules.baseboard_height - job.tolerance else 0.0


def _refuse_no_room(board: Board, job: Job) -> None:
    cleat = job.construction.cleat_height
    room = board.underside - board.below
    if room >= cleat - job.tolerance:
        return
    under = "the floor" if not board.below else "the shelf below"
    raise BuildError(
        f"shelf {board.id} is {job.short(max(room, 0.0))} above {under}: no room for its cleats of "
        f"{job.short(cleat)}"
        + (
            f"; set base_height to {job.short(cleat + job.panel)} or more"
            if not board.below
            else ""
        )
    )


def side_cleat_length(board: Board, job: Job) -> float:
    """Length of a side cleat: from the back cleat to short of the front, or of the stiffener."""
    rules = job.construction
    front = job.panel if board.bay.stiffened else rules.side_cleat_setback
    return job.cut(board.depth - board.cleat_back - rules.cleat_thickness - front)


def parts_of_board(board: Board, job: Job) -> Iterator[Part]:
    """The board, its back cleat, two side cleats and, in a stiffened bay, its stiffener."""
    yield _shelf(board, job)
    yield _back_cleat(board, job)
    yield _side_cleat(board, job, left=True)
    yield _side_cleat(board, job, left=False)
    if board.bay.stiffened:
        yield _stiffener(board, job)


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
        note="less the baseboard behind it" if board.back else "",
    )


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
        width=rules.cleat_height,
        thickness=rules.cleat_thickness,
        wall=board.bay.wall,
        bays=(board.bay.id,),
        box=Box(
            along=_between(board, length),
            out=board.cleat_back,
            bottom=board.underside - rules.cleat_height,
            size_along=length,
            size_out=rules.cleat_thickness,
            size_up=rules.cleat_height,
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
        width=rules.cleat_height,
        thickness=rules.cleat_thickness,
        wall=bay.wall,
        bays=(bay.id,),
        box=Box(
            along=bay.start if left else bay.end - rules.cleat_thickness,
            out=board.cleat_back + rules.cleat_thickness,
            bottom=board.underside - rules.cleat_height,
            size_along=rules.cleat_thickness,
            size_out=length,
            size_up=rules.cleat_height,
        ),
        shown=(Edge.FRONT, Edge.BOTTOM),
    )


def _stiffener(board: Board, job: Job) -> Part:
    rules, length = job.construction, _clear_length(board, job)
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
            bottom=board.underside - rules.stiffener_height,
            size_along=length,
            size_out=job.panel,
            size_up=rules.stiffener_height,
        ),
        grain=rules.grain,
        shown=(Edge.BOTTOM,),
        note=f"glued and screwed under the front of {board.id}",
    )

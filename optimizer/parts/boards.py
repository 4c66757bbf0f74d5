"""Boards of a bay with what carries them: cleats, triangles, and a stiffener in front."""

from __future__ import annotations

from dataclasses import dataclass

from optimizer.domain.layout import Bay, Zone, ZoneKind
from optimizer.domain.pack import Box, Edge, Part, PartKind, Stock
from optimizer.errors import BuildError
from optimizer.parts.job import Job
from optimizer.structure import members
from optimizer.structure.members import off_the_wall


@dataclass(frozen=True, slots=True)
class BoardPart:
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
        """Id of the board's part, where it has one of its own."""
        return f"{self.bay.id}-S{self.number}"


def boards_in(bay: Bay, job: Job) -> tuple[BoardPart, ...]:
    """Boards of a bay from the floor up; BuildError where one lies on or in another."""
    found = tuple(_board(bay, board, job) for board in job.standing.boards(bay))
    for board in found:
        _refuse_no_room(board, job)
    return found


def _board(bay: Bay, board: members.Board, job: Job) -> BoardPart:
    """A board with what only its parts need to know."""
    return BoardPart(
        bay=bay,
        zone=board.zone,
        number=board.number,
        is_top=board.is_top,
        underside=board.underside,
        below=board.below,
        depth=board.depth,
        cleat=board.cleat,
        back=off_the_wall(job.construction, board.underside),
        cleat_back=board.cleat_back,
    )


def _refuse_no_room(board: BoardPart, job: Job) -> None:
    """BuildError for a board that cannot be where it is."""
    # A board on the floor lies on packing; one over another board needs cleats.
    room = board.underside - board.below
    if room < -job.tolerance:
        raise BuildError(f"shelf {board.id} would stand in the floor or in the shelf below it")
    if board.below and not board.cleat:
        raise BuildError(
            f"shelf {board.id} is {job.short(max(room, 0.0))} above the shelf below: no room for "
            "its cleats"
        )
    if board.depth - board.back <= 0.0:
        raise BuildError(f"shelf {board.id} has no depth left in front of the baseboard")


def has_stiffener(board: BoardPart, job: Job) -> bool:
    """Whether a board has a front stiffener: in a stiffened bay, unless it lies on the floor."""
    room = board.underside - board.below
    return board.bay.stiffened and room >= job.construction.stiffener_height - job.tolerance


def over_rod(board: BoardPart, job: Job) -> bool:
    """Whether a rod hangs under the board.

    Its stiffener then stands up on the front edge, so that hangers lift off (common
    practice); the composite section is the same.
    """
    return any(
        zone.kind is ZoneKind.ROD and abs(zone.top - board.underside) <= job.tolerance
        for zone in board.bay.zones
    )


def clear_length(bay: Bay, job: Job) -> float:
    """Length of what lies between the ends of a bay."""
    length = job.cut(bay.width - job.construction.shelf_clearance)
    if length <= 0.0:
        raise BuildError(f"bay {bay.id} is too narrow for a shelf: {bay.width:g} wide")
    return length


def between(bay: Bay, length: float) -> float:
    """Left end of a piece of `length` centred in its bay."""
    return bay.start + (bay.width - length) / 2.0


def shelf_part(board: BoardPart, job: Job) -> Part:
    """A board between the ends of its bay."""
    length = clear_length(board.bay, job)
    return board_part(
        board,
        job,
        part_id=board.id,
        start=between(board.bay, length),
        length=length,
        note=shelf_note(board, job),
    )


def board_part(
    board: BoardPart,
    job: Job,
    *,
    part_id: str,
    start: float,
    length: float,
    bays: tuple[str, ...] = (),
    note: str = "",
) -> Part:
    """A board of so much `length` from `start` of its wall, at the height of `board`."""
    # The front edge stays where the layout has it: what the baseboard takes comes off the back.
    width = job.cut(board.depth - board.back)
    return Part(
        id=part_id,
        name="Top shelf" if board.is_top else "Shelf",
        kind=PartKind.TOP_SHELF if board.is_top else PartKind.SHELF,
        stock=Stock.SHEET,
        material=job.construction.material.value,
        length=length,
        width=width,
        thickness=job.panel,
        wall=board.bay.wall,
        bays=bays or (board.bay.id,),
        box=Box(
            along=start,
            out=board.back,
            bottom=board.underside,
            size_along=length,
            size_out=width,
            size_up=job.panel,
        ),
        grain=job.construction.grain,
        shown=(Edge.FRONT,),
        note=note,
    )


def shelf_note(board: BoardPart, job: Job) -> str:
    """What to know of a board at the saw and at the wall."""
    notes = []
    if board.back:
        notes.append("less the baseboard behind it")
    if not board.cleat:
        lies = f"packing {job.short(board.underside)} thick" if board.underside else "the floor"
        notes.append(f"lies on {lies} at both ends, at the back and in the middle")
    spread = job.measured_on_site(board.bay)
    if spread:
        notes.append(
            f"measure and cut after the cleats are up: the readings of the wall differ by "
            f"{job.short(spread)}"
        )
    return "; ".join(notes)


def stiffener_part(board: BoardPart, job: Job) -> Part:
    """The strip on edge along the front of a board."""
    rules, length = job.construction, clear_length(board.bay, job)
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
            along=between(board.bay, length),
            # Flush with the board's front edge.
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

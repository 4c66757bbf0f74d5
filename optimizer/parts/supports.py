"""What carries the boards and rods of a bay: cleats on walls and uprights, triangles."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.domain.layout import Bay
from optimizer.domain.pack import Box, Edge, Part, PartKind, Stock
from optimizer.errors import BuildError
from optimizer.parts.job import Job
from optimizer.structure import designs
from optimizer.structure.back_cleats import BackCleat, back_cleats, is_backed
from optimizer.structure.joints import JOINT_CLEAT_IN
from optimizer.structure.members import Board, side_cleat_length

STRIP_MATERIAL = "softwood strip"
"""What cleats are cut from: it holds screws and brads better than the edge of a panel
(common practice)."""


def supports_in(bay: Bay, job: Job) -> Iterator[tuple[int, Part]]:
    """Every cleat and triangle of a bay, with the number of the board it carries.

    A rod cleat with no board on it comes with 0.
    """
    _refuse_shallow(bay, job)
    for back in back_cleats(job.standing, bay):
        yield back.board.number, _back_cleat(back, job)
    for left in (True, False):
        for side in designs.upright_cleats(job.standing, bay, left=left):
            yield side.board.number, _upright_cleat(side, job)
        own = (c for c in designs.wall_cleats(job.standing, bay, left=left) if not c.shared)
        for cleat in own:
            yield cleat.board.number if cleat.board else 0, _wall_cleat(cleat, job)
        for joint in designs.joint_cleats(job.standing, bay, left=left):
            yield joint.board.number, _joint_cleat(joint, job)
    # Brackets are bought, and in the hardware list.
    if job.construction.mid_support != "bracket":
        for support in designs.mid_supports(job.standing, bay):
            yield support.board.number, _triangle(support, job)


def _refuse_shallow(bay: Bay, job: Job) -> None:
    """Raise BuildError where a board is too shallow for its side cleats."""
    rules = job.construction
    for board in job.standing.boards(bay):
        front = side_cleat_length(rules, job.units, board, stiffened=bay.stiffened)
        if board.cleat and front <= 0.0:
            raise BuildError(
                f"shelf {bay.id}-S{board.number} is {job.short(board.depth)} deep: its side "
                "cleats have no length"
            )


def _strip(
    part_id: str,
    name: str,
    kind: PartKind,
    *bays: Bay,
    length: float,
    width: float,
    box: Box,
    job: Job,
    shown: tuple[Edge, ...],
    note: str = "",
) -> Part:
    """A part that is cut from softwood strip."""
    return Part(
        id=part_id,
        name=name,
        kind=kind,
        stock=Stock.STRIP,
        material=STRIP_MATERIAL,
        length=length,
        width=width,
        thickness=job.construction.cleat_thickness,
        wall=bays[0].wall,
        bays=tuple(bay.id for bay in bays),
        box=box,
        shown=shown,
        note=note,
    )


def _packed(board: Board, job: Job) -> str:
    """A note where a baseboard keeps a cleat off the wall."""
    back = board.cleat_back
    return f"packed out {job.short(back)} over the baseboard" if back else ""


def _back_cleat(cleat: BackCleat, job: Job) -> Part:
    """A back cleat as a part to cut."""
    rules, board = job.construction, cleat.board
    length = job.cut(cleat.end - cleat.start)
    if length <= 0.0:
        first = cleat.bays[0]
        raise BuildError(f"bay {first.id} is too narrow for a shelf: {first.width:g} wide")
    return _strip(
        cleat.part,
        "Back cleat",
        PartKind.BACK_CLEAT,
        *cleat.bays,
        length=length,
        width=board.cleat,
        box=Box(
            along=cleat.start,
            out=board.cleat_back,
            bottom=board.underside - board.cleat,
            size_along=length,
            size_out=rules.cleat_thickness,
            size_up=board.cleat,
        ),
        job=job,
        shown=(Edge.BOTTOM,),
        note="; ".join(note for note in (_packed(board, job), _through(cleat)) if note),
    )


def _through(cleat: BackCleat) -> str:
    """A note where a cleat runs on behind uprights, or to a corner."""
    notes = []
    if len(cleat.bays) > 1:
        notes.append(f"runs through behind {cleat.bays[0].id} to {cleat.bays[-1].id}")
    if cleat.carries:
        names = " and ".join(bay.id for bay in cleat.carries)
        notes.append(f"runs on to the corner under the boards of {names}")
    return "; ".join(notes)


def _upright_cleat(cleat: designs.UprightCleat, job: Job) -> Part:
    """A side cleat on an upright as a part to cut."""
    board = cleat.board
    begin = board.cleat_back + job.construction.cleat_thickness
    return _strip(
        cleat.part,
        "Side cleat",
        PartKind.SIDE_CLEAT,
        cleat.bay,
        length=cleat.length,
        width=board.cleat,
        box=_end_box(
            cleat.bay,
            left=cleat.left,
            thick=job.construction.cleat_thickness,
            out=begin,
            length=cleat.length,
            bottom=board.underside - board.cleat,
            height=board.cleat,
        ),
        job=job,
        shown=(Edge.FRONT, Edge.BOTTOM),
    )


def _end_box(
    bay: Bay,
    *,
    left: bool,
    thick: float,
    out: float,
    length: float,
    bottom: float,
    height: float,
) -> Box:
    """A piece `thick` that runs out from the wall at an end of a bay."""
    return Box(
        along=bay.start if left else bay.end - thick,
        out=out,
        bottom=bottom,
        size_along=thick,
        size_out=length,
        size_up=height,
    )


def _wall_cleat(cleat: designs.OnWall, job: Job) -> Part:
    """A side cleat on a side wall; a rod cleat is wider, and cut from the sheet."""
    wall = job.side_wall_of(cleat.bay, left=cleat.left)
    length = job.cut(cleat.length)
    rod = cleat.rod is not None
    box = _end_box(
        cleat.bay,
        left=cleat.left,
        # A rod cleat is wider than strips come, and so is cut from the sheet, in its thickness.
        thick=job.panel if rod else job.construction.cleat_thickness,
        out=cleat.begin,
        length=length,
        bottom=cleat.top - cleat.height,
        height=cleat.height,
    )
    if not rod:
        return _strip(
            cleat.part,
            "Side cleat",
            PartKind.SIDE_CLEAT,
            cleat.bay,
            length=length,
            width=cleat.height,
            box=box,
            job=job,
            shown=(Edge.FRONT, Edge.BOTTOM),
            note=f"on wall {wall}",
        )
    return Part(
        id=cleat.part,
        name="Rod cleat",
        kind=PartKind.ROD_CLEAT,
        stock=Stock.SHEET,
        material=job.construction.material.value,
        length=length,
        width=job.cut(cleat.height),
        thickness=job.panel,
        wall=cleat.bay.wall,
        bays=(cleat.bay.id,),
        box=box,
        grain=job.construction.grain,
        shown=(Edge.FRONT, Edge.BOTTOM) if cleat.board else (Edge.FRONT, Edge.TOP, Edge.BOTTOM),
        note=f"on wall {wall}, takes the socket of {cleat.bay.id}-R{cleat.rod}",
    )


def _joint_cleat(cleat: designs.JointCleat, job: Job) -> Part:
    """Flat under the boards of both walls, half under each."""
    width = job.cut(job.units.from_inch(JOINT_CLEAT_IN))
    length = job.cut(cleat.reach - cleat.begin)
    other = job.side_wall_of(cleat.bay, left=cleat.left)
    return Part(
        id=cleat.part,
        name="Joint cleat",
        kind=PartKind.JOINT_CLEAT,
        stock=Stock.SHEET,
        material=job.construction.material.value,
        length=length,
        width=width,
        thickness=job.panel,
        wall=cleat.bay.wall,
        bays=(cleat.bay.id,),
        box=Box(
            along=cleat.at - width / 2.0,
            out=cleat.begin,
            bottom=cleat.board.underside - job.panel,
            size_along=width,
            size_out=length,
            size_up=job.panel,
        ),
        grain=job.construction.grain,
        shown=(Edge.FRONT, Edge.LEFT, Edge.RIGHT),
        note=f"flat under the joint with the boards of wall {other}",
    )


def _triangle(support: designs.MidSupport, job: Job) -> Part:
    """A right triangle; its back edge is notched for the back cleat on site, where there is one."""
    board = support.board
    notched = (
        "; notch it over the back cleat" if is_backed(job.standing, support.bay, board) else ""
    )
    return Part(
        id=support.part,
        name="Triangle",
        kind=PartKind.TRIANGLE,
        stock=Stock.SHEET,
        material=job.construction.material.value,
        # A part's length is its longer side, whichever way it stands.
        length=max(support.out, support.leg),
        width=min(support.out, support.leg),
        thickness=job.panel,
        wall=support.bay.wall,
        bays=(support.bay.id,),
        box=Box(
            along=support.at - job.panel / 2.0,
            out=board.cleat_back,
            bottom=board.underside - support.leg,
            size_along=job.panel,
            size_out=support.out,
            size_up=support.leg,
        ),
        grain=job.construction.grain,
        shown=(Edge.FRONT,),
        note=f"right triangle, legs {job.short(support.out)} out and {job.short(support.leg)} "
        f"down: two from one rectangle, cut from corner to corner{notched}",
    )

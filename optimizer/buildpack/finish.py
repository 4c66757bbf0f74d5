"""Surfaces to finish, beads to caulk and edges to glue, from the parts as they stand."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from optimizer.buildpack.ends import side_wall
from optimizer.domain.pack import AreaUnit, Edge, FinishNeed, Part, PartKind
from optimizer.parts.boards import boards_in, has_stiffener
from optimizer.parts.job import Job
from optimizer.parts.strips import strips_on
from optimizer.parts.uprights import uprights_on
from optimizer.reference.prices import SQUARE_INCHES, PriceBook
from optimizer.structure import designs
from optimizer.units import Units


@dataclass(frozen=True, slots=True)
class Surfaces:
    """What is finished, caulked and glued: area [sq in], length of bead and of glue line [in]."""

    area: float
    bead: float
    glue: float


_ALONG = {
    PartKind.UPRIGHT: (Edge.FRONT,),
    PartKind.SHELF: (Edge.FRONT,),
    PartKind.TOP_SHELF: (Edge.FRONT,),
    PartKind.STIFFENER: (Edge.BOTTOM,),
    PartKind.BACK_CLEAT: (Edge.BOTTOM,),
    PartKind.SIDE_CLEAT: (Edge.BOTTOM,),
    PartKind.ROD_CLEAT: (Edge.TOP, Edge.BOTTOM),
    PartKind.JOINT_CLEAT: (Edge.LEFT, Edge.RIGHT),
    PartKind.HOOK_BOARD: (Edge.TOP, Edge.BOTTOM),
}
"""Edges that run along the length of each kind of part; its others run across."""

_FACES = {
    PartKind.UPRIGHT: 2,
    PartKind.SHELF: 2,
    PartKind.TOP_SHELF: 2,
    PartKind.STIFFENER: 2,
    PartKind.BACK_CLEAT: 1,
    PartKind.SIDE_CLEAT: 1,
    PartKind.ROD_CLEAT: 1,
    PartKind.JOINT_CLEAT: 1,
    PartKind.TRIANGLE: 2,
    PartKind.FILLER: 1,
    PartKind.SCRIBE: 1,
    PartKind.ROD: 0,
    PartKind.HOOK_BOARD: 1,
}
"""Faces that are finished: both of panels, the one in sight of what lies on a wall or panel."""


def part_surface(part: Part, *, hidden_face: bool = False) -> float:
    """Surface of one piece that is finished: faces and edges that show [square brief units]."""
    faces = _FACES[part.kind] - (1 if hidden_face else 0)
    area = faces * part.area
    # Its sloping edge shows; the others lie on the wall and under the board.
    if part.kind is PartKind.TRIANGLE:
        return area + part.thickness * math.hypot(part.length, part.width)
    along = _ALONG.get(part.kind, ())
    for edge in part.shown:
        area += part.thickness * (part.length if edge in along else part.width)
    return area


def edge_length(parts: Iterable[Part]) -> float:
    """Length of all edges that show [brief units]."""
    return sum(
        part.count * (part.length if edge in _ALONG.get(part.kind, ()) else part.width)
        for part in parts
        for edge in part.shown
    )


def surfaces_of(job: Job, parts: Iterable[Part]) -> Surfaces:
    """All that is finished, caulked and glued in a layout."""
    against = {
        upright.id
        for wall in job.bays_by_wall
        for upright in uprights_on(wall, job)
        if side_wall(upright, job) is not None
    }
    everything, one = tuple(parts), job.units.to_inch(1.0)
    # The face against a side wall is neither seen nor painted.
    area = sum(
        part_surface(part, hidden_face=part.id in against) * part.count for part in everything
    )
    return Surfaces(
        area=area * one**2,
        bead=_bead(job, everything, against) * one,
        glue=_glue(job) * one,
    )


def _bead(job: Job, parts: Iterable[Part], against: set[str]) -> float:
    """Beads where boards, uprights and strips meet the walls, and in gaps without a strip."""
    length = 0.0
    for part in parts:
        if part.kind is PartKind.UPRIGHT:
            # A bead at each face that meets the wall behind; against a side wall only one does.
            length += part.length * (1 if part.id in against else 2)
        elif part.kind in (PartKind.SHELF, PartKind.TOP_SHELF, PartKind.SCRIBE, PartKind.FILLER):
            length += part.length
    for wall in job.bays_by_wall:
        for strip in (s for s in strips_on(wall, job) if not s.part):
            tops = [
                upright.top
                for upright in uprights_on(wall, job)
                if min(
                    abs(upright.start - strip.start - strip.width),
                    abs(upright.start + job.panel - strip.start),
                )
                <= job.tolerance
            ]
            # A gap is caulked as high as the lower of the uprights beside it.
            length += min(tops, default=0.0)
    return length


def _glue(job: Job) -> float:
    """Glue lines of side cleats on uprights, of joint cleats and of stiffeners under boards."""
    length = 0.0
    for bays in job.bays_by_wall.values():
        for bay in bays:
            for left in (True, False):
                for side in designs.upright_cleats(job.standing, bay, left=left):
                    length += side.length
                for joint in designs.joint_cleats(job.standing, bay, left=left):
                    length += 2.0 * (joint.reach - joint.begin)
            for board in boards_in(bay, job):
                length += bay.width if has_stiffener(board, job) else 0.0
    return length


def finish_needs(job: Job, surfaces: Surfaces, book: PriceBook) -> tuple[FinishNeed, ...]:
    """How much of each finish of the price book the surfaces take.

    Areas are in sq ft or m2 by the units of the brief, amounts in the unit that the book sells by.
    """
    area_unit: AreaUnit = "sq ft" if job.units is Units.INCH else "m2"
    return tuple(
        FinishNeed(
            key=line.key,
            name=line.name,
            area=surfaces.area / SQUARE_INCHES[area_unit],
            area_unit=area_unit,
            coats=line.coats,
            amount=line.amount(surfaces.area),
            unit=line.unit,
        )
        for line in book.finish
        if line.coats
    )

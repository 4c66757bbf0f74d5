"""The mark-out schedule: what to draw on each wall and fasten to it, in the order of work.

Heights are given from the floor and from a level datum line, since floors slope: only the
datum is measured from the floor, at its highest point, and all else from the datum.
"""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.buildpack.ends import side_wall, studs_behind, studs_beside
from optimizer.buildpack.hardware import wall_screws
from optimizer.buildpack.mounts import mount_lines
from optimizer.buildpack.supportlines import (
    back_cleat_lines,
    end_lines,
    mid_support_lines,
    unbacked_lines,
)
from optimizer.domain.construction import Fastener
from optimizer.domain.layout import Bay, Carried
from optimizer.domain.pack import MarkoutLine
from optimizer.domain.room import Obstruction, ObstructionKind, Wall
from optimizer.domain.studs import stud_centres, studs_known
from optimizer.parts.hook_boards import mounts_on
from optimizer.parts.job import Job, rod_height_of, rods_of
from optimizer.parts.strips import Strip, strips_on
from optimizer.parts.uprights import Upright, bracket_heights, uprights_on
from optimizer.structure.fixings import stud_fixing

CABLE_REACH_IN = 3.0
"""A stud this near to an electric box probably has its cable along it: common practice."""
_ELECTRIC = (ObstructionKind.OUTLET, ObstructionKind.SWITCH, ObstructionKind.LIGHT)


def markout_of_job(job: Job) -> tuple[MarkoutLine, ...]:
    """The schedule of all walls with bays, cleats, hooks or mirrors.

    `order` counts from 1 on each wall.
    """
    # A cleat at a bay's end is marked on the wall that it is fixed to, not on the bay's.
    beside = [line for wall in job.bays_by_wall for line in _on_side_walls(wall, job)]
    found = []
    for wall in job.walls:
        lines = [line for line in beside if line.wall == wall]
        if wall in job.bays_by_wall or lines or mounts_on(wall, job):
            # Its own parts first, then those of other walls' bays that end on it.
            lines = [*_lines_on(wall, job), *lines]
            found += [
                line.model_copy(update={"order": order}) for order, line in enumerate(lines, 1)
            ]
    return tuple(found)


def _on_side_walls(wall: str, job: Job) -> Iterator[MarkoutLine]:
    """Cleats that carry the bays of a wall and are fastened to the walls beside it."""
    for bay in job.bays_by_wall[wall]:
        yield from (line for line in end_lines(bay, job) if line.wall != wall)


def _lines_on(wall: str, job: Job) -> Iterator[MarkoutLine]:
    """Everything that is marked on one wall but for what the bays beside it fasten there."""
    yield _datum(wall, job)
    yield _studs(job.walls[wall], job)
    uprights = uprights_on(wall, job)
    for upright in uprights:
        yield _upright(upright, job)
    for bay in job.bays_by_wall.get(wall, ()):
        yield from back_cleat_lines(bay, job)
        yield from unbacked_lines(bay, job)
        yield from (line for line in end_lines(bay, job) if line.wall == wall)
        yield from mid_support_lines(bay, job)
        for number, zone in enumerate(rods_of(bay), 1):
            yield _rod(bay, number, rod_height_of(zone, bay), job)
    yield from mount_lines(wall, job)
    for strip in strips_on(wall, job):
        yield _strip(strip, uprights, job)


def _from_datum(height: float, job: Job) -> float:
    """A height above the floor as a height above the datum line, negative below it."""
    return height - job.construction.datum_height


def _datum(wall: str, job: Job) -> MarkoutLine:
    """The level line from which every other height is measured."""
    height = job.construction.datum_height
    return MarkoutLine(
        order=1,
        wall=wall,
        kind="datum",
        part="",
        height=height,
        from_datum=0.0,
        start=0.0,
        end=job.walls[wall].clear_length,
        note=f"measure {job.short(height)} up at the highest point of the floor and draw a level "
        "line all round; measure every other height from this line",
    )


def _studs(wall: Wall, job: Job) -> MarkoutLine:
    """The studs of a wall, with what is not certain about them."""
    centres = stud_centres(wall, job.units)
    notes = []
    if not studs_known(wall):
        notes.append("assumed, not measured: find every stud before drilling and correct this list")
    near = [centre for centre in centres if _cable_near(centre, wall, job)]
    if near:
        places = ", ".join(job.short(centre) for centre in near)
        notes.append(f"an electric box is beside the stud at {places}: expect its cable there")
    return MarkoutLine(
        order=1,
        wall=wall.id,
        kind="stud",
        part="",
        height=job.construction.datum_height,
        from_datum=0.0,
        start=0.0,
        end=wall.clear_length,
        studs=centres,
        flagged=bool(notes),
        note="; ".join(notes),
    )


def _cable_near(centre: float, wall: Wall, job: Job) -> bool:
    """Whether a cable is likely along the stud at `centre`."""
    reach = job.units.from_inch(CABLE_REACH_IN)
    return any(
        thing.start - reach <= centre <= thing.start + thing.width + reach
        for thing in _boxes_on(wall, job)
    )


def _boxes_on(wall: Wall, job: Job) -> tuple[Obstruction, ...]:
    """Electric boxes of a wall."""
    return tuple(
        thing
        for thing in job.brief.room.obstructions
        if thing.wall == wall.id and thing.kind in _ELECTRIC
    )


def _upright(upright: Upright, job: Job) -> MarkoutLine:
    """Where an upright stands, how high it is and what it is fastened with."""
    beside = side_wall(upright, job)
    if beside is None:
        studs, notes = studs_behind(upright, job), [_bracket_note(upright, job)]
        fastener, length = "angle bracket", None
        count = len(bracket_heights(upright, job))
    else:
        # Screws go through the panel: longer by what it is thicker than a cleat.
        packing = job.panel - job.construction.cleat_thickness
        fixing = stud_fixing(job.construction, job.units, packing, kind=Fastener.SCREWS)
        fastener, length, count = fixing.name, fixing.length, wall_screws(upright.top, job)
        studs = studs_beside(upright, beside, job)
        notes = [_beside_note(beside, studs, job)]
        if job.construction.baseboard_thickness:
            notes.append(f"cut the baseboard of wall {beside.id} back where it stands")
    # Said, since an upright that stops just short of the ceiling looks like a slip of the saw.
    if upright.clear - upright.top <= job.construction.upright_clearance + job.tolerance:
        notes.append(f"ends {job.short(upright.clear - upright.top)} short of the ceiling")
    return MarkoutLine(
        order=1,
        wall=upright.wall,
        kind="upright",
        part=upright.id,
        height=upright.top,
        from_datum=_from_datum(upright.top, job),
        start=upright.start,
        end=upright.start + job.panel,
        studs=studs if beside is None else (),
        fastener=fastener,
        fastener_length=length,
        fasteners=count,
        flagged=not studs,
        note="; ".join(notes),
    )


def _bracket_note(upright: Upright, job: Job) -> str:
    """How an upright away from side walls is held to the wall behind it."""
    heights = bracket_heights(upright, job)
    above = [job.short(height) for height in heights if height > job.tolerance]
    where = f"at the foot and at {', '.join(above)}" if above else "at the foot"
    anchors = "" if studs_behind(upright, job) else ", into hollow-wall anchors: no stud behind it"
    return (
        f"plumb both faces; bracket{'s' if above else ''} to the wall {where}{anchors}; screw the "
        "ends of the back cleats to it"
    )


def _beside_note(beside: Wall, studs: tuple[float, ...], job: Job) -> str:
    """How an upright is fastened that stands flat against a side wall."""
    if not studs:
        return (
            f"flat against wall {beside.id}, where no stud is listed behind it: look for the "
            "stud in the corner, else use hollow-wall anchors"
        )
    places = ", ".join(job.short(centre) for centre in studs)
    return f"flat against wall {beside.id}: screw to its studs at {places} from its left end"


def _rod(bay: Bay, number: int, height: float, job: Job) -> MarkoutLine:
    """The height of a rod, and what its sockets are screwed to."""
    setback = job.short(job.construction.rod_setback)
    on = {Carried.UPRIGHT: "the face of the upright", Carried.WALL: "the rod cleat"}
    ends = [on.get(end, "a cleat") for end in (bay.left, bay.right)]
    where = f"both {ends[0][4:]}s" if ends[0] == ends[1] else f"{ends[0]} left, {ends[1]} right"
    if ends[0] == ends[1] == on[Carried.UPRIGHT]:
        where = "the faces of both uprights"
    return MarkoutLine(
        order=1,
        wall=bay.wall,
        kind="rod",
        part=f"{bay.id}-R{number}",
        height=height,
        from_datum=_from_datum(height, job),
        start=bay.start,
        end=bay.end,
        fastener="rod socket with its screws",
        fasteners=2,
        note=f"centre of the sockets, {setback} from the wall, on {where}",
    )


def _strip(strip: Strip, uprights: tuple[Upright, ...], job: Job) -> MarkoutLine:
    """A filler, a scribe strip or a caulked gap beside the uprights."""
    end = strip.start + strip.width
    beside = [
        upright.top
        for upright in uprights
        if min(abs(upright.start - end), abs(upright.start + job.panel - strip.start))
        <= job.tolerance
    ]
    top = min(beside, default=0.0)
    words = {"scribe": "scribe to the wall", "filler": "closes the gap"}
    note = words[strip.kind] if strip.part else f"caulk the gap of {job.short(strip.width)}"
    if strip.spread:
        note += f"; the gap runs up to {job.short(strip.spread)} wider where the wall falls back"
    return MarkoutLine(
        order=1,
        wall=strip.wall,
        kind="filler",
        part=strip.part,
        height=top,
        from_datum=_from_datum(top, job),
        start=strip.start,
        end=end,
        fastener="18 ga brad" if strip.part else "caulk",
        note=note,
    )

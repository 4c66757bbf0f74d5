"""The mark-out schedule: what to draw on each wall and fasten to it, in the order of work.

Heights are given from the floor and from a level datum line, since floors slope: only the
datum is measured from the floor, at its highest point, and all else from the datum.
"""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.buildpack.cleatlines import CleatLine, cleat_lines_in, no_stud_advice
from optimizer.buildpack.ends import side_wall, studs_behind, studs_beside
from optimizer.buildpack.hardware import BRACKETS_PER_UPRIGHT, WALL_SCREWS_PER_UPRIGHT
from optimizer.buildpack.job import Job, rod_height_of, rods_of
from optimizer.buildpack.strips import caulked_on, fillers_on
from optimizer.buildpack.uprights import Upright, uprights_on
from optimizer.domain.brief import Brief
from optimizer.domain.construction import Fastener
from optimizer.domain.layout import Bay, Filler, Layout
from optimizer.domain.pack import MarkoutLine
from optimizer.domain.room import Obstruction, ObstructionKind, Wall
from optimizer.domain.studs import stud_centres, studs_known
from optimizer.structure.fixings import length_limit, stud_fixing

CABLE_REACH_IN = 3.0
"""A stud this near to an electric box probably has its cable along it: common practice."""
_ELECTRIC = (ObstructionKind.OUTLET, ObstructionKind.SWITCH, ObstructionKind.LIGHT)


def markout(brief: Brief, layout: Layout) -> tuple[MarkoutLine, ...]:
    """The schedule of all walls with bays; `order` counts from 1 on each wall."""
    return markout_of_job(Job(brief, layout))


def markout_of_job(job: Job) -> tuple[MarkoutLine, ...]:
    """As `markout`, of a job at hand."""
    return tuple(
        line.model_copy(update={"order": order})
        for wall in job.bays_by_wall
        for order, line in enumerate(_lines_on(wall, job), 1)
    )


def _lines_on(wall: str, job: Job) -> Iterator[MarkoutLine]:
    yield _datum(wall, job)
    yield _studs(job.walls[wall], job)
    uprights = uprights_on(wall, job)
    for upright in uprights:
        yield _upright(upright, job)
    for bay in job.bays_by_wall[wall]:
        for line in cleat_lines_in(bay, job):
            yield _cleat(line, job)
        for number, zone in enumerate(rods_of(bay), 1):
            yield _rod(bay, number, rod_height_of(zone, bay), job)
    for number, strip in enumerate(fillers_on(wall, job), 1):
        yield _strip(f"{wall}-F{number}", strip, uprights, job)
    for strip in caulked_on(wall, job):
        yield _strip("", strip, uprights, job)


def _from_datum(height: float, job: Job) -> float:
    return height - job.construction.datum_height


def _datum(wall: str, job: Job) -> MarkoutLine:
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
    beside = side_wall(upright, job)
    if beside is None:
        studs = studs_behind(upright, job)
        fastener, length, count = "angle bracket", None, BRACKETS_PER_UPRIGHT
        notes = [
            "plumb both faces; brackets at the head and near the foot"
            + ("" if studs else ", into hollow-wall anchors: no stud stands behind it")
        ]
    else:
        packing = job.panel - job.construction.cleat_thickness
        fixing = stud_fixing(job.construction, job.units, packing, kind=Fastener.SCREWS)
        fastener, length, count = fixing.name, fixing.length, WALL_SCREWS_PER_UPRIGHT
        studs = studs_beside(upright, beside, job)
        notes = [_beside_note(beside, studs, job)]
        if job.construction.baseboard_thickness:
            notes.append(f"cut the baseboard of wall {beside.id} back where it stands")
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


def _beside_note(beside: Wall, studs: tuple[float, ...], job: Job) -> str:
    if not studs:
        return (
            f"flat against wall {beside.id}, where no stud is listed behind it: look for the "
            "stud in the corner, else use hollow-wall anchors"
        )
    places = ", ".join(job.short(centre) for centre in studs)
    return f"flat against wall {beside.id}: screw to its studs at {places} from its left end"


def _cleat(line: CleatLine, job: Job) -> MarkoutLine:
    fixing, board = line.fixing, line.board
    limit = job.short(length_limit(job.construction, line.packing))
    notes = [f"top edge; side cleats {line.part}L and {line.part}R level with it"]
    if line.packing:
        notes.append(f"pack it out {job.short(line.packing)} over the baseboard")
    if not line.studs:
        notes.append(f"CATCHES NO STUD: {no_stud_advice(line, job)}")
    else:
        notes.append(f"no fastener longer than {limit} here: cables and pipes")
    if len(line.studs) == 1:
        notes.append("one stud only: put a hollow-wall anchor near the far end")
    return MarkoutLine(
        order=1,
        wall=board.bay.wall,
        kind="cleat",
        part=line.part,
        height=line.top,
        from_datum=_from_datum(line.top, job),
        start=line.start,
        end=line.end,
        studs=line.studs,
        fastener=fixing.name if line.studs else "hollow-wall anchor",
        fastener_length=fixing.length if line.studs else None,
        fasteners=line.fasteners or line.anchors,
        flagged=not line.studs,
        note="; ".join(notes),
    )


def _rod(bay: Bay, number: int, height: float, job: Job) -> MarkoutLine:
    setback = job.short(job.construction.rod_setback)
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
        note=f"centre of the sockets, {setback} from the wall, on the faces of both uprights",
    )


def _strip(part: str, strip: Filler, uprights: tuple[Upright, ...], job: Job) -> MarkoutLine:
    end = strip.start + strip.width
    beside = [
        upright.top
        for upright in uprights
        if min(abs(upright.start - end), abs(upright.start + job.panel - strip.start))
        <= job.tolerance
    ]
    top = min(beside, default=0.0)
    words = {"scribe": "scribe to the wall", "filler": "closes the gap"}
    return MarkoutLine(
        order=1,
        wall=strip.wall,
        kind="filler",
        part=part,
        height=top,
        from_datum=_from_datum(top, job),
        start=strip.start,
        end=end,
        fastener="18 ga brad" if part else "caulk",
        note=words[strip.kind] if part else f"caulk the gap of {job.short(strip.width)}",
    )

"""What building asks of the room: what is patched and painted, where baseboard and carpet are
cut, what to check again."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.buildpack.ends import side_wall
from optimizer.domain.pack import AreaUnit, BaseboardCut, CarpetCut, RoomSurface, SiteCheck
from optimizer.domain.room import Opening, OpeningKind, Wall
from optimizer.domain.studs import stud_centres, studs_known
from optimizer.geometry.outline import outline_of
from optimizer.parts.job import Job
from optimizer.parts.uprights import uprights_on
from optimizer.reference.prices import SQUARE_INCHES
from optimizer.units import Units


def baseboard_cuts(job: Job) -> tuple[BaseboardCut, ...]:
    """Pieces of baseboard that come off: behind uprights that stand flat against a side wall.

    Elsewhere uprights are notched over it. None where the brief tells of no baseboard.
    """
    rules = job.construction
    if not (rules.baseboard_height and rules.baseboard_thickness):
        return ()
    return tuple(cut for wall in job.bays_by_wall for cut in _cuts_beside(wall, job))


def _cuts_beside(wall: str, job: Job) -> Iterator[BaseboardCut]:
    """Pieces of baseboard behind the end uprights of one wall."""
    for upright in uprights_on(wall, job):
        beside = side_wall(upright, job)
        if beside is not None:
            at_left = upright.start <= job.construction.caulk_limit + job.tolerance
            length = beside.clear_length
            start = max(length - upright.depth, 0.0) if at_left else 0.0
            end = length if at_left else min(upright.depth, length)
            yield BaseboardCut(wall=beside.id, start=start, end=end, part=upright.id)


def carpet_cuts(job: Job) -> tuple[CarpetCut, ...]:
    """Where uprights stand on carpet; none where the brief tells of none."""
    if not job.construction.carpet_thickness:
        return ()
    return tuple(
        CarpetCut(
            wall=wall,
            start=upright.start,
            end=upright.start + job.panel,
            depth=upright.depth,
            part=upright.id,
        )
        for wall in job.bays_by_wall
        for upright in uprights_on(wall, job)
    )


def room_surfaces(job: Job) -> tuple[RoomSurface, ...]:
    """Every wall without its openings, those that storage is fixed to first, then the ceiling of a
    closed room, in plan."""
    room = job.brief.room
    unit: AreaUnit = "sq ft" if job.units is Units.INCH else "m2"
    # Areas come in square brief units: so many of them make one of the unit that is told.
    per_unit = SQUARE_INCHES[unit] / job.units.to_inch(1.0) ** 2
    carrying = {
        *job.bays_by_wall,
        *(other.id for w in job.bays_by_wall for other in job.standing.beside[w] if other),
    }
    walls = [
        RoomSurface(
            wall=wall.id,
            area=_wall_area(wall, job) / per_unit,
            area_unit=unit,
            carries=wall.id in carrying,
        )
        for wall in room.walls
    ]
    # Sorting keeps the room's order among equals.
    found = sorted(walls, key=lambda surface: not surface.carries)
    polygon = outline_of(room, job.units).polygon
    if polygon is not None:
        found.append(RoomSurface(area=polygon.area / per_unit, area_unit=unit))
    return tuple(found)


def _wall_area(wall: Wall, job: Job) -> float:
    """Area of a wall, its ceiling line level or sloped, less its openings [sq brief units]."""
    room = job.brief.room
    ends = [wall.height_at(at, room.ceiling_height) for at in (0.0, wall.clear_length)]
    openings = sum(one.width * one.height for one in room.openings if one.wall == wall.id)
    return max(wall.clear_length * sum(ends) / 2.0 - openings, 0.0)


def site_checks(job: Job) -> tuple[SiteCheck, ...]:
    """What to measure and find again on site, with what the pack was made for."""
    walls = [job.walls[name] for name in job.bays_by_wall]
    beside = dict.fromkeys(
        other.id
        for wall in job.bays_by_wall
        for other in job.standing.beside[wall]
        if other is not None
    )
    # Walls without bays of their own, on which ends of bays are fixed: their studs matter as well.
    others = [job.walls[name] for name in beside if name not in job.bays_by_wall]
    return (
        *(check for wall in walls for check in _of_wall(wall, job)),
        *(_length(wall, "floor and top", job) for wall in others),
        *_studs(walls + others, job),
        *(_opening(opening, job) for opening in job.brief.room.openings),
        *_stock(job),
        SiteCheck(
            what="Cables and pipes: look with a finder along every cleat line and upright",
            planned="none met",
        ),
    )


def _length(wall: Wall, where: str, job: Job) -> SiteCheck:
    """A wall's length to be measured again."""
    return SiteCheck(wall=wall.id, what=f"Length, {where}", planned=job.short(wall.clear_length))


def _of_wall(wall: Wall, job: Job) -> Iterator[SiteCheck]:
    """What to measure on a wall that carries bays: length, height, flatness, floor, corners."""
    yield _length(wall, "floor, waist, top board", job)
    left = wall.height_at(0.0, job.brief.room.ceiling_height)
    right = wall.height_at(wall.clear_length, job.brief.room.ceiling_height)
    heights = job.short(left) if left == right else f"{job.short(left)} and {job.short(right)}"
    yield SiteCheck(wall=wall.id, what="Height, left and right end", planned=heights)
    yield SiteCheck(
        wall=wall.id,
        what="Plumb and flat, largest gap",
        planned=f"{job.short(job.construction.caulk_limit)}; more: shim or scribe",
    )
    yield SiteCheck(
        wall=wall.id,
        what="Floor: highest point, fall",
        planned="level line from its top",
    )
    corners = [other.id for other in job.standing.beside[wall.id] if other is not None]
    if corners:
        yield SiteCheck(
            wall=wall.id,
            what=f"Corners with {' and '.join(corners)}",
            planned="square; else a template",
        )


def _studs(walls: list[Wall], job: Job) -> Iterator[SiteCheck]:
    """The studs to be found on each wall."""
    for wall in walls:
        places = ", ".join(job.short(at) for at in stud_centres(wall, job.units)) or "none"
        assumed = "" if studs_known(wall) else " (assumed)"
        yield SiteCheck(wall=wall.id, what="Stud centres", planned=f"{places}{assumed}")


def _opening(opening: Opening, job: Job) -> SiteCheck:
    """An opening to be measured again."""
    words = f"Opening at {job.short(opening.start)}, clear size"
    if opening.kind is OpeningKind.HINGED_IN:
        words += "; its leaf swings free"
    size = f"{job.short(opening.width)} x {job.short(opening.height)}"
    return SiteCheck(wall=opening.wall, what=words, planned=size)


def _stock(job: Job) -> Iterator[SiteCheck]:
    """What was bought or found on site and has to be as the brief says."""
    rules = job.construction
    yield SiteCheck(what="Thickness of sheets, three places", planned=job.short(job.panel))
    yield SiteCheck(what="Width of the blade's cut, in scrap", planned=job.short(rules.kerf))
    planned = "none told"
    if rules.baseboard_height and rules.baseboard_thickness:
        planned = f"{job.short(rules.baseboard_height)} x {job.short(rules.baseboard_thickness)}"
    yield SiteCheck(what="Baseboard, height x thickness", planned=planned)
    carpet = job.short(rules.carpet_thickness) if rules.carpet_thickness else "none told"
    yield SiteCheck(what="Carpet, pressed", planned=carpet)

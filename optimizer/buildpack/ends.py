"""What an upright stands against: a side wall or none, and the studs behind or beside it."""

from __future__ import annotations

from optimizer.buildpack.fixings import studs_caught
from optimizer.buildpack.job import Job
from optimizer.buildpack.uprights import Upright
from optimizer.domain.room import Room, Wall
from optimizer.domain.studs import STUD_WIDTH_IN, stud_centres
from optimizer.units import Units

CLOSING_GAP_IN = 0.5
"""A room closes when its walls end this near to where they began (rules of a layout)."""


def room_closes(room: Room, units: Units) -> bool:
    """Whether the walls go all the way round: four inside corners more than outside ones."""
    turns = [1 if wall.corner == "inside" else -1 for wall in room.walls]
    if sum(turns) != 4:
        return False
    x = y = 0.0
    along, across = 1, 0
    for wall, turn in zip(room.walls, turns, strict=True):
        x, y = x + along * wall.clear_length, y + across * wall.clear_length
        along, across = (across, -along) if turn == 1 else (-across, along)
    return bool(max(abs(x), abs(y)) <= units.from_inch(CLOSING_GAP_IN))


def neighbours(wall_id: str, room: Room, units: Units) -> tuple[Wall | None, Wall | None]:
    """Walls that meet this one at an inside corner, at its left end and at its right end."""
    walls, closed = room.walls, room_closes(room, units)
    index = next(i for i, wall in enumerate(walls) if wall.id == wall_id)
    before = walls[index - 1] if index > 0 or closed else None
    after = walls[(index + 1) % len(walls)] if index + 1 < len(walls) or closed else None
    left = before if before is not None and before.corner == "inside" else None
    right = after if walls[index].corner == "inside" else None
    return left, right


def side_wall(upright: Upright, job: Job) -> Wall | None:
    """The wall that an upright's whole face stands against, if any."""
    left, right = neighbours(upright.wall, job.brief.room, job.units)
    slack = job.construction.caulk_limit + job.tolerance
    if upright.start <= slack:
        return left
    end = job.walls[upright.wall].clear_length
    return right if upright.start + job.panel >= end - slack else None


def studs_behind(upright: Upright, job: Job) -> tuple[float, ...]:
    """Studs whose face an angle bracket beside the upright can reach."""
    reach = job.units.from_inch(STUD_WIDTH_IN) / 2.0 + job.panel / 2.0
    middle = upright.start + job.panel / 2.0
    centres = stud_centres(job.walls[upright.wall], job.units)
    return tuple(centre for centre in centres if abs(centre - middle) <= reach + job.tolerance)


def studs_beside(upright: Upright, beside: Wall, job: Job) -> tuple[float, ...]:
    """Studs of the side wall that lie behind the upright's face."""
    left = upright.start <= job.construction.caulk_limit + job.tolerance
    length = beside.clear_length
    start, end = (length - upright.depth, length) if left else (0.0, upright.depth)
    return studs_caught(beside, start, end, job)

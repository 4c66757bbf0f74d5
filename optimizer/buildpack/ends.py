"""What an upright stands against: a side wall or none, and the studs behind or beside it."""

from __future__ import annotations

from optimizer.domain.room import Wall
from optimizer.domain.studs import STUD_WIDTH_IN, stud_centres
from optimizer.parts.job import Job
from optimizer.parts.uprights import Upright
from optimizer.structure.bay_surroundings import neighbours
from optimizer.structure.fixings import studs_caught


def side_wall(upright: Upright, job: Job) -> Wall | None:
    """The wall that an upright's whole face stands against, if any."""
    left, right = neighbours(upright.wall, job.brief.room, job.units)
    # A gap that caulk fills still counts as flat against the wall.
    slack = job.construction.caulk_limit + job.tolerance
    if upright.start <= slack:
        return left
    end = job.walls[upright.wall].clear_length
    return right if upright.start + job.panel >= end - slack else None


def studs_behind(upright: Upright, job: Job) -> tuple[float, ...]:
    """Studs whose face an angle bracket beside the upright can reach."""
    # A bracket stands beside the panel, on either face: half of it and half a stud away.
    reach = job.units.from_inch(STUD_WIDTH_IN) / 2.0 + job.panel / 2.0
    middle = upright.start + job.panel / 2.0
    centres = stud_centres(job.walls[upright.wall], job.units)
    return tuple(centre for centre in centres if abs(centre - middle) <= reach + job.tolerance)


def studs_beside(upright: Upright, beside: Wall, job: Job) -> tuple[float, ...]:
    """Studs of the side wall that lie behind the upright's face."""
    left = upright.start <= job.construction.caulk_limit + job.tolerance
    length = beside.clear_length
    start, end = (length - upright.depth, length) if left else (0.0, upright.depth)
    return studs_caught(beside, start, end, job.units)

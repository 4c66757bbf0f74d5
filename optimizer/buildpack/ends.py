"""Where a run of bays ends against a side wall, and what that wall is."""

from __future__ import annotations

from optimizer.buildpack.job import Job
from optimizer.buildpack.uprights import Upright
from optimizer.domain.room import Room, Wall
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

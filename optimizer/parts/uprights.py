"""Uprights of a layout: one between neighbours that share it, each with depth and height."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from optimizer.domain.layout import Bay, Carried
from optimizer.errors import BuildError
from optimizer.parts.job import Job, boards_of
from optimizer.structure.back_cleats import is_backed
from optimizer.structure.bay_surroundings import StandingUpright
from optimizer.structure.members import upright_depth


@dataclass(frozen=True, slots=True)
class Upright:
    """A panel standing on the floor at [start, start + panel] of a wall.

    `number` counts from the wall's left end. `left_bay` and `right_bay` are the
    bays at its sides; `top` is where it ends and `clear` the room's height there.
    """

    wall: str
    number: int
    start: float
    depth: float
    top: float
    clear: float
    left_bay: Bay | None
    right_bay: Bay | None

    @property
    def id(self) -> str:
        """Id of its part."""
        return f"{self.wall}-U{self.number}"

    @property
    def bays(self) -> tuple[Bay, ...]:
        """Bays that it bounds, from left to right."""
        return tuple(bay for bay in (self.left_bay, self.right_bay) if bay is not None)


def _top(bays: Iterable[Bay], clear: float, job: Job) -> float:
    """Where an upright ends: under the top board that lies on it, else at the highest board.

    Short of a ceiling it would reach.
    """
    wanted = max(_line(bay, job) for bay in bays)
    return min(wanted, clear - job.construction.upright_clearance)


def _line(bay: Bay, job: Job) -> float:
    """The height that a bay asks of its uprights."""
    on_top = any(bay in run.bays for run in job.standing.top_runs(bay.wall))
    # The board lies on the upright, and its top is the bay's height.
    return bay.height - job.panel if on_top else bay.height


def uprights_on(wall: str, job: Job) -> tuple[Upright, ...]:
    """Uprights of one wall from left to right; none at ends that wall or corner carry.

    Raises BuildError where a bay's boards stand above its uprights.
    """
    known = job.uprights.get(wall)
    if known is None:
        for bay in job.bays_by_wall.get(wall, ()):
            _refuse_high_board(bay, job)
        known = tuple(_upright(wall, standing, job) for standing in job.standing.uprights(wall))
        job.uprights[wall] = known
    return known


def _upright(wall: str, standing: StandingUpright, job: Job) -> Upright:
    """An upright with its depth, its top and the ceiling over it."""
    # Over its whole thickness: under a slope its two faces have other heights.
    clear = job.clear_height(wall, max(standing.start, 0.0), standing.start + job.panel)
    rules = job.construction
    return Upright(
        wall=wall,
        number=standing.number,
        start=standing.start,
        depth=max(upright_depth(rules, bay.zones, bay.depth) for bay in standing.bays),
        top=_top(standing.bays, clear, job),
        clear=clear,
        left_bay=standing.left,
        right_bay=standing.right,
    )


def covered(upright: Upright, job: Job) -> bool:
    """Whether a top board lies on the upright, so that its top edge does not show."""
    return any(
        run.start < upright.start + job.panel - job.tolerance
        and upright.start + job.tolerance < run.end
        and abs(run.bays[0].height - job.panel - upright.top) <= job.tolerance
        for run in job.standing.top_runs(upright.wall)
    )


def bracket_heights(upright: Upright, job: Job) -> tuple[float, ...]:
    """Heights of the angle brackets that hold an upright's back edge to the wall.

    One at the foot, and as many between the cleats it meets as keep the holds within
    `upright_hold`; one at the head where it meets none.
    """
    # The back cleats hold it as well, and boards on the floor: brackets only in between.
    levels = sorted(
        {
            board.underside
            for bay in upright.bays
            for board in job.standing.boards(bay)
            if not board.cleat or is_backed(job.standing, bay, board)
        }
    )
    ends = [0.0, *(levels or [upright.top])]
    found = [0.0]
    for low, high in pairwise(ends):
        more = math.ceil((high - low) / job.construction.upright_hold - 1e-9) - 1
        step = (high - low) / (more + 1)
        found += [round(low + step * number, 6) for number in range(1, more + 1)]
    return (*found, upright.top) if not levels else tuple(found)


def _refuse_high_board(bay: Bay, job: Job) -> None:
    """BuildError for a board above its uprights or the ceiling."""
    highest = max((zone.bottom for zone in boards_of(bay)), default=0.0)
    left = bay.start - (job.panel if bay.left is Carried.UPRIGHT else 0.0)
    right = bay.end + (job.panel if bay.right is Carried.UPRIGHT else 0.0)
    clear = job.clear_height(bay.wall, max(left, 0.0), right)
    if highest > min(bay.height, clear) + job.tolerance:
        raise BuildError(
            f"bay {bay.id} has a shelf at {job.short(highest)}: its uprights end at "
            f"{job.short(bay.height)} and the ceiling over it is at {job.short(clear)}"
        )

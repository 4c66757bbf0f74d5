"""Uprights of a layout: one between neighbours that share it, each with depth and height."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from optimizer.buildpack.job import Job, boards_of, depth_of, rods_of
from optimizer.domain.layout import Bay
from optimizer.errors import BuildError


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


def depth_for(bay: Bay, job: Job) -> float:
    """Depth that a bay asks of its uprights, never more than its own.

    The deepest board, or `rod_overlap` past the centre of a rod, common practice; all of
    the bay's depth where it has neither.
    """
    deepest = max((depth_of(zone, bay) for zone in boards_of(bay)), default=0.0)
    if rods_of(bay):
        rules = job.construction
        deepest = max(deepest, rules.rod_setback + rules.rod_overlap)
    return min(bay.depth, deepest) if deepest else bay.depth


def _sides(bays: Sequence[Bay], job: Job) -> Iterable[tuple[float, Bay | None, Bay | None]]:
    """Left face of every upright of a wall, with the bay at its left and at its right."""
    before: Bay | None = None
    for bay in bays:
        shared = before is not None and bay.start - before.end <= job.panel + job.tolerance
        if before is not None and not shared:
            yield before.end, before, None
        yield bay.start - job.panel, before if shared else None, bay
        before = bay
    if before is not None:
        yield before.end, before, None


def _top(bays: Iterable[Bay], clear: float, job: Job) -> float:
    """Where an upright ends: at the highest board it carries, or short of the ceiling."""
    wanted = max(bay.height for bay in bays)
    return min(wanted, clear - job.construction.upright_clearance)


def uprights_on(wall: str, job: Job) -> tuple[Upright, ...]:
    """Uprights of one wall from left to right.

    Raises BuildError where a bay's boards stand above its uprights.
    """
    found = []
    bays = job.bays_by_wall.get(wall, ())
    for bay in bays:
        _refuse_high_board(bay, job)
    for number, (start, left, right) in enumerate(_sides(bays, job), 1):
        clear = job.clear_height(wall, max(start, 0.0), start + job.panel)
        beside = [bay for bay in (left, right) if bay is not None]
        found.append(
            Upright(
                wall=wall,
                number=number,
                start=start,
                depth=max(depth_for(bay, job) for bay in beside),
                top=_top(beside, clear, job),
                clear=clear,
                left_bay=left,
                right_bay=right,
            )
        )
    return tuple(found)


def _refuse_high_board(bay: Bay, job: Job) -> None:
    highest = max((zone.bottom for zone in boards_of(bay)), default=0.0)
    clear = job.clear_height(bay.wall, max(bay.start - job.panel, 0.0), bay.end + job.panel)
    if highest > min(bay.height, clear) + job.tolerance:
        raise BuildError(
            f"bay {bay.id} has a shelf at {job.short(highest)}: its uprights end at "
            f"{job.short(bay.height)} and the ceiling over it is at {job.short(clear)}"
        )

"""Fillers and scribed strips that close what is left of a wall beside the bays."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from optimizer.buildpack.job import Job
from optimizer.buildpack.uprights import Upright
from optimizer.domain.layout import Filler
from optimizer.domain.pack import Box, Part, PartKind, Stock
from optimizer.errors import BuildError


def fillers_on(wall: str, job: Job) -> tuple[Filler, ...]:
    """Left-overs of one wall from left to right, those to be caulked left out."""
    limit = job.construction.caulk_limit + job.tolerance
    strips = (f for f in job.layout.fillers if f.wall == wall and f.width > limit)
    return tuple(sorted(strips, key=lambda strip: strip.start))


def caulked_on(wall: str, job: Job) -> tuple[Filler, ...]:
    """Left-overs of one wall that are too narrow for a strip and are caulked."""
    limit = job.construction.caulk_limit + job.tolerance
    strips = (f for f in job.layout.fillers if f.wall == wall and f.width <= limit)
    return tuple(sorted(strips, key=lambda strip: strip.start))


def filler_parts(wall: str, uprights: Sequence[Upright], job: Job) -> Iterator[Part]:
    """One strip per left-over, as high and as far out as the lower upright beside it.

    Raises BuildError for a left-over with no upright beside it, or over one.
    """
    for number, strip in enumerate(fillers_on(wall, job), 1):
        part_id = f"{wall}-F{number}"
        beside = _beside(strip, uprights, job)
        if not beside:
            raise BuildError(f"{strip.kind} {part_id} has no upright beside it")
        yield _strip(part_id, strip, beside, job)


def _beside(strip: Filler, uprights: Sequence[Upright], job: Job) -> list[Upright]:
    end, slack = strip.start + strip.width, job.tolerance
    for upright in uprights:
        if upright.start < end - slack and strip.start < upright.start + job.panel - slack:
            raise BuildError(
                f"a {strip.kind} of wall {strip.wall} at {job.short(strip.start)} lies over "
                f"upright {upright.id}"
            )
    return [
        upright
        for upright in uprights
        if abs(upright.start - end) <= slack
        or abs(upright.start + job.panel - strip.start) <= slack
    ]


def _strip(part_id: str, strip: Filler, beside: Sequence[Upright], job: Job) -> Part:
    rules = job.construction
    scribed = strip.kind == "scribe"
    length = job.cut(min(upright.top for upright in beside) - rules.carpet_thickness)
    gap = job.cut(strip.width)
    width = job.cut_up(strip.width + rules.scribe_extra) if scribed else gap
    front = min(upright.depth for upright in beside)
    return Part(
        id=part_id,
        name="Scribe strip" if scribed else "Filler",
        kind=PartKind.SCRIBE if scribed else PartKind.FILLER,
        stock=Stock.SHEET,
        material=rules.material.value,
        length=length,
        width=width,
        thickness=job.panel,
        wall=strip.wall,
        bays=tuple(dict.fromkeys(bay.id for upright in beside for bay in upright.bays)),
        box=Box(
            along=strip.start,
            out=front - job.panel,
            bottom=rules.carpet_thickness,
            size_along=gap,
            size_out=job.panel,
            size_up=length,
        ),
        grain=rules.grain,
        note=f"plane to a gap of {job.short(gap)}" if scribed else "",
    )

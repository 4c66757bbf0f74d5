"""Fillers and scribed strips that close what is left of a wall beside the bays."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from optimizer.domain.pack import Box, Part, PartKind, Stock
from optimizer.errors import BuildError
from optimizer.parts.job import Job
from optimizer.parts.uprights import Upright, uprights_on


@dataclass(frozen=True, slots=True)
class Strip:
    """A left-over from `start` of a wall: closed by a strip of its own, or caulked (no part).

    `width` is the gap at the wall's least reading, and `spread` how much wider it is at the
    largest.
    """

    wall: str
    part: str
    start: float
    width: float
    spread: float
    kind: Literal["scribe", "filler"]


def strips_on(wall: str, job: Job) -> tuple[Strip, ...]:
    """Left-overs of one wall from left to right, those to be caulked as well.

    Where the readings of the wall differ by more than `caulk_limit`, the gap at its right
    end, else at its left end, is closed by a strip as wide as it may become.
    """
    known = job.strips.get(wall)
    if known is None:
        known = tuple(_numbered(sorted(_found(wall, job), key=lambda strip: strip.start), job))
        job.strips[wall] = known
    return known


def _found(wall: str, job: Job) -> Iterator[Strip]:
    """Gaps of a wall that strips close, and an uneven end that is scribed without a gap."""
    spread = _spread(wall, job)
    at_end = _uneven_end(wall, job) if spread else None
    length = job.walls[wall].clear_length
    told = False
    for filler in (f for f in job.layout.fillers if f.wall == wall):
        ends = (
            filler.start <= job.tolerance,
            filler.start + filler.width >= length - job.tolerance,
        )
        here = at_end is not None and ends[at_end]
        told = told or here
        # One end takes all of it: a wall is uneven as a whole, and only one gap has to follow.
        extra = spread if here else 0.0
        yield Strip(wall, "", filler.start, filler.width, extra, "scribe" if here else filler.kind)
    # No filler closes that end: a strip of no width, for what its readings differ by.
    if at_end is not None and not told:
        yield Strip(wall, "", length if at_end else 0.0, 0.0, spread, "scribe")


def _spread(wall: str, job: Job) -> float:
    """By how much the wall's readings differ, 0 where caulk fills it."""
    spread = job.walls[wall].reading_spread
    return spread if spread > job.construction.caulk_limit + job.tolerance else 0.0


def _uneven_end(wall: str, job: Job) -> int | None:
    """Which end of a wall takes up what its readings differ by: right (1), else left (0).

    Only one where an upright stands within a strip's width of it; None otherwise.
    """
    uprights = uprights_on(wall, job)
    if not uprights:
        return None
    reach = job.construction.scribe_limit + job.tolerance
    length = job.walls[wall].clear_length
    if length - uprights[-1].start - job.panel <= reach:
        return 1
    return 0 if uprights[0].start <= reach else None


def _numbered(strips: Iterable[Strip], job: Job) -> Iterator[Strip]:
    """Strips with the ids of their parts; what is narrow enough is caulked and has none."""
    limit, number = job.construction.caulk_limit + job.tolerance, 0
    for strip in strips:
        if strip.width + strip.spread > limit:
            number += 1
            yield replace(strip, part=f"{strip.wall}-F{number}")
        else:
            yield strip


def filler_parts(wall: str, uprights: Sequence[Upright], job: Job) -> Iterator[Part]:
    """One strip per left-over, as high and as far out as the lower upright beside it.

    Raises BuildError for a left-over with no upright beside it, or over one.
    """
    for strip in strips_on(wall, job):
        if strip.part:
            beside = _beside(strip, uprights, job)
            if not beside:
                raise BuildError(f"{strip.kind} {strip.part} has no upright beside it")
            yield _strip(strip, beside, job)


def _beside(strip: Strip, uprights: Sequence[Upright], job: Job) -> list[Upright]:
    """The uprights that a strip is fastened to; BuildError where it would lie over one."""
    end, slack = strip.start + strip.width, job.tolerance
    for upright in uprights:
        if upright.start < end - slack and strip.start < upright.start + job.panel - slack:
            raise BuildError(
                f"a {strip.kind} of wall {strip.wall} at {job.short(strip.start)} lies over "
                f"upright {upright.id}"
            )
    # A strip without width lies on the upright next to the wall that it is scribed to.
    near = slack if strip.width else job.construction.scribe_limit + slack
    return [
        upright
        for upright in uprights
        if abs(upright.start - end) <= near or abs(upright.start + job.panel - strip.start) <= near
    ]


def _strip(strip: Strip, beside: Sequence[Upright], job: Job) -> Part:
    """A filler or scribe strip as a part to cut."""
    rules = job.construction
    scribed = strip.kind == "scribe"
    length = job.cut(min(upright.top for upright in beside) - rules.carpet_thickness)
    gap = job.cut(strip.width)
    # A scribe strip is cut wide and planed on the wall; a filler goes into the gap as it is.
    width = job.cut_up(strip.width + strip.spread + rules.scribe_extra) if scribed else gap
    front = min(upright.depth for upright in beside)
    return Part(
        id=strip.part,
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
            # A strip without a gap lies on its upright: drawn as wide as it may have to cover.
            size_along=gap or job.cut(strip.spread),
            size_out=job.panel,
            size_up=length,
        ),
        grain=rules.grain,
        note=_strip_note(strip, job) if scribed else "",
    )


def _strip_note(strip: Strip, job: Job) -> str:
    """How a scribe strip is planed."""
    if not strip.spread:
        return f"plane to a gap of {job.short(job.cut(strip.width))}"
    return (
        f"plane to a gap of {job.short(job.cut(strip.width))} to "
        f"{job.short(job.cut_up(strip.width + strip.spread))}: the readings of the wall differ"
    )

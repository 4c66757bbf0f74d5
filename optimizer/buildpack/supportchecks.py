"""What holds the shelves: cleats on studs and on uprights, and uprights on the floor."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from optimizer.buildpack import mends
from optimizer.buildpack.boards import Board, boards_in, side_cleat_length
from optimizer.buildpack.cleatlines import (
    ANCHOR_LOAD_LB,
    MOST_SCREWS,
    CleatLine,
    other_fixing,
    shelf_load_lb,
    side_screws,
    used_share,
)
from optimizer.buildpack.fixings import (
    SCREW_KEY,
    panel_fixing,
    panel_screw_shear,
    stud_holds,
)
from optimizer.buildpack.job import Job, rods_of
from optimizer.buildpack.uprights import Upright
from optimizer.domain.layout import Bay
from optimizer.domain.pack import CheckStatus, Figure, StructuralCheck
from optimizer.structure.fasteners import wood_screw
from optimizer.structure.loads import weight_out
from optimizer.structure.uprights import UprightCheck, upright_check

_NDS = "National Design Specification for Wood Construction, chapter 12, C_D 0.9"
_HALF = "the cleat is given half of the full shelf"
SCREW_PITCH_IN = 1.5
"""Screws of a side cleat are at least this far apart: common practice against splitting."""


def _weight(name: str, pounds: float, job: Job) -> Figure:
    return Figure(name=name, value=weight_out(pounds, job.units), unit=job.weight_unit)


def check_back_cleat(line: CleatLine, job: Job) -> StructuralCheck:
    """A back cleat: shear and withdrawal at the stud that gets the most of half a shelf."""
    if not line.studs:
        return _without_studs(line, job)
    fixing, other = line.fixing, other_fixing(line, job)
    shear, pull = stud_holds(fixing.driven, fixing.each, job.construction, job.units, line.packing)
    share = used_share(line, job, fixing.driven, fixing.each)
    instead = used_share(line, job, other.driven, other.each)
    passes = share <= 1.0
    limit = line.at_stud / share if math.isfinite(share) else 0.0
    turned = line.at_stud * job.construction.cleat_thickness / line.board.cleat
    figures = [
        _weight("load on the cleat", line.load, job),
        Figure(name="studs", value=len(line.studs), unit="1"),
        Figure(name="fasteners at each stud", value=fixing.each, unit="1"),
        _weight("shear at the stud with the most", line.at_stud, job),
        _weight("withdrawal at that stud", turned, job),
        _weight("shear they hold", shear, job),
        _weight("withdrawal they hold", pull, job),
    ]
    if math.isfinite(instead):
        name = f"used share with {other.each} x {other.name} instead"
        figures.append(Figure(name=name, value=instead, unit="1"))
    return StructuralCheck(
        part=line.part,
        kind="cleat",
        check="fasteners in studs",
        status=CheckStatus.PASS if passes else CheckStatus.FAIL,
        demand=weight_out(line.at_stud, job.units),
        limit=weight_out(limit, job.units),
        unit=job.weight_unit,
        figures=tuple(figures),
        formula=f"{_HALF}; withdrawal = shear x thickness / height of the cleat; shear and "
        "withdrawal combined by NDS 12.4.1",
        source=f"{_NDS}; studs G 0.42; wallboard counts as a gap",
        mends=() if passes else _cleat_mends(line, job),
    )


def _cleat_mends(line: CleatLine, job: Job) -> tuple[str, ...]:
    """Screws for brads, two at each stud, or number 10: the first that holds, and by how much."""
    fixing, other = line.fixing, other_fixing(line, job)
    screw = fixing if fixing.key == SCREW_KEY else other
    thick = replace(screw, driven=wood_screw(10, screw.driven.length))
    for candidate in (screw, thick):
        for each in range(1, MOST_SCREWS + 1):
            share = used_share(line, job, candidate.driven, each)
            if share <= 1.0:
                return (f"{each} x {candidate.name} at each stud: uses {share:.0%}",)
    return (
        "a bracket to a stud under the shelf, or blocking let into the wall: no screw within the "
        "length limit holds it",
    )


def _without_studs(line: CleatLine, job: Job) -> StructuralCheck:
    return StructuralCheck(
        part=line.part,
        kind="cleat",
        check="no stud behind the cleat",
        status=CheckStatus.WARN,
        demand=weight_out(line.load, job.units),
        limit=weight_out(line.anchors * ANCHOR_LOAD_LB, job.units),
        unit=job.weight_unit,
        figures=(
            _weight("load on the cleat", line.load, job),
            Figure(name="hollow-wall anchors", value=line.anchors, unit="1"),
        ),
        formula=f"{_HALF}; anchors x {ANCHOR_LOAD_LB:g} lb",
        source="half of a hollow-wall anchor's rating of 50 lb: common practice",
        mends=(no_stud_advice(line, job),),
    )


def no_stud_advice(line: CleatLine, job: Job) -> str:
    """What to do where a cleat catches no stud."""
    each = weight_out(line.load / line.anchors, job.units)
    load = weight_out(2.0 * line.load, job.units)
    return (
        f"fix it with {line.anchors} hollow-wall anchors ({each:.0f} {job.weight_unit} on each), "
        "or let blocking into the wall between the studs; the side cleats must then be able to "
        f"carry the whole shelf, {load:.0f} {job.weight_unit}"
    )


def check_side_cleats(board: Board, job: Job) -> tuple[StructuralCheck, ...]:
    """Both side cleats of a board: their screws in the uprights against half a shelf each."""
    rules, units = job.construction, job.units
    load, one = shelf_load_lb(board, job) / 2.0, panel_screw_shear(rules, units)
    count, length = side_screws(board, job), units.to_inch(side_cleat_length(board, job))
    room = max(1, int((length - 2 * 0.75) / SCREW_PITCH_IN + 1e-9) + 1)
    fits = count <= room
    held = min(count, room) * one
    advice = f"a bracket under {board.id} at each end, or stock for cleats of more depth"
    return tuple(
        StructuralCheck(
            part=f"{board.bay.id}-K{board.number}{side}",
            kind="cleat",
            check="screws in the upright",
            status=CheckStatus.PASS if fits or held >= load else CheckStatus.FAIL,
            demand=weight_out(load, units),
            limit=weight_out(held, units),
            unit=job.weight_unit,
            figures=(
                Figure(name="screws", value=min(count, room), unit="1"),
                _weight("shear one screw holds", one, job),
            ),
            formula=f"{_HALF}; screws x yield load of {panel_fixing(rules, units).name}",
            source=f"{_NDS}; penetration below the 6 diameters of NDS 12.1.5.6, so glue it as well",
            mends=() if fits or held >= load else (advice,),
        )
        for side in "LR"
    )


def free_height(upright: Upright, job: Job) -> float:
    """Largest height of an upright without a board that holds it, from the floor up."""
    levels = {0.0}
    for bay in upright.bays:
        levels |= {board.underside for board in boards_in(bay, job)}
    ordered = sorted(levels)
    gaps = [high - low for low, high in pairwise(ordered)]
    return max(gaps, default=upright.top)


def _loads(bays: Sequence[Bay], job: Job) -> Iterator[tuple[float, list[float], int]]:
    for bay in bays:
        yield bay.width, [board.depth for board in boards_in(bay, job)], len(rods_of(bay))


def check_upright(upright: Upright, job: Job) -> StructuralCheck:
    """One upright: bearing under its foot and buckling between the boards that hold it."""
    free = free_height(upright, job)
    result = upright_check(
        job.construction, job.units, upright.depth, free, list(_loads(upright.bays, job))
    )
    share = max(result.bearing_share, result.buckling_share)
    governs = "buckling" if result.buckling_share > result.bearing_share else "bearing on the floor"
    return StructuralCheck(
        part=upright.id,
        kind="upright",
        check=governs,
        status=CheckStatus.PASS if result.passes else CheckStatus.FAIL,
        demand=result.load,
        limit=result.load / share if share else result.load,
        unit=job.weight_unit,
        figures=(
            Figure(name="load on it", value=result.load, unit=job.weight_unit),
            Figure(name="free height", value=free, unit=job.units.value),
            Figure(name="used share in bearing", value=result.bearing_share, unit="1"),
            Figure(name="used share in buckling", value=result.buckling_share, unit="1"),
        ),
        formula="load / (depth x thickness) against 425 psi; pi^2 E I / (creep L^2), L the free "
        "height",
        source="NDS Supplement, Table 4A, spruce-pine-fir across the grain (from memory); Euler",
        mends=_upright_mends(result, free, upright, job),
    )


def _upright_mends(
    result: UprightCheck, free: float, upright: Upright, job: Job
) -> tuple[str, ...]:
    if result.passes:
        return ()
    return mends.upright_mends(
        result.bearing_share, result.buckling_share, free, job, upright=upright.id
    )

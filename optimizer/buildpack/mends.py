"""What would mend a failed check, worked out: each mend comes with the figure it brings."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.buildpack.boards import Board, has_stiffener
from optimizer.buildpack.job import Job
from optimizer.domain.construction import Construction, RodStock
from optimizer.domain.layout import Bay
from optimizer.structure.checks import SpanCheck, rod_check, shelf_check
from optimizer.structure.spans import rod_span_limit, shelf_span_limit
from optimizer.units import Units

THICKNESSES = {
    Units.INCH: (0.75, 1.0, 1.25, 1.5),
    Units.MILLIMETRE: (18.0, 22.0, 25.0, 30.0, 36.0),
}
"""Thicknesses to be had, the largest by doubling: common practice."""
STIFFENER_HEIGHTS = {
    Units.INCH: (1.5, 2.0, 2.5, 3.0, 3.5, 4.0),
    Units.MILLIMETRE: (38.0, 50.0, 64.0, 76.0, 89.0, 100.0),
}
"""Heights of stiffeners worth trying: common practice."""


def _sags(result: SpanCheck, job: Job) -> str:
    return f"sags {job.fine(result.sag_lasting)} of {job.fine(result.limit)} allowed"


def shelf_mends(rules: Construction, job: Job, board: Board) -> tuple[str, ...]:
    """Mends of a shelf that sags too far under the load of `rules`."""
    return tuple(_shelf_mends(rules, job, board))


def _shelf_mends(rules: Construction, job: Job, board: Board) -> Iterator[str]:
    bay, units, stiffened = board.bay, job.units, has_stiffener(board, job)
    limit = shelf_span_limit(rules, units, board.depth, stiffened=stiffened)
    if limit < bay.width:
        narrow = job.cut(limit)
        result = shelf_check(rules, units, board.depth, narrow, stiffened=stiffened)
        yield f"bay {bay.id} at most {job.short(narrow)} wide: {_sags(result, job)}"
    lowest = rules.stiffener_height if stiffened else 0.0
    for height in (h for h in STIFFENER_HEIGHTS[units] if h > lowest):
        taller = rules.model_copy(update={"stiffener_height": height})
        result = shelf_check(taller, units, board.depth, bay.width, stiffened=True)
        if result.passes:
            yield f"a front stiffener {job.short(height)} high: {_sags(result, job)}"
            break
    for thickness in (t for t in THICKNESSES[units] if t > rules.panel_thickness + job.tolerance):
        thicker = rules.model_copy(update={"panel_thickness": thickness})
        result = shelf_check(thicker, units, board.depth, bay.width, stiffened=stiffened)
        if result.passes:
            yield f"stock {job.short(thickness)} thick: {_sags(result, job)}"
            break
    half = shelf_check(rules, units, board.depth, bay.width / 2.0, stiffened=stiffened)
    if half.passes:
        yield f"a support in the middle: each half {_sags(half, job)}"


def rod_mends(job: Job, bay: Bay) -> tuple[str, ...]:
    """Mends of a rod that sags too far or whose supports are too far apart."""
    return tuple(_rod_mends(job, bay))


def _rod_mends(job: Job, bay: Bay) -> Iterator[str]:
    rules, units = job.construction, job.units
    narrow = job.cut(rod_span_limit(rules, units))
    if narrow < bay.width:
        result = rod_check(rules, units, narrow)
        yield f"bay {bay.id} at most {job.short(narrow)} wide: {_sags(result, job)}"
    half = rod_check(rules, units, bay.width / 2.0)
    if half.passes:
        yield f"a rod bracket in the middle, under the shelf: each half {_sags(half, job)}"
    if rules.rod_stock is RodStock.WOOD_DOWEL:
        steel = rules.model_copy(update={"rod_stock": RodStock.STEEL_TUBE})
        result = rod_check(steel, units, bay.width)
        if result.passes and bay.width <= rod_span_limit(steel, units) + job.tolerance:
            yield f"steel tube in place of the dowel: {_sags(result, job)}"


def upright_mends(
    share: float, buckling: float, free: float, job: Job, *, upright: str
) -> tuple[str, ...]:
    """Mends of an upright that buckles or crushes what it stands on.

    A board fixed halfway up the free height makes the Euler load four times as large; the
    load for which a thicker panel buckles grows with the cube of its thickness.
    """
    found = []
    if buckling > 1.0:
        found.append(
            f"a shelf or a cleat to the wall at half of the free height of {job.short(free)} of "
            f"{upright}: uses {buckling / 4.0:.0%} in buckling"
        )
    for thickness in THICKNESSES[job.units]:
        ratio = thickness / job.panel
        needed = max(buckling / ratio**3, (share / ratio))
        if ratio > 1.0 and needed <= 1.0:
            found.append(f"stock {job.short(thickness)} thick: uses {needed:.0%}")
            break
    return tuple(found)

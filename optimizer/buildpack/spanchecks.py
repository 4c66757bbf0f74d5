"""Shelves and rods under their load: sag now and after creep, bending, and what would mend it."""

from __future__ import annotations

from dataclasses import dataclass

from optimizer.buildpack import mends
from optimizer.buildpack.boards import Board, has_stiffener
from optimizer.buildpack.job import Job, rods_of
from optimizer.domain.construction import Construction
from optimizer.domain.layout import Bay
from optimizer.domain.pack import CheckStatus, Figure, StructuralCheck
from optimizer.reference.materials import rod, stock
from optimizer.reference.weights import item_weight
from optimizer.structure.checks import SpanCheck, rod_check, shelf_check
from optimizer.structure.loads import area_load_psi, line_load_lb_in, weight_out
from optimizer.structure.spans import ROD_SUPPORTS_IN

WOOD_STRESS_SHARE = 1.0 / 3.0
"""Bending stress under a lasting load, of the modulus of rupture: a third, common practice."""
STEEL_STRESS_SHARE = 0.6
"""Bending stress of the yield strength: AISC 360, allowable strength 1/1.67, from memory."""
SUPPORT_PAST_IN = 36.0
"""A plain shelf wider than this gets a support or a stiffener: common practice."""

_SAG = "5 W L^3 / (384 E I) x creep, ends simply supported"
_BEAM_SOURCE = "Wood Handbook, FPL-GTR-190 (2010), Eq. 9-1 and Table 9-1"
_AWS = "Architectural Woodwork Standards, 1st ed. 2009"


@dataclass(frozen=True, slots=True)
class _Verdict:
    """Status with the governing demand against its limit."""

    status: CheckStatus
    check: str
    demand: float
    limit: float
    unit: str


def housed_weight(board: Board, job: Job) -> float:
    """Weight [lb or kg] of the items on a shelf, those of unknown weight left out."""
    items = {item.id: item for item in job.brief.needs.items}
    weights = (item_weight(items[name], job.units) for name in board.zone.items if name in items)
    return sum(weight for weight in weights if weight is not None)


def loaded(board: Board, job: Job) -> Construction:
    """Rules with the shelf load raised to what is housed, where that is more."""
    rules, to_inch = job.construction, job.units.to_inch
    area = to_inch(board.depth) * to_inch(board.bay.width)
    planned = weight_out(area_load_psi(rules.shelf_load, job.units) * area, job.units)
    over = max(1.0, housed_weight(board, job) / planned)
    return rules.model_copy(update={"shelf_load": rules.shelf_load * over})


def free_span(board: Board) -> float:
    """Span of a board: its bay, or half of it where it lies on packing, the middle packed too."""
    return board.bay.width if board.cleat else board.bay.width / 2.0


def check_shelf(board: Board, job: Job) -> StructuralCheck:
    """One shelf board: sag after creep against span / `deflection_ratio`, and bending."""
    rules = loaded(board, job)
    stiffened, span = has_stiffener(board, job), free_span(board)
    result = shelf_check(rules, job.units, board.depth, span, stiffened=stiffened)
    verdict = _verdict(result, WOOD_STRESS_SHARE, job)
    wide = span > job.units.from_inch(SUPPORT_PAST_IN) + job.tolerance and not stiffened
    soft = result.sag_lasting_low is not None and result.sag_lasting_low > result.limit
    status = verdict.status
    advice: tuple[str, ...] = ()
    if status is CheckStatus.FAIL:
        advice = mends.shelf_mends(rules, job, board)
    elif soft or wide:
        status, advice = CheckStatus.WARN, _warnings(result, job, soft=soft, wide=wide)
    material = stock(rules.material)
    return StructuralCheck(
        part=board.id,
        kind="shelf",
        check=verdict.check,
        status=status,
        demand=verdict.demand,
        limit=verdict.limit,
        unit=verdict.unit,
        figures=(*_shelf_load(rules, board, job), *_figures(result, job)),
        formula=f"{_SAG}; limit L / {rules.deflection_ratio:g}; stress M / S"
        + ("; I of board and stiffener as one section" if stiffened else ""),
        source=f"{_BEAM_SOURCE}; limit: {_AWS}, 4.4.14.10; E: {material.modulus_source}; "
        f"stress at most a third of rupture ({material.rupture_source}): common practice",
        mends=advice,
    )


def _warnings(result: SpanCheck, job: Job, *, soft: bool, wide: bool) -> tuple[str, ...]:
    found = []
    if soft and result.sag_lasting_low is not None:
        low = stock(job.construction.material)
        found.append(
            f"passes with the mean stiffness; with the lowest published ({low.modulus_low_source}) "
            f"it sags {job.fine(result.sag_lasting_low)} where {job.fine(result.limit)} is allowed"
        )
    if wide:
        found.append(
            f"wider than {job.short(job.units.from_inch(SUPPORT_PAST_IN))}: a stiffener or a "
            "bracket in the middle is common practice"
        )
    return tuple(found)


def _shelf_load(rules: Construction, board: Board, job: Job) -> tuple[Figure, ...]:
    area = job.units.to_inch(board.depth) * job.units.to_inch(board.bay.width)
    total = weight_out(area_load_psi(rules.shelf_load, job.units) * area, job.units)
    figures = [Figure(name="load on it", value=total, unit=job.weight_unit)]
    housed = housed_weight(board, job)
    if housed:
        figures.append(Figure(name="items on it", value=housed, unit=job.weight_unit))
    return tuple(figures)


def _figures(result: SpanCheck, job: Job) -> tuple[Figure, ...]:
    unit = job.units.value
    figures = [
        Figure(name="span", value=result.span, unit=unit),
        Figure(name="sag now", value=result.sag, unit=unit),
        Figure(name="sag now, ends held from turning", value=result.sag_clamped, unit=unit),
        Figure(name="sag after creep", value=result.sag_lasting, unit=unit),
        Figure(
            name="sag after creep, own weight and shear too", value=result.sag_in_all, unit=unit
        ),
        Figure(name="bending stress, share of strength", value=result.stress_share, unit="1"),
    ]
    if result.sag_lasting_low is not None:
        figures.insert(
            4,
            Figure(
                name="sag after creep, lowest stiffness", value=result.sag_lasting_low, unit=unit
            ),
        )
    return tuple(figures)


def _verdict(result: SpanCheck, stress_limit: float, job: Job) -> _Verdict:
    """Sag against its limit, or bending where that alone breaks its own."""
    strong = result.stress_share <= stress_limit
    status = CheckStatus.PASS if result.passes and strong else CheckStatus.FAIL
    if result.passes and not strong:
        return _Verdict(status, "bending stress", result.stress_share, stress_limit, "1")
    return _Verdict(status, "sag after creep", result.sag_lasting, result.limit, job.units.value)


def check_rods(bay: Bay, job: Job) -> tuple[StructuralCheck, ...]:
    """Every rod of a bay: sag, bending, and the largest distance of its supports."""
    if not rods_of(bay):
        return ()
    rules, units = job.construction, job.units
    chosen = rod(rules.rod_stock)
    result = rod_check(rules, units, bay.width)
    share = WOOD_STRESS_SHARE if chosen.creeps else STEEL_STRESS_SHARE
    verdict = _verdict(result, share, job)
    supports = units.from_inch(ROD_SUPPORTS_IN)
    if bay.width > supports + job.tolerance:
        verdict = _Verdict(
            CheckStatus.FAIL, "distance of supports", bay.width, supports, units.value
        )
    total = weight_out(line_load_lb_in(rules.rod_load, units) * units.to_inch(bay.width), units)
    failed = verdict.status is CheckStatus.FAIL
    advice = mends.rod_mends(job, bay) if failed else ()
    return tuple(
        StructuralCheck(
            part=f"{bay.id}-R{number}",
            kind="rod",
            check=verdict.check,
            status=verdict.status,
            demand=verdict.demand,
            limit=verdict.limit,
            unit=verdict.unit,
            figures=(
                Figure(name="load on it", value=total, unit=job.weight_unit),
                *_figures(result, job),
            ),
            formula=f"{_SAG}; limit L / {rules.deflection_ratio:g}; supports at most 48 in apart",
            source=f"{_BEAM_SOURCE}; supports: {_AWS}, 4.4.16; rod: {chosen.source}; load of "
            "clothes: common practice",
            mends=advice,
        )
        for number in range(1, len(rods_of(bay)) + 1)
    )

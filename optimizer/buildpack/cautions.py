"""Cautions for the places where the hands are, each with its source."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from optimizer.buildpack.mounts import mount_cautions
from optimizer.domain.construction import Material
from optimizer.domain.pack import Caution, CheckStatus, Part, StructuralCheck, Weights
from optimizer.domain.room import ObstructionKind
from optimizer.parts.job import Job
from optimizer.structure.fixings import length_limit

HEAVY_SHEET_LB = 50.0
HEAVY_SHEET_KG = 23.0
"""From this weight on a sheet is a job for two: common practice."""

_ELECTRIC = (ObstructionKind.OUTLET, ObstructionKind.SWITCH)


def cautions_of(
    job: Job, parts: Sequence[Part], checks: Sequence[StructuralCheck], weights: Weights
) -> tuple[Caution, ...]:
    """Cautions that this layout, its stock and its room call for."""
    return (
        *_saw(job, weights),
        *_walls(job),
        *_finish(job),
        *_structure(job, parts, checks),
        *mount_cautions(job),
        Caution(
            where="all",
            topic="codes",
            text="Follow local codes and licensed practice: this pack replaces neither an "
            "electrician, a plumber nor an engineer.",
            source="common practice",
        ),
    )


def _saw(job: Job, weights: Weights) -> Iterator[Caution]:
    """For the cut list and the sheets: the blade, dust, the weight of a sheet."""
    yield Caution(
        where="cut_list",
        topic="saw",
        text="Guards on, push stick in reach, stand out of the line of the blade, never a hand "
        "behind the work; hold long rips up on the far side.",
        source="common practice",
    )
    # Solid pine has no binder.
    dusty = job.construction.material in (Material.MDF, Material.PARTICLEBOARD, Material.PLYWOOD)
    binder = (
        " Panels are bound with resin: buy stock marked compliant with TSCA Title VI "
        "(formaldehyde, 0.11 ppm for MDF, Pub. L. 111-199)."
        if dusty
        else ""
    )
    yield Caution(
        where="cut_list",
        topic="dust",
        text="Wood dust harms the lungs: dust extraction, respirator, eye and ear protection."
        + binder,
        source="OSHA: 15 mg/m3 of total, 5 of respirable dust; NIOSH: 1",
    )
    heavy = HEAVY_SHEET_LB if weights.unit == "lb" else HEAVY_SHEET_KG
    if weights.sheet >= heavy:
        yield Caution(
            where="sheets",
            topic="sheet weight",
            text=f"A full sheet weighs about {weights.sheet:.0f} {weights.unit}: two people, or "
            "have the store make the first cuts.",
            source="computed from the density of the stock",
        )


def _walls(job: Job) -> Iterator[Caution]:
    """For work on the walls: cables, electric boxes, lights, tipping over, old paint."""
    limit = job.short(length_limit(job.construction))
    yield Caution(
        where="markout",
        topic="cables and pipes",
        text=f"Cables and pipes can lie in any wall: look for them before drilling, and use no "
        f"fastener longer than {limit} through a cleat.",
        source="common practice",
    )
    things = job.brief.room.obstructions
    if any(thing.kind in _ELECTRIC for thing in things):
        yield Caution(
            where="markout",
            topic="electric boxes",
            text="Switch off and test before working near an outlet or a switch; keep every box "
            "open to reach, cover none.",
            source="common practice",
        )
    if any(thing.kind is ObstructionKind.LIGHT for thing in things):
        yield Caution(
            where="markout",
            topic="lights",
            text="Keep storage clear of the light as planned: an open lamp or a hanging one does "
            "not belong in a clothes closet.",
            source="NEC 410.16, 2017",
        )
    yield Caution(
        where="assembly",
        topic="anchoring",
        text="Fasten to studs what carries a load. Parts left free-standing can tip over; units "
        "of 27 in (686 mm) and more that stand free fall under 16 CFR 1261.",
        source="16 CFR 1261, ASTM F2057",
    )
    yield Caution(
        where="assembly",
        topic="old paint",
        text="A house built before 1978 may have lead paint: test before sanding or cutting into "
        "painted walls and trim, and work by the renovation rule.",
        source="EPA, renovation, repair and painting rule",
    )


def _finish(job: Job) -> Iterator[Caution]:
    """For primer and paint."""
    yield Caution(
        where="finish",
        topic="fumes",
        text="Solvent primer and paint: air the room, no flame, spread oily rags to dry.",
        source="common practice",
    )
    if job.construction.material is Material.MDF:
        yield Caution(
            where="finish",
            topic="raw panels",
            text="Prime raw MDF with an oil-based primer, or sand again after a water-based one "
            "has raised the fibres; give cut edges a second coat.",
            source="common practice",
        )


def _structure(
    job: Job, parts: Sequence[Part], checks: Sequence[StructuralCheck]
) -> Iterator[Caution]:
    """For what the layout carries: failed checks, and the loads it is sized for."""
    failed = [check.part for check in checks if check.status is CheckStatus.FAIL]
    if failed:
        yield Caution(
            where="structure",
            topic="failed checks",
            text=f"Do not build as drawn: {', '.join(failed)} fail. Mend them as listed.",
            source="structural report",
        )
    # Told with every layout, passed or not: the checks hold for these loads alone.
    if parts:
        unit = "lb" if job.weight_unit == "lb" else "kg"
        area, line = ("sq ft", "ft") if unit == "lb" else ("m2", "m")
        rules = job.construction
        yield Caution(
            where="structure",
            topic="loads",
            text=f"Sized for {rules.shelf_load:g} {unit} a {area} on shelves and "
            f"{rules.rod_load:g} {unit} a {line} on rods: books and tools weigh more. Do not "
            "climb or sit on shelves.",
            source="loads of the brief",
        )

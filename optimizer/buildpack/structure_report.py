"""The structural report: every strain of a layout against its limit, as the pack prints it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from optimizer.buildpack.mends import mends_of
from optimizer.domain.pack import CheckStatus, Figure, StructuralCheck
from optimizer.parts.job import Job
from optimizer.parts.topboards import run_part_id, runs_over
from optimizer.structure.assessment import assess
from optimizer.structure.endstrains import NO_STUD
from optimizer.structure.strain import Strain

MOST_MENDED = 12
"""Failed parts for which mends are worked out: each takes a few assessments of the layout."""


def checks_of_job(job: Job) -> tuple[StructuralCheck, ...]:
    """Checks of every part that carries, wall by wall; BuildError where parts cannot be had."""
    strains, mended = assess(job.brief, job.layout), 0
    found = []
    for strain in strains:
        mends: tuple[str, ...] = ()
        if not strain.passes and mended < MOST_MENDED:
            mends, mended = mends_of(strain, job), mended + 1
        found.append(_check(strain, _part_id(strain, job), mends))
    return tuple(found)


def _part_id(strain: Strain, job: Job) -> str:
    """The part in the cut list that a strain is about.

    A top board that runs over several bays is one part, with the id that the first bay gives it.
    """
    if strain.kind != "board":
        return strain.part
    bay = job.layout.bays[strain.index]
    # Only the highest board of a bay can belong to such a run.
    if not strain.part.endswith(f"-S{len(job.standing.boards(bay))}"):
        return strain.part
    runs = runs_over(bay.id, bay.wall, job)
    return run_part_id(runs[0], job) if runs else strain.part


def _status(strain: Strain) -> CheckStatus:
    """Past its limit a part fails; a back cleat on hollow-wall anchors alone is a warning."""
    if not strain.passes:
        return CheckStatus.FAIL
    return CheckStatus.WARN if strain.check == NO_STUD else CheckStatus.PASS


def _check(strain: Strain, part: str, mends: tuple[str, ...]) -> StructuralCheck:
    """A strain as the build pack prints it."""
    return StructuralCheck(
        part=part,
        kind=strain.kind,
        check=strain.check,
        status=_status(strain),
        demand=strain.demand,
        limit=strain.limit,
        unit=strain.unit,
        figures=tuple(Figure(name=n, value=v, unit=u) for n, v, u in strain.figures),
        formula=strain.formula,
        source=strain.source,
        mends=mends,
    )


def worst(checks: Iterable[StructuralCheck]) -> CheckStatus:
    """The worst verdict of all: fail before warn before pass."""
    found = {check.status for check in checks}
    for status in (CheckStatus.FAIL, CheckStatus.WARN):
        if status in found:
            return status
    return CheckStatus.PASS


def alike(
    checks: Iterable[StructuralCheck],
) -> tuple[tuple[StructuralCheck, tuple[str, ...]], ...]:
    """Checks that differ in nothing but their part, in one: the first, and all part ids."""
    groups: dict[str, list[StructuralCheck]] = defaultdict(list)
    for check in checks:
        groups[check.model_dump_json(exclude={"part"})].append(check)
    return tuple((group[0], tuple(check.part for check in group)) for group in groups.values())

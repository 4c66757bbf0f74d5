"""The structural report: every strain of a layout against its limit, as the pack prints it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from optimizer.buildpack.job import Job
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.pack import CheckStatus, Figure, StructuralCheck
from optimizer.structure.assessing import assess
from optimizer.structure.strain import Strain


def structural_checks(brief: Brief, layout: Layout) -> tuple[StructuralCheck, ...]:
    """Checks of every part that carries, wall by wall; BuildError where parts cannot be had."""
    return checks_of_job(Job(brief, layout))


def checks_of_job(job: Job) -> tuple[StructuralCheck, ...]:
    """As `structural_checks`, of a job at hand."""
    return tuple(_check(strain) for strain in assess(job.brief, job.layout))


def _check(strain: Strain) -> StructuralCheck:
    return StructuralCheck(
        part=strain.part,
        kind=strain.kind,
        check=strain.check,
        status=CheckStatus.PASS if strain.passes else CheckStatus.FAIL,
        demand=strain.demand,
        limit=strain.limit,
        unit=strain.unit,
        figures=tuple(Figure(name=n, value=v, unit=u) for n, v, u in strain.figures),
        formula=strain.formula,
        source=strain.source,
    )


def worst(checks: Iterable[StructuralCheck]) -> CheckStatus:
    """The worst verdict of all: fail, else warn, else pass."""
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

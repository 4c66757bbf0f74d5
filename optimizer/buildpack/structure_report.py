"""The structural report: every shelf, rod, cleat and upright of a layout, checked."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

from optimizer.buildpack.boards import boards_in
from optimizer.buildpack.cleatlines import cleat_line
from optimizer.buildpack.job import Job
from optimizer.buildpack.spanchecks import check_rods, check_shelf
from optimizer.buildpack.supportchecks import check_back_cleat, check_side_cleats, check_upright
from optimizer.buildpack.uprights import uprights_on
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.pack import CheckStatus, StructuralCheck


def structural_checks(brief: Brief, layout: Layout) -> tuple[StructuralCheck, ...]:
    """Checks of every part that carries, wall by wall; BuildError where parts cannot be had."""
    return checks_of_job(Job(brief, layout))


def checks_of_job(job: Job) -> tuple[StructuralCheck, ...]:
    """As `structural_checks`, of a job at hand."""
    return tuple(check for wall in job.bays_by_wall for check in _checks_on(wall, job))


def _checks_on(wall: str, job: Job) -> Iterator[StructuralCheck]:
    for upright in uprights_on(wall, job):
        yield check_upright(upright, job)
    for bay in job.bays_by_wall[wall]:
        for board in boards_in(bay, job):
            yield check_shelf(board, job)
            if board.cleat:
                yield check_back_cleat(cleat_line(board, job), job)
                yield from check_side_cleats(board, job)
        yield from check_rods(bay, job)


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

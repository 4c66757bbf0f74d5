"""What is said of a layout drawn by hand; made in a child process."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from api.http.problem_schemas import ErrorEntry
from api.layouts.check_schemas import HeldAgainst, LayoutCheck, TermDifference
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.study import Study, Warned
from optimizer.proposing.appraisal import Against, Appraisal, appraise


@dataclass(frozen=True, slots=True)
class Beside:
    """The study that a drawn layout is held against, and the rank of its layout."""

    study_id: str
    study: Study
    rank: int


def layout_check(
    brief: Brief, drawn: Layout, beside: Beside | None, warnings: Sequence[Warned]
) -> LayoutCheck:
    """Every rule that the layout breaks, and what it is worth."""
    study, rank = (None, 1) if beside is None else (beside.study, beside.rank)
    found = appraise(brief, drawn, study, rank)
    layout, held = found.layout, found.against
    return LayoutCheck(
        passed=not found.findings,
        findings=tuple(ErrorEntry.of(fault) for fault in found.findings),
        warnings=tuple(warnings),
        layout=layout,
        snapped=tuple(_snapped(drawn, found)),
        score=None if held is None else layout.score,
        terms=None if held is None else layout.terms,
        bound=None if held is None else held.bound,
        metrics=layout.metrics,
        unmet=layout.unmet if found.measured else None,
        structure=layout.structure,
        against=None if held is None or beside is None else _against(held, beside.study_id),
    )


def _snapped(drawn: Layout, found: Appraisal) -> list[str]:
    """Ids of bays that were moved onto the grid before they were checked."""
    # Snapping keeps the order of the bays, so that the two can be compared one by one.
    pairs = zip(drawn.bays, found.layout.bays, strict=True)
    return [bay.id for sent, bay in pairs if sent != bay]


def _against(held: Against, study_id: str) -> HeldAgainst:
    """The comparison with the study's layout, as it goes over the wire."""
    return HeldAgainst(
        study=study_id,
        layout=held.rank,
        score=held.score,
        difference=held.difference,
        terms=tuple(
            TermDifference(name=name, points=points) for name, points in held.terms.items()
        ),
        changed=tuple(held.changed),
        bound=held.bound,
        summary=held.summary,
    )

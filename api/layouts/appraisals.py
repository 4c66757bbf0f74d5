"""What is said of a layout drawn by hand, as JSON; made in a child process."""

from __future__ import annotations

from typing import Any

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.study import Study
from optimizer.proposing.appraisal import Against, Appraisal, appraise


def appraisal_view(brief: Brief, drawn: Layout, study: Study | None, rank: int) -> dict[str, Any]:
    """The members of a `LayoutCheck` but for the brief's warnings and the study's id."""
    found = appraise(brief, drawn, study, rank)
    layout = found.layout.model_dump(mode="json")
    scored = found.against is not None
    return {
        "passed": not found.findings,
        "findings": [
            {"pointer": fault.pointer, "detail": fault.detail, "code": fault.code}
            for fault in found.findings
        ],
        "layout": layout,
        "snapped": _snapped(drawn, found),
        "score": found.layout.score if scored else None,
        "terms": layout["terms"] if scored else None,
        "bound": found.against.bound if found.against is not None else None,
        "metrics": layout["metrics"],
        "unmet": layout["unmet"] if found.measured else None,
        "structure": layout["structure"],
        "against": None if found.against is None else _against(found.against),
    }


def _snapped(drawn: Layout, found: Appraisal) -> list[str]:
    pairs = zip(drawn.bays, found.layout.bays, strict=True)
    return [bay.id for sent, bay in pairs if sent != bay]


def _against(held: Against) -> dict[str, Any]:
    return {
        "layout": held.rank,
        "score": held.score,
        "difference": held.difference,
        "terms": [{"name": name, "points": points} for name, points in held.terms.items()],
        "changed": list(held.changed),
        "bound": held.bound,
        "summary": held.summary,
    }

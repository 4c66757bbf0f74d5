"""Checking one layout: every family of rules in turn."""

from __future__ import annotations

from optimizer.checking.access import check_access
from optimizer.checking.aisle import check_aisle
from optimizer.checking.briefs import check_brief
from optimizer.checking.case import case_of
from optimizer.checking.claims import check_claims
from optimizer.checking.corners import check_corners
from optimizer.checking.items import check_items
from optimizer.checking.obstructions import check_obstructions
from optimizer.checking.openings import check_openings
from optimizer.checking.spans import check_spans
from optimizer.checking.walls import check_walls
from optimizer.checking.zones import check_zones
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.errors import CheckFailedError, Fault

_ANYWHERE = (
    check_walls,
    check_zones,
    check_obstructions,
    check_corners,
    check_aisle,
    check_items,
    check_spans,
    check_claims,
)
_ON_SOUND_PLANS = (check_openings, check_access)


def check_layout(brief: Brief, layout: Layout) -> tuple[Fault, ...]:
    """Every rule that a layout breaks, with pointers into the layout; empty when it passes.

    Metrics and unmet needs are checked when the layout has metrics. Never raises.
    """
    case = case_of(brief, layout)
    findings = list(check_brief(case))
    for rule in _ANYWHERE:
        findings += rule(case)
    if case.plan.sound:
        for rule in _ON_SOUND_PLANS:
            findings += rule(case)
    return tuple(findings)


def require_checked(brief: Brief, layout: Layout) -> Layout:
    """The layout itself once it has passed; raises CheckFailedError with every finding."""
    findings = check_layout(brief, layout)
    if findings:
        raise CheckFailedError(findings)
    return layout

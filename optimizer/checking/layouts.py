"""Checking one layout: every family of rules in turn."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import shapely

from optimizer.checking.access import check_access
from optimizer.checking.aisle import check_aisle
from optimizer.checking.briefs import check_brief
from optimizer.checking.case import Case, case_of
from optimizer.checking.claims import check_claims
from optimizer.checking.corners import check_corners
from optimizer.checking.ends import check_ends
from optimizer.checking.floors import walked_floor, whole_floor
from optimizer.checking.items import check_items
from optimizer.checking.lines import check_lines
from optimizer.checking.mounted import (
    check_mount_access,
    check_mount_openings,
    check_mounted,
)
from optimizer.checking.neighbours import check_neighbours
from optimizer.checking.obstructions import check_obstructions
from optimizer.checking.openings import check_openings
from optimizer.checking.pins import check_pins
from optimizer.checking.pockets import check_pockets
from optimizer.checking.stored import check_stored
from optimizer.checking.strength import check_strength
from optimizer.checking.supports import check_supports
from optimizer.checking.walls import check_walls
from optimizer.checking.zones import check_zones
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Layout, Mount
from optimizer.errors import CheckFailedError, Fault

MOST_KEPT = 64
"""Layouts of which the findings on the floor are kept: half of the time of a check."""

# In the order of their findings. None needs the room's floor as a polygon.
_ANYWHERE = (
    check_walls,
    check_neighbours,
    check_ends,
    check_zones,
    check_lines,
    check_obstructions,
    check_corners,
    check_aisle,
    check_items,
    check_stored,
    check_mounted,
    check_supports,
    check_strength,
    check_claims,
    check_pins,
)


def check_layout(brief: Brief, layout: Layout) -> tuple[Fault, ...]:
    """Every rule that a layout breaks, with pointers into the layout; empty when it passes.

    Metrics and unmet needs are checked when the layout has metrics. Never raises.
    """
    return tuple(_findings(brief, layout))


def passes(brief: Brief, layout: Layout) -> bool:
    """Whether a layout breaks no rule of `check_layout`; ends at the first that it breaks."""
    return next(_findings(brief, layout), None) is None


def _findings(brief: Brief, layout: Layout) -> Iterator[Fault]:
    """Every rule that a layout breaks, those last that take longest."""
    case = case_of(brief, layout)
    yield from check_brief(case)
    for rule in _ANYWHERE:
        yield from rule(case)
    # Walls that cross enclose no floor; `check_brief` has reported them already.
    if case.plan.sound:
        yield from kept_from_floor(brief, layout.bays, layout.mounts)


@lru_cache(maxsize=MOST_KEPT)
def kept_from_floor(
    brief: Brief, bays: tuple[Bay, ...], mounts: tuple[Mount, ...]
) -> tuple[Fault, ...]:
    """As `_on_floor`, of what is the same whatever else is said of a layout: while a study is made
    it is checked as it is placed, when it is scored, and when it is told."""
    return tuple(_on_floor(case_of(brief, Layout(bays=bays, mounts=mounts))))


def _on_floor(case: Case) -> Iterator[Fault]:
    """Findings of the rules that need the floor as a polygon: what is walked on and reached."""
    yield from check_openings(case)
    yield from check_mount_openings(case)
    # Nobody walks in a reach-in: hands come in through its openings.
    floor = whole_floor(case)
    walked = shapely.Polygon() if case.reach_in else walked_floor(case, floor)
    if not case.reach_in:
        yield from check_access(case, walked)
        yield from check_mount_access(case, walked)
    yield from check_pockets(case, floor, walked)


def require_checked(brief: Brief, layout: Layout) -> Layout:
    """The layout itself once it has passed; raises CheckFailedError with every finding."""
    findings = check_layout(brief, layout)
    if findings:
        raise CheckFailedError(findings)
    return layout

"""Whether a side wall can carry the end of a bay: all its cleats have to lie on sound wall."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from optimizer.domain.layout import Zone, ZoneKind
from optimizer.geometry.sidewalls import SideWall
from optimizer.patterns.bay_rules import BayRules
from optimizer.patterns.pattern import Pattern
from optimizer.tolerances import FINE

Cleat = tuple[float, float, float]
"""(length out from the corner, bottom, top) of a cleat."""


def wall_carries(pattern: Pattern, side: SideWall, rules: BayRules) -> bool:
    """Whether every cleat of a bay of this pattern lies on sound side wall."""
    cleats = cleats_of(pattern.zones, pattern.depth, rules)
    return all(side.sound(length, bottom, top) for length, bottom, top in cleats)


def cleats_of(zones: Sequence[Zone], depth: float, rules: BayRules) -> Iterator[Cleat]:
    """Side cleats of a bay: under each board, and where each rod's socket sits."""
    construction = rules.brief.construction
    half = construction.rod_cleat_height / 2.0
    for zone in zones:
        if zone.kind is ZoneKind.SHELF:
            underside = zone.bottom - rules.panel
            own = depth if zone.depth is None else zone.depth
            yield own, underside - construction.cleat_height, underside
        elif zone.kind is ZoneKind.ROD and zone.rod_height is not None:
            # Right under a board the socket's cleat reaches up to it; else the rod is at its
            # middle.
            beside = zone.top - zone.rod_height <= construction.rod_clearance + FINE
            top = zone.top if beside else zone.rod_height + half
            out = construction.rod_setback + construction.rod_overlap
            yield out, zone.rod_height - half, top

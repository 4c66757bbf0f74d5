"""How wide a stack may be: with plain boards, with stiffened ones, and with mid supports on
studs."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

from optimizer.domain.layout import Zone, ZoneKind
from optimizer.patterns.bay_rules import BayRules
from optimizer.patterns.column import Column
from optimizer.patterns.measures import stiffener_cost, support_cost
from optimizer.patterns.pattern import Tier
from optimizer.structure.members import TRIANGLE_SHARE
from optimizer.structure.spans import widest_piece
from optimizer.tolerances import FINE
from optimizer.units import floor_to


@dataclass(frozen=True, slots=True)
class PieceLimits:
    """Longest pieces of a bay [brief units]: any of them, the one at its left end, at its right
    end."""

    piece: float
    first: float
    last: float


def tiers_of(
    zones: Sequence[Zone], depth: float, column: Column, rules: BayRules
) -> tuple[Tier, ...]:
    """The tiers of a stack, rising in width and cost; none where it cannot be built at all."""
    kept: list[Tier] = []
    for tier in _all(zones, depth, column, rules):
        wider = not kept or tier.width > kept[-1].width + FINE
        if not wider or tier.width <= 0:
            continue
        # A tier that is wider for no more money leaves the one before without a use; plain boards,
        # the first, always stay.
        while len(kept) > 1 and kept[-1].cost >= tier.cost - FINE:
            kept.pop()
        kept.append(tier)
    return tuple(kept)


def supports_fit(zones: Sequence[Zone], depth: float, column: Column, rules: BayRules) -> bool:
    """Whether nothing is in the way of triangles or brackets under every board."""
    if rules.brief.construction.mid_support == "none":
        return False
    for zone in zones:
        if zone.kind is ZoneKind.SHELF:
            leg = TRIANGLE_SHARE * (depth if zone.depth is None else zone.depth)
            underside = zone.bottom - rules.panel
            # Anywhere along the bay: which stud a support finds is not known yet.
            if not column.free(max(0.0, underside - leg), underside, leg):
                return False
    return True


def longest_piece(
    zones: Sequence[Zone],
    depth: float,
    rules: BayRules,
    *,
    stiffened: bool = False,
    supported: bool = False,
) -> float:
    """Longest piece of a bay that boards, rods and what carries them hold [brief units].

    Pieces lie between ends and mid supports; with `supported`, the mid supports have to hold it as
    well.
    """
    limits = [
        rules.board_piece(depth if zone.depth is None else zone.depth, stiffened=stiffened)
        for zone in zones
        if zone.kind is ZoneKind.SHELF
    ]
    if any(zone.kind is ZoneKind.ROD for zone in zones):
        limits.append(rules.rod_piece)
    carried = widest_piece(
        rules.brief.construction,
        rules.brief.units,
        tuple(zones),
        depth,
        stiffened=stiffened,
        supported=supported,
    )
    return min(*limits, carried)


def _all(zones: Sequence[Zone], depth: float, column: Column, rules: BayRules) -> Iterator[Tier]:
    """Every way to carry the bay: plain, stiffened, with so many mid supports."""
    boards = sum(zone.kind is ZoneKind.SHELF for zone in zones)
    construction, cap = rules.brief.construction, rules.max_width
    plain = longest_piece(zones, depth, rules)
    yield Tier(floor_to(min(cap, plain), rules.grid))
    if any(rules.is_fine(zone) for zone in zones):
        # Shelves closer than wished have no room for a stiffener in front nor for triangles.
        return
    if construction.stiffener_allowed:
        widest = longest_piece(zones, depth, rules, stiffened=True)
        cost = stiffener_cost(boards, rules)
        yield Tier(floor_to(min(cap, widest), rules.grid), stiffened=True, cost=cost, parts=boards)
    if supports_fit(zones, depth, column, rules):
        yield from _supported(zones, depth, plain, boards, rules)


def _supported(
    zones: Sequence[Zone], depth: float, plain: float, boards: int, rules: BayRules
) -> Iterator[Tier]:
    """Tiers with mid supports, for studs at their usual distance.

    Where studs stand less well, a finished bay has one support more: it is then worth a little less
    than the model with these tiers says, never more.
    """
    each = support_cost(zones, depth, rules)
    triangles = boards if rules.brief.construction.mid_support == "triangle" else 0
    width, piece = plain, longest_piece(zones, depth, rules, supported=True)
    for supports in itertools.count(1):
        before, width = width, floor_to(min(rules.max_width, (supports + 1) * piece), rules.grid)
        if width < before + rules.min_width:
            # One more support for less than the width of a bay is none that a builder sets.
            return
        yield Tier(
            width, supports=supports, cost=supports * each, parts=supports * triangles, piece=piece
        )


def support_places(
    start: float, end: float, limits: PieceLimits, supports: int, studs: Sequence[float]
) -> tuple[float, ...] | None:
    """Studs for so many mid supports that no piece is too long, as evenly as they can be chosen.

    Positions along the wall [brief units]; None where that number of supports is not enough.
    """
    inside = [stud for stud in studs if start + FINE < stud < end - FINE]

    def holds(chosen: Sequence[float]) -> bool:
        """Whether every piece between these supports is within its limit."""
        places = (start, *chosen, end)
        longest = max(high - low for low, high in pairwise(places))
        return (
            longest <= limits.piece + FINE
            and places[1] - start <= limits.first + FINE
            and end - places[-2] <= limits.last + FINE
        )

    def uneven(chosen: Sequence[float]) -> float:
        """Length of the longest piece: the smaller, the more even the pieces."""
        # Rounded, so that choices that are equal but for float noise are told apart by their
        # places.
        return round(max(high - low for low, high in pairwise((start, *chosen, end))), 6)

    choices = (chosen for chosen in combinations(inside, supports) if holds(chosen))
    return min(choices, key=lambda chosen: (uneven(chosen), chosen), default=None)

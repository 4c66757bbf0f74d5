"""How wide a stack may be: plain, with stiffened boards, with mid supports on studs."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations, pairwise

from optimizer.domain.layout import Zone, ZoneKind
from optimizer.patterns.measures import stiffener_cost, support_cost
from optimizer.patterns.pattern import Tier
from optimizer.patterns.rules import Rules
from optimizer.units import floor_to

_FINE = 1e-6


def tiers_of(zones: Sequence[Zone], depth: float, rules: Rules) -> tuple[Tier, ...]:
    """Tiers of a stack, rising in width and in cost; empty where it cannot be built at all."""
    kept: list[Tier] = []
    for tier in _all(zones, depth, rules):
        wider = not kept or tier.width > kept[-1].width + _FINE
        if not wider or tier.width <= 0:
            continue
        while len(kept) > 1 and kept[-1].cost >= tier.cost - _FINE:
            kept.pop()
        kept.append(tier)
    return tuple(kept)


def _all(zones: Sequence[Zone], depth: float, rules: Rules) -> Iterator[Tier]:
    boards = [zone for zone in zones if zone.kind is ZoneKind.SHELF]
    depths = {depth if zone.depth is None else zone.depth for zone in boards}
    construction, cap = rules.brief.construction, rules.max_width
    rods = any(zone.kind is ZoneKind.ROD for zone in zones)
    rod = rules.rod_piece if rods else math.inf

    def piece(*, stiffened: bool) -> float:
        return min(rod, *(rules.board_piece(own, stiffened=stiffened) for own in depths))

    plain = piece(stiffened=False)
    yield Tier(floor_to(min(cap, plain), rules.grid))
    # A mid support reaches further than a stiffener at about the same cost.
    if construction.stiffener_allowed and construction.mid_support == "none":
        width = floor_to(min(cap, piece(stiffened=True)), rules.grid)
        cost = stiffener_cost(len(boards), rules)
        yield Tier(width, stiffened=True, cost=cost, parts=len(boards))
    if construction.mid_support == "none":
        return
    each = support_cost(zones, depth, rules)
    triangles = len(boards) if construction.mid_support == "triangle" else 0
    before = plain
    for supports, reach in enumerate(supported_widths(plain, rules), start=1):
        width = floor_to(min(cap, reach), rules.grid)
        if width < before + rules.min_width:
            # One more support for less than the width of a bay is none that a builder sets.
            return
        yield Tier(width, supports=supports, cost=supports * each, parts=supports * triangles)
        before = width


def supported_widths(piece: float, rules: Rules) -> Iterator[float]:
    """Widest bays with 1, 2, ... mid supports and no piece longer than `piece`.

    Wherever the bay starts, the last stud within a piece of its end is at most a stud's
    distance short of that; from stud to stud so many whole distances fit.
    """
    gap, regular = rules.stud_pitch
    first = piece - gap
    if first <= _FINE:
        return
    between = gap * math.floor(piece / gap + _FINE) if regular else first
    reach = first + piece
    while True:
        yield reach
        reach += max(between, first)


def support_places(
    start: float, end: float, supports: int, piece: float, studs: Sequence[float]
) -> tuple[float, ...] | None:
    """Studs for mid supports that leave no piece longer than `piece`, as even as they can be.

    Positions along the wall; None where so many do not do.
    """
    inside = [stud for stud in studs if start + _FINE < stud < end - _FINE]

    def longest(chosen: Sequence[float]) -> float:
        return max(high - low for low, high in pairwise((start, *chosen, end)))

    choices = combinations(inside, supports)
    best = min(choices, key=lambda chosen: (round(longest(chosen), 6), chosen), default=None)
    return None if best is None or longest(best) > piece + _FINE else best

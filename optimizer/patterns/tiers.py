"""How wide a stack may be: plain, with stiffened boards, with mid supports on studs."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

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
    if construction.stiffener_allowed:
        width = floor_to(min(cap, piece(stiffened=True)), rules.grid)
        cost = stiffener_cost(len(boards), rules)
        yield Tier(width, stiffened=True, cost=cost, parts=len(boards))
    if construction.mid_support == "none":
        return
    each = support_cost(zones, depth, rules)
    triangles = len(boards) if construction.mid_support == "triangle" else 0
    for supports, reach in enumerate(supported_widths(plain, rules), start=1):
        width = floor_to(min(cap, reach), rules.grid)
        yield Tier(width, supports=supports, cost=supports * each, parts=supports * triangles)
        if reach >= cap:
            return


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
    chosen: list[float] = []
    for number in range(supports):
        before = chosen[-1] if chosen else start
        left = supports - number
        # What follows must still be reached: no further back than that, no further than a piece.
        able = [s for s in inside if before + _FINE < s <= before + piece + _FINE]
        able = [s for s in able if _reaches(s, end, left - 1, piece, inside)]
        if not able:
            return None
        even = before + (end - before) / (left + 1)
        chosen.append(min(able, key=lambda s: (abs(s - even), s)))
    return tuple(chosen) if end - (chosen[-1] if chosen else start) <= piece + _FINE else None


def _reaches(stud: float, end: float, left: int, piece: float, studs: Sequence[float]) -> bool:
    """Whether the end is reached from a stud over `left` more of the studs."""
    place = stud
    for _ in range(left):
        if end - place <= piece + _FINE:
            return True
        place = max((s for s in studs if s <= place + piece + _FINE), default=place)
    return end - place <= piece + _FINE

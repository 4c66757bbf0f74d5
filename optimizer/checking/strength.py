"""R12 Strength: no board and no rod is longer between supports than it may be."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise

from optimizer.checking.case import Case, zone_depth
from optimizer.domain.construction import Construction
from optimizer.domain.layout import Bay, ZoneKind
from optimizer.errors import Fault
from optimizer.structure.spans import rod_span_limit, shelf_span_limit

CREEP = 2.0
"""Lasting over elastic sag where the brief leaves it to the material."""


def check_strength(case: Case) -> Iterator[Fault]:
    """Findings on pieces too long for boards or rods, and on stiffeners not allowed."""
    rules = case.brief.construction
    if rules.creep_factor is None:
        rules = rules.model_copy(update={"creep_factor": CREEP})
    rod_limit = _or_nothing(lambda: rod_span_limit(rules, case.units))
    for pointer, bay, zone in case.zones():
        if zone.kind is ZoneKind.FLOOR:
            continue
        if zone.kind is ZoneKind.ROD:
            limit, what = min(rod_limit, rules.rod_support_spacing), "rod"
        else:
            depth = zone_depth(bay, zone)
            limit = _board_limit(case, rules, depth, stiffened=bay.stiffened)
            what = f"{'stiffened' if bay.stiffened else 'plain'} board {case.say(depth)} deep"
        yield from _piece(case, pointer, bay, limit, what)
    for index, bay in enumerate(case.layout.bays):
        if bay.stiffened and not rules.stiffener_allowed:
            detail = f"bay {bay.id} has stiffened boards, which the brief does not allow"
            yield Fault(f"/bays/{index}/stiffened", detail, "stiffener")


def _piece(case: Case, pointer: str, bay: Bay, limit: float, what: str) -> Iterator[Fault]:
    """The longest piece between supports is within its limit."""
    places = [bay.start, *sorted(bay.mid_supports), bay.end]
    longest = max(high - low for low, high in pairwise(places))
    if longest > limit + case.tolerance:
        wide = f"{case.say(longest)} between supports" if bay.mid_supports else (
            f"{case.say(bay.width)} wide"
        )  # fmt: skip
        yield Fault(
            pointer,
            f"bay {bay.id} is {wide}; a {what} spans {case.say(limit)} at most",
            "span",
        )


def _board_limit(case: Case, rules: Construction, depth: float, *, stiffened: bool) -> float:
    """Longest span of a board of a depth."""
    if depth <= case.tolerance:
        return rules.max_bay_width  # no board at all, which is found elsewhere
    limit = _or_nothing(lambda: shelf_span_limit(rules, case.units, depth, stiffened=stiffened))
    return limit if stiffened else min(limit, rules.max_plain_span)


def _or_nothing(limit: Callable[[], float]) -> float:
    """A span limit, or 0 where stock or load is so slight that the figures vanish."""
    try:
        return limit()
    except ArithmeticError:
        return 0.0

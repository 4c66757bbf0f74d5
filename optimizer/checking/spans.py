"""R12 Spans: no board and no rod is longer than it may be."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from optimizer.checking.case import Case, zone_depth
from optimizer.domain.layout import ZoneKind
from optimizer.errors import Fault
from optimizer.structure.spans import rod_span_limit, shelf_span_limit


def check_spans(case: Case) -> Iterator[Fault]:
    """Findings on bays too wide for their boards or rods, and on stiffeners not allowed."""
    rules = case.brief.construction
    rod_limit = _or_nothing(lambda: rod_span_limit(rules, case.units))
    for pointer, bay, zone in case.zones():
        if zone.kind is ZoneKind.FLOOR:
            continue
        if zone.kind is ZoneKind.ROD:
            limit, what = rod_limit, "rod"
        else:
            depth = zone_depth(bay, zone)
            limit = _board_limit(case, depth, stiffened=bay.stiffened)
            what = f"{'stiffened' if bay.stiffened else 'plain'} board {case.say(depth)} deep"
        if bay.width > limit + case.tolerance:
            yield Fault(
                pointer,
                f"bay {bay.id} is {case.say(bay.width)} wide; a {what} spans "
                f"{case.say(limit)} at most",
                "span",
            )
    for index, bay in enumerate(case.layout.bays):
        if bay.stiffened and not rules.stiffener_allowed:
            detail = f"bay {bay.id} has stiffened boards, which the brief does not allow"
            yield Fault(f"/bays/{index}/stiffened", detail, "stiffener")


def _board_limit(case: Case, depth: float, *, stiffened: bool) -> float:
    """Longest span of a board of a depth."""
    rules = case.brief.construction
    if depth <= case.tolerance:
        return rules.max_bay_width  # no board at all, which is found elsewhere
    return _or_nothing(lambda: shelf_span_limit(rules, case.units, depth, stiffened=stiffened))


def _or_nothing(limit: Callable[[], float]) -> float:
    """A span limit, or 0 where stock or load is so slight that the figures vanish."""
    try:
        return limit()
    except ArithmeticError:
        return 0.0

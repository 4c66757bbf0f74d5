"""What a stack of zones gives and costs, per unit of its width and per bay.

The model's coefficients and the scoring of finished layouts both come from here. A layout therefore
scores exactly what the model said of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from optimizer.domain.layout import Zone, ZoneKind
from optimizer.domain.needs import Hang
from optimizer.patterns.bay_rules import BayRules
from optimizer.structure.members import TRIANGLE_SHARE, upright_depth
from optimizer.tolerances import FINE

CLEATS_PER_BOARD = 3
"""A back cleat and two side cleats carry each board (common practice)."""


@dataclass(frozen=True, slots=True)
class Measures:
    """Amounts of one bay: those that end in `_per_width` are multiplied by its width.

    Of its `shelves`, `fine` ones are closer together than the wished spacing, for things stored by
    count; `takes` has, for each of these things, the number of zones that it goes into.
    """

    long: int
    medium: int
    short: int
    shelves: int
    shelf_depth: float
    open_floor: int
    easy: float
    cost_per_width: float
    cost: float
    parts: int
    fine: int = 0
    takes: tuple[int, ...] = ()

    @property
    def plain_shelves(self) -> int:
        """Shelves as far apart as wished."""
        return self.shelves - self.fine

    def hang(self, hang: Hang) -> int:
        """Number of rods of a class."""
        return {Hang.LONG: self.long, Hang.MEDIUM: self.medium, Hang.SHORT: self.short}[hang]


def _depth_of(zone: Zone, depth: float) -> float:
    """How far a zone reaches out from the wall."""
    return depth if zone.depth is None else zone.depth


def _as_asked(zones: Sequence[Zone], depth: float, rules: BayRules) -> tuple[Sequence[Zone], float]:
    """Zones and depth of a bay as they were asked for, before their boards were ripped."""
    depths = [rules.asked_depth(_depth_of(zone, depth)) for zone in zones]
    # Most are: no copies are made where every pattern is measured.
    if all(asked == _depth_of(zone, depth) for asked, zone in zip(depths, zones, strict=True)):
        return zones, depth
    asked = [
        zone.model_copy(update={"depth": own}) if zone.kind is ZoneKind.SHELF else zone
        for zone, own in zip(zones, depths, strict=True)
    ]
    return asked, max(rules.asked_depth(depth), *(_depth_of(zone, depth) for zone in asked))


def _is_easy(zone: Zone, rules: BayRules) -> bool:
    """Whether the rod or the board is inside the easy band."""
    # What stands on the floor is bent down for, wherever its top is.
    if zone.kind is ZoneKind.FLOOR:
        return False
    height = zone.bottom if zone.rod_height is None else zone.rod_height
    return rules.reach.easy_low - FINE <= height <= rules.reach.easy_high + FINE


def _easy(zone: Zone, rules: BayRules) -> float:
    """What a zone counts for within easy reach; fine shelves count for their part of the
    spacing."""
    if not _is_easy(zone, rules):
        return 0
    if not rules.is_fine(zone):
        return 1
    return (zone.top - zone.bottom + rules.panel) / rules.brief.needs.shelf_spacing


def upright_cost(height: float, depth: float, rules: BayRules) -> float:
    """Cost of one upright."""
    to_inch = rules.brief.units.to_inch
    return to_inch(height) * to_inch(depth) * rules.rates.panel


def spare_upright_cost(rules: BayRules) -> float:
    """Cost of the upright that closes a run of bays, taken to be the same everywhere."""
    construction = rules.brief.construction
    height = min(construction.max_shelf_height, rules.brief.room.ceiling_height)
    return upright_cost(height, rules.brief.needs.shelf_depth, rules)


def stiffener_cost(boards: int, rules: BayRules) -> float:
    """Cost of stiffening a bay: a strip under each board, as long as the longest piece of rod.

    A fixed sum for any width, so that the cost of a bay stays linear in its width.
    """
    widest = rules.brief.units.to_inch(rules.brief.construction.rod_support_spacing)
    return boards * widest * rules.rates.strip


def support_cost(zones: Sequence[Zone], depth: float, rules: BayRules) -> float:
    """Cost of one mid support: a triangle or bracket under each board and a bracket for each
    rod."""
    to_inch, triangles = rules.brief.units.to_inch, rules.brief.construction.mid_support
    cost, rates = 0.0, rules.rates
    zones, depth = _as_asked(zones, depth, rules)
    for zone in zones:
        if zone.kind is ZoneKind.ROD:
            cost += rates.rod_bracket
        elif zone.kind is ZoneKind.SHELF:
            leg = TRIANGLE_SHARE * to_inch(_depth_of(zone, depth))
            cost += leg * leg * rates.panel if triangles == "triangle" else rates.board_bracket
    return cost


def measures_of(
    zones: Sequence[Zone], depth: float, height: float, stiffened: bool, rules: BayRules
) -> Measures:
    """The measures of a bay with these zones, one upright of its own among them.

    Boards that are ripped a blade shallower cost what those asked for do: what is proved of these
    holds for them.
    """
    to_inch = rules.brief.units.to_inch
    shelf_depth = sum(_depth_of(zone, depth) for zone in zones if zone.kind is ZoneKind.SHELF)
    zones, depth = _as_asked(zones, depth, rules)
    rods = [zone for zone in zones if zone.kind is ZoneKind.ROD]
    boards = [zone for zone in zones if zone.kind is ZoneKind.SHELF]
    area_cost = sum(to_inch(_depth_of(zone, depth)) * rules.rates.panel for zone in boards)
    # What grows with the width of the bay; all that does not is added up under `cost`.
    per_inch = area_cost + len(boards) * rules.rates.strip + len(rods) * rules.rates.rod
    side_cleats = sum(2 * to_inch(_depth_of(zone, depth)) for zone in boards) * rules.rates.strip
    taken = [rules.takes(zone) for zone in boards]
    own_upright = upright_cost(height, upright_depth(rules.brief.construction, zones, depth), rules)
    # The first is the upright that each bay brings (`spare_uprights` are beyond these).
    parts = 1 + len(rods) + len(boards) * (1 + CLEATS_PER_BOARD + (1 if stiffened else 0))
    return Measures(
        long=sum(zone.hang is Hang.LONG for zone in rods),
        medium=sum(zone.hang is Hang.MEDIUM for zone in rods),
        short=sum(zone.hang is Hang.SHORT for zone in rods),
        shelves=len(boards),
        shelf_depth=shelf_depth,
        open_floor=sum(zone.kind is ZoneKind.FLOOR and not zone.items for zone in zones),
        easy=sum(_easy(zone, rules) for zone in zones),
        cost_per_width=per_inch * to_inch(1.0),
        cost=side_cleats
        + own_upright
        + len(rods) * rules.rates.rod_fittings
        + (stiffener_cost(len(boards), rules) if stiffened else 0.0),
        parts=parts,
        fine=sum(rules.is_fine(zone) for zone in zones),
        takes=tuple(sum(n in own for own in taken) for n in range(len(rules.things))),
    )

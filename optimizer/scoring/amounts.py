"""The amounts of a finished layout, added up from its zones."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from optimizer.domain.layout import Bay, Carried, Mount
from optimizer.domain.needs import Hang
from optimizer.geometry.stretches import Surveyed
from optimizer.patterns.bay_rules import BayRules
from optimizer.patterns.measures import measures_of, spare_upright_cost, support_cost
from optimizer.tolerances import TOUCH


@dataclass(frozen=True, slots=True)
class Amounts:
    """What a layout holds and what it takes [brief units; cost by the rates of the price book].

    `shelf_length` counts all boards; `shelf_free` those at least as far apart as wished, less what
    things stored by count take of them; `shelf_useful` those boards, plus what is stored on closer
    ones. `housed` counts bulky items by id, `stored` things by kind, `mounted` hooks and mirrors by
    id.
    """

    hang: dict[Hang, float]
    shelf_length: float
    shelf_area: float
    open_floor: float
    easy: float
    cost: float
    parts: int
    housed: dict[str, int]
    stored: dict[str, int] = field(default_factory=dict)
    shelf_free: float = 0.0
    shelf_useful: float = 0.0
    mounted: dict[str, int] = field(default_factory=dict)


def runs_of(bays: Sequence[Bay], panel: float) -> int:
    """Number of runs: rows of bays in which each shares an upright with the next."""
    runs = 0
    ends = sorted((bay.wall, bay.start, bay.end) for bay in bays)
    for index, (wall, start, _) in enumerate(ends):
        before = ends[index - 1] if index else None
        # A panel apart, no more and no less: nearer than that is a fault, further has two uprights.
        shared = before and before[0] == wall and abs(before[2] + panel - start) <= TOUCH
        runs += not shared
    return runs


def spare_uprights(bays: Sequence[Bay], panel: float) -> int:
    """Number of uprights beyond one for each bay.

    One more for each run, less those whose place a wall or a corner takes.
    """
    carried = sum(end is not Carried.UPRIGHT for bay in bays for end in (bay.left, bay.right))
    return runs_of(bays, panel) - carried


def amounts_of(
    bays: Sequence[Bay], rules: BayRules, surveyed: Surveyed, mounts: Sequence[Mount] = ()
) -> Amounts:
    """The amounts of a layout's bays and of what hangs on its walls."""
    hang = dict.fromkeys(Hang, 0.0)
    shelf_length = shelf_area = open_floor = easy = 0.0
    spare = spare_uprights(bays, rules.panel)
    cost, parts = spare * spare_upright_cost(rules), spare
    if rules.level:
        # One top board over each run of bays, not one for each bay.
        parts += runs_of(bays, rules.panel) - len(bays)
    # A triangle is cut from sheet, and so a part; a bracket is bought.
    triangles = rules.brief.construction.mid_support == "triangle"
    housed: Counter[str] = Counter()
    stored: Counter[str] = Counter()
    free = useful = 0.0
    for bay in bays:
        m = measures_of(bay.zones, bay.depth, bay.height, bay.stiffened, rules)
        for kind in Hang:
            hang[kind] += m.hang(kind) * bay.width
        shelf_length += m.shelves * bay.width
        shelf_area += m.shelf_depth * bay.width
        open_floor += m.open_floor * bay.width
        # In a reach-in only what lies before an opening is within reach at all.
        easy += m.easy * surveyed.opened_width(bay.wall, bay.start, bay.end)
        cost += m.cost + m.cost_per_width * bay.width
        parts += m.parts
        supports = len(bay.mid_supports)
        cost += supports * support_cost(bay.zones, bay.depth, rules) if supports else 0.0
        parts += supports * m.shelves if triangles else 0
        housed.update(name for zone in bay.zones for name in zone.items)
        free += m.plain_shelves * bay.width
        useful += m.plain_shelves * bay.width
        for zone in bay.zones:
            taken = rules.taken(zone)
            free -= 0.0 if rules.is_fine(zone) else taken
            useful += taken if rules.is_fine(zone) else 0.0
            stored.update({kept.kind: kept.count for kept in zone.stored})
    return Amounts(
        hang=hang,
        shelf_length=shelf_length,
        shelf_area=shelf_area,
        open_floor=open_floor,
        easy=easy,
        cost=cost,
        parts=parts,
        housed=dict(housed),
        stored=dict(stored),
        shelf_free=free,
        shelf_useful=useful,
        mounted=dict(Counter(mount.id for mount in mounts)),
    )

"""Reading a solution of the model: which bays of which slots, how wide, and what they hold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import networkx as nx

from optimizer.model.constraints.items import needs_whole, safe_width
from optimizer.model.formulation import Formulation
from optimizer.model.mount_places import MountPlace
from optimizer.model.records import SlotVars, WallEnd
from optimizer.model.slots import Host, Slot
from optimizer.patterns.groups import Group
from optimizer.patterns.pattern import Tier
from optimizer.tolerances import FINE

_HALF = 0.5


@dataclass(frozen=True, slots=True)
class PlannedBay:
    """A bay as the model chose it, still without a position.

    Its width lies between its least width and `most` [brief units], and `width` is where the model
    put it. `propped` tells whether mid supports hold its boards there, where stiffeners might do as
    well.
    """

    slot: Slot
    width: float
    least: float
    most: float
    hosts: tuple[tuple[int, Group], ...]
    propped: bool = False


@dataclass(frozen=True, slots=True)
class SharedUpright:
    """An upright over the boundary of two stretches, standing in stretch `keeper`."""

    left: int
    right: int
    keeper: int


@dataclass(frozen=True, slots=True)
class BayPlan:
    """Everything that the model chose.

    The bays, the state of each corner, uprights shared over boundaries, ends of walls that carry
    bays, stretches whose bays are in two runs, and the places of hooks and mirrors.
    """

    bays: tuple[PlannedBay, ...]
    states: dict[int, str]
    joints: frozenset[SharedUpright]
    broken: frozenset[int]
    carried: frozenset[WallEnd] = frozenset()
    hangings: tuple[MountPlace, ...] = ()


def _holds(variable: object) -> bool:
    """Whether a binary is 1 in the solution, to a solver's tolerance."""
    value = variable.value()  # type: ignore[attr-defined]
    return (value or 0.0) > _HALF


def read_plan(model: Formulation) -> BayPlan:
    """The plan that the values of the model's variables describe."""
    bays: list[PlannedBay] = []
    for vars_ in model.slots:
        number = round(vars_.count.value() or 0.0)
        if number:
            bays.extend(_bays_of(vars_, number))
    return BayPlan(
        bays=tuple(bays),
        states={number: name for (number, name), z in model.states.items() if _holds(z)},
        joints=frozenset(
            SharedUpright(j.left, j.right, j.keeper) for j in model.joints if _holds(j.holds)
        ),
        broken=frozenset(i for i, stretch in enumerate(model.stretches) if _holds(stretch.broken)),
        carried=frozenset(end for end, carried in model.carried.items() if _holds(carried)),
        hangings=tuple(hanging for hanging in model.hangings if _holds(hanging.chosen)),
    )


def _bays_of(vars_: SlotVars, number: int) -> list[PlannedBay]:
    """The bays of one slot: what each holds first, since that says how wide it has to be at
    least."""
    slot = vars_.slot
    hosted = paired(vars_, number)
    leasts = [max([slot.min_width, *(g.width for _, g in held)]) for held in hosted]
    tiers = _tiers_of(vars_, number)
    most = [max(tier.width, slot.min_width) for tier in tiers]
    widths = shared_out(float(vars_.width.value() or 0.0), leasts, most)
    return [
        PlannedBay(slot, width, least, cap, held, propped=tier.supports > 0)
        for width, least, cap, held, tier in zip(widths, leasts, most, hosted, tiers, strict=True)
    ]


def _tiers_of(vars_: SlotVars, number: int) -> list[Tier]:
    """The tier of each bay of a slot: the widest without mid supports first, those with them last.

    Wide groups of items are given out from the first bay on, and so find bays without mid supports.
    """
    needs = [(tier, min(number, round(need.value() or 0.0))) for tier, need in vars_.tiers]
    tiers = []
    for place, (tier, need) in enumerate(needs):
        beyond = needs[place + 1][1] if place + 1 < len(needs) else 0
        tiers += [tier] * (need - beyond)
    # The widest groups are in the first bays (`paired`), which so need the widest tiers.
    whole = sorted((t for t in tiers if not t.supports), key=lambda t: t.width, reverse=True)
    carried = sorted((t for t in tiers if t.supports), key=lambda t: t.width)
    return [*whole, *carried]


def paired(vars_: SlotVars, number: int) -> list[tuple[tuple[int, Group], ...]]:
    """Groups of items given to the zones of a slot's bays, by a bipartite matching.

    Bay i is at least as wide as every level of width that more than i bays reach. Groups that need
    a bay without mid supports are given out first.
    """
    rows: list[Host] = []
    for host, held in vars_.hosts:
        rows.extend([host] * round(held.value() or 0.0))
    reaching = [(width, round(wide.value() or 0.0)) for width, wide in vars_.levels]
    safe = safe_width(vars_)
    supported = vars_.supported
    whole = number - (0 if isinstance(supported, int) else round(supported.value() or 0.0))
    top = [("row", row) for row in range(len(rows))]
    graph = nx.Graph()
    graph.add_nodes_from(top)
    for row, host in enumerate(rows):
        level = [n for width, n in reaching if abs(width - host.group.width) < FINE]
        most = min(level[0], number) if level else number
        bays = range(min(most, whole) if needs_whole(host, safe) else most)
        graph.add_edges_from((("row", row), (bay, zone)) for bay in bays for zone in host.zones)
    matching = nx.bipartite.hopcroft_karp_matching(graph, top) if top else {}
    given: list[list[tuple[int, Group]]] = [[] for _ in range(number)]
    for row, host in enumerate(rows):
        # The model's rows speak of zones in all bays, or in those of one width: where wide groups
        # and choosy ones compete it may promise one more than there is place for.
        if ("row", row) in matching:
            bay, zone = matching["row", row]
            given[bay].append((zone, host.group))
    return [tuple(sorted(bay, key=lambda choice: choice[0])) for bay in given]


def shared_out(total: float, leasts: Sequence[float], most: Sequence[float]) -> list[float]:
    """`total` divided as evenly as the least and the greatest widths allow [brief units].

    All widths are equal, except where a bay must be wider or may not be so wide (water filling).
    """
    low, high = min(leasts), max(most)

    def widths(level: float) -> list[float]:
        """Widths at a common level, each within its own limits."""
        return [min(max(level, least), cap) for least, cap in zip(leasts, most, strict=True)]

    # Bisection to the last digit of a double: 60 halvings of any width in a room.
    for _ in range(60):
        middle = (low + high) / 2
        if sum(widths(middle)) < total:
            low = middle
        else:
            high = middle
    return widths(high)

"""Reading the variables: which bays of which slots, how wide, holding what."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import networkx as nx

from optimizer.model.formulation import Formulation, SlotVars
from optimizer.model.slots import Host, Slot, SlotKind
from optimizer.patterns.groups import Group

_HALF = 0.5
_FINE = 1e-6


@dataclass(frozen=True, slots=True)
class PlannedBay:
    """A bay as the model chose it: its least width and greatest (`most`) and what it holds.

    `width` is where the model puts it; `left` and `right` are the parts of a spanning bay
    in its first and last stretch.
    """

    slot: Slot
    width: float
    least: float
    most: float
    hosts: tuple[tuple[int, Group], ...]
    left: float = 0.0
    right: float = 0.0


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything chosen: bays, corner states by number, shared uprights, broken stretches."""

    bays: tuple[PlannedBay, ...]
    states: dict[int, str]
    joints: frozenset[str]
    broken: frozenset[int]


def read_plan(model: Formulation) -> Plan:
    """The plan that the model's variables now hold."""
    bays: list[PlannedBay] = []
    for vars_ in model.slots:
        number = round(vars_.count.value() or 0.0)
        if number:
            bays.extend(_bays_of(vars_, number))
    states = {
        number: name for (number, name), z in model.states.items() if (z.value() or 0) > _HALF
    }
    joints = frozenset(j.name for j in model.joints if (j.value() or 0) > _HALF)
    broken = frozenset(
        index
        for index, stretch in enumerate(model.stretches)
        if (stretch.broken.value() or 0) > _HALF
    )
    return Plan(tuple(bays), states, joints, broken)


def _bays_of(vars_: SlotVars, number: int) -> list[PlannedBay]:
    slot = vars_.slot
    hosted = _paired(vars_, number)
    leasts = [max([slot.min_width, *(g.width for _, g in held)]) for held in hosted]
    most = _greatest(vars_, leasts)
    if slot.kind is SlotKind.SPAN:
        left, right = float(vars_.left.value() or 0.0), float(vars_.right.value() or 0.0)
        width = float(vars_.width.value() or 0.0)
        return [PlannedBay(slot, width, leasts[0], most[0], hosted[0], left, right)]
    widths = shared_out(float(vars_.width.value() or 0.0), leasts, most)
    return [
        PlannedBay(slot, width, least, cap, held)
        for width, least, cap, held in zip(widths, leasts, most, hosted, strict=True)
    ]


def _greatest(vars_: SlotVars, leasts: Sequence[float]) -> list[float]:
    """Greatest width of each bay: as many as the model stiffens may be wider than plain."""
    stiff = vars_.stiff if isinstance(vars_.stiff, int) else round(vars_.stiff.value() or 0)
    slot = vars_.slot
    plain = min(max(slot.pattern.plain_width, slot.min_width), slot.max_width)
    widest_first = sorted(range(len(leasts)), key=lambda index: -leasts[index])
    most = [plain] * len(leasts)
    for index in widest_first[:stiff]:
        most[index] = slot.max_width
    return most


def _paired(vars_: SlotVars, number: int) -> list[tuple[tuple[int, Group], ...]]:
    """Groups given to zones of the slot's bays, bay 0 being the widest; a matching.

    Bay i is at least as wide as every level that more than i bays reach.
    """
    rows: list[Host] = []
    for host, held in vars_.hosts:
        rows.extend([host] * round(held.value() or 0.0))
    reaching = [(width, round(wide.value() or 0.0)) for width, wide in vars_.levels]
    graph = nx.Graph()
    for row, host in enumerate(rows):
        level = [n for width, n in reaching if abs(width - host.group.width) < _FINE]
        bays = range(min(level[0], number) if level else number)
        graph.add_edges_from((("row", row), (bay, zone)) for bay in bays for zone in host.zones)
    top = [("row", row) for row in range(len(rows))]
    matching = nx.bipartite.hopcroft_karp_matching(graph, top) if top else {}
    given: list[list[tuple[int, Group]]] = [[] for _ in range(number)]
    for row, host in enumerate(rows):
        bay, zone = matching["row", row]
        given[bay].append((zone, host.group))
    return [tuple(sorted(bay, key=lambda choice: choice[0])) for bay in given]


def shared_out(total: float, leasts: Sequence[float], most: Sequence[float]) -> list[float]:
    """`total` given out as evenly as the least and the greatest widths allow.

    Every width is the same level, but for those that must be wider or may not be so wide.
    """
    low, high = min(leasts), max(most)

    def widths(level: float) -> list[float]:
        return [min(max(level, least), cap) for least, cap in zip(leasts, most, strict=True)]

    for _ in range(60):
        middle = (low + high) / 2
        if sum(widths(middle)) < total:
            low = middle
        else:
            high = middle
    return widths(high)

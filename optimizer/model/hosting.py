"""Items in bays: one group a zone, in bays wide enough for what they hold.

By Hall's theorem groups can be given to zones exactly when no set of zones is asked to
take more groups than it has zones. The same holds among the bays at least as wide as a
level, whose number is a variable of its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import TYPE_CHECKING, Any

from pulp import lpSum

from optimizer.model.slots import Host

if TYPE_CHECKING:
    from optimizer.model.formulation import Formulation, SlotVars

_FINE = 1e-6
MOST_SETS = 4
"""Distinct sets of suitable zones of which every union is looked at."""


def add_hosts(model: Formulation, vars_: SlotVars, name: str) -> None:
    """Variables and limits of the groups that a slot's bays may hold."""
    slot = vars_.slot
    for number, host in enumerate(slot.hosts):
        most = slot.most * len(host.zones)
        held = model.problem.add_variable(f"h_{name}_{number}", 0, most, "Integer")
        vars_.hosts.append((host, held))
    floor = [held for host, held in vars_.hosts if host.on_floor]
    if slot.pattern.hosting:
        model.add(lpSum(floor) == vars_.count, f"on_floor_{name}")
    _seat(model, vars_.hosts, vars_.count, f"seats_{name}", skip_floor=True)
    _widen(model, vars_, name)


def _seat(
    model: Formulation,
    hosts: Sequence[tuple[Host, Any]],
    bays: Any,
    name: str,
    *,
    skip_floor: bool,
) -> None:
    """No set of zones takes more groups than it has zones in so many bays."""
    for number, zones in enumerate(zone_sets([host for host, _ in hosts])):
        if skip_floor and zones == frozenset({0}) and hosts[0][0].on_floor:
            continue
        inside = [held for host, held in hosts if zones.issuperset(host.zones)]
        model.add(lpSum(inside) <= len(zones) * bays, f"{name}_{number}")


def zone_sets(hosts: Sequence[Host]) -> Iterator[frozenset[int]]:
    """Unions of the sets of zones that groups may use."""
    distinct = sorted({frozenset(host.zones) for host in hosts}, key=sorted)
    if len(distinct) > MOST_SETS:
        yield from distinct
        yield frozenset().union(*distinct)
        return
    unions = {
        frozenset().union(*chosen)
        for size in range(1, len(distinct) + 1)
        for chosen in combinations(distinct, size)
    }
    yield from sorted(unions, key=sorted)


def _widen(model: Formulation, vars_: SlotVars, name: str) -> None:
    """Bays are as wide as what they hold: so many at least as wide as each level."""
    least = vars_.slot.min_width
    widths = sorted({h.group.width for h, _ in vars_.hosts if h.group.width > least + _FINE})
    needed = []
    below, count = least, vars_.count
    for number, width in enumerate(widths):
        wide = model.problem.add_variable(f"m_{name}_{number}", 0, vars_.slot.most, "Integer")
        vars_.levels.append((width, wide))
        if vars_.slot.pattern.stiffened(width):
            model.add(wide <= vars_.stiff, f"stiff_{name}_{number}")
        model.add(wide <= count, f"nested_{name}_{number}")
        holding = [(h, held) for h, held in vars_.hosts if h.group.width >= width - _FINE]
        _seat(model, holding, wide, f"wide_{name}_{number}", skip_floor=False)
        needed.append((width - below) * wide)
        below, count = width, wide
    if needed:
        model.add(vars_.extra >= lpSum(needed), f"width_{name}")

"""Bulky items in bays: at most one group in a zone, and bays wide enough for what they hold.

By Hall's theorem, groups can be assigned to zones exactly when no set of zones is asked to take
more groups than it has zones; one row states that for each set. The same holds among the bays at
least as wide as a level of width, whose number is a variable of its own; levels and zones together
are not exact, and `solution` leaves out what then finds no place. A group goes into a bay
without mid supports where it is too tall to pass under them and wider than the least piece between
them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from optimizer.model.records import FINE, Model, SlotVars
from optimizer.model.slots import Host
from optimizer.solving import combined, total


def add_hosts(model: Model, vars_: SlotVars, name: str) -> None:
    """Add variables and rows for the groups of items that a slot's bays may hold."""
    slot, safe = vars_.slot, safe_width(vars_)
    propped = bool(vars_.tiers) and vars_.tiers[0][0].supports > 0
    for number, host in enumerate(slot.hosts):
        if propped and needs_whole(host, safe):
            # No bay here is without mid supports; others as wide would be kept out with it.
            continue
        held = model.integer(f"h_{name}_{number}", slot.most * len(host.zones))
        vars_.hosts.append((host, held))
    floor = [held for host, held in vars_.hosts if host.on_floor]
    if slot.pattern.hosting:
        model.add(total(floor) == vars_.count, f"on_floor_{name}")
    if slot.bare:
        # Else it would be a second slot of what there is already.
        needing = total(held for host, held in vars_.hosts if host.bare)
        model.add(needing >= vars_.count, f"bare_{name}")
    if slot.fitted and not slot.pattern.hosting:
        units = total(held for host, held in vars_.hosts if host.group.unit)
        model.add(units == vars_.count, f"fitted_{name}")
    _seat(model, vars_.hosts, vars_.count, f"seats_{name}", skip_floor=True)
    _widen(model, vars_, name)


def safe_width(vars_: SlotVars) -> float:
    """Width that fits into any of the slot's bays, wherever its mid supports fall [brief units].

    A bay with k supports (one more where studs stand unluckily) is wider than the tier before
    reaches, and its widest piece is at least that width over k + 2.
    """
    least = [
        before.width / (tier.supports + 2)
        for (before, _), (tier, _) in zip(vars_.tiers, vars_.tiers[1:], strict=False)
        if tier.supports
    ]
    first = vars_.tiers[0][0] if vars_.tiers else None
    if first is not None and first.supports:
        least.append(vars_.slot.min_width / (first.supports + 2))
    return min(least, default=float("inf"))


def needs_whole(host: Host, safe: float) -> bool:
    """Whether a group needs a bay without mid supports."""
    return host.tall and host.group.width > safe + FINE


def _seat(
    model: Model,
    hosts: Sequence[tuple[Host, Any]],
    bays: Any,
    name: str,
    *,
    skip_floor: bool,
) -> None:
    """No set of zones takes more groups than it has zones, in so many bays."""
    for number, zones in enumerate(zone_sets([host for host, _ in hosts])):
        # The floor is taken exactly by the row above.
        if skip_floor and zones == frozenset({0}) and hosts[0][0].on_floor:
            continue
        inside = [held for host, held in hosts if zones.issuperset(host.zones)]
        seats = combined([*((1.0, held) for held in inside), (-float(len(zones)), bays)])
        model.add(seats <= 0, f"{name}_{number}")


def zone_sets(hosts: Sequence[Host]) -> Iterator[frozenset[int]]:
    """All unions of the sets of zones that groups may use."""
    unions: set[frozenset[int]] = set()
    for zones in {frozenset(host.zones) for host in hosts}:
        unions |= {zones} | {zones | union for union in unions}
    yield from sorted(unions, key=sorted)


def _widen(model: Model, vars_: SlotVars, name: str) -> None:
    """Make bays wide enough: so many bays at least as wide as each level of width."""
    least, safe = vars_.slot.min_width, safe_width(vars_)
    found = {h.group.width for h, _ in vars_.hosts if h.group.width > least + FINE}
    # Groups no wider than any bay may still be wider than a piece between supports.
    found |= {h.group.width for h, _ in vars_.hosts if needs_whole(h, safe)}
    needed = []
    below, count = least, vars_.count
    for number, width in enumerate(sorted(found)):
        wide = model.integer(f"m_{name}_{number}", vars_.slot.most)
        vars_.levels.append((width, wide))
        whole = any(needs_whole(h, safe) for h, _ in vars_.hosts if h.group.width >= width - FINE)
        supported = vars_.supported if whole else 0
        model.add(wide + supported <= vars_.needing(width), f"carried_{name}_{number}")
        if whole and not isinstance(supported, int):
            model.add(wide + supported <= vars_.count, f"whole_{name}_{number}")
        model.add(wide <= count, f"nested_{name}_{number}")
        holding = [(h, held) for h, held in vars_.hosts if h.group.width >= width - FINE]
        _seat(model, holding, wide, f"wide_{name}_{number}", skip_floor=False)
        if width > below:
            needed.append((width - below, wide))
            below = width
        count = wide
    if needed:
        model.add(vars_.extra >= combined(needed), f"width_{name}")

"""Bulky items in bays: how many bays are wide enough, and carried so, that what they hold fits.

A group of items goes into a bay without mid supports where it is too tall to pass under them and
wider than the least piece between them. Which zones take which groups, see `nooks`.
"""

from __future__ import annotations

from typing import Any

from optimizer.model.records import FINE, Model, SlotVars
from optimizer.model.slots import Host
from optimizer.solving import combined, total


def add_levels(model: Model, vars_: SlotVars, name: str) -> None:
    """Add variables and rows for the widths that a slot's bays need for the groups they may
    hold: so many bays at least as wide as each level of width."""
    safe = safe_width(vars_)
    vars_.hosts += [host for host in vars_.slot.hosts if _is_carried(vars_, host, safe)]
    if vars_.slot.pattern.hosting and not any(host.on_floor for host in vars_.hosts):
        model.add(total([vars_.count]) <= 0, f"on_floor_{name}")
    least = vars_.slot.min_width
    found = {h.group.width for h in vars_.hosts if h.group.width > least + FINE}
    # Groups no wider than any bay may still be wider than a piece between supports.
    found |= {h.group.width for h in vars_.hosts if needs_whole(h, safe)}
    needed = []
    below, count = least, vars_.count
    limit: tuple[Any, bool] = (None, False)
    for number, width in enumerate(sorted(found)):
        wide = model.integer(f"m_{name}_{number}", vars_.slot.most)
        vars_.levels.append((width, wide))
        model.add(wide <= count, f"nested_{name}_{number}")
        whole = any(needs_whole(h, safe) for h in vars_.hosts if h.group.width >= width - FINE)
        carried = vars_.needing(width)
        # Fewer bays within the same limit: the level before says more.
        if carried is not limit[0] or whole is not limit[1]:
            limit = carried, whole
            supported = vars_.supported if whole else 0
            model.add(wide + supported <= carried, f"carried_{name}_{number}")
        if width > below:
            needed.append((width - below, wide))
            below = width
        count = wide
    if needed:
        model.add(vars_.extra >= combined(needed), f"width_{name}")


def _is_carried(vars_: SlotVars, host: Host, safe: float) -> bool:
    """Whether a bay of a slot can be carried so that it holds a group."""
    if not needs_whole(host, safe):
        return True
    found = vars_.reached(host.group.width)
    return found is not None and not found[0].supports


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

"""Where bulky items stand: one group in a zone at most, counted for zones that take the same.

Zones of all bays on a wall that take the same groups are one nook. Groups can be given to the zones
of a nook exactly when, for each width, no more groups at least as wide are asked of it than it has
zones in bays at least as wide: such sets of zones lie one in the other, so that these are all of
Hall's conditions. Counting by nook is therefore as exact as counting by slot, for the relaxation
too (what a nook holds can be shared out among its slots in proportion), with a handful of variables
in place of hundreds.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from optimizer.model.constraints.stored import Sort, sort_of
from optimizer.model.records import FINE, Model, Nook, NookZone, SlotVars
from optimizer.model.slots import Host, Slot
from optimizer.patterns.groups import Group
from optimizer.solving import combined, total

_Taken = frozenset[tuple[Group, bool]]
"""What a zone takes: groups, and whether each is one that no stiffener may be over."""


class _Kind(NamedTuple):
    """What the zones of a nook have in common beside the groups that they take.

    `most` is the width that bought units allow their bays; None for bays that need hold none.
    """

    wall: int
    on_floor: bool
    bare: bool
    most: float | None
    sort: Sort | None


class _Use(NamedTuple):
    """What bays are for: on one wall, not stiffened for what is high, or as wide as units ask."""

    wall: int
    bare: bool
    most: float | None


@dataclass
class _Zones:
    """Zones that take the same groups, or of these all that are no wider than they take."""

    hosts: list[Host]
    zones: list[NookZone] = field(default_factory=list)

    @property
    def widest(self) -> float:
        """Width of the widest group [brief units]."""
        return max(host.group.width for host in self.hosts)

    def up_to(self, width: float) -> _Taken:
        """What of the groups is no wider than `width`."""
        return _taken(h for h in self.hosts if h.group.width <= width + FINE)


def add_nooks(model: Model) -> None:
    """Add the groups of items that bays may hold, and what limits them; all slots are known."""
    wanted: dict[_Use, list[Any]] = {}
    pieces = {piece.id: piece.count for piece in model.rules.pieces}
    for kind, nooks in _by_kind(model).items():
        for own in nooks:
            name = f"{kind.wall}_{len(model.nooks)}"
            held = [
                (host, model.integer(f"h_{name}_{number}", _most(host, own.zones, pieces)))
                for number, host in enumerate(own.hosts)
            ]
            nook = Nook(kind.wall, kind.on_floor, tuple(own.zones), tuple(held))
            model.nooks.append(nook)
            if kind.on_floor:
                _fill_floor(model, nook, name)
            seat_groups(model, nook, name)
            use = _Use(kind.wall, kind.bare, None if kind.on_floor else kind.most)
            wanted.setdefault(use, []).extend(v for h, v in held if h.bare or h.group.unit)
    _use(model, wanted)


def _by_kind(model: Model) -> dict[_Kind, list[_Zones]]:
    """The zones of all slots by what they have in common."""
    found: dict[_Kind, dict[_Taken, _Zones]] = {}
    for vars_ in model.slots:
        for index, hosts in _by_zone(vars_).items():
            own = found.setdefault(_kind(model, vars_.slot, index, hosts[0]), {})
            zones = own.setdefault(_taken(hosts), _Zones(hosts))
            zones.zones.append(NookZone(vars_, index, zones.widest))
    return {kind: _joined(list(own.values())) for kind, own in found.items()}


def _by_zone(vars_: SlotVars) -> dict[int, list[Host]]:
    """What each zone of a slot's bays takes."""
    found: dict[int, list[Host]] = {}
    for host in vars_.hosts:
        for index in host.zones:
            found.setdefault(index, []).append(host)
    return found


def _kind(model: Model, slot: Slot, index: int, host: Host) -> _Kind:
    """The kind of a slot's zone, which takes the host."""
    sort = sort_of(slot.pattern.zones[index], model.rules)
    return _Kind(model.wall_of(slot), host.on_floor, slot.bare, _most_width(slot), sort)


def _most_width(slot: Slot) -> float | None:
    """The width that the units of a fitted slot allow its bays [brief units]; None for others."""
    return min(host.group.most for host in slot.hosts) if slot.fitted else None


def _taken(hosts: Iterable[Host]) -> _Taken:
    """Hosts as what they take, wherever they are."""
    return frozenset((host.group, host.bare) for host in hosts)


def _joined(found: list[_Zones]) -> list[_Zones]:
    """Zones together with those that take the same but for wider groups."""
    kept: list[_Zones] = []
    for zones in sorted(found, key=lambda own: -len(own.hosts)):
        taken, widest = _taken(zones.hosts), zones.widest
        other = next((own for own in kept if own.up_to(widest) == taken), None)
        if other is None:
            kept.append(zones)
        else:
            other.zones += zones.zones
    return kept


def _most(host: Host, zones: Sequence[NookZone], pieces: Mapping[str, int]) -> int:
    """Most groups of a kind that a nook may hold: by its zones, and by the pieces there are."""
    room = sum(z.slot.slot.most for z in zones if z.widest >= host.group.width - FINE)
    return min(room, *(pieces[name] // count for name, count in host.group.counts))


def _fill_floor(model: Model, nook: Nook, name: str) -> None:
    """The floor of every bay whose floor is made for items holds one group."""
    bays = total(zone.slot.count for zone in nook.zones)
    model.add(total(held for _, held in nook.held) == bays, f"on_floor_{name}")


def seat_groups(model: Model, nook: Nook, name: str) -> None:
    """No more groups at least so wide than zones in bays at least so wide, for each width."""
    # What the row of the floors says, where there is one.
    before = [zone.slot.count.name for zone in nook.zones] if nook.on_floor else None
    for number, width in enumerate(sorted({host.group.width for host, _ in nook.held})):
        wide = [z.slot.reaching(width) for z in nook.zones if z.widest >= width - FINE]
        limits = [bays.name for bays in wide]
        # Fewer groups in the same bays: the row before says more.
        if limits == before:
            continue
        before = limits
        holding = [(1.0, held) for host, held in nook.held if host.group.width >= width - FINE]
        seats = combined([*holding, *((-1.0, bays) for bays in wide)])
        model.add(seats <= 0, f"seats_{name}_{number}")


def _use(model: Model, wanted: dict[_Use, list[Any]]) -> None:
    """Of bays that are as they are for some groups there are as many as of those groups.

    Else they would be another way to say what there is already. Where the floor is made for a unit,
    the row of the floors says it.
    """
    bays: dict[_Use, list[Any]] = {}
    for vars_ in model.slots:
        slot = vars_.slot
        if slot.bare or (slot.fitted and not slot.pattern.hosting):
            use = _Use(model.wall_of(slot), slot.bare, _most_width(slot))
            bays.setdefault(use, []).append(vars_.count)
    for number, (use, counts) in enumerate(bays.items()):
        groups = total(wanted.get(use, []))
        if use.bare:
            model.add(groups >= total(counts), f"bare_{number}")
        else:
            model.add(groups == total(counts), f"fitted_{number}")

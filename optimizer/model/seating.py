"""Giving the groups of items of each nook to zones of bays."""

from __future__ import annotations

from collections.abc import Iterable

from optimizer.model.records import Nook
from optimizer.patterns.groups import Group
from optimizer.solving import value_of
from optimizer.tolerances import FINE

Held = tuple[tuple[int, Group], ...]
"""What a bay holds: groups with the indexes of their zones, from the lowest up."""


def seated(nooks: Iterable[Nook]) -> dict[tuple[str, int], Held]:
    """What each bay holds that holds anything, by the name of its slot's number of bays and its
    place among them.

    The first bays of a slot are its widest. The widest group goes first, into the first free zone
    that takes it: zones that take a group take narrower ones too, so that none is left over of
    those that the rows of `constraints.nooks` allow.
    """
    found: dict[tuple[str, int], list[tuple[int, Group]]] = {}
    for nook in nooks:
        seats = [
            (zone, bay) for zone in nook.zones for bay in range(round(value_of(zone.slot.count)))
        ]
        groups = [host.group for host, held in nook.held for _ in range(round(value_of(held)))]
        for group in sorted(groups, key=lambda group: -group.width):
            for number, (zone, bay) in enumerate(seats):
                fits = zone.widest >= group.width - FINE
                if fits and bay < round(value_of(zone.slot.reaching(group.width))):
                    found.setdefault((zone.slot.count.name, bay), []).append((zone.zone, group))
                    del seats[number]
                    break
    return {bay: tuple(sorted(own, key=lambda pair: pair[0])) for bay, own in found.items()}

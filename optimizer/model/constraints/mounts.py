"""Hooks and mirrors: each takes a piece of wall that the bays leave free.

Bays leave wall at the left end of a stretch, at its right end, between two runs, or across a
boundary that no bay spans; where both ends of a stretch are held by bays, nothing is left (see
`lengths`). Each mount has one binary for each such place, and its width is taken off the length
that bays have. Several mounts at one end hang side by side. Where an obstruction near that end is
in a mount's way, the wall up to it is lost as well, and the mount hangs there alone. A mount that
the brief keeps has one place, a stretch of its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import Any

from optimizer.geometry.mount_space import Interval, free_for
from optimizer.model.mount_places import At, MountPlace
from optimizer.model.records import FINE, Model, Rank
from optimizer.reference.mounted import Mounted
from optimizer.solving import total


def add_mounts(model: Model) -> None:
    """Add the places of every mount, of which at most one is chosen."""
    for number, mount in enumerate(model.rules.mounted):
        own = [
            hanging for chain in model.chains for hanging in _places(model, number, mount, chain)
        ]
        model.hangings += own
        model.hung[mount.name] = total(hanging.chosen for hanging in own)
        if own:
            model.add(model.hung[mount.name] <= 1, f"mount_{number}")


def _places(
    model: Model, number: int, mount: Mounted, chain: Sequence[int]
) -> Iterator[MountPlace]:
    """The places at which one mount may hang in a chain of touching stretches."""
    stretches = model.surveyed.stretches
    free = free_for(mount, model.surveyed.cut, stretches[chain[0]].wall)
    if any(pin.mount == mount.id for pin in model.rules.brief.mount_pins):
        for index in chain:
            if stretches[index].mount == mount.id:
                yield _kept(model, number, index)
        return
    for index in chain:
        if not stretches[index].kept:
            yield from _inside(model, number, mount, index, free)
    for place, first in enumerate(chain):
        for last in chain[place + 1 :]:
            own = range(first, last + 1)
            between = sum(stretches[i].length for i in own[1:-1])
            # A mount covers all that lies between its first and last stretch.
            if between > mount.width + FINE or any(stretches[i].kept for i in own):
                break
            yield from _across(model, number, mount, (first, last), free)


def _kept(model: Model, number: int, index: int) -> MountPlace:
    """The one place of a mount that the brief keeps: all of its stretch."""
    stretch = model.surveyed.stretches[index]
    chosen = model.binary(f"y_{number}_{index}_kept", Rank.UPRIGHTS)
    takes = {index: stretch.length * chosen}
    return MountPlace(number, "left", index, index, (stretch.start, stretch.end), chosen, takes)


def _inside(
    model: Model, number: int, mount: Mounted, index: int, free: Sequence[Interval]
) -> Iterator[MountPlace]:
    """At the ends of one stretch and, where it is all free, between two runs."""
    stretch = model.surveyed.stretches[index]
    cut = [(max(low, stretch.start), min(high, stretch.end)) for low, high in free]
    fit = [(low, high) for low, high in cut if high - low >= mount.width - FINE]
    if not fit:
        return
    first, last = fit[0], fit[-1]
    choices: list[tuple[At, Interval, float]] = [
        # What an obstruction takes of the end is lost for bays too: they stand beyond the mount.
        ("left", first, first[0] - stretch.start),
        ("right", last, stretch.end - last[1]),
    ]
    if first[1] - first[0] > stretch.length - FINE:
        choices.append(("middle", first, 0.0))
    for at, within, lost in choices:
        chosen = model.binary(f"y_{number}_{index}_{at}", Rank.UPRIGHTS)
        takes = {index: (mount.width + lost) * chosen}
        yield MountPlace(number, at, index, index, within, chosen, takes, shifted=lost > FINE)


def _across(
    model: Model, number: int, mount: Mounted, ends: tuple[int, int], free: Sequence[Interval]
) -> Iterator[MountPlace]:
    """Over the boundaries between two stretches."""
    stretches, (first, last) = model.surveyed.stretches, ends
    inner = stretches[first].end, stretches[last].start
    found = [(a, b) for a, b in free if a < inner[0] - FINE and b > inner[1] + FINE]
    if not found:
        return
    low, high = max(found[0][0], stretches[first].start), min(found[0][1], stretches[last].end)
    if high - low < mount.width - FINE:
        return
    name = f"{number}_{first}_{last}"
    chosen = model.binary(f"y_{name}_across", Rank.UPRIGHTS)
    parts = {first: inner[0] - low, last: high - inner[1]}
    takes: dict[int, Any] = {}
    for index, most in parts.items():
        takes[index] = model.continuous(f"y_{name}_{index}", min(most, mount.width))
        model.add(takes[index] <= min(most, mount.width) * chosen, f"mount_part_{name}_{index}")
    for index in range(first + 1, last):
        takes[index] = stretches[index].length * chosen
    model.add(total(takes.values()) == mount.width * chosen, f"mount_whole_{name}")
    yield MountPlace(number, "across", first, last, (low, high), chosen, takes)


def taken_by_mounts(model: Model, index: int) -> list[Any]:
    """Lengths that mounts take of a stretch, as terms of a sum."""
    return [hanging.takes[index] for hanging in model.hangings if index in hanging.takes]


def tie_mounts(model: Model) -> None:
    """Allow mounts only where bays leave wall free: at free ends, between runs, over open
    boundaries."""
    for place, hanging in enumerate(model.hangings):
        own = model.stretches[hanging.first]
        if hanging.at == "middle":
            model.add(hanging.chosen <= own.broken, f"mount_middle_{place}")
        elif hanging.at == "across":
            for left in range(hanging.first, hanging.last):
                over = [v.count for v in model.slots if v.slot.first <= left < v.slot.last]
                over += model.stretches[left].joined_right
                model.add(hanging.chosen + total(over) <= 1, f"mount_across_{place}_{left}")
        else:
            for which, held in enumerate(_held(model, hanging.first, at_left=hanging.at == "left")):
                model.add(hanging.chosen + held <= 1, f"mount_end_{place}_{which}")
    for one, other in combinations(range(len(model.hangings)), 2):
        _alone(model, one, other)


def _held(model: Model, index: int, *, at_left: bool) -> list[Any]:
    """Sums, each at most 1, of what holds bays at one end of a stretch."""
    own = model.stretches[index]
    bays = [
        v.count
        for v in model.slots
        if (
            v.slot.at_left and v.slot.first == index
            if at_left
            else v.slot.at_right and v.slot.last == index
        )
    ]
    joined = own.joined_left if at_left else own.joined_right
    over = own.entered if at_left else own.left_by
    return [total(bays), over + total(joined), total([model.carried_at(index, at_left=at_left)])]


def _alone(model: Model, one: int, other: int) -> None:
    """Forbid a second mount at an end of a stretch where an obstruction keeps one off that end."""
    a, b = model.hangings[one], model.hangings[other]
    same = a.first == b.first and a.at == b.at and a.mount != b.mount
    if same and (a.shifted or b.shifted):
        model.add(a.chosen + b.chosen <= 1, f"mount_alone_{one}_{other}")

"""Where a bay may stand: the index sets of the model.

A slot is one pattern in one position class:

* *inner*: any number of bays of the pattern inside one stretch;
* *span*: one bay that starts in stretch `first` and ends in stretch `last`, over
  everything between;
* *end*: one bay against the wall's end that runs into an inside corner.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from optimizer.domain.layout import ZoneKind
from optimizer.errors import BriefError, Fault
from optimizer.geometry.stretches import Stretch, Surveyed
from optimizer.patterns.column import Column, column_of
from optimizer.patterns.enumeration import Catalogue
from optimizer.patterns.groups import Group
from optimizer.patterns.pattern import Pattern
from optimizer.units import format_length

_FINE = 1e-6
MOST_NAMED = 12
"""Patterns named when a pin is refused."""


class SlotKind(StrEnum):
    """Position classes of bays."""

    INNER = "inner"
    SPAN = "span"
    END = "end"


@dataclass(frozen=True, slots=True)
class Host:
    """A group of items and the zones of a pattern that can take it."""

    group: Group
    zones: tuple[int, ...]
    on_floor: bool


@dataclass(frozen=True, slots=True)
class Slot:
    """A pattern in a position class, from stretch `first` to stretch `last` (indexes).

    `most` is the largest number of such bays; `hosts` the groups of items it may hold, each
    with the zones (indexes) that take it, one group a zone. `at_left` tells which end of the
    wall an end slot stands against.
    """

    kind: SlotKind
    first: int
    last: int
    pattern: Pattern
    most: int
    min_width: float
    hosts: tuple[Host, ...]
    at_left: bool = False

    @property
    def max_width(self) -> float:
        """Greatest width of one such bay."""
        return self.pattern.max_width


def hosts_of(pattern: Pattern, catalogue: Catalogue, widest: float) -> tuple[Host, ...]:
    """Groups of items that `pattern` can hold in bays up to `widest`, with their zones."""
    found = []
    for on_floor, groups in ((True, catalogue.floor_groups), (False, catalogue.shelf_groups)):
        if on_floor and not pattern.hosting:
            continue
        for group in groups:
            zones = tuple(
                index
                for index in range(len(pattern.zones))
                if _takes(pattern, index, group, catalogue, on_floor=on_floor)
            )
            if zones and group.width <= widest + _FINE:
                found.append(Host(group, zones, on_floor))
    return tuple(found)


def _takes(
    pattern: Pattern, index: int, group: Group, catalogue: Catalogue, *, on_floor: bool
) -> bool:
    """Whether a zone suits `group`: the floor made for its height, or a shelf in reach."""
    rules, zone = catalogue.rules, pattern.zones[index]
    if zone.kind is not (ZoneKind.FLOOR if on_floor else ZoneKind.SHELF):
        return False
    clear, depth = rules.item_clear(pattern.zones, index), zone.depth or 0.0
    if group.height > clear + _FINE or group.depth > depth + _FINE:
        return False
    if on_floor:
        made_for = min(h for h in catalogue.floor_heights if h >= group.height - _FINE)
        # A block may have lifted the board over the floor zone above the made height.
        lower = max((h for h in catalogue.floor_heights if h <= clear + _FINE), default=0.0)
        return abs(made_for - lower) <= _FINE
    too_heavy = group.heavy and zone.bottom > rules.heavy_height + _FINE
    too_high = group.daily and zone.bottom > rules.reach.easy_high + _FINE
    return not too_heavy and not too_high


def stands(pattern: Pattern, column: Column) -> bool:
    """Whether the pattern's uprights may stand in `column`."""
    return column.free(0.0, pattern.height, pattern.depth)


@dataclass(frozen=True)
class SlotMaker:
    """Makes the slots of a surveyed room."""

    surveyed: Surveyed
    catalogue: Catalogue

    @property
    def _panel(self) -> float:
        return self.catalogue.rules.panel

    def _column(self, first: int, last: int) -> Column:
        return column_of(self.surveyed.stretches[first : last + 1])

    def inner(self, index: int) -> Iterable[Slot]:
        """Slots inside one stretch; in a pinned one, the pinned bay alone."""
        stretch = self.surveyed.stretches[index]
        column = self._column(index, index)
        if stretch.pin is not None:
            pattern = pinned(stretch, column, self.catalogue)
            hosts = hosts_of(pattern, self.catalogue, pattern.max_width)
            yield Slot(SlotKind.INNER, index, index, pattern, 1, pattern.min_width, hosts)
            return
        for pattern in self.catalogue.patterns(column):
            most = int((stretch.length + _FINE) // (pattern.min_width + self._panel))
            if most < 1 or not stands(pattern, column):
                continue
            widest = min(pattern.max_width, stretch.length - self._panel)
            hosts = hosts_of(pattern, self.catalogue, widest)
            if hosts or not pattern.hosting:
                yield Slot(SlotKind.INNER, index, index, pattern, most, pattern.min_width, hosts)

    def spans(self, chain: Sequence[int]) -> Iterable[Slot]:
        """Bays over at least one boundary of a chain of touching stretches."""
        widest = self.catalogue.rules.brief.construction.max_bay_width
        stretches = self.surveyed.stretches
        for position, first in enumerate(chain):
            covered = 0.0
            if stretches[first].pin is not None:
                continue
            for last in chain[position + 1 :]:
                if covered > widest or stretches[last].pin is not None:
                    break
                yield from self._span(first, last, covered)
                covered += stretches[last].length

    def _span(self, first: int, last: int, covered: float) -> Iterable[Slot]:
        stretches = self.surveyed.stretches
        ends = self._column(first, first), self._column(last, last)
        room = covered + stretches[first].length + stretches[last].length - 2 * self._panel
        for pattern in self.catalogue.patterns(self._column(first, last)):
            if pattern.max_width < covered or room < pattern.min_width - _FINE:
                continue
            if not all(stands(pattern, column) for column in ends):
                continue
            hosts = hosts_of(pattern, self.catalogue, min(pattern.max_width, room))
            if hosts or not pattern.hosting:
                yield Slot(SlotKind.SPAN, first, last, pattern, 1, pattern.min_width, hosts)

    def ends(self, index: int, *, at_left: bool) -> Iterable[Slot]:
        """Bays against a wall's end that may run into a corner; they hold no items."""
        stretch = self.surveyed.stretches[index]
        column = self._column(index, index)
        patterns = self.catalogue.patterns(column)
        if stretch.pin is not None:
            patterns = (pinned(stretch, column, self.catalogue),)
            column = replace(column, blocks=stretch.beside)
        for pattern in patterns:
            room = pattern.max_width if stretch.pin else stretch.length - 2 * self._panel
            fits = pattern.min_width <= room + _FINE
            if fits and not pattern.hosting and stands(pattern, column):
                yield Slot(SlotKind.END, index, index, pattern, 1, pattern.min_width, (), at_left)


def pinned(stretch: Stretch, column: Column, catalogue: Catalogue) -> Pattern:
    """The pattern of a stretch's pinned bay, of its width alone; BriefError where it cannot stand.

    What lies between its uprights is in the way of its zones, not of the uprights.
    """
    pin = stretch.pin
    assert pin is not None  # noqa: S101 - asked for pinned stretches alone
    pins = catalogue.rules.brief.pins
    pointer = f"/pins/{next(i for i, other in enumerate(pins) if other is pin)}"
    known = {pattern.label: pattern for pattern in catalogue.patterns(column)}
    pattern = known.get(pin.pattern)
    if pattern is None:
        some = ", ".join(list(known)[:MOST_NAMED]) or "none"
        raise _refused(pointer, f"{pin.pattern!r} cannot stand there; what can: {some}")
    if not stands(pattern, replace(column, blocks=stretch.beside)):
        raise _refused(pointer, f"the uprights of {pin.pattern!r} would stand in something")
    if not pattern.min_width - _FINE <= pin.width <= pattern.max_width + _FINE:
        units = catalogue.rules.brief.units
        low, high = (format_length(w, units) for w in (pattern.min_width, pattern.max_width))
        raise _refused(pointer, f"a bay of {pin.pattern!r} is {low} to {high} wide")
    return replace(
        pattern,
        min_width=pin.width,
        plain_width=pin.width if not pattern.stiffened(pin.width) else pattern.plain_width,
        max_width=pin.width,
    )


def _refused(pointer: str, detail: str) -> BriefError:
    return BriefError([Fault(pointer, f"the pin cannot be kept: {detail}", "pin_refused")])


def chains_of(stretches: Sequence[Stretch]) -> list[list[int]]:
    """Indexes of stretches that touch one another, wall by wall from left to right."""
    chains: list[list[int]] = []
    for index, stretch in enumerate(stretches):
        before = stretches[index - 1] if index else None
        touches = (
            before is not None
            and before.wall == stretch.wall
            and abs(before.end - stretch.start) < _FINE
        )
        if touches:
            chains[-1].append(index)
        else:
            chains.append([index])
    return chains

"""The variables of the model as records, and the ranks by which a search decides them."""

from __future__ import annotations

import math
import time
from dataclasses import dataclass, field
from enum import IntEnum
from typing import Any

from optimizer.domain.need_ids import NeedId
from optimizer.geometry.sidewalls import SideWall
from optimizer.geometry.stretches import Surveyed
from optimizer.model.bay_conflicts import Conflict
from optimizer.model.corners import Corner
from optimizer.model.mount_places import MountPlace
from optimizer.model.slots import Host, Slot, chains_of
from optimizer.patterns.bay_rules import BayRules
from optimizer.patterns.column import Column, column_of
from optimizer.patterns.enumeration import Catalogue
from optimizer.patterns.pattern import Tier
from optimizer.solving import OutOfTimeError, new_problem, total

FINE = 1e-6


ORDINARY = 8_000
"""Rows up to which a room is posed whatever the time: one of six walls and ten items has 6,300, and
takes two seconds; one of twenty walls takes many."""


class Rank(IntEnum):
    """Order in which a search decides variables: the lower the rank, the earlier in a dive."""

    STATES = 0
    COUNTS = 1
    UPRIGHTS = 2
    BAYS = 3
    DETAILS = 4


@dataclass
class SlotVars:
    """The variables of one slot (a pattern at a place, see `slots`).

    `count` is its number of bays and `width` their total width, an expression [brief units];
    `extra` is what they have beyond their least widths, and `parts` the width within each stretch
    that the slot reaches. `tiers` are the ways in which bays may be carried, cheapest first, each
    with the number of bays that need at least that one. No bay is wider than `widest`, for what its
    boards bear or for the room there is. `hosts` are the groups of items that its bays may hold,
    and `levels` has, by width, how many bays are at least so wide for what they hold. `rows` has,
    by the width of a thing stored by count, the number of whole rows of it on one board of each
    bay, in all.
    """

    slot: Slot
    count: Any
    width: Any
    extra: Any
    tiers: list[tuple[Tier, Any]]
    parts: dict[int, Any]
    widest: float
    hosts: list[Host] = field(default_factory=list)
    levels: list[tuple[float, Any]] = field(default_factory=list)
    rows: dict[float, Any] = field(default_factory=dict)

    @property
    def supported(self) -> Any:
        """Number of bays with mid supports, as an expression; 0 where none may have any."""
        return next((need for tier, need in self.tiers if tier.supports), 0)

    def reached(self, width: float) -> tuple[Tier, Any] | None:
        """The first tier that bays as wide as `width` may have, with its number; None where no bay
        may be so wide."""
        return next((own for own in self.tiers if own[0].width >= width - FINE), None)

    def needing(self, width: float) -> Any:
        """Number of bays that may be as wide as `width`, as an expression."""
        found = self.reached(width)
        return 0 if found is None else found[1]

    def reaching(self, width: float) -> Any:
        """The number of bays that may hold a group of a `width` that fits into some, as a
        variable."""
        found = (wide for level, wide in reversed(self.levels) if level <= width + FINE)
        return next(found, self.count)


@dataclass(frozen=True, slots=True)
class NookZone:
    """A zone (by its index) of a slot's bays in a nook; `widest` of its groups goes into it."""

    slot: SlotVars
    zone: int
    widest: float


@dataclass(frozen=True, slots=True)
class Nook:
    """Zones of the bays of one wall that take the same groups of items, with how many of each they
    hold.

    All are floors made for items, or none is.
    """

    wall: int
    on_floor: bool
    zones: tuple[NookZone, ...]
    held: tuple[tuple[Host, Any], ...]


@dataclass
class StretchVars:
    """The variables of one stretch; `shared` are uprights shared with it that stand next door."""

    occupied: Any
    broken: Any
    entered: Any = 0
    left_by: Any = 0
    covered: Any = 0
    shared: list[Any] = field(default_factory=list)
    joined_left: list[Any] = field(default_factory=list)
    joined_right: list[Any] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Joint:
    """The bays on both sides of a boundary share one upright, which stands in stretch `keeper`."""

    left: int
    right: int
    keeper: int
    holds: Any


@dataclass(frozen=True, slots=True)
class WallEnd:
    """An end of a wall: the left or the right one of wall number `wall`."""

    wall: int
    at_left: bool


@dataclass(frozen=True, slots=True)
class Through:
    """How long the boards that run through a wrapped corner may be.

    A linear limit: `start` less `fall` times the length of the piece that butts against them, and
    no more than `most` [brief units].
    """

    start: float
    fall: float
    most: float

    def limit(self, butting: float) -> float:
        """Longest piece that may run through beside a bay that is `butting` wide."""
        return self.start - self.fall * min(butting, self.most)


class Model:
    """Sets and variables of one brief's model. The constraints are added by the modules in
    `constraints`."""

    def __init__(
        self, surveyed: Surveyed, catalogue: Catalogue, deadline: float = math.inf
    ) -> None:
        """Empty records over a surveyed room and its catalogue; `Formulation` fills them.

        `deadline` [monotonic seconds]: what is added later raises OutOfTimeError, in a model of
        more than `ORDINARY` rows.
        """
        self._deadline = deadline
        self._rows = 0
        self.surveyed = surveyed
        self.catalogue = catalogue
        self.rules: BayRules = catalogue.rules
        self.problem = new_problem("closet", maximise=True)
        self.ranks: dict[str, int] = {}
        self.chains = chains_of(surveyed.stretches)
        self.slots: list[SlotVars] = []
        self.stretches: list[StretchVars] = []
        self.joints: list[Joint] = []
        self.carried: dict[WallEnd, Any] = {}
        self.sides: dict[WallEnd, SideWall] = {}
        self.states: dict[tuple[int, str], Any] = {}
        self.joined: dict[tuple[int, str], Through] = {}
        self.gaps: dict[int, list[Any]] = {}
        self.corners: tuple[Corner, ...] = ()
        self.conflicts: tuple[Conflict, ...] = ()
        self.nooks: list[Nook] = []
        self.housed: dict[str, Any] = {}
        self.hangings: list[MountPlace] = []
        self.hung: dict[NeedId, Any] = {}
        self.flags: dict[tuple[int, float], Any] = {}
        self.shut: list[tuple[tuple[int, float], ...]] = []
        self.refused: list[Slot] = []

    def binary(self, name: str, rank: Rank = Rank.DETAILS) -> Any:
        """A new 0-1 variable."""
        return self.integer(name, 1, rank)

    def integer(self, name: str, most: int | None, rank: Rank = Rank.DETAILS) -> Any:
        """A new whole variable of at least 0."""
        self.ranks[name] = rank
        return self.problem.add_variable(name, 0, most, "Integer")

    def continuous(self, name: str, most: float | None = None) -> Any:
        """A new variable of at least 0."""
        return self.problem.add_variable(name, 0, most, "Continuous")

    def add(self, constraint: Any, name: str) -> None:
        """Add a named constraint."""
        self._rows += 1
        if self.left <= 0:
            raise OutOfTimeError
        self.problem += constraint, name

    @property
    def left(self) -> float:
        """Seconds left to build it in; infinite for an ordinary room, which takes no longer than a
        machine is busy."""
        ordinary = self._rows <= ORDINARY or math.isinf(self._deadline)
        return math.inf if ordinary else self._deadline - time.monotonic()

    def built(self) -> None:
        """Whatever is added from here on is not part of building it, and has its own time."""
        self._deadline = math.inf

    def column(self, index: int) -> Column:
        """Clear space over one stretch."""
        return column_of([self.surveyed.stretches[index]])

    def wall_of(self, slot: Slot) -> int:
        """Number of the wall that a slot is on."""
        return self.surveyed.stretches[slot.first].wall

    def end_of(self, index: int, *, at_left: bool) -> WallEnd | None:
        """The wall's end that a stretch touches at its left or right; None if it does not."""
        stretch = self.surveyed.stretches[index]
        length = self.surveyed.outline.walls[stretch.wall].length
        away = stretch.start if at_left else length - stretch.end
        return WallEnd(stretch.wall, at_left) if away < FINE else None

    def carried_at(self, index: int, *, at_left: bool) -> Any:
        """The variable that the wall or corner carries a stretch's end; 0 where it cannot."""
        end = self.end_of(index, at_left=at_left)
        return 0 if end is None else self.carried.get(end, 0)

    def usage(self, index: int, deeper_than: float = -1.0) -> list[Any]:
        """Lengths that a stretch loses to bays deeper than a class, with uprights, and to such
        mounts.

        Terms of a sum [brief units].
        """
        panel = self.rules.panel
        terms: list[Any] = []
        for vars_ in self.slots:
            slot = vars_.slot
            if index not in vars_.parts or slot.pattern.depth <= deeper_than + FINE:
                continue
            # An upright stands at either end of a spanning bay, and in none of the stretches
            # between.
            between = slot.first < index < slot.last
            terms.append(vars_.parts[index] + (0 if between else panel * vars_.count))
        return terms + [h.takes[index] for h in self._hanging(index, deeper_than)]

    def _hanging(self, index: int, deeper_than: float) -> list[MountPlace]:
        """Places in a stretch of mounts deeper than a class."""
        mounted = self.rules.mounted
        return [
            hanging
            for hanging in self.hangings
            if index in hanging.takes and mounted[hanging.mount].depth > deeper_than + FINE
        ]

    def single(self, index: int, deeper_than: float = -1.0) -> list[Any]:
        """Sums of numbers of bays (and mounts) deeper than a class, each of which is at most 1.

        One for the bays against the wall's left end, one for its right end, and one for each
        boundary that bays span.
        """
        # Of bays inside a stretch there may be many: their counts are no such sums.
        own = [
            v
            for v in self.slots
            if index in v.parts and v.slot.pattern.depth > deeper_than + FINE and not v.slot.inner
        ]
        groups = (
            [v for v in own if v.slot.at_left],
            [v for v in own if v.slot.at_right],
            [v for v in own if v.slot.first < index],
            [v for v in own if v.slot.last > index],
        )
        bays = [total(v.count for v in group) for group in groups if group]
        by_mount: dict[int, list[Any]] = {}
        for hanging in self._hanging(index, deeper_than):
            by_mount.setdefault(hanging.mount, []).append(hanging.chosen)
        return [*bays, *(total(places) for places in by_mount.values())]

    def opened_width(self, vars_: SlotVars) -> list[Any]:
        """Parts of a slot's width that lie in front of a reach-in's openings, as terms of a sum."""
        stretches = self.surveyed.stretches
        pin = stretches[vars_.slot.first].pin
        if pin is not None:
            end = pin.start + pin.width
            # A pin's stretch is not cut at openings, as others are: part of it may lie in front.
            return [self.surveyed.opened_width(pin.wall, pin.start, end) * vars_.count]
        return [part for index, part in vars_.parts.items() if stretches[index].opened]

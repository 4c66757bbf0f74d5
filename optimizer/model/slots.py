"""The index sets of the model: which pattern may stand where.

A slot is a pattern in one kind of place: any number of bays inside one stretch; one bay that starts
in stretch `first` and ends in stretch `last` and spans everything between; or one bay against one
or both ends of a wall at an inside corner.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from optimizer.domain.layout import ZoneKind
from optimizer.geometry.stretches import Stretch, Surveyed
from optimizer.model.pin_patterns import pinned
from optimizer.patterns.column import Column, column_of
from optimizer.patterns.enumeration import Catalogue
from optimizer.patterns.groups import Group
from optimizer.patterns.pattern import Pattern, Tier
from optimizer.structure.members import TRIANGLE_SHARE
from optimizer.tolerances import FINE, TOUCH


@dataclass(frozen=True, slots=True)
class Host:
    """A group of items, with the zones of a pattern that it can stand in.

    A `tall` group does not pass under the mid supports of the board over it. A group in `front` is
    as high as its zone and stands before the cleats at the back and between those at the sides; it
    is `bare` where it would not pass under a stiffener either.
    """

    group: Group
    zones: tuple[int, ...]
    on_floor: bool
    tall: bool = False
    front: bool = False
    bare: bool = False


@dataclass(frozen=True, slots=True)
class Slot:
    """A pattern at a place, from stretch `first` to stretch `last` (indexes).

    `most` is the largest number of such bays. `hosts` are the groups of items that it may hold,
    each with the indexes of the zones that take it, one group to a zone. `at_left` and `at_right`
    tell which ends of the wall it stands against. Each bay of a `fitted` slot holds a bought unit,
    and is no wider than the unit allows.
    """

    first: int
    last: int
    pattern: Pattern
    most: int
    min_width: float
    hosts: tuple[Host, ...]
    at_left: bool = False
    at_right: bool = False
    bare: bool = False
    fitted: bool = False

    @property
    def max_width(self) -> float:
        """Greatest width of one such bay."""
        return self.pattern.max_width

    @property
    def spans(self) -> bool:
        """Whether it reaches over a boundary of stretches."""
        return self.last > self.first

    @property
    def at_end(self) -> bool:
        """Whether it stands against an end of its wall."""
        return self.at_left or self.at_right

    @property
    def inner(self) -> bool:
        """Whether several such bays may stand inside its one stretch."""
        return not self.spans and not self.at_end

    def possible(self) -> list[Tier]:
        """Tiers of the pattern that are allowed at this place.

        At a wrapped corner, long stiffened boards are left out: they would bring too much load to
        the boards that they butt against.
        """
        return [tier for tier in self.pattern.tiers if not (self.at_end and tier.stiffened)]

    def stiffened(self, width: float) -> bool:
        """Whether a bay of this width has stiffeners."""
        tiers = self.possible()
        return next((t for t in tiers if width <= t.width + FINE), tiers[-1]).stiffened

    def tiers(self, room: float) -> tuple[Tier, ...]:
        """Tiers that bays between the least width and `room` may need.

        At a corner, where another wall's boards may butt against them, one with mid supports is
        among them.
        """
        kept: list[Tier] = []
        for tier in self.possible():
            if tier.width < self.min_width - FINE:
                continue
            kept.append(tier)
            if tier.width >= room - FINE and (tier.supports or not self.at_end):
                break
        return tuple(kept)


def hosts_of(pattern: Pattern, catalogue: Catalogue) -> tuple[Host, ...]:
    """The groups of items that `pattern` can hold in bays wide enough, with their zones."""
    found = []
    for on_floor, groups in ((True, catalogue.floor_groups), (False, catalogue.shelf_groups)):
        if on_floor and not pattern.hosting:
            continue
        for group in groups:
            found += list(_hosts(pattern, group, catalogue, on_floor=on_floor))
    return tuple(found)


def _hosts(
    pattern: Pattern, group: Group, catalogue: Catalogue, *, on_floor: bool
) -> Iterator[Host]:
    """A group as hosts of its three kinds: anywhere in a zone, in front of cleats, without a
    stiffener."""
    rules = catalogue.rules
    construction = rules.brief.construction
    before = replace(group, width=group.width + 2 * construction.cleat_thickness)
    taken: set[int] = set()
    # From the freest to the strictest: a zone that takes the group anywhere is not listed again.
    ways = ((group, None, False), (before, rules.lip, True), (before, 0.0, True))
    # A bought unit reaches from side to side: it has no room between cleats.
    for own, hangs, front in ways[:1] if group.unit else ways:
        zones = tuple(
            index
            for index in range(len(pattern.zones))
            if index not in taken
            and _suits(pattern, index, group, catalogue, on_floor=on_floor)
            and _passes(pattern, index, group, catalogue, hangs)
        )
        taken.update(zones)
        if zones:
            tall = any(_tall(pattern, index, group, catalogue) for index in zones)
            yield Host(own, zones, on_floor, tall, front, bare=hangs == 0.0 and rules.lip > 0)


def _passes(
    pattern: Pattern, index: int, group: Group, catalogue: Catalogue, hangs: float | None
) -> bool:
    """Whether a group is low enough for a zone, and shallow enough where that matters.

    `hangs` is how far cleats or a stiffener hang down under the board in front; None where the
    group may stand anywhere in the zone.
    """
    rules, zone = catalogue.rules, pattern.zones[index]
    if hangs is None:
        return group.height <= rules.item_clear(pattern.zones, index) + FINE
    room = (zone.depth or 0.0) - rules.brief.construction.cleat_thickness
    high = group.height <= zone.top - zone.bottom - hangs + FINE
    return high and group.depth <= room + FINE and rules.under_board(pattern.zones, index)


def _tall(pattern: Pattern, index: int, group: Group, catalogue: Catalogue) -> bool:
    """Whether a group would meet the mid supports of a board over it."""
    zone, panel = pattern.zones[index], catalogue.rules.panel
    over = [board for board in pattern.boards if abs(board.bottom - panel - zone.top) < TOUCH]
    legs = [TRIANGLE_SHARE * (board.depth or pattern.depth) for board in over]
    return any(group.height > zone.top - zone.bottom - leg + FINE for leg in legs)


def _suits(
    pattern: Pattern, index: int, group: Group, catalogue: Catalogue, *, on_floor: bool
) -> bool:
    """Whether a group may stand in a zone, its height aside: the floor made for it, or a shelf in
    reach."""
    rules, zone = catalogue.rules, pattern.zones[index]
    if zone.kind is not (ZoneKind.FLOOR if on_floor else ZoneKind.SHELF):
        return False
    if group.depth > (zone.depth or 0.0) + FINE:
        return False
    if on_floor:
        # What is no higher than the floor zone of a shorter pattern goes into that one.
        return group.height > pattern.floor_above + FINE
    too_heavy = group.heavy and zone.bottom > rules.heavy_height + FINE
    too_high = group.daily and zone.bottom > rules.reach.easy_high + FINE
    return not too_heavy and not too_high


def _parted(slot: Slot) -> Iterator[Slot]:
    """A slot without bought units, and for each width that these allow one of bays that hold one;
    each without what needs bays that are not stiffened, and of such bays alone."""
    free = tuple(host for host in slot.hosts if not host.group.unit)
    if free or not slot.pattern.hosting:
        yield from _bare(replace(slot, hosts=free))
    if slot.at_end:
        return
    for most in sorted({host.group.most for host in slot.hosts if host.group.unit}):
        yield from _fitted(slot, most)


def _fitted(slot: Slot, most: float) -> Iterator[Slot]:
    """Bays no wider than `most`, each with a unit: on the floor where that is made for it."""
    tiers = [replace(t, width=min(t.width, most)) for t in slot.possible() if not t.supports]
    kept = [tier for n, tier in enumerate(tiers) if not n or tier.width > tiers[n - 1].width + FINE]
    if not kept or kept[-1].width < slot.min_width - FINE:
        return
    # One slot for each width that units allow: widths of bays in a slot have one limit.
    units = [h for h in slot.hosts if h.group.most == most]
    if slot.pattern.hosting:
        units = [host for host in units if host.on_floor]
    beside = [h for h in slot.hosts if not h.group.unit and not h.on_floor and not h.bare]
    own = [h for h in (*units, *beside) if h.group.width <= kept[-1].width + FINE]
    if any(host.group.unit for host in own):
        pattern = replace(slot.pattern, tiers=tuple(kept))
        yield replace(slot, pattern=pattern, hosts=tuple(own), fitted=True)


def _bare(slot: Slot) -> Iterator[Slot]:
    """A slot without what needs bays that are not stiffened, and one of such bays alone."""
    if not any(tier.stiffened for tier in slot.possible()):
        yield slot
        return
    rest = tuple(host for host in slot.hosts if not host.bare)
    if rest or not slot.pattern.hosting:
        # Stiffened or not, as it comes: without what a stiffener would be in the way of.
        yield replace(slot, hosts=rest)
    tiers = tuple(tier for tier in slot.pattern.tiers if not tier.stiffened)
    if len(rest) < len(slot.hosts) and tiers and tiers[-1].width >= slot.min_width - FINE:
        widest = tiers[-1].width
        hosts = tuple(host for host in slot.hosts if host.group.width <= widest + FINE)
        if any(host.bare for host in hosts):
            yield replace(slot, pattern=replace(slot.pattern, tiers=tiers), hosts=hosts, bare=True)


@dataclass(frozen=True)
class SlotMaker:
    """Makes the slots of a surveyed room."""

    surveyed: Surveyed
    catalogue: Catalogue
    _known: dict[int, tuple[Pattern, tuple[Host, ...]]] = field(default_factory=dict)
    """What each pattern holds, by the pattern's id: many stretches have the same ones."""

    def _hosts(self, pattern: Pattern, widest: float) -> tuple[Host, ...]:
        """The groups of items that a pattern can hold in bays up to `widest`."""
        # The pattern is kept with them: while it lives no other has its id.
        if id(pattern) not in self._known:
            self._known[id(pattern)] = pattern, hosts_of(pattern, self.catalogue)
        _, hosts = self._known[id(pattern)]
        return tuple(host for host in hosts if host.group.width <= widest + FINE)

    @property
    def _panel(self) -> float:
        """Thickness of an upright [brief units]."""
        return self.catalogue.rules.panel

    @property
    def _narrow(self) -> float:
        """Width of what stands in a bay of a corner wherever mid supports fall in it."""
        return 0.75 * self.catalogue.rules.stud_pitch[0]

    def _column(self, first: int, last: int) -> Column:
        """Clear space over stretches `first` to `last`, restricted by each of them."""
        return column_of(self.surveyed.stretches[first : last + 1])

    def inner(self, index: int) -> Iterable[Slot]:
        """Slots inside one stretch; only the pinned bay in a stretch that a pin made, none where
        hooks or a mirror are kept."""
        stretch = self.surveyed.stretches[index]
        if stretch.mount is not None:
            return
        column = self._column(index, index)
        if stretch.pin is not None:
            pattern = pinned(stretch, column, self.catalogue)
            if pattern is None:
                return
            hosts = self._hosts(pattern, pattern.max_width)
            yield from _parted(Slot(index, index, pattern, 1, pattern.min_width, hosts))
            return
        for pattern in self.catalogue.patterns(column):
            # Walls may carry both ends, so that n bays take n - 1 uprights.
            most = int((stretch.length + self._panel + FINE) // (pattern.min_width + self._panel))
            if most < 1 or not pattern.stands_in(column):
                continue
            widest = min(pattern.max_width, stretch.length)
            hosts = self._hosts(pattern, widest)
            if hosts or not pattern.hosting:
                yield from _parted(Slot(index, index, pattern, most, pattern.min_width, hosts))

    def spans(self, chain: Sequence[int]) -> Iterator[Slot]:
        """Slots of bays that span at least one boundary of a chain of touching stretches."""
        for first, last in self._reaches(chain):
            if last > first:
                yield from self._wide(first, last, at_left=False, at_right=False)

    def ends(
        self, chain: Sequence[int], *, at_left: bool, at_right: bool, least: float = 0.0
    ) -> Iterator[Slot]:
        """Slots of bays at least `least` wide against the wall's left end, its right end, or
        both."""
        for first, last in self._reaches(chain):
            if (at_left and first != chain[0]) or (at_right and last != chain[-1]):
                continue
            if first == last and self.surveyed.stretches[first].pin is not None:
                yield from self._pinned_end(first, at_left=at_left, at_right=at_right)
            else:
                yield from self._wide(first, last, at_left=at_left, at_right=at_right, least=least)

    def _reaches(self, chain: Sequence[int]) -> Iterator[tuple[int, int]]:
        """Pairs of first and last stretch that one bay may reach over, pinned ones alone, those
        with mounts kept there none."""
        widest, stretches = self.catalogue.rules.max_width, self.surveyed.stretches
        for position, first in enumerate(chain):
            if stretches[first].mount is not None:
                continue
            yield first, first
            if stretches[first].pin is not None:
                continue
            covered = 0.0
            for last in chain[position + 1 :]:
                # No bay is wider than `widest`, and nothing spans what is pinned.
                if covered > widest or stretches[last].kept:
                    break
                yield first, last
                covered += stretches[last].length

    def _wide(
        self, first: int, last: int, *, at_left: bool, at_right: bool, least: float = 0.0
    ) -> Iterator[Slot]:
        """Slots of one bay from stretch `first` to `last`: spanning, or against ends of the
        wall."""
        stretches = self.surveyed.stretches[first : last + 1]
        between = sum(s.length for s in stretches[1:-1])
        room = sum(s.length for s in stretches)
        # Only an end away from the corner has an upright, which must find a place to stand.
        standing = [
            column_of([stretches[-1]]) if at_left else column_of([stretches[0]]),
            column_of([stretches[0]]) if at_right else column_of([stretches[-1]]),
        ]
        for pattern in self.catalogue.patterns(self._column(first, last)):
            narrowest = max(pattern.min_width, least)
            # A spanning bay covers all between its first and its last stretch.
            if pattern.max_width < max(between, narrowest) - FINE or room < narrowest - FINE:
                continue
            if not all(pattern.stands_in(column) for column in standing):
                continue
            hosts = self._hosts(pattern, min(pattern.max_width, room))
            if at_left or at_right:
                hosts = self._in_corner(pattern, hosts)
            if hosts or not pattern.hosting:
                slot = Slot(first, last, pattern, 1, narrowest, hosts, at_left, at_right)
                yield from _parted(slot)

    def _in_corner(self, pattern: Pattern, hosts: tuple[Host, ...]) -> tuple[Host, ...]:
        """What a bay at a corner may hold: nothing behind clothes that the other wall's bay
        hides."""
        if pattern.has_rod:
            return ()
        return tuple(h for h in hosts if not h.tall or h.group.width <= self._narrow)

    def _pinned_end(self, index: int, *, at_left: bool, at_right: bool) -> Iterator[Slot]:
        """The slot of a pinned bay that stands against an end of its wall, if it may stand
        there."""
        stretch, column = self.surveyed.stretches[index], self._column(index, index)
        pattern = pinned(stretch, column, self.catalogue, in_corner=True)
        if pattern is not None:
            hosts = self._hosts(pattern, pattern.max_width)
            hosts = self._in_corner(pattern, hosts)
            hosts = tuple(host for host in hosts if not host.group.unit)
            if hosts or not pattern.hosting:
                yield Slot(index, index, pattern, 1, pattern.min_width, hosts, at_left, at_right)


def chains_of(stretches: Sequence[Stretch]) -> list[list[int]]:
    """Indexes of stretches that touch one another, as one list a chain, wall by wall from the
    left."""
    chains: list[list[int]] = []
    for index, stretch in enumerate(stretches):
        before = stretches[index - 1] if index else None
        touches = (
            before is not None
            and before.wall == stretch.wall
            and abs(before.end - stretch.start) < FINE
        )
        if touches:
            chains[-1].append(index)
        else:
            chains.append([index])
    return chains

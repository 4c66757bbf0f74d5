"""The most that the rules of a layout leave room for, one need at a time.

Worked out from the stretches of the walls alone, by relaxing every rule to what it says of one
kind of thing: how many of it fit over one another at each place, what two walls lose at their
corner, what they cannot both have across an aisle. No layout that the checker passes holds more,
whatever bay patterns the model knows and whichever line it took. It may be more than any layout
holds: it excludes, it never promises.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial

from optimizer.domain.brief import Brief
from optimizer.domain.need_ids import SHELF_LENGTH, NeedId
from optimizer.domain.needs import Hang
from optimizer.domain.room import Slope
from optimizer.geometry.access import front_distance, wall_in_frame
from optimizer.geometry.mount_space import free_for
from optimizer.geometry.outline import Outline, outline_of
from optimizer.geometry.stretches import Stretch, Surveyed, survey
from optimizer.patterns.bay_rules import BayRules, ItemKind
from optimizer.patterns.column import Column
from optimizer.reference.mounted import Mounted
from optimizer.reference.stored import Thing
from optimizer.tolerances import TOUCH

MOST_CORNERS = 6
"""Inside corners whose ways are all gone through; what more of them would take is left."""
SLOPE_STEP_IN = 1.0
"""Pieces in which a wall under a slope is taken, each with its greatest height."""

Tiers = Callable[[Column], int]


@dataclass(frozen=True, slots=True)
class Span:
    """A piece of wall and how many tiers of something fit over it."""

    start: float
    end: float
    tiers: int

    @property
    def length(self) -> float:
        """Length along the wall."""
        return max(0.0, self.end - self.start)


Walls = dict[int, tuple[Span, ...]]
Facing = tuple[int, int, tuple[float, float, float]]
"""Two walls, and a range of the first with the sum of the positions of a place on both."""


@dataclass(frozen=True, slots=True)
class _Row:
    """Heights that one tier of something takes: `size` that is free out to `depth`, `pitch` up to
    the next, and `highest` where its lowest point may be [brief units]."""

    size: float
    pitch: float
    depth: float
    highest: float


@dataclass(frozen=True, slots=True)
class CornerUse:
    """What a kind of thing takes at a corner: `depth` out from its wall, and the air that a hand
    needs beside it; `wraps` where two walls of it may run into one another."""

    depth: float
    air: float
    wraps: bool


@dataclass(frozen=True, slots=True)
class Allowance:
    """The most of a need under the rules.

    `tiers` is how many fit over one another where most do, `along` the length of the `walls` that
    carry any, `deep` whether anywhere the room is deep enough. `uncrossed` is the most if facing
    walls did not keep an aisle between them.
    """

    most: float
    uncrossed: float
    tiers: int
    along: float
    walls: int
    deep: bool


@dataclass(frozen=True)
class RoomAllowances:
    """How much of each need the rules allow in a room, whatever the layout."""

    brief: Brief
    rules: BayRules
    outline: Outline
    surveyed: Surveyed

    def allowance(self, need: NeedId) -> Allowance | None:
        """The most of a need that the rules allow; None for a kind that is not known here."""
        if need.is_item:
            piece = next((p for p in self.rules.pieces if p.id == need.thing), None)
            return None if piece is None else self._of_piece(piece)
        if need.is_mounted:
            mount = next((m for m in self.rules.mounted if m.name == need), None)
            return None if mount is None else self._of_mount(mount)
        if need.is_stored:
            thing = next((t for t in self.rules.things if t.name == need), None)
            return None if thing is None else self._of_thing(thing)
        if need == SHELF_LENGTH:
            depth = self.brief.needs.shelf_depth
            return self._of_length(self.shelf_tiers, CornerUse(depth, 0.0, self.rules.walls_carry))
        hang = need.hang_class
        if hang is None:
            return None
        construction = self.brief.construction
        taken = CornerUse(construction.hang_depth, construction.corner_clearance, wraps=False)
        return self._of_length(lambda column: self.rod_tiers(column, hang), taken)

    def highest_board(self, column: Column) -> float:
        """Top of the highest board over a column."""
        most = self.brief.construction.max_shelf_height
        return min(most, column.height - self.rules.shelf_clear)

    def rod_tiers(self, column: Column, hang: Hang) -> int:
        """Rods of one class that fit over one another."""
        construction, drop = self.brief.construction, self.brief.needs.hang_drop.of(hang)
        size = drop + construction.rod_clearance
        board = self.highest_board(column) - self.rules.panel
        highest = min(self.rules.reach.highest_rod, board - construction.rod_clearance)
        row = _Row(size, size, construction.hang_depth, highest - drop)
        return self._stacked(column, construction.floor_clearance, row)

    def shelf_tiers(self, column: Column) -> int:
        """Shelves at the wished pitch over one another."""
        panel, needs = self.rules.panel, self.brief.needs
        size = panel + self.rules.shelf_clear
        highest = self.highest_board(column) - panel
        row = _Row(size, needs.shelf_spacing, needs.shelf_depth, highest)
        return self._stacked(column, 0.0, row)

    def piece_tiers(self, column: Column, piece: ItemKind) -> int:
        """Rows of one bulky thing over one another: on the floor and on shelves."""
        panel = self.rules.panel
        air = self.brief.construction.item_clearance
        # The lowest row stands on the floor where it may: it needs no board under it.
        tiers, start = 0, 0.0
        if piece.on_floor and column.free(0.0, piece.height + air, piece.depth):
            tiers, start = 1, piece.height + air
        if not piece.on_shelf:
            return tiers
        highest = self.brief.construction.max_shelf_height
        if piece.heavy:
            highest = min(highest, self.rules.heavy_height)
        if piece.daily:
            highest = min(highest, self.rules.reach.easy_high)
        size = panel + piece.height + air
        row = _Row(size, size, piece.depth, highest - panel)
        return tiers + self._stacked(column, start, row)

    def _stacked(self, column: Column, start: float, row: _Row) -> int:
        """How many rows go over one another from `start` up."""
        # Generous on purpose: an allowance may be too large, and must never be too small.
        slack = self.brief.units.from_inch(TOUCH)
        count, at = 0, start
        while True:
            found = column.lifted(at, row.size - slack, row.depth)
            if found is None or found > row.highest + slack:
                return count
            # As low as it goes each time: no other way of stacking has more rows.
            count, at = count + 1, found + row.pitch - slack

    def _of_length(self, tiers: Tiers, taken: CornerUse) -> Allowance:
        """The most of a length of rod or shelf.

        Of all ways to settle who has the corners, the best counts.
        """
        walls = self._walls(tiers)
        ways = list(self._cornered(walls, taken))
        facing = self._facing(walls, taken)
        best = max((_together(way, facing) for way in ways), default=0.0)
        return self._told(walls, best, max(map(_over_all, ways), default=0.0), taken)

    def _of_piece(self, piece: ItemKind) -> Allowance:
        """The most pieces of an item, whole ones on each wall."""
        taken = CornerUse(piece.depth, 0.0, self.rules.walls_carry)
        walls = self._walls(lambda column: self.piece_tiers(column, piece))
        each = piece.width + self.brief.construction.item_clearance
        if piece.between is not None:
            each = piece.between[0]
        best = _most_pieces(self._cornered(walls, taken), each)
        return self._told(walls, float(best), float(best), taken)

    def thing_tiers(self, column: Column, thing: Thing) -> int:
        """Shelves over one another that are high and deep enough for a thing that is counted."""
        panel, highest = self.rules.panel, self.brief.construction.max_shelf_height
        size = panel + thing.clear
        row = _Row(size, size, thing.depth, highest - panel)
        return self._stacked(column, 0.0, row)

    def _of_thing(self, thing: Thing) -> Allowance:
        """Whole rows on each tier of each wall, however wide bays are.

        In a corner one wall's rows run up to it and the other's keep off by their depth, or what is
        at one wall's end is a bay without any.
        """
        # So the lesser of the two is what a corner costs at least, and only that is a proof.
        lost = min(thing.depth, self.brief.construction.min_bay_width)
        taken = CornerUse(lost, 0.0, wraps=True)
        walls = self._walls(lambda column: self.thing_tiers(column, thing))
        rows = _most_pieces(self._cornered(walls, taken), thing.width)
        most = float(rows * thing.together)
        deep = any(s.depth >= thing.depth - TOUCH for s in self.surveyed.stretches)
        return replace(self._told(walls, most, most, taken), deep=deep)

    def _of_mount(self, mount: Mounted) -> Allowance:
        """Hooks or a mirror hang on one free piece of wall, or nowhere."""
        cut = self.surveyed.cut
        free = {wall: free_for(mount, cut, wall) for wall in {s.wall for s in cut}}
        along = sum(high - low for own in free.values() for low, high in own)
        places, walls = float(along > 0), sum(bool(own) for own in free.values())
        deep = any(s.depth >= mount.depth - TOUCH for s in cut)
        return Allowance(places, places, int(along > 0), along, walls, deep)

    def _told(self, walls: Walls, most: float, uncrossed: float, taken: CornerUse) -> Allowance:
        """The allowance with what explains it: tiers, length of wall, whether it is deep enough."""
        spans = [span for wall in walls.values() for span in wall]
        return Allowance(
            most=most,
            uncrossed=uncrossed,
            tiers=max((span.tiers for span in spans), default=0),
            along=sum(span.length for span in spans if span.tiers),
            walls=sum(any(span.tiers for span in wall) for wall in walls.values()),
            deep=any(s.depth >= taken.depth - TOUCH for s in self.surveyed.stretches),
        )

    def _walls(self, tiers: Tiers) -> Walls:
        """Each wall's spans, less the uprights that stand at ends which nothing carries."""
        found: Walls = {}
        for index, stretches in itertools.groupby(self.surveyed.stretches, lambda s: s.wall):
            spans = [span for s in stretches for span in self._spans(s, tiers)]
            found[index] = tuple(self._trimmed(index, _joined(spans)))
        return found

    def _spans(self, stretch: Stretch, tiers: Tiers) -> Iterator[Span]:
        """A stretch as one span, or under a slope as several, each under its highest point."""
        wall = self.brief.room.walls[stretch.wall]
        number = 1
        if isinstance(wall.height, Slope):
            number = math.ceil(stretch.length / self.brief.units.from_inch(SLOPE_STEP_IN))
        ceiling = self.brief.room.ceiling_height
        for place in range(number):
            start, end = (
                stretch.start + stretch.length * share
                for share in (place / number, (place + 1) / number)
            )
            height = max(wall.height_at(start, ceiling), wall.height_at(end, ceiling))
            yield Span(start, end, tiers(Column(height, stretch.depth, stretch.blocks)))

    def _trimmed(self, wall: int, spans: Sequence[Span]) -> Iterator[Span]:
        """The spans with a panel off where a row must end on an upright."""
        panel, length = self.rules.panel, self.outline.walls[wall].length
        left, right = self._carried(wall)
        for number, span in enumerate(spans):
            start, end = span.start, span.end
            before = spans[number - 1].end if number else -math.inf
            after = spans[number + 1].start if number + 1 < len(spans) else math.inf
            # Where ranges touch, the row goes on; at a wall that carries, it needs no upright.
            if start - before > TOUCH and not (left and start < TOUCH):
                start += panel
            if after - end > TOUCH and not (right and end > length - TOUCH):
                end -= panel
            yield Span(start, max(start, end), span.tiers)

    def _carried(self, wall: int) -> tuple[bool, bool]:
        """Whether a side wall may carry what stands at each end of a wall."""
        corners = self.outline.inside_corners() if self.rules.walls_carry else ()
        return any(r == wall for _, r in corners), any(left == wall for left, _ in corners)

    def _cornered(self, walls: Walls, taken: CornerUse) -> Iterator[Walls]:
        """The spans left by each way in which the walls may meet in their corners (R7, R16)."""
        # Ways multiply from corner to corner; corners beyond the limit cost nothing here, which
        # leaves the allowance too large and so still a bound.
        meeting = [
            (a, b) for a, b in self.outline.inside_corners() if walls.get(a) and walls.get(b)
        ][:MOST_CORNERS]
        for ways in itertools.product(*(self._ways(taken) for _ in meeting)):
            left = dict(walls)
            for (a, b), (off_a, off_b) in zip(meeting, ways, strict=True):
                length = self.outline.walls[a].length
                left[a] = _kept(left[a], 0.0, length - off_a)
                left[b] = _kept(left[b], off_b, math.inf)
            yield left

    def _ways(self, taken: CornerUse) -> Iterable[tuple[float, float]]:
        """What the walls before and after a corner lose, in each way they may meet there.

        Where one runs into the corner, the other keeps off by its depth and the air, and ends on
        an upright; else both keep off by the other's depth.
        """
        if taken.wraps:
            return (taken.depth, 0.0), (0.0, taken.depth)
        panel = self.rules.panel
        full, half = taken.depth + taken.air + panel, taken.depth + panel
        return (full, 0.0), (0.0, full), (half, half)

    def _facing(self, walls: Walls, taken: CornerUse) -> list[Facing]:
        """Where two walls cannot both have something for what is between them (R7, R8)."""
        aisle = 0.0 if self.surveyed.reach_in else self.brief.needs.aisle
        least = 2 * taken.depth + aisle
        return [
            (one, other, across)
            for one, other in itertools.combinations(walls, 2)
            for across in self._across(one, other, least)
        ]

    def _across(self, one: int, other: int, least: float) -> Iterator[tuple[float, float, float]]:
        """Ranges of `one` that `other` faces nearer than `least`, each with the sum of the
        positions of any place on both."""
        (a1, o1), (a2, o2) = wall_in_frame(self.outline, one, other)
        # Only a wall that runs back along this one, opposite to it and nearer than `least`.
        if abs(o1 - o2) > TOUCH or not TOUCH < o1 < least - TOUCH or a1 <= a2:
            return
        low, high = max(0.0, a2), min(self.outline.walls[one].length, a1)
        ends = {
            along
            for wall in range(len(self.outline.walls))
            for along, _ in wall_in_frame(self.outline, one, wall)
            if low < along < high
        }
        for start, end in itertools.pairwise(sorted({low, high, *ends})):
            ahead = front_distance(self.outline, one, (start + end) / 2)
            if end - start > TOUCH and abs(ahead - o1) < TOUCH:
                yield start, end, a1


def room_of(brief: Brief) -> RoomAllowances:
    """The walls of a brief as the rules see them; pins only take away, and are left out."""
    free = brief.unpinned()
    outline = outline_of(free.room, free.units)
    return RoomAllowances(free, BayRules(free), outline, survey(free, outline))


def _joined(spans: Iterable[Span]) -> list[Span]:
    """Spans with neighbours of as many tiers taken together."""
    found: list[Span] = []
    for span in spans:
        last = found[-1] if found else None
        if last and span.start - last.end <= TOUCH and span.tiers == last.tiers:
            found[-1] = Span(last.start, span.end, span.tiers)
        else:
            found.append(span)
    return found


def _together(walls: Walls, facing: Iterable[Facing]) -> float:
    """Length over all tiers, less what facing walls cannot both have."""
    lost = sum(_shared(walls[one], walls[other], across) for one, other, across in facing)
    return _over_all(walls) - lost


def _over_all(walls: Walls) -> float:
    """Length over all tiers of all walls."""
    return sum(span.length * span.tiers for wall in walls.values() for span in wall)


def _kept(spans: Iterable[Span], low: float, high: float) -> tuple[Span, ...]:
    """The spans within a range."""
    # A span may lose one end or both.
    cut = (Span(max(s.start, low), min(s.end, high), s.tiers) for s in spans)
    return tuple(span for span in cut if span.end > span.start)


def _shared(
    one: Sequence[Span], other: Sequence[Span], across: tuple[float, float, float]
) -> float:
    """What of two facing walls only one may have: the lesser of both, place by place."""
    low, high, mirror = across
    # Two walls that face each other run in opposite directions: positions are mirrored, and ends
    # change places.
    turned = [Span(mirror - s.end, mirror - s.start, s.tiers) for s in other]
    return sum(
        max(0.0, min(a.end, b.end, high) - max(a.start, b.start, low)) * min(a.tiers, b.tiers)
        for a in one
        for b in turned
    )


def _most_pieces(ways: Iterable[Walls], each: float) -> int:
    """Most pieces that take `each` of length on all walls together, one way or another."""
    # Ways differ at corners alone: a wall is mostly as it was before.
    on_wall = cache(partial(_pieces, each=each))
    return max((sum(map(on_wall, way.values())) for way in ways), default=0)


def _pieces(spans: Sequence[Span], each: float) -> int:
    """Pieces that take `each` of length that find room on a wall, row by row."""
    # A row may run over several spans, wherever there are at least so many tiers.
    tiers = range(1, max((s.tiers for s in spans), default=0) + 1)
    rows = (sum(s.length for s in spans if s.tiers >= tier) for tier in tiers)
    return sum(math.floor(row / each + 1e-6) for row in rows)

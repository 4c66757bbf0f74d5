"""The plain way to pose the problem: one binary for each place, width and pattern of a bay.

Bays abut on a grid: one that takes k cells is k x grid less a panel wide, and its left
upright is its neighbour's right one. It solves a little less than the optimizer does, and
so is the easier problem: walls keep their bays' footprints apart at corners, but neither
aisle nor access is asked for, a shelf takes any number of rows of items, every end stands on an
upright, and no bay is stiffened or has mid supports. Patterns, yardstick and score are the
optimizer's.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from optimizer.domain.layout import TermName, ZoneKind
from optimizer.domain.needs import Hang
from optimizer.model.search.alternatives import Search
from optimizer.model.slots import chains_of
from optimizer.patterns.column import column_of
from optimizer.patterns.groups import Group
from optimizer.patterns.measures import spare_upright_cost
from optimizer.patterns.pattern import Pattern
from optimizer.scoring.utility import Segment

_FINE = 1e-6


@dataclass
class Linear:
    """A maximisation in plain lists: columns, and rows of at most a limit."""

    gains: list[float] = field(default_factory=list)
    most: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    rows: list[tuple[dict[int, float], float]] = field(default_factory=list)
    constant: float = 0.0

    def column(self, gain: float, most: float, *, whole: bool) -> int:
        """Number of a new column from 0 to `most`."""
        self.gains.append(gain)
        self.most.append(most)
        self.whole.append(whole)
        return len(self.gains) - 1

    def at_most(self, row: dict[int, float], limit: float) -> None:
        """Add a row."""
        self.rows.append((row, limit))


@dataclass(frozen=True)
class Candidate:
    """A bay in one place: `near` and `far` are its distances from the wall's left end."""

    wall: int
    chain: int
    cells: range
    near: float
    far: float
    width: float
    pattern: Pattern
    opened: bool
    group: Group | None


class GridModel:
    """The grid model of a brief."""

    def __init__(self, search: Search, grid: float) -> None:
        self.search = search
        self.grid = grid
        self.rules = search.rules
        self.linear = Linear()
        self.candidates: list[tuple[Candidate, int]] = []
        for candidate in self._candidates():
            self.candidates.append((candidate, self.linear.column(0.0, 1.0, whole=True)))
        self._cover()
        for left, right in search.surveyed.outline.inside_corners():
            self._corner(left, right)
        self._score()

    # -- places --------------------------------------------------------------------

    def _candidates(self) -> Iterator[Candidate]:
        stretches = self.search.surveyed.stretches
        for number, chain in enumerate(chains_of(stretches)):
            start, end = stretches[chain[0]].start, stretches[chain[-1]].end
            count = int((end - start - self.rules.panel + _FINE) // self.grid)
            for first in range(count):
                for last in range(first + 1, count + 1):
                    near, far = start + first * self.grid, start + last * self.grid
                    width = far - near - self.rules.panel
                    if width > self.rules.brief.construction.max_bay_width:
                        break
                    if width >= self.rules.min_width - _FINE:
                        where = (number, chain, range(first, last), near, far)
                        yield from self._bays(*where)

    def _bays(
        self, number: int, chain: list[int], cells: range, near: float, far: float
    ) -> Iterator[Candidate]:
        """Bays of every pattern from `near` to `far`, with each group they may hold."""
        panel = self.rules.panel
        stretches = [self.search.surveyed.stretches[index] for index in chain]
        under = [s for s in stretches if s.start < far + panel - _FINE and near < s.end - _FINE]
        posts = [
            column_of([s]) for s in under if s.start < near + panel - _FINE or s.end > far + _FINE
        ]
        width = far - near - panel
        for pattern in self.search.catalogue.patterns(column_of(under)):
            fits = pattern.min_width - _FINE <= width <= pattern.tiers[0].width + _FINE
            if not fits or not all(c.free(0.0, pattern.height, pattern.depth) for c in posts):
                continue
            opened = all(stretch.opened for stretch in under)
            for group in self._groups(pattern, width):
                yield Candidate(
                    under[0].wall, number, cells, near, far + panel, width, pattern, opened, group
                )

    def _groups(self, pattern: Pattern, width: float) -> list[Group | None]:
        if not pattern.hosting:
            return [None]
        floor, clear = pattern.zones[0], self.rules.item_clear(pattern.zones, 0)
        return [
            group
            for group in self.search.catalogue.floor_groups
            if group.width <= width + _FINE
            and group.height <= clear + _FINE
            and group.depth <= (floor.depth or 0.0) + _FINE
        ]

    def _cover(self) -> None:
        """Each cell holds one bay at most; a chain in use has a closing upright."""
        cells: dict[tuple[int, int], dict[int, float]] = defaultdict(dict)
        for candidate, column in self.candidates:
            for cell in candidate.cells:
                cells[candidate.chain, cell][column] = 1.0
        weights, yardstick = self.search.frame.weights(), self.search.yardstick
        closing = _per(weights[TermName.LOW_COST], yardstick.low_cost)
        closing = closing * spare_upright_cost(self.rules)
        # Under a line the run has one top board, too.
        busy = _per(weights[TermName.SIMPLE_BUILD], yardstick.simple_build)
        closing += busy * (2 if self.rules.level else 1)
        used: dict[int, int] = {}
        for (chain, _), row in cells.items():
            if chain not in used:
                used[chain] = self.linear.column(-closing, 1.0, whole=True)
            self.linear.at_most({**row, used[chain]: -1.0}, 0.0)

    def _corner(self, left: int, right: int) -> None:
        """Footprints at an inside corner do not overlap, and one that runs in can be reached."""
        length = self.search.surveyed.outline.walls[left].length
        clear = self.rules.brief.construction.corner_clearance
        sides = [self._classes(left, length), self._classes(right, None)]
        for (gap_a, depth_a), a in sides[0].items():
            for (gap_b, depth_b), b in sides[1].items():
                into_b = gap_a < depth_b - _FINE and gap_b < depth_a + clear - _FINE
                into_a = gap_b < depth_a - _FINE and gap_a < depth_b + clear - _FINE
                if into_a or into_b:
                    self.linear.at_most({a: 1.0, b: 1.0}, 1.0)

    def _classes(self, wall: int, length: float | None) -> dict[tuple[float, float], int]:
        """A binary for each (gap to the corner, depth) in which a bay of the wall may be."""
        deepest = max((c.pattern.depth for c, _ in self.candidates), default=0.0)
        reach = deepest + self.rules.brief.construction.corner_clearance
        members: dict[tuple[float, float], list[int]] = defaultdict(list)
        for candidate, column in self.candidates:
            gap = candidate.near if length is None else length - candidate.far
            if candidate.wall == wall and gap < reach:
                members[round(gap, 6), candidate.pattern.depth].append(column)
        flags = {}
        for key, columns in members.items():
            flags[key] = self.linear.column(0.0, 1.0, whole=True)
            self.linear.at_most({**dict.fromkeys(columns, 1.0), flags[key]: -1.0}, 0.0)
        return flags

    # -- score ---------------------------------------------------------------------

    def _score(self) -> None:
        frame, yardstick = self.search.frame, self.search.yardstick
        weights = frame.weights()
        self.worths = {n.name: weights[TermName.NEEDS] * n.worth for n in frame.needs()}
        for hang in Hang:
            share = _per(weights[TermName.HANGING], yardstick.hanging)
            rods = {c: k.pattern.measures.hang(hang) * k.width for k, c in self.candidates}
            self._utility(rods, frame.hang_segments(hang), share, f"{hang}_hang")
        boards = {c: k.pattern.measures.shelves * k.width for k, c in self.candidates}
        share = _per(weights[TermName.SHELVING], yardstick.shelving)
        self._utility(boards, frame.shelf_segments(), share, "shelf_length")
        floors = {
            c: k.pattern.measures.open_floor * k.width
            for k, c in self.candidates
            if k.group is None
        }
        share = _per(weights[TermName.OPEN_FLOOR], yardstick.open_floor)
        self._utility(floors, frame.floor_segments(), share, "open_floor")
        easy = _per(weights[TermName.EASY_REACH], yardstick.easy_reach)
        dear = _per(weights[TermName.LOW_COST], yardstick.low_cost)
        busy = _per(weights[TermName.SIMPLE_BUILD], yardstick.simple_build)
        self.linear.constant += weights[TermName.LOW_COST] + weights[TermName.SIMPLE_BUILD]
        for candidate, column in self.candidates:
            m = candidate.pattern.measures
            parts = m.parts - (1 if self.rules.level else 0)
            gain = -dear * (m.cost + m.cost_per_width * candidate.width) - busy * parts
            if candidate.opened:
                gain += easy * m.easy * candidate.width
            self.linear.gains[column] += gain
        for piece in self.rules.pieces:
            self._house(piece.id, piece.count)

    def _utility(
        self, amounts: dict[int, float], segments: tuple[Segment, ...], share: float, need: str
    ) -> None:
        row = {column: -amount for column, amount in amounts.items() if amount}
        for place, segment in enumerate(segments):
            most = 1e5 if math.isinf(segment.length) else segment.length
            gain = share * segment.slope + (self.worths.get(need, 0.0) if place == 0 else 0.0)
            row[self.linear.column(gain, most, whole=False)] = 1.0
        self.linear.at_most(row, 0.0)

    def _house(self, item: str, count: int) -> None:
        """Pieces housed: on floors made for them, and on shelves that take them."""
        shelf = [g for g in self.search.catalogue.shelf_groups if g.counts == ((item, 1),)]
        row: dict[int, float] = {}
        for candidate, column in self.candidates:
            room = sum(self._takes(candidate, group) for group in shelf)
            on_floor = dict(candidate.group.counts).get(item, 0) if candidate.group else 0
            if room + on_floor:
                row[column] = -float(room + on_floor)
        housed = self.linear.column(self.worths[f"item:{item}"], float(count), whole=False)
        self.linear.at_most({**row, housed: 1.0}, 0.0)

    def _takes(self, candidate: Candidate, group: Group) -> int:
        """Shelves of a bay that take a single piece."""
        if group.width > candidate.width + _FINE:
            return 0
        return sum(
            zone.kind is ZoneKind.SHELF
            and zone.top - zone.bottom >= group.height - _FINE
            and (zone.depth or 0.0) >= group.depth - _FINE
            for zone in candidate.pattern.zones
        )


def _per(points: float, best: float) -> float:
    return points / best if best > 1e-9 else 0.0

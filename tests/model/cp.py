"""One wall, or two at a corner, as a constraint program with widths on a half-inch grid.

For OR-tools' CP-SAT. Every position is a number of quarter inches, so that a panel of
3/4 in is three of them and a width on the grid an even number. Bays are numbered from the
corner outwards; gains are whole numbers of 1e-6 points per quarter inch.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from ortools.sat.python import cp_model

from optimizer.domain.layout import TermName
from optimizer.domain.needs import Hang
from optimizer.domain.study import Yardstick
from optimizer.patterns.measures import spare_upright_cost
from optimizer.scoring.terms import Frame
from optimizer.scoring.utility import Segment
from tests.model.bays import Kind, per

PER_INCH = 4
GRID = 2
"""Widths are multiples of so many quarter inches."""
SCALE = 1_000_000


@dataclass
class Place:
    """A bay that may be there: which kind it is, and its width in quarter inches."""

    picks: list[Any]
    widths: list[Any]
    used: Any
    width: Any
    depth: Any
    start: Any = None


@dataclass
class Row:
    """Bays of one wall, numbered from its corner; `carried` is whether the first one stands on
    the other wall, or on its boards, which take `base` of the wall then."""

    places: list[Place]
    carried: Any
    base: Any

    def before(self, number: int, panel: int) -> Any:
        """Where the footprint of a bay starts."""
        start = self.places[number].start
        return start - panel + (panel * self.carried if number == 0 else 0)


@dataclass
class GridModel:
    """The constraint program of walls with bays of these kinds."""

    kinds: Sequence[Kind]
    frame: Frame
    yardstick: Yardstick
    model: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    places: list[Place] = field(default_factory=list)
    runs: list[Any] = field(default_factory=list)
    carried: list[Any] = field(default_factory=list)
    gains: list[Any] = field(default_factory=list)

    def wall(self, length: float) -> Row:
        """A wall's bays, those in use first; they share uprights and stand after a gap."""
        panel = self._quarters(self.frame.rules.panel)
        room = math.floor(length * PER_INCH)
        least = min(self._least(kind) for kind in self.kinds)
        row = [self._place() for _ in range(room // (least + panel))]
        gap = self.model.new_int_var(0, room, "gap")
        carried = self.model.new_bool_var("carried")
        base = self.model.new_int_var(0, room, "base")
        self.model.add(gap == 0).only_enforce_if(carried)
        at = gap + base + panel - panel * carried
        for number, place in enumerate(row):
            place.start = at
            at = at + place.width + panel * place.used
            if number:
                self.model.add_implication(place.used, row[number - 1].used)
        if row:
            self.model.add(at <= room).only_enforce_if(row[0].used)
            self.model.add_implication(carried, row[0].used)
            self.runs.append(row[0].used)
        else:
            self.model.add(carried == 0)
        self.places += row
        self.carried.append(carried)
        return Row(row, carried, base)

    def alone(self, row: Row) -> None:
        """A wall without corners: every end is an upright, and any order is as good."""
        self.model.add(row.carried == 0)
        self.model.add(row.base == 0)
        self.sort(row.places)

    def sort(self, row: Sequence[Place]) -> None:
        """Bays of a wall without corners in the order of their kinds: any order is as good."""
        ranks = [sum((i + 1) * pick for i, pick in enumerate(place.picks)) for place in row]
        for before, after in pairwise(ranks):
            self.model.add(before >= after)

    def corner(self, first: Row, second: Row) -> None:
        """Keep two walls' bays apart at the corner that both are numbered from (R7, R9, R16)."""
        shut = [self._shut(row) for row in (first, second)]
        wraps = [self._wrap(first, second), self._wrap(second, first)]
        self.model.add(first.carried + second.carried <= 1 + sum(wraps))
        self.model.add(sum(wraps) <= 1)
        for row, wrap in ((second, wraps[0]), (first, wraps[1])):
            self.model.add(row.base == 0).only_enforce_if(wrap.negated())
        for i in range(len(first.places)):
            for j in range(len(second.places)):
                self._pair((first, i), (second, j), shut, wraps if i == j == 0 else [])

    def _pair(
        self, one: tuple[Row, int], other: tuple[Row, int], shut: list[Any], wraps: list[Any]
    ) -> None:
        """Two bays, each on its wall, in one of the ways to keep apart."""
        construction, needs = self.frame.rules.brief.construction, self.frame.rules.brief.needs
        clear, opening = construction.corner_clearance, construction.corner_opening
        panel = self._quarters(self.frame.rules.panel)
        a, b = (row.places[number] for row, number in (one, other))
        gap_a, gap_b = (row.before(number, panel) for row, number in (one, other))
        both = [a.used, b.used]
        out = self.model.new_bool_var("")
        ways = [out, *wraps]
        self.model.add(gap_a >= b.depth).only_enforce_if(out, *both)
        self.model.add(gap_b >= a.depth).only_enforce_if(out, *both)
        self.model.add_bool_or([out.negated(), *shut])
        for through, beside, gap in ((a, b, gap_b), (b, a, gap_a)):
            beyond, tight = self.model.new_bool_var(""), self.model.new_bool_var("")
            ways += [beyond, tight]
            free = self._quarters(max(clear, needs.aisle))
            self.model.add(gap >= through.depth + free).only_enforce_if(beyond, *both)
            nearest = through.depth + self._quarters(clear)
            self.model.add(gap >= nearest).only_enforce_if(tight, *both)
            end, reach = through.start + through.width, beside.depth + self._quarters(opening)
            self.model.add(end >= reach).only_enforce_if(tight, *both)
            if clear < needs.aisle:
                self.model.add_bool_or([tight.negated(), *shut])
        self.model.add_bool_or([*ways, a.used.negated(), b.used.negated()])

    def _wrap(self, through: Row, butting: Row) -> Any:
        """Whether shelves of one wall butt against the other's of the same heights."""
        wrap = self.model.new_bool_var("wrap")
        if not through.places or not butting.places:
            self.model.add(wrap == 0)
            return wrap
        construction = self.frame.rules.brief.construction
        a, b = through.places[0], butting.places[0]
        self.model.add_implication(wrap, through.carried)
        self.model.add_implication(wrap, butting.carried)
        self.model.add(butting.base == a.depth).only_enforce_if(wrap)
        opening = self._quarters(construction.corner_opening)
        self.model.add(a.width >= b.depth + opening).only_enforce_if(wrap)
        self.model.add(b.width >= opening).only_enforce_if(wrap)
        for kind, pick in zip(self.kinds, a.picks, strict=True):
            for other, picked in zip(self.kinds, b.picks, strict=True):
                shelves = kind.board_depth() is not None and other.board_depth() is not None
                if not shelves or not other.levels <= kind.levels:
                    self.model.add_bool_or([wrap.negated(), pick.negated(), picked.negated()])
        return wrap

    def _shut(self, row: Row) -> Any:
        """Whether a wall's bays start at the corner they are numbered from, but for an inch."""
        shut = self.model.new_bool_var("")
        panel = self._quarters(self.frame.rules.panel)
        if row.places:
            self.model.add(row.before(0, panel) <= PER_INCH).only_enforce_if(shut)
            self.model.add_implication(shut, row.places[0].used)
        else:
            self.model.add(shut == 0)
        return shut

    def solved(self, seconds: float) -> float | None:
        """Points of the best layout on the grid, proved; None where time ran out."""
        self._score()
        self.model.maximize(sum(self.gains))
        solver = cp_model.CpSolver()
        solver.parameters.max_time_in_seconds = seconds
        solver.parameters.num_workers = 2
        status = solver.solve(self.model)
        return solver.objective_value / SCALE if status == cp_model.OPTIMAL else None

    def _quarters(self, length: float) -> int:
        return round(length * PER_INCH)

    def _least(self, kind: Kind) -> int:
        return GRID * math.ceil(kind.least * PER_INCH / GRID)

    def _place(self) -> Place:
        model = self.model
        picks, widths = [], []
        for kind in self.kinds:
            low, high = self._least(kind), GRID * math.floor(kind.most * PER_INCH / GRID)
            steps = model.new_int_var_from_domain(
                cp_model.Domain.from_intervals([[0, 0], [low // GRID, max(low, high) // GRID]]), ""
            )
            pick = model.new_bool_var("")
            model.add(steps >= low // GRID).only_enforce_if(pick)
            model.add(steps == 0).only_enforce_if(pick.negated())
            picks.append(pick)
            widths.append(GRID * steps)
        used = model.new_bool_var("used")
        model.add(sum(picks) == used)
        depth = sum(
            self._quarters(k.depth) * pick for k, pick in zip(self.kinds, picks, strict=True)
        )
        return Place(picks, widths, used, sum(widths), depth)

    def _score(self) -> None:
        """The score of the places, as `Frame` words it."""
        points, best = self.frame.weights(), self.yardstick
        needed = {n.name: points[TermName.NEEDS] * n.worth for n in self.frame.needs()}
        for hang in Hang:
            rods = [k.measures.hang(hang) for k in self.kinds]
            share = per(points[TermName.HANGING], best.hanging)
            worth = needed.get(f"{hang}_hang", 0.0)
            self._utility(rods, self.frame.hang_segments(hang), share, worth)
        boards = [k.measures.shelves for k in self.kinds]
        share = per(points[TermName.SHELVING], best.shelving)
        self._utility(boards, self.frame.shelf_segments(), share, needed.get("shelf_length", 0.0))
        floors = [k.measures.open_floor for k in self.kinds]
        share = per(points[TermName.OPEN_FLOOR], best.open_floor)
        self._utility(floors, self.frame.floor_segments(), share, 0.0)
        self._linear(points)

    def _linear(self, points: dict[TermName, float]) -> None:
        best = self.yardstick
        easy = per(points[TermName.EASY_REACH], best.easy_reach)
        dear = points[TermName.LOW_COST] / best.low_cost
        busy = points[TermName.SIMPLE_BUILD] / best.simple_build
        self.gains.append(_whole(points[TermName.LOW_COST] + points[TermName.SIMPLE_BUILD]))
        spare = dear * spare_upright_cost(self.frame.rules) + busy
        self.gains += [-_whole(spare) * run for run in self.runs]
        self.gains += [_whole(spare) * carried for carried in self.carried]
        if self.frame.rules.level:
            # One top board for each run of bays.
            self.gains += [-_whole(busy) * run for run in self.runs]
            self.gains += [_whole(busy) * place.used for place in self.places]
        for place in self.places:
            for kind, pick, width in zip(self.kinds, place.picks, place.widths, strict=True):
                m = kind.measures
                self.gains.append(-_whole(dear * m.cost + busy * m.parts) * pick)
                per_inch = easy * m.easy - dear * m.cost_per_width
                self.gains.append(_whole(per_inch / PER_INCH) * width)

    def _utility(
        self, numbers: Sequence[int], segments: tuple[Segment, ...], share: float, worth: float
    ) -> None:
        amount = sum(
            number * width
            for place in self.places
            for number, width in zip(numbers, place.widths, strict=True)
            if number
        )
        pieces = []
        for index, segment in enumerate(segments):
            most = 10**5 if math.isinf(segment.length) else math.floor(segment.length * PER_INCH)
            pieces.append(self.model.new_int_var(0, most, ""))
            gain = share * segment.slope + (worth if index == 0 else 0.0)
            self.gains.append(_whole(gain / PER_INCH) * pieces[-1])
        self.model.add(sum(pieces) <= amount)


def _whole(points: float) -> int:
    return round(points * SCALE)

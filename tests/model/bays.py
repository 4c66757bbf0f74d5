"""What one bay may be, and a small linear program that gives a choice of bays its widths.

This shares with the optimizer the catalogue of patterns and the scale of the score
(`scoring.terms.Frame`), and nothing of its model: bays are listed one by one here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import cache

import highspy
import numpy as np

from optimizer.domain.layout import TermName, ZoneKind
from optimizer.domain.needs import Hang
from optimizer.domain.study import Yardstick
from optimizer.patterns.column import Column
from optimizer.patterns.enumeration import Catalogue
from optimizer.patterns.measures import Measures, measures_of, spare_upright_cost, support_cost
from optimizer.patterns.pattern import Pattern
from optimizer.scoring.terms import Frame
from optimizer.scoring.utility import Segment

_FINE = 1e-6


@dataclass(frozen=True)
class Kind:
    """One way to build a bay: a pattern, how it is carried, and what stands on its floor."""

    pattern: Pattern
    measures: Measures
    least: float
    most: float
    housed: tuple[str, ...] = ()
    supports: int = 0

    @property
    def depth(self) -> float:
        """Depth of the bay."""
        return self.pattern.depth

    @property
    def levels(self) -> frozenset[float]:
        """Heights of its boards."""
        zones = self.pattern.zones
        return frozenset(round(z.bottom, 3) for z in zones if z.kind is ZoneKind.SHELF)

    @property
    def hangs(self) -> bool:
        """Whether clothes hang in it."""
        return any(zone.kind is ZoneKind.ROD for zone in self.pattern.zones)

    def board_depth(self) -> float | None:
        """Depth of its boards where it holds shelves alone, all of one depth and no deeper."""
        depths = {z.depth or self.depth for z in self.pattern.zones if z.kind is ZoneKind.SHELF}
        return self.depth if not self.hangs and depths == {self.depth} else None


def kinds_in(column: Column, catalogue: Catalogue) -> list[Kind]:
    """Every way to build a bay in a column: plain, with a stiffener, with mid supports."""
    found = []
    for pattern in catalogue.patterns(column):
        for housed, room, high, bare in _contents(pattern, catalogue):
            least, widest = max(pattern.min_width, room), _widest(housed, catalogue)
            for number, tier in enumerate(pattern.tiers):
                if (bare and tier.stiffened) or (widest < math.inf and tier.supports):
                    continue
                narrower = pattern.tiers[number - 1].width if number else least
                # The widest piece that is sure with so many supports or one more.
                sure = narrower / (tier.supports + 2) + _FINE
                if tier.supports and room > sure and _in_the_way(pattern, high, catalogue):
                    continue
                kinds = _measured(pattern, catalogue, tier.supports, stiffened=tier.stiffened)
                found.append(
                    Kind(pattern, kinds, least, min(tier.width, widest), housed, tier.supports)
                )
    return [kind for kind in found if kind.least <= kind.most]


def _widest(housed: Sequence[str], catalogue: Catalogue) -> float:
    """Greatest width of a bay that holds a bought unit; no bound without one."""
    found = (piece.between for piece in catalogue.rules.pieces if piece.id in housed)
    return min((between[1] for between in found if between), default=math.inf)


def _measured(
    pattern: Pattern, catalogue: Catalogue, supports: int, *, stiffened: bool
) -> Measures:
    """What a bay is worth and takes, its mid supports one by one."""
    p, rules = pattern, catalogue.rules
    plain = measures_of(p.zones, p.depth, p.height, stiffened, rules)
    triangles = rules.brief.construction.mid_support == "triangle"
    each = support_cost(p.zones, p.depth, rules) if supports else 0.0
    return replace(
        plain,
        cost=plain.cost + supports * each,
        parts=plain.parts + (supports * plain.shelves if triangles else 0),
    )


def _in_the_way(pattern: Pattern, high: float, catalogue: Catalogue) -> bool:
    """Whether a thing so high on the floor does not pass under the supports of the next board."""
    if not high:
        return False
    floor = pattern.zones[0]
    over = next(z for z in pattern.zones if z.kind is ZoneKind.SHELF)
    leg = 0.75 * (over.depth or pattern.depth)
    under_board = abs(over.bottom - catalogue.rules.panel - floor.top) < 1e-3
    return under_board and high > floor.top - leg + _FINE


def _contents(
    pattern: Pattern, catalogue: Catalogue
) -> Iterable[tuple[tuple[str, ...], float, float, bool]]:
    """What may stand in the floor zone, by rule R10, with the width and the height it needs, and
    whether it needs a bay that is not stiffened."""
    if not pattern.hosting:
        yield (), 0.0, 0.0, False
        return
    rules = catalogue.rules
    air = rules.brief.construction.item_clearance
    floor = pattern.zones[0]
    for piece in rules.pieces:
        high = piece.height + air
        fits = high <= rules.item_clear(pattern.zones, 0) + _FINE
        # A zone made for lower things is the better one for them, and looks the same.
        made_for = high > pattern.floor_above + _FINE
        deep = floor.depth or 0.0
        if not made_for or not piece.on_floor:
            continue
        if piece.between:
            if fits and piece.depth <= deep:
                yield (piece.id,), piece.between[0], high, False
        elif fits and piece.depth <= deep:
            yield (piece.id,), piece.width + 2 * air, high, False
        elif high <= floor.top + _FINE and rules.under_board(pattern.zones, 0):
            cleats = rules.brief.construction.cleat_thickness
            if piece.depth <= deep - cleats + _FINE:
                bare = high > floor.top - rules.lip + _FINE
                yield (piece.id,), piece.width + 2 * air + 2 * cleats, high, bare


@cache
def _solver() -> highspy.Highs:
    """One solver for all programs: making one takes longer than most of them."""
    solver = highspy.Highs()
    options = {"output_flag": False, "mip_rel_gap": 0.0, "mip_abs_gap": 1e-9, "presolve": "off"}
    for name, value in options.items():
        solver.setOptionValue(name, value)
    return solver


@dataclass
class Program:
    """A small mixed-integer program, maximised."""

    gains: list[float] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)
    whole: list[int] = field(default_factory=list)
    rows: list[dict[int, float]] = field(default_factory=list)
    limits: list[float] = field(default_factory=list)
    constant: float = 0.0

    def variable(self, low: float, high: float, *, whole: bool = False) -> int:
        """Number of a new variable."""
        self.gains.append(0.0)
        self.low.append(low)
        self.high.append(high)
        self.whole.append(int(whole))
        return len(self.gains) - 1

    def at_most(self, row: dict[int, float], limit: float) -> None:
        """Ask that the row be at most the limit."""
        self.rows.append(row)
        self.limits.append(limit)

    def best(self) -> float | None:
        """The optimum, None where nothing is feasible.

        HiGHS is given the bare arrays: there are thousands of these programs, and a modelling
        layer takes five times as long as solving them.
        """
        if not self.gains:
            return self.constant
        solver = _solver()
        solver.clearSolver()
        solver.passModel(self._model())
        solver.run()
        status = solver.getModelStatus()
        if status == highspy.HighsModelStatus.kInfeasible:
            return None
        assert status == highspy.HighsModelStatus.kOptimal, status
        return float(solver.getInfo().objective_function_value) + self.constant

    def _model(self) -> highspy.HighsLp:
        """The program row by row, as HiGHS takes it."""
        model = highspy.HighsLp()
        model.num_col_, model.num_row_ = len(self.gains), len(self.rows)
        model.sense_ = highspy.ObjSense.kMaximize
        model.col_cost_ = np.array(self.gains)
        model.col_lower_, model.col_upper_ = np.array(self.low), np.array(self.high)
        model.row_lower_ = np.full(len(self.rows), -np.inf)
        model.row_upper_ = np.array(self.limits, dtype=float)
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        if any(self.whole):
            model.integrality_ = [kinds[whole] for whole in self.whole]
        matrix = model.a_matrix_
        matrix.format_ = highspy.MatrixFormat.kRowwise
        matrix.start_ = np.cumsum([0, *(len(row) for row in self.rows)])
        matrix.index_ = np.array([column for row in self.rows for column in row])
        matrix.value_ = np.array([value for row in self.rows for value in row.values()])
        return model


def scored(
    bays: Sequence[Kind], runs: int, carried: int, frame: Frame, yardstick: Yardstick
) -> tuple[Program, list[int]]:
    """A program whose optimum is the score of these bays in `runs` runs, and their widths.

    `carried` ends stand on a wall or on the next wall's boards instead of an upright.
    """
    program = Program()
    widths = [program.variable(bay.least, bay.most) for bay in bays]
    ours = _Scoring(program, frame, yardstick, list(zip(bays, widths, strict=True)))
    ours.add(runs, carried)
    return program, widths


@dataclass
class _Scoring:
    """Puts the score of bays into a program."""

    program: Program
    frame: Frame
    yardstick: Yardstick
    bays: list[tuple[Kind, int]]

    def add(self, runs: int, carried: int) -> None:
        points = self.frame.weights()
        needed = {need.name: need for need in self.frame.needs()}
        full = points[TermName.NEEDS]
        for hang in Hang:
            name = f"{hang}_hang"
            worth = full * needed[name].worth if name in needed else 0.0
            rods = [(width, float(bay.measures.hang(hang))) for bay, width in self.bays]
            share = per(points[TermName.HANGING], self.yardstick.hanging)
            self._utility(rods, self.frame.hang_segments(hang), share, worth)
        boards = [(width, float(bay.measures.plain_shelves)) for bay, width in self.bays]
        worth = full * needed["shelf_length"].worth if "shelf_length" in needed else 0.0
        share = per(points[TermName.SHELVING], self.yardstick.shelving)
        if self.frame.rules.things:
            fine = self._stored(boards, worth, full)
            boards, worth = [*boards, (fine, 1.0)], 0.0
        self._utility(boards, self.frame.shelf_segments(), share, worth)
        floors = [
            (width, float(bay.measures.open_floor)) for bay, width in self.bays if not bay.housed
        ]
        share = per(points[TermName.OPEN_FLOOR], self.yardstick.open_floor)
        self._utility(floors, self.frame.floor_segments(), share, 0.0)
        self._linear(runs, carried, points)
        housed = [name for bay, _ in self.bays for name in bay.housed]
        for piece in self.frame.rules.pieces:
            met = min(housed.count(piece.id), piece.count)
            self.program.constant += full * needed[f"item:{piece.id}"].worth * met

    def _stored(self, boards: list[tuple[int, float]], worth: float, full: float) -> int:
        """One kind that is counted, in whole rows on each shelf that takes it; what shelf is left
        counts `worth` a unit. The variable of its length on shelves closer than wished."""
        program, rules = self.program, self.frame.rules
        (thing,) = rules.things
        fine, plain = (program.variable(0.0, thing.length) for _ in range(2))
        takers: dict[int, dict[int, float]] = {fine: {fine: 1.0}, plain: {plain: 1.0}}
        for bay, width in self.bays:
            rows = program.variable(0.0, 100.0, whole=True)
            program.at_most({rows: thing.width, width: -1.0}, 0.0)
            for zone in bay.pattern.zones:
                clear = zone.top - zone.bottom
                if zone.kind is ZoneKind.SHELF and clear >= thing.clear - _FINE:
                    row = takers[fine if clear < rules.shelf_clear - _FINE else plain]
                    row[rows] = row.get(rows, 0.0) - thing.width
        for row in takers.values():
            program.at_most(row, 0.0)
        met = program.variable(0.0, float(thing.count))
        program.gains[met] = full * next(
            need.worth for need in self.frame.needs() if need.name == thing.name
        )
        program.at_most({fine: 1.0, plain: 1.0}, thing.length)
        program.at_most({met: thing.width / thing.together, fine: -1.0, plain: -1.0}, 0.0)
        free = program.variable(0.0, rules.brief.needs.shelf_length)
        program.gains[free] = worth
        program.at_most({free: 1.0, plain: 1.0, **{w: -n for w, n in boards if n}}, 0.0)
        return fine

    def _utility(
        self,
        amounts: list[tuple[int, float]],
        segments: tuple[Segment, ...],
        share: float,
        worth: float,
    ) -> None:
        """Diminishing returns of an amount; what is needed also counts `worth` a unit."""
        row = {width: -number for width, number in amounts if number}
        for place, segment in enumerate(segments):
            most = 1e5 if math.isinf(segment.length) else segment.length
            piece = self.program.variable(0.0, most)
            self.program.gains[piece] = share * segment.slope + (worth if place == 0 else 0.0)
            row[piece] = 1.0
        self.program.at_most(row, 0.0)

    def _linear(self, runs: int, carried: int, points: dict[TermName, float]) -> None:
        """Easy reach, cost and parts: n bays in a run stand on n + 1 uprights, less what a wall
        carries, and under a level line have one top board."""
        easy = per(points[TermName.EASY_REACH], self.yardstick.easy_reach)
        dear = per(points[TermName.LOW_COST], self.yardstick.low_cost)
        busy = per(points[TermName.SIMPLE_BUILD], self.yardstick.simple_build)
        program = self.program
        program.constant += points[TermName.LOW_COST] + points[TermName.SIMPLE_BUILD]
        spare = runs - carried
        program.constant -= spare * (dear * spare_upright_cost(self.frame.rules) + busy)
        if self.frame.rules.brief.construction.top_line == "level":
            program.constant -= busy * (runs - len(self.bays))
        for bay, width in self.bays:
            program.gains[width] += easy * bay.measures.easy - dear * bay.measures.cost_per_width
            program.constant -= dear * bay.measures.cost + busy * bay.measures.parts


def per(points: float, best: float) -> float:
    """Points for each unit of what the room can do `best` of."""
    return points / best if best > 1e-9 else 0.0


def steepest(kinds: Iterable[Kind], frame: Frame, yardstick: Yardstick) -> float:
    """Most points that an inch more of any one bay can be worth, cost left out."""
    points = frame.weights()
    needed = {need.name: points[TermName.NEEDS] * need.worth for need in frame.needs()}
    most = 0.0
    for kind in kinds:
        m = kind.measures
        gain = sum(
            m.hang(h)
            * (per(points[TermName.HANGING], yardstick.hanging) + needed.get(f"{h}_hang", 0.0))
            for h in Hang
        )
        share = per(points[TermName.SHELVING], yardstick.shelving)
        gain += m.shelves * (share + needed.get("shelf_length", 0.0))
        gain += m.open_floor * per(points[TermName.OPEN_FLOOR], yardstick.open_floor)
        gain += m.easy * per(points[TermName.EASY_REACH], yardstick.easy_reach)
        most = max(most, gain)
    return most

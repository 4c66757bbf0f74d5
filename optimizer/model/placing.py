"""From a plan to bays with positions: ordered, on the grid, never over a wall.

Topology (which bay stands where, which uprights are shared) comes from the plan; a small
integer program then gives every bay a width on the grid as near to the planned one as the
walls allow, keeping every need that the plan meets.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from pulp import lpSum

from optimizer.domain.layout import Bay, Zone
from optimizer.domain.needs import Hang
from optimizer.errors import SolverFailedError
from optimizer.model.corners import SCRIBE_IN, overlap
from optimizer.model.formulation import Formulation
from optimizer.model.lengths import SCRIBED_STEPS
from optimizer.model.ordering import ordered
from optimizer.model.slots import Slot, SlotKind
from optimizer.model.solution import Plan, PlannedBay, shared_out
from optimizer.patterns.rules import Rules
from optimizer.solving import new_problem, solve

_FINE = 1e-6
_GAP_PRICE = 1e-3
"""Price of free wall in a corner, against a unit of width moved."""
_SHORT_PRICE = 1e3
"""Price of losing a unit of a need that the plan meets, against a unit of width moved."""


@dataclass(frozen=True, slots=True)
class Seat:
    """A bay in its row; `shares` tells whether its left upright is its left neighbour's."""

    bay: PlannedBay
    shares: bool


def place(model: Formulation, plan: Plan) -> tuple[Bay, ...]:
    """Bays of `plan` with their positions [brief units], wall by wall from left to right."""
    rows = [row for chain in model.chains if (row := _row(plan, chain))]
    spots = _Positions(model, plan, rows).solved()
    bays: list[Bay] = []
    names = [wall.id for wall in model.rules.brief.room.walls]
    counts = dict.fromkeys(names, 0)
    for row, placed in zip(rows, spots, strict=True):
        for seat, (start, width) in zip(row, placed, strict=True):
            wall = names[model.surveyed.stretches[seat.bay.slot.first].wall]
            counts[wall] += 1
            bays.append(_bay(seat.bay, wall, f"{wall}{counts[wall]}", start, width))
    return tuple(bays)


def _bay(planned: PlannedBay, wall: str, name: str, start: float, width: float) -> Bay:
    pattern = planned.slot.pattern
    held: dict[int, tuple[str, ...]] = {zone: group.items for zone, group in planned.hosts}
    zones: list[Zone] = [
        zone.model_copy(update={"items": held[index]}) if index in held else zone
        for index, zone in enumerate(pattern.zones)
    ]
    return Bay(
        id=name,
        wall=wall,
        start=start,
        width=width,
        depth=pattern.depth,
        pattern=pattern.label,
        zones=tuple(zones),
        height=pattern.height,
        stiffened=pattern.stiffened(width),
    )


def _row(plan: Plan, chain: Sequence[int]) -> list[Seat]:
    """Bays of one chain from left to right, with the uprights they share."""
    row: list[Seat] = []
    spans = [b for b in plan.bays if b.slot.kind is SlotKind.SPAN]
    for position, index in enumerate(chain):
        entered = next((b for b in spans if b.slot.last == index), None)
        leaving = next((b for b in spans if b.slot.first == index), None)
        line = _line(plan, index, entered, leaving)
        # An upright over the boundary may stand there for an empty stretch: it is only shared
        # where the bay before it reaches that boundary.
        reaches = bool(row) and position > 0 and row[-1].bay.slot.last == chain[position - 1]
        joined = reaches and _joined(plan, chain[position - 1], index)
        for place, bay in enumerate(line):
            follows = place > 0 or entered is not None or joined
            breaks = index in plan.broken and place == len(line) - 1
            row.append(Seat(bay, shares=bool(row) and follows and not breaks))
    return row


def _line(
    plan: Plan, index: int, entered: PlannedBay | None, leaving: PlannedBay | None
) -> list[PlannedBay]:
    """Bays that start in one stretch, from left to right."""
    own = [b for b in plan.bays if b.slot.kind is not SlotKind.SPAN and b.slot.first == index]
    lefts = [b for b in own if b.slot.kind is SlotKind.END and b.slot.at_left]
    rights = [b for b in own if b.slot.kind is SlotKind.END and not b.slot.at_left]
    inner = [b for b in own if b.slot.kind is SlotKind.INNER]
    before = lefts[0] if lefts else entered
    after = rights[0] if rights else leaving
    line = [*lefts, *ordered(inner, before, after), *rights]
    return [*line, leaving] if leaving else line


def _joined(plan: Plan, left: int, right: int) -> bool:
    return any(name.startswith(f"j_{left}_{right}_") for name in plan.joints)


class _Positions:
    """The small integer program that fixes starts and widths."""

    def __init__(self, model: Formulation, plan: Plan, rows: Sequence[list[Seat]]) -> None:
        self.model = model
        self.plan = plan
        self.rows = rows
        self.rules: Rules = model.rules

    def solved(self) -> list[list[tuple[float, float]]]:
        """(start, width) of every seat, row by row.

        Runs start and bays end on the grid where they can; off it only if nothing on it fits.
        """
        for on_grid, from_grid in ((True, True), (True, False), (False, False)):
            found = self._solve(on_grid=on_grid, from_grid=from_grid)
            if found is not None:
                return found
        raise SolverFailedError("the chosen bays could not be placed on their walls")

    def _solve(self, *, on_grid: bool, from_grid: bool) -> list[list[tuple[float, float]]] | None:
        if not any(self.rows):
            return [[] for _ in self.rows]
        self.problem = new_problem("placing", maximise=False)
        self.costs: list[Any] = []
        spots = [
            self._lay(number, row, on_grid=on_grid, from_grid=from_grid)
            for number, row in enumerate(self.rows)
        ]
        self._keep_needs(spots)
        self.problem.setObjective(lpSum(self.costs))
        outcome = solve(self.problem, gap=0.0, threads=1, time_limit=5.0)
        if not outcome.has_solution:
            return None
        return [
            [_read(start, width, steps, self.rules) for start, width, steps in row] for row in spots
        ]

    def _lay(
        self, number: int, row: list[Seat], *, on_grid: bool, from_grid: bool
    ) -> list[tuple[Any, Any, Any]]:
        panel, grid = self.rules.panel, self.rules.grid
        laid: list[tuple[Any, Any, Any]] = []
        wished = _evened(row)
        for index, seat in enumerate(row):
            name = f"{number}_{index}"
            start = self.problem.add_variable(f"s_{name}", 0, None, "Continuous")
            steps = None
            pin = self.model.surveyed.stretches[seat.bay.slot.first].pin
            if pin is not None:
                width: Any = pin.width
                self.problem += start == pin.start, f"pin_{name}"
            elif on_grid:
                steps = self.problem.add_variable(f"w_{name}", 0, None, "Integer")
                width = grid * steps
            else:
                width = self.problem.add_variable(f"w_{name}", 0, None, "Continuous")
            if from_grid and pin is None and not seat.shares:
                marks = self.problem.add_variable(f"m_{name}", 0, None, "Integer")
                self.problem += start == grid * marks, f"mark_{name}"
            if pin is None:
                self._bounds(seat.bay, start, width, name)
            if index:
                before = laid[-1][0] + laid[-1][1]
                if seat.shares:
                    self.problem += start == before + panel, f"shared_{name}"
                else:
                    self.problem += start >= before + 2 * panel, f"apart_{name}"
            if pin is None:
                away = self.problem.add_variable(f"d_{name}", 0, None, "Continuous")
                self.problem += away >= width - wished[index], f"wider_{name}"
                self.problem += away >= wished[index] - width, f"narrower_{name}"
                self.costs += [away, 1e-4 * start]
            laid.append((start, width, steps))
        return laid

    def _bounds(self, bay: PlannedBay, start: Any, width: Any, name: str) -> None:
        """Keep a bay's width and uprights where its slot allows them."""
        panel, slot = self.rules.panel, bay.slot
        stretches = self.model.surveyed.stretches
        first, last = stretches[slot.first], stretches[slot.last]
        low = first.start + self._lost(slot.first, at_left=True)
        high = last.end - self._lost(slot.last, at_left=False)
        add = self.problem.addConstraint
        add(width >= bay.least - _FINE, f"least_{name}")
        add(width <= bay.most + _FINE, f"most_{name}")
        kept_left = self._kept_next_door(slot.first, left=True)
        kept_right = self._kept_next_door(slot.last, left=False)
        add(start >= low + (0 if kept_left else panel), f"left_{name}")
        add(start + width <= high - (0 if kept_right else panel), f"right_{name}")
        if slot.kind is SlotKind.SPAN:
            add(start <= first.end, f"begins_{name}")
            add(start + width >= last.start, f"ends_{name}")
        if slot.kind is SlotKind.END:
            # Reach holds however widths are evened out: fronts beside other bays stay open.
            reach, off = self._end_reach(slot)
            gap = self.problem.add_variable(f"g_{name}", 0, None, "Continuous")
            add(gap <= max(off, SCRIBED_STEPS * self.rules.grid) + panel, f"corner_{name}")
            if slot.at_left:
                add(start <= low + gap, f"gap_{name}")
                add(start + width >= low + reach - _FINE, f"open_{name}")
            else:
                add(start + width >= high - gap, f"gap_{name}")
                add(start <= high - reach + _FINE, f"open_{name}")
            self.costs.append(_GAP_PRICE * gap)

    def _end_reach(self, slot: Slot) -> tuple[float, float]:
        """How far an end bay reaches from the corner at least in the chosen state, and how far
        it may stand off."""
        for number, corner in enumerate(self.model.corners):
            state = next(s for s in corner.states if s.name == self.plan.states[number])
            for which, side in enumerate(corner.sides):
                reach = state.reach_of(which)
                own = side.end == slot.first and side.at_left is slot.at_left
                if own and reach is not None:
                    scribe = self.rules.brief.units.from_inch(SCRIBE_IN)
                    return reach, state.gap_of(which, scribe)
        return 0.0, 0.0

    def _kept_next_door(self, index: int, *, left: bool) -> bool:
        """Whether the upright shared over a stretch's left or right boundary stands outside it."""
        for name in self.plan.joints:
            one, other, keeper = (int(part) for part in name.split("_")[1:4])
            inside = other if left else one
            if inside == index and keeper != index:
                return True
        return False

    def _lost(self, index: int, *, at_left: bool) -> float:
        """What the chosen corner state takes from a stretch's left or right part."""
        lost = 0.0
        for number, corner in enumerate(self.model.corners):
            chosen = self.plan.states[number]
            state = next(s for s in corner.states if s.name == chosen)
            for which, side in enumerate(corner.sides):
                if side.at_left is not at_left:
                    continue
                for reached, near, far in side.reaches:
                    if reached == index:
                        lost = max(lost, overlap(near, far, state.losses[which]))
        return lost

    def _keep_needs(self, spots: Sequence[Sequence[tuple[Any, Any, Any]]]) -> None:
        """Rounding must not turn a need that the plan meets into one that is short."""
        flat = [
            (seat.bay, spot[1])
            for row, laid in zip(self.rows, spots, strict=True)
            for seat, spot in zip(row, laid, strict=True)
        ]
        needs = self.rules.brief.needs
        wanted = [(hang.value, self.rules.required[hang], _rods(hang)) for hang in Hang]
        wanted.append(("shelf", needs.shelf_length, lambda bay: bay.slot.pattern.measures.shelves))
        for name, required, number in wanted:
            planned = sum(number(bay) * bay.width for bay, _ in flat)
            if required <= 0 or planned <= 0:
                continue
            short = self.problem.add_variable(f"short_{name}", 0, None, "Continuous")
            reached = lpSum(number(bay) * width for bay, width in flat)
            self.problem += reached + short >= min(required, planned), f"keep_{name}"
            self.costs.append(_SHORT_PRICE * short)


def _evened(row: Sequence[Seat]) -> list[float]:
    """Widths to aim at: bays of one pattern in a row as even as they may be.

    What a bay gives is linear in its width, so evening them out changes no amount.
    """
    widths = [seat.bay.width for seat in row]
    for label in {seat.bay.slot.pattern.label for seat in row}:
        alike = [i for i, seat in enumerate(row) if seat.bay.slot.pattern.label == label]
        total = sum(widths[i] for i in alike)
        leasts = [row[i].bay.least for i in alike]
        most = [row[i].bay.most for i in alike]
        for i, width in zip(alike, shared_out(total, leasts, most), strict=True):
            widths[i] = width
    return widths


def _rods(hang: Hang) -> Any:
    return lambda bay: bay.slot.pattern.measures.hang(hang)


def _read(start: Any, width: Any, steps: Any, rules: Rules) -> tuple[float, float]:
    """Values, with a width on the grid computed from its whole number of steps."""
    position = round(float(start.value()), 6)
    if isinstance(width, float):
        return position, width
    if steps is not None:
        return max(position, 0.0), round(float(steps.value())) * rules.grid
    return max(position, 0.0), round(float(width.value()), 6)

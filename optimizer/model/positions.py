"""A small integer program that fixes the starts and widths of bays on the grid."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from optimizer.errors import UnplacedError
from optimizer.model.boundaries import give_over
from optimizer.model.constraints.lengths import HAND_IN, SCRIBED_STEPS
from optimizer.model.corner_losses import CornerLosses
from optimizer.model.corners import SCRIBE_IN, Side
from optimizer.model.formulation import Formulation
from optimizer.model.kept_needs import keep_needs
from optimizer.model.mount_positions import MountPositions
from optimizer.model.rows import Seat
from optimizer.model.solution import BayPlan, shared_out
from optimizer.solving import new_problem, solve, total
from optimizer.tolerances import FINE, TOUCH
from optimizer.units import Units

_GAP_PRICE = 1e-3
"""Price of free wall in a corner, against a unit of width moved."""
_SHORT = 1e-6
_NOISE = 1e-5
"""Off the grid by less than this is on it."""
POCKET_SQ_IN = 60.0
"""Floor area [sq in] from which a gap that no hand gets into is a pocket."""
LITTLE_IN = 1.0
"""A support more for less width than this [in] is one that a builder would not set."""
COARSE_STEPS = {Units.INCH: 2, Units.MILLIMETRE: 1}
"""Grid steps of the widths that a builder likes best: eighths of an inch, millimetres."""

Spot = tuple[float, float]
"""Start and width."""


@dataclass(frozen=True, slots=True)
class Manner:
    """How tidy the result has to be, from strict to lenient.

    Widths are multiples of `steps` grid steps (0: of none), `equal` for bays of one pattern. Runs
    start on the grid (`from_grid`), and gaps are too narrow for a pocket or wide enough for a hand
    (`handy`). `lossless`: no need may be lost at all that the plan meets. `odd_ends`: bays that a
    wall or a corner carries may be of any width, which their cleats do not mind.
    """

    steps: int
    equal: bool = False
    from_grid: bool = True
    handy: bool = True
    lossless: bool = False
    odd_ends: bool = False


def manners(units: Units) -> list[Manner]:
    """The manners to try, the tidiest first; the last asks for nothing that the rules do not."""
    coarse = COARSE_STEPS[units]
    neat = [Manner(coarse, equal=True, lossless=True), Manner(coarse, lossless=True)]
    plain = [Manner(1), Manner(1, from_grid=False), Manner(1, from_grid=False, odd_ends=True)]
    return [*neat, *plain, Manner(0, from_grid=False), Manner(0, from_grid=False, handy=False)]


class Positions:
    """Starts and widths of the seats of a plan, row by row."""

    def __init__(self, model: Formulation, plan: BayPlan, rows: Sequence[list[Seat]]) -> None:
        """The seats of `plan` in their `rows`, for `solved` to place."""
        self.model = model
        self.plan = plan
        self.rows = rows
        self.rules = model.rules
        self.corners = CornerLosses(model, plan.states)

    def solved(self) -> tuple[list[list[Spot]], dict[int, float]]:
        """(start, width) of every seat, row by row, and the start of every mount by its number.

        In the tidiest manner that has a solution [brief units]. Raises UnplacedError where none
        has.
        """
        if not any(self.rows) and not self.plan.hangings:
            return [[] for _ in self.rows], {}
        # Each manner is a program of its own: what is asked for changes rows and kinds of
        # variables.
        for manner in manners(self.rules.brief.units):
            found = self._solve(manner)
            if found is not None:
                return found
        raise UnplacedError("the chosen bays could not be placed on their walls")

    def _solve(self, manner: Manner) -> tuple[list[list[Spot]], dict[int, float]] | None:
        """Spots and starts of mounts in one manner; None where it has no solution or loses a
        need."""
        self.manner = manner
        self.problem = new_problem("placing", maximise=False)
        self.costs: list[Any] = []
        spots = [self._lay(number, row) for number, row in enumerate(self.rows)]
        if manner.equal:
            self._even(spots)
        hung = MountPositions(self.model, self.plan, self.problem, self.rows, spots)
        self.costs += hung.laid(on_grid=manner.steps > 0)
        self._leave(spots, hung)
        self._hold_through(spots)
        widths = [
            (seat.bay, width)
            for row, laid in zip(self.rows, spots, strict=True)
            for seat, (_, width, _) in zip(row, laid, strict=True)
        ]
        kept = keep_needs(self.problem, self.rules, widths)
        self.costs += kept.costs
        self.problem.setObjective(total(self.costs))
        outcome = solve(self.problem, gap=0.0, threads=1, time_limit=5.0)
        if not outcome.has_solution:
            return None
        # Shorts are priced, not forbidden, for the sake of the manners that come last.
        if manner.lossless and any((short.value() or 0.0) > _SHORT for short in kept.shorts):
            return None
        return [[self._read(spot) for spot in row] for row in spots], hung.starts()

    def _lay(self, number: int, row: list[Seat]) -> list[tuple[Any, Any, Any]]:
        """Variables of one row, each seat tied to the one before: (start, width, steps or None)."""
        panel = self.rules.panel
        laid: list[tuple[Any, Any, Any]] = []
        planned = _evened(row)
        closed = row[0].flush_left and row[-1].flush_right
        # A run between two walls is as long as it is: its last bay takes what is odd.
        odd = 0 if self._pin(row[-1]) is not None else len(row) - 1
        for index, seat in enumerate(row):
            name = f"{number}_{index}"
            start = self.problem.add_variable(f"s_{name}", 0, None, "Continuous")
            carried = self.manner.odd_ends and (seat.flush_left or seat.flush_right)
            width, steps = self._width(seat, name, odd=carried or (closed and index == odd))
            self._start(seat, start, name)
            if index:
                before = laid[-1][0] + laid[-1][1]
                if seat.shares:
                    self.problem += start == before + panel, f"shared_{name}"
                else:
                    self.problem += start >= before + 2 * panel, f"apart_{name}"
                    self._apart(start - before - 2 * panel, (row[index - 1], seat), name)
            if self._pin(seat) is None:
                away = self.problem.add_variable(f"d_{name}", 0, None, "Continuous")
                self.problem += away >= width - planned[index], f"wider_{name}"
                self.problem += away >= planned[index] - width, f"narrower_{name}"
                # To the left by a hair's price, so that where nothing else decides one answer comes
                # out.
                self.costs += [away, 1e-4 * start]
                self._spare_support(seat, width, planned[index], name)
            laid.append((start, width, steps))
        self._ends(number, row, laid)
        return laid

    def _spare_support(self, seat: Seat, width: Any, planned: float, name: str) -> None:
        """Let a bay slightly too wide for its number of mid supports give the excess to another
        bay."""
        tiers = [tier.width for tier in seat.bay.slot.pattern.tiers[:-1]]
        near = [reach for reach in tiers if reach < planned < reach + self._little]
        if near:
            reach = near[-1]
            over = self.problem.add_variable(f"over_{name}", 0, 1, "Integer")
            most = max(seat.bay.most, reach)
            self.problem += width <= reach + (most - reach) * over, f"spared_{name}"
            # As dear as moving all there is to move, out of here and into another bay.
            self.costs.append(2.0 * self._little * over)

    @property
    def _little(self) -> float:
        """`LITTLE_IN` in brief units."""
        return self.rules.brief.units.from_inch(LITTLE_IN)

    def _pin(self, seat: Seat) -> Any:
        """The pin of a seat's stretch; None where its bay is free to move."""
        return self.model.surveyed.stretches[seat.bay.slot.first].pin

    def _width(self, seat: Seat, name: str, *, odd: bool) -> tuple[Any, Any]:
        """Width of a seat, and the whole number of grid steps in it where it is on the grid."""
        pin, step = self._pin(seat), self.manner.steps * self.rules.grid
        if pin is not None:
            return pin.width, None
        if not self.manner.steps or odd:
            return self.problem.add_variable(f"w_{name}", 0, None, "Continuous"), None
        steps = self.problem.add_variable(f"w_{name}", 0, None, "Integer")
        return step * steps, steps

    def _start(self, seat: Seat, start: Any, name: str) -> None:
        """Put a start where a pin has it, or onto a mark of the grid where it stands by itself."""
        pin = self._pin(seat)
        if pin is not None:
            self.problem += start == pin.start, f"pin_{name}"
        elif self.manner.from_grid and not seat.shares and not seat.flush_left:
            marks = self.problem.add_variable(f"m_{name}", 0, None, "Integer")
            self.problem += start == self.rules.grid * marks, f"mark_{name}"

    def _ends(self, number: int, row: list[Seat], laid: Sequence[tuple[Any, Any, Any]]) -> None:
        """Keep every bay where its slot allows it, and gaps at the row's ends usable."""
        for index, seat in enumerate(row):
            if self._pin(seat) is None:
                self._bounds(seat, laid[index][0], laid[index][1], f"{number}_{index}")
        first, last = row[0], row[-1]
        if not first.flush_left and self._pin(first) is None:
            low = self.corners.low(first.bay.slot)
            self._handy(laid[0][0] - self.rules.panel - low, (first,), f"l_{number}")
        if not last.flush_right and self._pin(last) is None:
            end = laid[-1][0] + laid[-1][1] + self.rules.panel
            self._handy(self.corners.high(last.bay.slot) - end, (last,), f"r_{number}")

    def _handy(self, gap: Any, beside: Iterable[Seat], name: str) -> None:
        """Make a gap too small to be a pocket, or wide enough for a hand."""
        if not self.manner.handy:
            return
        units = self.rules.brief.units
        deepest = max(units.to_inch(seat.bay.slot.pattern.depth) for seat in beside)
        narrow = units.from_inch(POCKET_SQ_IN / deepest) * 0.95
        wide, length = units.from_inch(HAND_IN), self._longest
        if narrow >= wide:
            return
        opened = self.problem.add_variable(f"open_{name}", 0, 1, "Integer")
        self.problem += gap <= narrow + length * opened, f"narrow_{name}"
        self.problem += gap >= wide * opened - FINE, f"wide_{name}"

    def _apart(self, gap: Any, pair: tuple[Seat, Seat], name: str) -> None:
        """Keep two runs of bays a hand apart: two equal uprights back to back would be one too
        many."""
        one, other = (seat.bay.slot.pattern for seat in pair)
        alike = abs(one.height - other.height) < TOUCH and abs(one.depth - other.depth) < TOUCH
        if not alike:
            self._handy(gap, pair, f"between_{name}")
        elif self.manner.handy and not all(self._pin(seat) for seat in pair):
            self.problem += gap >= self.rules.brief.units.from_inch(HAND_IN), f"hand_{name}"

    @property
    def _longest(self) -> float:
        """Length of the longest wall, which no gap exceeds."""
        return max(line.length for line in self.model.surveyed.outline.walls)

    def _bounds(self, seat: Seat, start: Any, width: Any, name: str) -> None:
        """Keep a bay's width and uprights where its slot allows them."""
        panel, slot, bay = self.rules.panel, seat.bay.slot, seat.bay
        stretches = self.model.surveyed.stretches
        low, high = self.corners.low(slot), self.corners.high(slot)
        add = self.problem.addConstraint
        add(width >= bay.least - FINE, f"least_{name}")
        add(width <= bay.most + FINE, f"most_{name}")
        if seat.flush_left:
            add(start == low, f"left_{name}")
        else:
            # With its upright next door the bay itself may begin where the stretch does, else a
            # panel on.
            kept = self._kept_next_door(slot.first, left=True)
            over = give_over(self.model, slot, at_left=True) if kept else -panel
            add(start >= low - over, f"left_{name}")
        if seat.flush_right:
            add(start + width == high, f"right_{name}")
        else:
            kept = self._kept_next_door(slot.last, left=False)
            over = give_over(self.model, slot, at_left=False) if kept else -panel
            add(start + width <= high + over, f"right_{name}")
        if slot.spans:
            add(start <= max(low, stretches[slot.first].end), f"begins_{name}")
            add(start + width >= min(high, stretches[slot.last].start), f"ends_{name}")
        for at_left, stands in ((True, slot.at_left), (False, slot.at_right)):
            if stands:
                self._in_corner(seat, start, width, name, at_left=at_left)

    def _leave(self, spots: Sequence[Sequence[tuple[Any, Any, Any]]], hung: MountPositions) -> None:
        """Leave free at a wall's ends what the wall may turn out shorter, unless a bay is cut to
        fit."""
        walls: dict[int, list[tuple[Seat, Any, Any]]] = {}
        for row, laid in zip(self.rows, spots, strict=True):
            for seat, (start, width, _) in zip(row, laid, strict=True):
                wall = self.model.wall_of(seat.bay.slot)
                walls.setdefault(wall, []).append((seat, start, width))
        for wall, own in walls.items():
            (first, start, _), (last, begin, width) = own[0], own[-1]
            pinned = self._pin(first) is not None and self._pin(last) is not None
            if first.flush_left or last.flush_right or pinned:
                continue
            panel, length = self.rules.panel, self.model.surveyed.outline.walls[wall].length
            left = start - panel + length - panel - begin - width - hung.beside(wall, own)
            self.problem += left >= self.rules.brief.room.measuring_tolerance, f"leave_{wall}"

    def _hold_through(self, spots: Sequence[Sequence[tuple[Any, Any, Any]]]) -> None:
        """Keep boards that run through a corner without mid supports as short as what butts against
        them asks."""
        for number, corner in enumerate(self.model.corners):
            limit = self.model.joined.get((number, self.plan.states[number]))
            if limit is None:
                continue
            state = next(s for s in corner.states if s.name == self.plan.states[number])
            ends = [self._end_width(spots, corner.sides[which]) for which in (0, 1)]
            through, butting = ends[state.through or 0], ends[1 - (state.through or 0)]
            if through is None or butting is None:
                continue
            # Already longer in the plan, it has mid supports there.
            if through[0].bay.width > limit.limit(butting[0].bay.width) + FINE:
                continue
            held = min(butting[0].bay.width, limit.most)
            beside = butting[1] if butting[0].bay.width <= limit.most + FINE else held
            self.problem += through[1] + limit.fall * beside <= limit.start, f"through_{number}"

    def _end_width(
        self, spots: Sequence[Sequence[tuple[Any, Any, Any]]], side: Side
    ) -> tuple[Seat, Any] | None:
        """The bay at the corner of one side, with its width."""
        for row, laid in zip(self.rows, spots, strict=True):
            place = 0 if side.at_left else -1
            seat, (_, width, _) = row[place], laid[place]
            flush = seat.flush_left if side.at_left else seat.flush_right
            if flush and self.model.wall_of(seat.bay.slot) == side.wall:
                return seat, width
        return None

    def _in_corner(self, seat: Seat, start: Any, width: Any, name: str, *, at_left: bool) -> None:
        """Keep fronts beside other bays open however widths are evened out."""
        panel, slot = self.rules.panel, seat.bay.slot
        low, high = self.corners.low(slot), self.corners.high(slot)
        reach = self.corners.end_reach(slot, at_left=at_left)
        scribe = self.rules.brief.units.from_inch(SCRIBE_IN)
        name = f"{name}_{'left' if at_left else 'right'}"
        gap = self.problem.add_variable(f"g_{name}", 0, None, "Continuous")
        add = self.problem.addConstraint
        add(gap <= max(scribe, SCRIBED_STEPS * self.rules.grid) + panel, f"corner_{name}")
        if at_left:
            add(start <= low + gap, f"gap_{name}")
            add(start + width >= low + reach - FINE, f"open_{name}")
        else:
            add(start + width >= high - gap, f"gap_{name}")
            add(start <= high - reach + FINE, f"open_{name}")
        self.costs.append(_GAP_PRICE * gap)

    def _kept_next_door(self, index: int, *, left: bool) -> bool:
        """Whether the upright shared over a stretch's left or right boundary stands outside it."""
        return any(
            (joint.right if left else joint.left) == index and joint.keeper != index
            for joint in self.plan.joints
        )

    def _even(self, spots: Sequence[Sequence[tuple[Any, Any, Any]]]) -> None:
        """Make bays of one pattern in a row equally wide, and together as wide as planned."""
        step = self.manner.steps * self.rules.grid
        for number, (row, laid) in enumerate(zip(self.rows, spots, strict=True)):
            alike: dict[str, list[tuple[Any, float]]] = {}
            for seat, (_, width, steps) in zip(row, laid, strict=True):
                if steps is not None:
                    own = alike.setdefault(seat.bay.slot.pattern.label, [])
                    own.append((width, seat.bay.width))
            for place, own in enumerate(alike.values()):
                name = f"{number}_{place}"
                for index, (width, _) in enumerate(own[1:]):
                    self.problem += width == own[0][0], f"even_{name}_{index}"
                planned, rounding = sum(plan for _, plan in own), len(own) * step
                together = total(width for width, _ in own)
                self.problem += together >= planned - rounding, f"all_{name}"
                self.problem += together <= planned + rounding, f"no_more_{name}"

    def _read(self, spot: tuple[Any, Any, Any]) -> Spot:
        """Values, with a width on the grid computed from its whole number of steps."""
        start, width, steps = spot
        position = max(self._tidy(float(start.value())), 0.0)
        if isinstance(width, float):
            return position, width
        if steps is not None:
            return position, round(float(steps.value())) * self.manner.steps * self.rules.grid
        return position, self._tidy(float(width.value()))

    def _tidy(self, value: float) -> float:
        """A length on the grid where the solver's noise alone keeps it off.

        As a pin it would else stand in its neighbour's way by a millionth.
        """
        near = round(value / self.rules.grid) * self.rules.grid
        return near if abs(value - near) < _NOISE else round(value, 6)


def _evened(row: Sequence[Seat]) -> list[float]:
    """Widths to aim at: those of bays of one pattern in one place of a row as even as they may be.

    All amounts are linear in the width, so that evening them out changes none.
    """
    widths = [seat.bay.width for seat in row]
    groups: dict[tuple[str, int, int], list[int]] = {}
    for index, seat in enumerate(row):
        slot = seat.bay.slot
        groups.setdefault((slot.pattern.label, slot.first, slot.last), []).append(index)
    for alike in groups.values():
        whole = sum(widths[i] for i in alike)
        leasts = [row[i].bay.least for i in alike]
        most = [row[i].bay.most for i in alike]
        for i, width in zip(alike, shared_out(whole, leasts, most), strict=True):
            widths[i] = width
    return widths

"""Positions of hooks and mirrors: each in the middle of the wall that is free for it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from optimizer.model.formulation import Formulation
from optimizer.model.mount_places import MountPlace
from optimizer.model.rows import Seat
from optimizer.model.solution import BayPlan
from optimizer.reference.mounted import Mounted
from optimizer.tolerances import FINE

_CENTRED = 1e-5
"""Price of a unit away from the middle, against a unit of width moved."""

Laid = Sequence[Sequence[tuple[Any, Any, Any]]]
"""Start, width and steps of each seat, row by row."""


class MountPositions:
    """Variables for the starts of the mounts, in the same program that fixes the bays'
    positions."""

    def __init__(
        self,
        model: Formulation,
        plan: BayPlan,
        problem: Any,
        rows: Sequence[list[Seat]],
        spots: Laid,
    ) -> None:
        """`problem` (pulp.LpProblem) is the program of the bays' positions, `rows` and `spots`
        its seats with their variables."""
        self.model = model
        self.plan = plan
        self.problem = problem
        self.rows = rows
        self.spots = spots
        self._starts: dict[int, tuple[Any, float]] = {}

    def laid(self, *, on_grid: bool) -> list[Any]:
        """Add the mounts to the program; gives their costs, for being away from the middle."""
        # As for bays: whole steps of an integer where starts are on the grid, plain lengths where
        # not.
        step = self.model.rules.grid if on_grid else 1.0
        category = "Integer" if on_grid else "Continuous"
        kept = {pin.mount: pin.start for pin in self.model.rules.brief.mount_pins}
        for hanging in self.plan.hangings:
            name, place = f"hung_{hanging.mount}", kept.get(self._mount(hanging).id)
            if place is not None:
                start = self.problem.add_variable(name, place, place, "Continuous")
                self._starts[hanging.mount] = start, 1.0
                continue
            start = self.problem.add_variable(name, 0, None, category)
            self._starts[hanging.mount] = start, step
        costs = []
        for chain in self.model.chains:
            own = [h for h in self.plan.hangings if h.first in chain]
            order = self._order(chain, own)
            costs += [
                self._between(thing, order, place)
                for place, thing in enumerate(order)
                if isinstance(thing, MountPlace)
            ]
        return costs

    def starts(self) -> dict[int, float]:
        """Start of every mount [brief units], once solved."""
        found = {}
        for mount, (start, step) in self._starts.items():
            value = float(start.value())
            found[mount] = round(value) * step if step != 1.0 else max(0.0, round(value, 6))
        return found

    def beside(self, wall: int, row: Sequence[tuple[Seat, Any, Any]]) -> float:
        """Wall that mounts take beyond the outermost uprights of a wall's bays."""
        first, last = row[0][0].bay.slot.first, row[-1][0].bay.slot.last
        stretches, taken = self.model.surveyed.stretches, 0.0
        for hanging in self.plan.hangings:
            if stretches[hanging.first].wall != wall:
                continue
            before = hanging.last <= first if hanging.at == "across" else hanging.first < first
            after = hanging.first >= last if hanging.at == "across" else hanging.last > last
            at_end = (hanging.at == "left" and hanging.first == first) or (
                hanging.at == "right" and hanging.last == last
            )
            if before or after or at_end:
                taken += self._mount(hanging).width
        return taken

    def _mount(self, hanging: MountPlace) -> Mounted:
        """The mount that hangs at a place."""
        return self.model.rules.mounted[hanging.mount]

    def _start(self, hanging: MountPlace) -> Any:
        """The start of a mount as an expression [brief units]."""
        start, step = self._starts[hanging.mount]
        return step * start

    def _order(
        self, chain: Sequence[int], own: Sequence[MountPlace]
    ) -> list[MountPlace | tuple[Any, Any]]:
        """Mounts, and the starts and widths of bays, of a chain from left to right."""
        seats = [
            (seat, (start, width))
            for row, laid in zip(self.rows, self.spots, strict=True)
            for seat, (start, width, _) in zip(row, laid, strict=True)
            if seat.bay.slot.first in chain
        ]
        # A place across a boundary lies right of all that is in its first stretch.
        rank = {"left": 0, "middle": 1, "right": 2, "across": 3}

        order: list[MountPlace | tuple[Any, Any]] = []
        waiting = sorted(own, key=lambda h: (h.first, rank[h.at], h.mount))
        for number, (_, spot) in enumerate(seats):
            order += [h for h in waiting if _before(h, seats) == number]
            order.append(spot)
        return order + [h for h in waiting if _before(h, seats) == len(seats)]

    def _between(
        self, hanging: MountPlace, order: Sequence[MountPlace | tuple[Any, Any]], place: int
    ) -> Any:
        """Keep a mount within its range and off its neighbours; gives its cost for not being
        centred."""
        start, width, panel = (
            self._start(hanging),
            self._mount(hanging).width,
            self.model.rules.panel,
        )
        low, high = self._free(hanging)
        name = f"hung_{hanging.mount}"
        add = self.problem.addConstraint
        add(start >= low - FINE, f"low_{name}")
        add(start + width <= high + FINE, f"high_{name}")
        left, right = low, high
        if place:
            before = order[place - 1]
            left = (
                self._start(before) + self._mount(before).width
                if isinstance(before, MountPlace)
                else before[0] + before[1] + panel
            )
            add(start >= left, f"after_{name}")
        if place + 1 < len(order):
            after = order[place + 1]
            right = self._start(after) if isinstance(after, MountPlace) else after[0] - panel
            add(start + width <= right, f"before_{name}")
        # |off| by two rows: a solver that minimises leaves `away` at the greater of both sides.
        away = self.problem.add_variable(f"away_{name}", 0, None, "Continuous")
        # Twice the distance between the middles, since the expression has no fractions that way.
        off = 2 * start + width - left - right
        add(away >= off, f"right_of_{name}")
        add(away >= -1 * off, f"left_of_{name}")
        return _CENTRED * away

    def _free(self, hanging: MountPlace) -> tuple[float, float]:
        """The wall that a mount stays in, less what corners take of it."""
        low, high = hanging.within
        for number, corner in enumerate(self.model.corners):
            state = next(s for s in corner.states if s.name == self.plan.states[number])
            wall = self.model.surveyed.stretches[hanging.first].wall
            for which, side in enumerate(corner.sides):
                if side.wall != wall:
                    continue
                length = self.model.surveyed.outline.walls[wall].length
                if side.at_left:
                    low = max(low, state.losses[which])
                else:
                    high = min(high, length - state.losses[which])
        return low, high


def _before(hanging: MountPlace, seats: Sequence[tuple[Seat, Any]]) -> int:
    """How many bays of a chain stand to the left of a mount."""
    slots = [seat.bay.slot for seat, _ in seats]
    if hanging.at == "left":
        return sum(slot.last < hanging.first for slot in slots)
    if hanging.at == "middle":
        # Of a broken stretch the last bay that starts in it stands apart.
        return max(sum(slot.first <= hanging.first for slot in slots) - 1, 0)
    return sum(slot.first <= hanging.first for slot in slots)

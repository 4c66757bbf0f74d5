"""The cutting program over a set of columns, posed with PuLP.

Sets        kinds i with demand d_i; heights h of strips; lanes w of strips; stocks b
Columns     y[p]  sheets ripped like p: a_p(h) slots of height h, from bin b(p)
            x[s]  strips cut like s: q_s(i) pieces of kind i, in a slot of its height
            t[h]  slots of height h handed down to the next lower height
            m[i]  pieces of kind i that no stock is left for, at a price M above all else
Minimise    sum c_b y[p] + M sum m[i]
Demand      sum_s q_s(i) x[s] + m[i] >= d_i                             price pi_i
Slots       sum_p a_p(h) y[p] - sum_s x[s] + t[h + 1] - t[h] >= 0       price mu_h
On hand     sum_{p of b} y[p] <= count_b                                price sigma_b

Slots and strips are kept apart by lane: way of the first cuts and length of the strips.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from optimizer.nesting.cutting_problem import CuttingProblem, Lane, Packed, Rips, Strip
from optimizer.solving import new_problem, weighted_sum

Term = tuple[Any, float]
"""A variable and its coefficient."""

Slot = tuple[Lane, int]
"""Lane and height of a strip's slot."""


@dataclass(frozen=True, slots=True)
class Prices:
    """What the rows of the program are worth."""

    kinds: tuple[float, ...]
    slots: dict[Slot, float]
    on_hand: dict[int, float]


@dataclass(slots=True)
class Columns:
    """Strips and rips, each once and in the order found."""

    strips: dict[Strip, None] = field(default_factory=dict)
    rips: dict[Rips, None] = field(default_factory=dict)

    def add(self, strips: Iterable[Strip], rips: Iterable[Rips]) -> int:
        """Add columns; how many of them are new."""
        before = len(self.strips) + len(self.rips)
        self.strips.update(dict.fromkeys(strips))
        self.rips.update(dict.fromkeys(rips))
        return len(self.strips) + len(self.rips) - before

    def add_sheets(self, sheets: Iterable[Packed]) -> None:
        """Take the strips and rips of an answer as columns."""
        for sheet in sheets:
            self.add(sheet.strips, [rips_of(sheet)])


def rips_of(sheet: Packed) -> Rips:
    """How a sheet is ripped."""
    slots: dict[int, int] = defaultdict(int)
    for strip in sheet.strips:
        slots[strip.height] += 1
    return Rips(sheet.bin, tuple(sorted(slots.items())))


class Master:
    """The whole-number program that buys sheets and strips so that every piece is cut.

    It chooses among `columns` only (the notation is at the head of the module); its relaxation
    gives the prices by which `pricing` looks for further ones.
    """

    def __init__(
        self, cutting: CuttingProblem, columns: Columns, free_lane: Lane | None = None
    ) -> None:
        """With a `free_lane` there are slots of each height in it beside those of the rips."""
        self.cutting = cutting
        self.rips = list(columns.rips)
        self.strips = list(columns.strips)
        self.problem = new_problem("cutting", maximise=False)
        add = self.problem.add_variable
        self.uses = [add(f"y{p}", 0, None, "Integer") for p in range(len(self.rips))]
        self.cuts = [add(f"x{s}", 0, None, "Integer") for s in range(len(self.strips))]
        self.missing = [add(f"m{i}", 0) for i in range(len(cutting.kinds))]
        self.cost = weighted_sum(
            (y, cutting.bins[p.bin].cost) for p, y in zip(self.rips, self.uses, strict=True)
        )
        self._slot_names: dict[Slot, str] = {}
        self._free_lane = free_lane
        self.free_slots: dict[int, Any] = {}
        # Dearer than any sheet, so that a piece is only missing where no sheet is left for it.
        penalty = 10.0 * max(stock.cost for stock in cutting.bins) + 1.0
        self.problem += self.cost + weighted_sum((m, penalty) for m in self.missing)
        self._pose_demands()
        self._pose_slots()
        self._pose_on_hand()

    def _pose_demands(self) -> None:
        """Every kind as often as it is wanted."""
        gives: dict[int, list[Term]] = defaultdict(list)
        for strip, x in zip(self.strips, self.cuts, strict=True):
            for i, count in self.cutting.kinds_in(strip).items():
                gives[i].append((x, count))
        for i, kind in enumerate(self.cutting.kinds):
            given = weighted_sum([*gives[i], (self.missing[i], 1)])
            self.problem += given >= kind.demand, f"kind_{i}"

    def _pose_slots(self) -> None:
        """No more strips than slots of their width and height or higher."""
        terms: dict[Slot, list[Term]] = defaultdict(list)
        for rips, y in zip(self.rips, self.uses, strict=True):
            for height, count in rips.counts:
                terms[self.cutting.bins[rips.bin].lane, height].append((y, count))
        for strip, x in zip(self.strips, self.cuts, strict=True):
            terms[strip.lane, strip.height].append((x, -1))
        for number, lane in enumerate(self.cutting.lanes):
            # A slot that no strip of its height needs may take a lower one: it is handed down.
            from_above: list[Term] = []
            for height in reversed(self.cutting.heights(lane[0])):
                name = f"slot_{number}_{height}"
                self._slot_names[lane, height] = name
                down = self.problem.add_variable(f"t_{number}_{height}", 0)
                row = [*terms[lane, height], *from_above, (down, -1)]
                if lane == self._free_lane:
                    free = self.problem.add_variable(f"f_{height}", 0, None, "Integer")
                    self.free_slots[height] = free
                    row.append((free, 1))
                self.problem += weighted_sum(row) >= 0, name
                from_above = [(down, 1)]

    def _pose_on_hand(self) -> None:
        """No more sheets of a stock than there are."""
        for stock in self.cutting.stocks:
            used = [
                (y, 1)
                for p, y in zip(self.rips, self.uses, strict=True)
                if self.cutting.bins[p.bin].stock == stock.stock
            ]
            if stock.count is not None and used:
                self.problem += weighted_sum(used) <= stock.count, f"hand_{stock.stock}"

    def prices(self) -> Prices:
        """What the rows are worth, after the relaxation was solved."""
        return Prices(
            tuple(max(0.0, self._price(f"kind_{i}")) for i in range(len(self.cutting.kinds))),
            {slot: max(0.0, self._price(name)) for slot, name in self._slot_names.items()},
            {
                stock.stock: min(0.0, self._price(f"hand_{stock.stock}"))
                for stock in self.cutting.stocks
            },
        )

    def _price(self, name: str) -> float:
        """Price of a row; 0 where there is none."""
        row = self.problem.get_constraint_by_name(name)
        return 0.0 if row is None else float(row.pi or 0.0)

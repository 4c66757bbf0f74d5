"""The score as a linear expression of the model's variables, and the yardstick that scales it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from optimizer.domain.layout import TermName
from optimizer.domain.need_ids import SHELF_LENGTH, NeedId
from optimizer.domain.needs import Hang
from optimizer.domain.study import Yardstick
from optimizer.model.constraints.cuts import tighten
from optimizer.model.constraints.stored import add_storing
from optimizer.model.formulation import Formulation
from optimizer.model.records import SlotVars
from optimizer.patterns.measures import spare_upright_cost
from optimizer.scoring.terms import Frame
from optimizer.scoring.utility import Segment
from optimizer.solving import SolverName, combined, lp_optima, total


class Objective:
    """The amounts, utilities and score of a formulation, with the same coefficients as `scoring`.

    A finished layout therefore scores what the model said of it. `met` has, for each need, the
    expression that counts towards it.
    """

    def __init__(self, model: Formulation, frame: Frame) -> None:
        """Adds to `model` the pieces of utilities and what is stored, and cuts for its needs.

        Expressions are linear in widths and counts; `frame` has the same figures for finished
        layouts.
        """
        self.model = model
        self.frame = frame
        slots = model.slots
        self.hang = {
            hang: combined((v.slot.pattern.measures.hang(hang), v.width) for v in slots)
            for hang in Hang
        }
        # Rows of things take their part of the shelves, which is taken off below.
        self.stored = add_storing(model)
        plain = combined((v.slot.pattern.measures.plain_shelves, v.width) for v in slots)
        self.shelf_free = plain - self.stored.plain
        self.shelf_useful = plain + self.stored.fine
        self.open_floor = total(
            v.width for v in slots if v.slot.pattern.measures.open_floor and not _hosting(v)
        )
        self.easy = combined(
            (v.slot.pattern.measures.easy, part) for v in slots for part in model.opened_width(v)
        )
        spare = model.spare_uprights()
        cost = [(spare_upright_cost(frame.rules), spare)]
        parts: list[tuple[float, Any]] = [(1.0, spare)]
        for v in slots:
            measures = v.slot.pattern.measures
            cost += [(measures.cost, v.count), (measures.cost_per_width, v.width)]
            cost += _steps(v, [tier.cost for tier, _ in v.tiers])
            parts.append((measures.parts, v.count))
            parts += _steps(v, [tier.parts for tier, _ in v.tiers])
        if frame.rules.level:
            # One top board over each run of bays, not one for each bay.
            parts += [(1.0, model.runs()), *((-1.0, v.count) for v in slots)]
        self.cost, self.parts = combined(cost), combined(parts)
        self.met: dict[NeedId, Any] = {}
        self.hanging = total(
            self._utility(self.hang[h], frame.hang_segments(h), NeedId.hang(h)) for h in Hang
        )
        self.shelving = self._utility(self.shelf_useful, frame.shelf_segments(), SHELF_LENGTH)
        self.floor = self._utility(self.open_floor, frame.floor_segments(), NeedId("open_floor"))
        for piece in frame.rules.pieces:
            self.met[NeedId.item(piece.id)] = model.housed[piece.id]
        self.met |= model.hung
        if frame.rules.things:
            self._meet_stored()
        # Last: cuts are tied to the expressions that meet the needs.
        tighten(model, self.met)
        self.needs = combined((need.worth, self.met.get(need.name, 0)) for need in frame.needs())

    def _meet_stored(self) -> None:
        """Expressions that count towards things stored by count, and towards shelf beside them."""
        rules = self.frame.rules
        pairs = zip(rules.things, self.stored.lengths, strict=True)
        for number, (thing, length) in enumerate(pairs):
            met = self.model.integer(f"s_stored_{number}", thing.count)
            # In things: `length` is in rows side by side, each with `together` things.
            self.model.add(met * thing.width <= thing.together * length, f"met_{met.name}")
            self.met[thing.name] = met
        # The need counts shelves that no rows stand on, not the ones that the term values.
        self.met.pop(SHELF_LENGTH, None)
        required = rules.brief.needs.shelf_length
        if required > 0:
            met = self.model.continuous("s_shelf_free", required)
            self.model.add(met <= self.shelf_free, "met_shelf_free")
            self.met[SHELF_LENGTH] = met

    def _utility(self, amount: Any, segments: tuple[Segment, ...], name: NeedId) -> Any:
        """Concave piecewise-linear utility of `amount`; its first segment is what counts for the
        need."""
        pieces = []
        for number, segment in enumerate(segments):
            # Slopes fall from piece to piece, so that a solver fills them in order without
            # binaries.
            most = None if math.isinf(segment.length) else segment.length
            pieces.append(self.model.continuous(f"s_{name}_{number}", most))
        self.model.add(total(pieces) <= amount, f"amount_{name}")
        # The piece up to the need is there only where something is required.
        if len(segments) > 2:
            self.met[name] = pieces[0]
        slopes = (segment.slope for segment in segments)
        return combined(zip(slopes, pieces, strict=True))

    def yardstick(self, solver: SolverName = "highs") -> Yardstick:
        """What the room could do for each term alone; OutOfTimeError where the model's deadline
        comes first.

        Each is the optimum of the model's linear relaxation: never below what any layout
        reaches, so that values stay within 0..1.
        """
        amounts = {
            "hanging": self.hanging,
            "shelving": self.shelving,
            "open_floor": self.floor,
            "easy_reach": self.easy,
            "low_cost": self.cost,
            "simple_build": self.parts,
        }
        left = self.model.left
        limit = max(left, 0.0) if math.isfinite(left) else None
        asked = list(amounts.values())
        best = lp_optima(self.model.problem, asked, solver=solver, time_limit=limit)
        # A room in which nothing can stand at all has nothing to measure by.
        return Yardstick(
            **{name: max(0.0, most or 0.0) for name, most in zip(amounts, best, strict=True)}
        )

    def value(self, name: TermName, yardstick: Yardstick) -> Any:
        """Value of a priority's term as an expression: 0 to 1 on the yardstick."""
        gains = {
            TermName.HANGING: (self.hanging, yardstick.hanging),
            TermName.SHELVING: (self.shelving, yardstick.shelving),
            TermName.OPEN_FLOOR: (self.floor, yardstick.open_floor),
            TermName.EASY_REACH: (self.easy, yardstick.easy_reach),
        }
        if name in gains:
            return total([_share_of(*gains[name])])
        losses = {
            TermName.LOW_COST: (self.cost, yardstick.low_cost),
            TermName.SIMPLE_BUILD: (self.parts, yardstick.simple_build),
        }
        return 1.0 - total([_share_of(*losses[name])])

    def score(self, yardstick: Yardstick) -> Any:
        """The score, in points, as an expression."""
        weights = self.frame.weights()
        gains = (
            (TermName.HANGING, self.hanging, yardstick.hanging),
            (TermName.SHELVING, self.shelving, yardstick.shelving),
            (TermName.OPEN_FLOOR, self.floor, yardstick.open_floor),
            (TermName.EASY_REACH, self.easy, yardstick.easy_reach),
        )
        losses = (
            (TermName.LOW_COST, self.cost, yardstick.low_cost),
            (TermName.SIMPLE_BUILD, self.parts, yardstick.simple_build),
        )
        parts = [(weights[TermName.NEEDS], self.needs)]
        for name, amount, best in gains:
            if best > 1e-9:
                parts.append((weights[name] / best, amount))
        for name, amount, best in losses:
            parts.append((1.0, weights[name]))
            if best > 1e-9:
                parts.append((-weights[name] / best, amount))
        return combined(parts)


def _share_of(amount: Any, best: float) -> Any:
    """`amount` over the yardstick's best; 0 where the room can do nothing for the term."""
    return amount * (1.0 / best) if best > 1e-9 else 0.0


def _hosting(vars_: SlotVars) -> bool:
    """Whether the floor of a slot's bays is made for items."""
    return vars_.slot.pattern.hosting


def _steps(vars_: SlotVars, levels: Sequence[float]) -> list[tuple[float, Any]]:
    """What a slot's bays cost beyond plain ones, as parts of a sum: each tier adds its step over
    the one before."""
    befores = (0.0, *levels)
    return [
        (level - before, need)
        for level, before, (_, need) in zip(levels, befores, vars_.tiers, strict=False)
    ]

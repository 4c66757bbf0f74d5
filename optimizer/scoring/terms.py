"""From the amounts of a layout to its score.

Score = 100 x (2/3 needs + 1/3 sum(weight x value) / sum(weight)). `needs` is the share of the
required amounts that is met, by their worth; each other value is 0 to 1 against the yardstick, the
most that the room allows for that term alone. The two thirds make a shortfall cost more than any
surplus earns (our own choice). Where the brief requires no amounts, the priorities alone make the
score.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimizer.domain.layout import Term, TermName
from optimizer.domain.need_ids import SHELF_LENGTH, NeedId
from optimizer.domain.needs import Hang, Use
from optimizer.domain.study import Yardstick
from optimizer.patterns.bay_rules import BayRules
from optimizer.scoring.amounts import Amounts
from optimizer.scoring.utility import (
    OPEN_FLOOR_IN,
    Segment,
    floor_segments,
    need_segments,
    utility,
)

NEEDS_SHARE = 2.0 / 3.0
"""Part of the score that goes by the needs, where there are any."""
LEAST_CARE = 0.25
"""A need keeps at least this weight, even if its priority is 0 (our own choice)."""
SHELF_WORTH = 0.5
"""A needed inch of shelf against a needed inch of rod (our own choice)."""
ITEM_WORTH_IN = 18.0
"""An item against inches of rod (our own choice)."""
MOUNT_WORTH_IN = 18.0
"""A row of hooks or a mirror against inches of rod (our own choice)."""
USE_WORTH = {Use.DAILY: 1.5, Use.WEEKLY: 1.0, Use.SELDOM: 0.6}
"""Worth of an item by how often it is wanted (our own choice)."""


@dataclass(frozen=True, slots=True)
class Need:
    """A required amount, and the share of all needs that each unit of it is worth."""

    name: NeedId
    required: float
    worth: float


@dataclass(frozen=True, slots=True)
class Worth:
    """A required amount, and what a unit of it is worth per weight on hanging and per weight on
    shelving."""

    name: NeedId
    required: float
    hang: float
    shelf: float


@dataclass(frozen=True)
class Frame:
    """The scale on which layouts of one brief are scored: its needs, weights and utilities."""

    rules: BayRules

    @property
    def _care(self) -> tuple[float, float]:
        """How much hanging and shelving weigh among the needs, never nothing."""
        priorities = self.rules.brief.priorities
        return max(LEAST_CARE, priorities.hanging), max(LEAST_CARE, priorities.shelving)

    def needs(self) -> tuple[Need, ...]:
        """Every required amount; required x worth adds up to 1 over all of them."""
        hang_care, shelf_care = self._care
        raw = [
            Need(w.name, w.required, w.hang * hang_care + w.shelf * shelf_care)
            for w in self.worths()
        ]
        total = sum(need.required * need.worth for need in raw)
        # With nothing required there is nothing to share out.
        if not raw:
            return ()
        return tuple(Need(n.name, n.required, n.worth / total) for n in raw)

    @property
    def needs_share(self) -> float:
        """Part of the score that the needs make: 2/3, or 0 where nothing is required."""
        return NEEDS_SHARE if self.worths() else 0.0

    def worths(self) -> tuple[Worth, ...]:
        """What each required amount is worth before the priorities are applied."""
        needs = self.rules.brief.needs
        inch = self.rules.brief.units.from_inch(1.0)
        found = [
            Worth(NeedId.hang(hang), self.rules.required[hang], 1.0 / inch, 0.0)
            for hang in Hang
            if self.rules.required[hang] > 0
        ]
        if needs.shelf_length > 0:
            found.append(Worth(SHELF_LENGTH, needs.shelf_length, 0.0, SHELF_WORTH / inch))
        for item in needs.items:
            # Half of it counts with the priority of hanging, half with that of shelves.
            half = ITEM_WORTH_IN * USE_WORTH[item.use] / 2
            found.append(Worth(NeedId.item(item.id), float(item.count), half, half))
        for thing in self.rules.things:
            each = SHELF_WORTH / inch * thing.length / thing.count
            found.append(Worth(thing.name, float(thing.count), 0.0, each))
        for mount in self.rules.mounted:
            found.append(Worth(mount.name, 1.0, MOUNT_WORTH_IN / 2, MOUNT_WORTH_IN / 2))
        return tuple(found)

    def achieved(self, amounts: Amounts) -> dict[NeedId, float]:
        """How much of each need there is, by its name [brief units, or pieces]."""
        reached = {NeedId.hang(hang): amounts.hang[hang] for hang in Hang}
        reached[SHELF_LENGTH] = amounts.shelf_free
        for item in self.rules.brief.needs.items:
            reached[NeedId.item(item.id)] = float(amounts.housed.get(item.id, 0))
        for thing in self.rules.things:
            reached[thing.name] = float(amounts.stored.get(thing.kind, 0))
        for mount in self.rules.mounted:
            reached[mount.name] = float(amounts.mounted.get(mount.id, 0))
        return reached

    def hang_segments(self, hang: Hang) -> tuple[Segment, ...]:
        """Utility of rod length of one class."""
        return need_segments(self.rules.required[hang])

    def shelf_segments(self) -> tuple[Segment, ...]:
        """Utility of shelf length."""
        return need_segments(self.rules.shelf_wanted)

    def floor_segments(self) -> tuple[Segment, ...]:
        """Utility of open floor."""
        return floor_segments(self.rules.brief.units.from_inch(OPEN_FLOOR_IN))

    def weights(self) -> dict[TermName, float]:
        """Points that each term earns at value 1; 100 in all."""
        given = self.rules.brief.priorities.weights()
        total = sum(given.values())
        spread = 100.0 * (1.0 - self.needs_share) / total if total else 0.0
        points = {TermName(name): weight * spread for name, weight in given.items()}
        return {TermName.NEEDS: 100.0 * self.needs_share, **points}

    def values(self, amounts: Amounts, yardstick: Yardstick) -> dict[TermName, float]:
        """What each term is worth, from 0 to 1: a share of what the room can do for it alone."""
        # By class: plenty of one kind of rod does not stand in for another.
        hanging = sum(utility(amounts.hang[h], self.hang_segments(h)) for h in Hang)
        reached = self.achieved(amounts)
        met = sum(min(reached[n.name], n.required) * n.worth for n in self.needs())
        return {
            TermName.NEEDS: met if self.needs_share else 1.0,
            TermName.HANGING: _share(hanging, yardstick.hanging),
            TermName.SHELVING: _share(
                utility(amounts.shelf_useful, self.shelf_segments()), yardstick.shelving
            ),
            TermName.OPEN_FLOOR: _share(
                utility(amounts.open_floor, self.floor_segments()), yardstick.open_floor
            ),
            TermName.EASY_REACH: _share(amounts.easy, yardstick.easy_reach),
            TermName.LOW_COST: 1.0 - _share(amounts.cost, yardstick.low_cost),
            TermName.SIMPLE_BUILD: 1.0 - _share(amounts.parts, yardstick.simple_build),
        }

    def terms(self, amounts: Amounts, yardstick: Yardstick) -> tuple[Term, ...]:
        """The lines of the score: name, weight, value and points of each term."""
        return tuple(self._lines(self.values(amounts, yardstick)))

    def _lines(self, values: dict[TermName, float]) -> Iterator[Term]:
        """A line of the score for each term, its points among them."""
        priorities = self.rules.brief.priorities.weights()
        # The weight that the needs would have beside the priorities: their share is s = w / (w +
        # sum).
        needs_weight = sum(priorities.values()) * self.needs_share / (1.0 - self.needs_share)
        for name, full in self.weights().items():
            weight = priorities.get(name.value, needs_weight)
            value = values[name]
            yield Term(name=name, weight=weight, value=value, points=full * value)


def _share(amount: float, best: float) -> float:
    """An amount over the most there could be; 0 where there could be nothing."""
    return amount / best if best > 1e-9 else 0.0

"""Keeping a new layout at a distance from one already found.

With shares of wall length (and of pieces) that add up to the same total in every layout,
the distance is the sum of what the earlier layout has and the new one lacks. For each
kind the earlier layout has, v is at most that difference; one binary picks whether it
counts. Only those kinds matter, so a reference layout costs a handful of binaries.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pulp import lpSum

from optimizer.domain.layout import Bay
from optimizer.model.formulation import Formulation
from optimizer.model.records import Rank
from optimizer.model.tallies import Tallies
from optimizer.scoring.distance import EMPTY, ITEM_SHARE, portrait_of
from optimizer.solving import Chord

_FINE = 1e-6


class Reference:
    """Constraints that keep the model at least `least` away from `bays`."""

    def __init__(
        self, model: Formulation, tallies: Tallies, bays: Sequence[Bay], least: float, number: int
    ) -> None:
        self.model = model
        self.tallies = tallies
        self.number = number
        self.chords: list[Chord] = []
        self.portrait = portrait_of(bays)
        self.names = [wall.id for wall in model.rules.brief.room.walls]
        walls = carrying_walls(model)
        total = sum(model.rules.brief.room.wall(wall).clear_length for wall in walls)
        pieces = sum(item.count for item in model.rules.brief.needs.items)
        wall_share = (1.0 - ITEM_SHARE if pieces else 1.0) / total if total else 0.0
        terms = [wall_share * moved for wall in walls for moved in self._moved_wall(wall)]
        if pieces:
            terms += [ITEM_SHARE / pieces * moved for moved in self._moved_items()]
        model.add(lpSum(terms) >= least, f"apart_from_{number}")

    def _lacking(self, had: float, now: Any, most: float) -> Any:
        """max(0, had - now) from below, where now, a variable, is at most `most`."""
        if now is None:
            return had
        model, name = self.model, f"{self.number}_{len(self.chords)}_{now.name}"
        lacking = model.continuous(f"v_{name}", had)
        flag = model.binary(f"y_{name}", Rank.STATES)
        on, by = f"v_on_{name}", f"v_by_{name}"
        model.add(lacking <= had * flag, on)
        model.add(lacking + now <= had + max(most - had, 0.0) * (1 - flag), by)
        self.chords.append(Chord(on, by, lacking.name, now.name, flag.name, had))
        return lacking

    def _moved_wall(self, wall: str) -> list[Any]:
        index = self.names.index(wall)
        length = self.model.rules.brief.room.wall(wall).clear_length
        had = {kind: w for (name, kind), w in self.portrait.widths.items() if name == wall}
        had[EMPTY] = length - sum(had.values())
        return [
            self._lacking(width, self.tallies.width(index, kind), length)
            for kind, width in sorted(had.items())
            if width > _FINE
        ]

    def _moved_items(self) -> list[Any]:
        moved = []
        for item in self.model.rules.brief.needs.items:
            had = {
                (wall, level): count
                for (name, wall, level), count in self.portrait.places.items()
                if name == item.id
            }
            for (wall, level), count in sorted(had.items()):
                now = self.tallies.pieces(item.id, self.names.index(wall), level)
                moved.append(self._lacking(count, now, item.count))
            nowhere = item.count - sum(had.values())
            if nowhere > 0:
                moved.append(self._lacking(nowhere, self.tallies.outside(item.id), item.count))
        return moved


def carrying_walls(model: Formulation) -> list[str]:
    """Ids of the walls that may carry bays."""
    names = [wall.id for wall in model.rules.brief.room.walls]
    return sorted({names[stretch.wall] for stretch in model.surveyed.stretches})

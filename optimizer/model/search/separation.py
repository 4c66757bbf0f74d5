"""Keeping a new layout at a distance from one already found.

With shares of wall length (and of pieces) that add up to the same total in every layout,
the distance is the sum of what the earlier layout has and the new one lacks. For each
look the earlier layout has, v is at most that difference; one binary picks whether it
counts. Only those looks matter, so a reference layout costs a handful of binaries.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pulp import lpSum

from optimizer.domain.layout import Bay
from optimizer.model.formulation import Formulation
from optimizer.model.records import Rank
from optimizer.model.tallies import Tallies
from optimizer.scoring.distance import EMPTY, ITEM_SHARE, Portrait, ground_of, portrait_of
from optimizer.solving import Chord
from optimizer.tolerances import FINE


class Reference:
    """Constraints that keep the model at least `least` away from `bays` and their images.

    Where the room maps onto itself, mirrored say, each image keeps the new layout away too.
    """

    def __init__(
        self, model: Formulation, tallies: Tallies, bays: Sequence[Bay], least: float, number: int
    ) -> None:
        self.model = model
        self.tallies = tallies
        self.number = number
        self.chords: list[Chord] = []
        self.names = [wall.id for wall in model.rules.brief.room.walls]
        self.ground = ground_of(model.rules.brief, carrying_walls(model))
        self._lacks: dict[tuple[str, float], Any] = {}
        for turn, portrait in enumerate(self.ground.imaged(portrait_of(bays))):
            model.add(lpSum(self._moved(portrait)) >= least, f"apart_from_{number}_{turn}")

    def _moved(self, portrait: Portrait) -> list[Any]:
        """What a portrait has and the new layout lacks, each by what it counts."""
        pieces = sum(item.count for item in self.model.rules.brief.needs.items)
        ground, share = self.ground, 1.0 - ITEM_SHARE if pieces else 1.0
        terms = []
        for wall, length in ground.lengths.items():
            counts = share * ground.weights[wall] / length / ground.total
            terms += [counts * moved for moved in self._moved_wall(portrait, wall, length)]
        if pieces:
            terms += [ITEM_SHARE / pieces * moved for moved in self._moved_items(portrait)]
        return terms

    def _lacking(self, had: float, now: Any, most: float) -> Any:
        """max(0, had - now) from below, where now, a variable, is at most `most`."""
        if now is None:
            return had
        if (now.name, had) not in self._lacks:
            self._lacks[now.name, had] = self._chord(had, now, most)
        return self._lacks[now.name, had]

    def _chord(self, had: float, now: Any, most: float) -> Any:
        """A new variable for what is lacking, with the binary that picks whether it counts."""
        model, name = self.model, f"{self.number}_{len(self.chords)}_{now.name}"
        lacking = model.continuous(f"v_{name}", had)
        flag = model.binary(f"y_{name}", Rank.STATES)
        on, by = f"v_on_{name}", f"v_by_{name}"
        model.add(lacking <= had * flag, on)
        model.add(lacking + now <= had + max(most - had, 0.0) * (1 - flag), by)
        self.chords.append(Chord(on, by, lacking.name, now.name, flag.name, had))
        return lacking

    def _moved_wall(self, portrait: Portrait, wall: str, length: float) -> list[Any]:
        index = self.names.index(wall)
        had = {look: w for (name, look), w in portrait.widths.items() if name == wall}
        had[EMPTY] = length - sum(had.values())
        return [
            self._lacking(width, self.tallies.width(index, look), length)
            for look, width in sorted(had.items())
            if width > FINE
        ]

    def _moved_items(self, portrait: Portrait) -> list[Any]:
        moved = []
        for item in self.model.rules.brief.needs.items:
            had = {
                (wall, level): count
                for (name, wall, level), count in portrait.places.items()
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

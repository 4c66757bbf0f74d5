"""Constraints that keep a new layout at least a given distance away from an earlier one.

The distance (`scoring.distance`) compares shares of wall length by look, and of pieces by place.
These add up to the same total in every layout, so that the distance is the sum, over the looks of
the earlier layout, of what the new one has less of it: max(0, had - now). Each such term needs one
binary, which picks whether it is positive. Looks that the earlier layout lacks do not matter, so a
layout to keep away from costs a handful of binaries.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import Any

from optimizer.domain.layout import Bay
from optimizer.model.formulation import Formulation
from optimizer.model.records import Rank
from optimizer.model.tallies import Lack, Tallies
from optimizer.scoring.distance import EMPTY, ITEM_SHARE, Portrait, portrait_of, room_images
from optimizer.solving import Chord, total
from optimizer.tolerances import FINE


class Reference:
    """Constraints that keep the model at least `least` away from `bays`, and from their images.

    Where the room maps onto itself (is mirror symmetric, say), a layout's image counts as the same
    idea, and is kept away from as well.
    """

    def __init__(
        self, model: Formulation, tallies: Tallies, bays: Sequence[Bay], least: float, number: int
    ) -> None:
        """Adds the constraints to `model`; `number` of the earlier layout, in names of rows.

        `least` is a distance in 0..1. Amounts are shared with other references by `tallies`.
        """
        self.model = model
        self.tallies = tallies
        self.number = number
        self.chords: list[Chord] = []
        self.names = [wall.id for wall in model.rules.brief.room.walls]
        self.ground = room_images(model.rules.brief, carrying_walls(model))
        for turn, portrait in enumerate(self.ground.imaged(portrait_of(bays))):
            model.add(total(self._moved(portrait)) >= least, f"apart_from_{number}_{turn}")

    def _moved(self, portrait: Portrait) -> list[Any]:
        """What the portrait has and the new layout lacks, each term weighted as in the distance."""
        pieces = sum(item.count for item in self.model.rules.brief.needs.items)
        ground, share = self.ground, 1.0 - ITEM_SHARE if pieces else 1.0
        terms = []
        for wall, length in ground.lengths.items():
            counts = share * ground.weights[wall] / length / ground.total
            terms += [counts * moved for moved in self._moved_wall(portrait, wall, length)]
        if pieces:
            terms += [ITEM_SHARE / pieces * moved for moved in self._moved_items(portrait)]
        return terms

    def _lacking(self, had: float, now: Any, most: float, *, counted: bool = False) -> Any:
        """Lower envelope of max(0, had - now), where the variable `now` is at most `most`;
        `counted`: both are numbers of pieces."""
        if now is None:
            return had
        # Images and layouts often have the same of an amount: one variable and one flag serve both.
        for known in self.tallies.lacks.get(now.name, ()):
            if abs(known.had - had) <= FINE:
                return known.lacking
        return self._chord(had, now, most, counted=counted)

    def _chord(self, had: float, now: Any, most: float, *, counted: bool) -> Any:
        """A variable for max(0, had - now), with the binary that picks whether it is positive."""
        model, name = self.model, f"{self.number}_{len(self.chords)}_{now.name}"
        lacking = model.continuous(f"v_{name}", had)
        # Decided early: until its flags are set, the relaxation does not see the distance at all.
        flag = model.binary(f"y_{name}", Rank.STATES)
        on, by = f"v_on_{name}", f"v_by_{name}"
        model.add(lacking <= had * flag, on)
        model.add(lacking + now <= had + max(most - had, 0.0) * (1 - flag), by)
        # Where as much is there as was had, nothing lacks: said both ways, each layout has one
        # setting of the flags, and a tree does not go through it twice.
        model.add(now + had * flag >= had, f"v_side_{name}")
        if counted:
            # What lacks of pieces is one at least: half a piece here and half there is no way out.
            model.add(now + (most - had + 1) * flag <= most, f"v_one_{name}")
        short = had - 1 if counted else had
        self.chords.append(Chord(on, by, lacking.name, now.name, flag.name, had, short))
        self._order(now.name, Lack(had, lacking, flag))
        return lacking

    def _order(self, amount: str, new: Lack) -> None:
        """Tie what lacks of an amount beside one earlier layout to what lacks of it beside others.

        An amount below the smaller of two earlier ones is below the larger one too, and lacks the
        difference of both more of it.
        """
        model, lacks = self.model, self.tallies.lacks.setdefault(amount, [])
        lacks.append(new)
        lacks.sort(key=lambda lack: lack.had)
        place = lacks.index(new)
        for low, high in itertools.pairwise(lacks[max(0, place - 1) : place + 2]):
            more, name = high.had - low.had, f"{low.flag.name}_{high.flag.name}"
            model.add(low.flag <= high.flag, f"v_order_{name}")
            model.add(high.lacking <= low.lacking + more * high.flag, f"v_more_{name}")
            model.add(low.lacking + more * low.flag <= high.lacking, f"v_less_{name}")

    def _moved_wall(self, portrait: Portrait, wall: str, length: float) -> list[Any]:
        """What each look of a wall, bare wall included, has less of than in the portrait, as
        lengths."""
        index = self.names.index(wall)
        had = {look: w for (name, look), w in portrait.widths.items() if name == wall}
        had[EMPTY] = length - sum(had.values())
        return [
            self._lacking(width, self.tallies.width(index, look), length)
            for look, width in sorted(had.items())
            if width > FINE
        ]

    def _moved_items(self, portrait: Portrait) -> list[Any]:
        """Pieces that are no longer where the portrait has them, item by item, unhoused ones
        too."""
        moved = []
        for item in self.model.rules.brief.needs.items:
            had = {
                (wall, level): count
                for (name, wall, level), count in portrait.places.items()
                if name == item.id
            }
            for (wall, level), count in sorted(had.items()):
                now = self.tallies.pieces(item.id, self.names.index(wall), level)
                moved.append(self._lacking(count, now, item.count, counted=True))
            nowhere = item.count - sum(had.values())
            if nowhere > 0:
                outside = self.tallies.outside(item.id)
                moved.append(self._lacking(nowhere, outside, item.count, counted=True))
        return moved


def carrying_walls(model: Formulation) -> list[str]:
    """Ids of the walls that may carry bays."""
    names = [wall.id for wall in model.rules.brief.room.walls]
    return sorted({names[stretch.wall] for stretch in model.surveyed.stretches})

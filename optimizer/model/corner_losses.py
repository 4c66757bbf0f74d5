"""What the chosen states of corners take from the walls, for placing bays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from optimizer.model.corners import overlap
from optimizer.model.formulation import Formulation
from optimizer.model.slots import Slot


@dataclass(frozen=True, slots=True)
class CornerLosses:
    """Where bays may stand beside corners whose states are settled.

    `states` are the names of the chosen states by number of the corner.
    """

    model: Formulation
    states: Mapping[int, str]

    def low(self, slot: Slot) -> float:
        """Where a slot's space begins: after what the corner takes."""
        stretches, own = self.model.surveyed.stretches, range(slot.first, slot.last + 1)
        lost = {i: self._lost(i, at_left=True) for i in own}
        after = [stretches[i].start + loss for i, loss in lost.items() if loss]
        return max([stretches[slot.first].start, *after])

    def high(self, slot: Slot) -> float:
        """Where a slot's space ends: before what the corner takes."""
        # It may be more than the last stretch has.
        stretches, own = self.model.surveyed.stretches, range(slot.first, slot.last + 1)
        lost = {i: self._lost(i, at_left=False) for i in own}
        before = [stretches[i].end - loss for i, loss in lost.items() if loss]
        return min([stretches[slot.last].end, *before])

    def end_reach(self, slot: Slot, *, at_left: bool) -> float:
        """Least distance from the corner at which an end bay ends, in the chosen state."""
        wall = self.model.wall_of(slot)
        for number, corner in enumerate(self.model.corners):
            state = next(s for s in corner.states if s.name == self.states[number])
            for which, side in enumerate(corner.sides):
                reach = state.reach_of(which)
                if side.wall == wall and side.at_left is at_left and reach is not None:
                    return reach
        return 0.0

    def _lost(self, index: int, *, at_left: bool) -> float:
        """What the chosen corner state takes from a stretch's left or right part."""
        lost = 0.0
        for number, corner in enumerate(self.model.corners):
            chosen = self.states[number]
            state = next(s for s in corner.states if s.name == chosen)
            for which, side in enumerate(corner.sides):
                if side.at_left is not at_left:
                    continue
                for reached, near, far in side.reaches:
                    if reached == index:
                        lost = max(lost, overlap(near, far, state.losses[which]))
        return lost

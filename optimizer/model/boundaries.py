"""How far a bay may reach over the boundary of its stretches when its width is rounded to the
grid."""

from __future__ import annotations

from optimizer.model.pin_patterns import fits
from optimizer.model.records import Model
from optimizer.model.slots import Slot


def give_over(model: Model, slot: Slot, *, at_left: bool) -> float:
    """One grid step where the neighbouring stretch would take the bay as well, else 0 [brief
    units].

    A bay between two shared uprights that both stand in neighbouring stretches is as wide as its
    own stretch is long, which need not be a multiple of the grid.
    """
    stretches = model.surveyed.stretches
    own = slot.first if at_left else slot.last
    other = own - 1 if at_left else own + 1
    if not 0 <= other < len(stretches) or stretches[other].kept:
        return 0.0
    if stretches[other].wall != stretches[own].wall:
        return 0.0
    column = model.column(other)
    # Both: over the boundary go the upright and the boards up to it.
    taken = slot.pattern.stands_in(column) and fits(slot.pattern, column, model.catalogue)
    return model.rules.grid if taken else 0.0

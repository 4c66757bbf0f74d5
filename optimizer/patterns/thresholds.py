"""Ceiling heights from which more fits: where the survey cuts a wall under a slope."""

from __future__ import annotations

from optimizer.patterns.bay_rules import BayRules, rod_sequences
from optimizer.patterns.ladder import Ladder

SHELF_LEVELS = (1, 2, 4)
"""Numbers of shelves whose height is worth a cut; more cuts make the model slower."""


def height_thresholds(rules: BayRules, ladder: Ladder) -> tuple[float, ...]:
    """Least clear heights of the ladder's levels, or of stacks of rods and a few shelves.

    In brief units, ascending.
    """
    if rules.level:
        return tuple(sorted(level + rules.shelf_clear for level in ladder.levels))
    construction, needs = rules.brief.construction, rules.brief.needs
    over = construction.rod_clearance + rules.panel + rules.shelf_clear
    heights = {
        construction.base_height + (levels - 1) * needs.shelf_spacing + rules.shelf_clear
        for levels in SHELF_LEVELS
    }
    for hangs in rod_sequences(rules):
        drops = sum(needs.hang_drop.of(hang) for hang in hangs)
        between = (len(hangs) - 1) * construction.rod_clearance
        heights.add(construction.floor_clearance + drops + between + over)
    return tuple(sorted(heights))

"""Pairs of wall pieces whose bays would stand in one another's way, or in one another's aisle."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from optimizer.geometry.stretches import Surveyed
from optimizer.patterns.bay_rules import BayRules
from optimizer.tolerances import FINE

Conflict = tuple[tuple[int, float], tuple[int, float]]


def conflicts_of(
    surveyed: Surveyed, classes: Sequence[Sequence[float]], rules: BayRules
) -> Iterator[Conflict]:
    """Pairs of (stretch, depth class) that may not carry bays together, only the least deep of
    each.

    Two stretches are in conflict where the bays of one, or the aisle in front of them, overlap the
    bays of the other. Walls that meet at an inside corner are left out: the states of that corner
    decide.
    """
    corners = {frozenset(pair) for pair in surveyed.outline.inside_corners()}
    aisle = 0.0 if surveyed.reach_in else rules.brief.needs.aisle
    for one, other in combinations(range(len(surveyed.stretches)), 2):
        walls = frozenset((surveyed.stretches[one].wall, surveyed.stretches[other].wall))
        # Bays of one wall are kept apart by the lengths of its stretches.
        if len(walls) < 2 or walls in corners:
            continue
        yield from _least(surveyed, (one, other), (classes[one], classes[other]), aisle)


def _least(
    surveyed: Surveyed,
    pair: tuple[int, int],
    classes: tuple[Sequence[float], Sequence[float]],
    aisle: float,
) -> Iterator[Conflict]:
    """For each depth of the first, the least depth of the second that conflicts."""
    before: float | None = None
    for depth in classes[0]:
        for against in classes[1]:
            if _in_the_way(surveyed, (pair[0], depth), (pair[1], against), aisle):
                # A deeper bay of the first wall conflicts with all that a shallower one does: only
                # what conflicts from here on is new, or there would be a row for each pair of
                # depths.
                if before is None or against < before - FINE:
                    yield (pair[0], depth), (pair[1], against)
                    before = against
                break


def _in_the_way(
    surveyed: Surveyed, one: tuple[int, float], other: tuple[int, float], aisle: float
) -> bool:
    """Whether bays so deep on two stretches, or the aisle before either, overlap in plan.

    `one` and `other` are each a stretch and a depth [brief units].
    """

    def box(use: tuple[int, float], beyond: float) -> object:
        """Footprint of a use of a stretch, `beyond` deeper than its bays (a shapely geometry)."""
        stretch = surveyed.stretches[use[0]]
        return surveyed.outline.box(stretch.wall, stretch.start, stretch.end, 0.0, use[1] + beyond)

    first = box(one, aisle).intersection(box(other, 0.0)).area  # type: ignore[attr-defined]
    second = box(one, 0.0).intersection(box(other, aisle)).area  # type: ignore[attr-defined]
    # An area [square units]: footprints that share an edge have a sliver in common by rounding.
    return bool(max(first, second) > 1e-3)

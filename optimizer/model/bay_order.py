"""The order of the bays of one stretch: like beside like, symmetric, daily things in the middle.

The order changes nothing that is scored. A small exact search therefore picks the one that looks
most like a good builder's work.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise, permutations

from optimizer.model.solution import PlannedBay

EXACT_UP_TO = 5
"""Distinct bays whose every order is looked at; more are only sorted."""

Fits = Callable[[PlannedBay, bool], bool]
"""Whether a bay may stand at the left end (True) or the right end of its row."""


def _signature(bay: PlannedBay) -> tuple[str, float, str]:
    """What makes two bays look alike, in an order that sorts like beside like."""
    return bay.slot.pattern.kind, bay.slot.pattern.height, bay.slot.pattern.label


def _changes(row: Sequence[PlannedBay]) -> float:
    """Visible changes from bay to bay: of kind, of height, of depth."""
    cost = 0.0
    for left, right in pairwise(row):
        one, other = left.slot.pattern, right.slot.pattern
        # A change of kind catches the eye more than a step in height or depth: weights by eye.
        cost += 2.0 * (one.kind != other.kind) + (abs(one.height - other.height) > 1e-6)
        cost += abs(one.depth - other.depth) > 1e-6
    return cost


def _lopsided(row: Sequence[PlannedBay]) -> float:
    """How far a row is from being mirror symmetric: 0 where it is, 1 where no pair matches."""
    pairs = zip(row, reversed(row), strict=True)
    return sum(_signature(a) != _signature(b) for a, b in pairs) / max(1, len(row))


def _away(row: Sequence[PlannedBay]) -> float:
    """How far bays with daily things are from the middle of the wall, which is reached best."""
    middle = (len(row) - 1) / 2
    daily = [abs(i - middle) for i, bay in enumerate(row) if any(g.daily for _, g in bay.hosts)]
    return sum(daily) / max(1, len(row))


def ordered(
    bays: Sequence[PlannedBay],
    before: PlannedBay | None,
    after: PlannedBay | None,
    fits: Fits | None = None,
) -> list[PlannedBay]:
    """`bays` of one stretch from left to right, between their neighbours.

    `fits` tells whether a bay may come first or last.
    """
    # Sorted first, so that of orders that are equally good the same one comes out each time.
    start = sorted(bays, key=lambda bay: (_signature(bay), bay.hosts != (), bay.width))
    # Five bays have 120 orders, ten have three million.
    if len(start) > EXACT_UP_TO:
        return _ends_first(start, fits)
    # Neighbours at either end count for changes and symmetry, but do not move.
    edges = ([before] if before else []), ([after] if after else [])

    def ugliness(row: Iterable[PlannedBay]) -> tuple[float, float, float, float]:
        """What is wrong with an order, the gravest first: tuples compare member by member."""
        own = list(row)
        whole = [*edges[0], *own, *edges[1]]
        return _unfit(own, fits), _changes(whole), _lopsided(whole), _away(own)

    return list(min(permutations(start), key=ugliness))


def _unfit(row: Sequence[PlannedBay], fits: Fits | None) -> int:
    """Number of ends of a row at which a bay stands that may not stand there."""
    if fits is None or not row:
        return 0
    return 2 - fits(row[0], True) - fits(row[-1], False)


def _ends_first(row: Sequence[PlannedBay], fits: Fits | None) -> list[PlannedBay]:
    """A long row in its given order, but for bays moved away from ends at which they may not
    stand."""

    def moved(first: PlannedBay, last: PlannedBay) -> list[PlannedBay]:
        """The row with other bays at its ends, the rest in its order."""
        return [first, *(bay for bay in row if bay is not first and bay is not last), last]

    pairs = ((a, b) for a in row for b in reversed(row) if a is not b)
    best = min(pairs, key=lambda pair: _unfit(pair, fits))
    return list(row) if not _unfit(row, fits) else moved(*best)

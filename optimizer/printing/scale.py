"""The scale of a text elevation: how much wall one column and one row stand for.

A character cell is about twice as high as it is wide, so a picture in true proportion has
a column stand for half of what a row does. Bays need room for words, so a drawing is
stretched sideways by up to a half where the line allows it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from optimizer.units import Units

MAX_ROWS = 25
"""Most rows between floor and ceiling."""

_ROW_STEPS = {
    Units.INCH: (1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 24.0, 48.0),
    Units.MILLIMETRE: (25.0, 50.0, 75.0, 100.0, 125.0, 150.0, 200.0, 250.0, 300.0, 600.0, 1200.0),
}
_TICK_STEPS = {
    Units.INCH: (12.0, 24.0, 48.0, 120.0, 240.0),
    Units.MILLIMETRE: (300.0, 600.0, 1200.0, 3000.0, 6000.0),
}
_STRETCHED = 1 / 3
"""Columns to rows of a drawing stretched by a half."""
_SQUEEZED = 3 / 4
"""Columns to rows of the tightest drawing; longer walls are drawn in pieces."""


@dataclass(frozen=True, slots=True)
class Scale:
    """One drawing: the stretch of wall from `left` to `right`, `per_column` by `per_row`."""

    units: Units
    left: float
    right: float
    per_column: float
    per_row: float
    height: float

    @property
    def columns(self) -> int:
        """Number of the last column."""
        return self.column(self.right)

    @property
    def rows(self) -> int:
        """Number of the row at the highest point of the ceiling."""
        return self.row(self.height)

    def column(self, position: float) -> int:
        """Column of a position along the wall."""
        return math.floor((position - self.left) / self.per_column + 0.5)

    def row(self, height: float) -> int:
        """Row of a height above the floor; the floor is row 0."""
        return math.floor(height / self.per_row + 0.5)

    def ticks(self, last: float, per_cell: float, cells: int) -> list[float]:
        """Round distances up to `last`, at least `cells` characters apart."""
        steps = _TICK_STEPS[self.units]
        step = next((s for s in steps if s / per_cell >= cells), steps[-1])
        return [step * index for index in range(math.floor(last / step + 1e-9) + 1)]


def row_step(height: float, units: Units) -> float:
    """Height of one row: the least round one that keeps the drawing within its rows."""
    for step in _ROW_STEPS[units]:
        if height / step <= MAX_ROWS:
            return step
    return height / MAX_ROWS


def _cuts(length: float, pieces: int, good: Sequence[float]) -> list[float]:
    """Where to cut a wall into `pieces`: near equal parts, at a `good` position if one is near."""
    share = length / pieces
    cuts = [0.0]
    for index in range(1, pieces):
        aim = share * index
        near = [position for position in good if abs(position - aim) <= share / 4]
        cuts.append(min(near, key=lambda position: abs(position - aim), default=aim))
    return [*cuts, length]


def scales(
    length: float, height: float, units: Units, columns: int, cut_at: Sequence[float]
) -> list[Scale]:
    """Scales of the drawings that show a wall in at most `columns` characters each.

    One drawing, unless the wall is too long for it to stay legible.
    """
    # As few pieces as keep the drawing legible; cuts at good places may make one too wide, and
    # then one piece more is tried.
    per_row = row_step(height, units)
    tightest = per_row * _SQUEEZED
    pieces = max(1, math.ceil(length / (tightest * columns)))
    while True:
        cuts = _cuts(length, pieces, cut_at)
        widest = max(right - left for left, right in pairwise(cuts))
        per_column = max(per_row * _STRETCHED, widest / columns)
        if per_column <= tightest or pieces > length / tightest:
            break
        pieces += 1
    return [
        Scale(units, left, right, per_column, per_row, height) for left, right in pairwise(cuts)
    ]

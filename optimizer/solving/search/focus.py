"""A linear program reduced to the columns that are still open and the rows that can still bind.

What bounds leave open in a part of a search is often a tenth of the columns, and the simplex method
takes a tenth of the time on it. A row is left out where the bounds of its columns alone keep it
satisfied: the bound test of Brearley, Mitra and Williams, "Analysis of mathematical programming
problems prior to applying the simplex algorithm", Mathematical Programming 8, 1975.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import highspy
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_FIXED = 1e-9
_SLACK = 1e-7


@dataclass(frozen=True)
class Matrix:
    """The rows of a linear program: its entries by row, column and value, and the bounds of its
    rows."""

    rows: Ints
    columns: Ints
    values: Floats
    low: Floats
    high: Floats
    costs: Floats
    offset: float
    sense: Any

    @classmethod
    def of(cls, model: Any) -> Matrix:
        """The rows of a model of HiGHS's."""
        lp = model.getLp()
        # HiGHS keeps the matrix by column or by row: `start_` has where each begins, `index_` the
        # other.
        starts = np.array(lp.a_matrix_.start_)
        inner = np.array(lp.a_matrix_.index_, dtype=np.int64)
        outer = np.repeat(np.arange(len(starts) - 1), np.diff(starts))
        by_column = lp.a_matrix_.format_ == highspy.MatrixFormat.kColwise
        return cls(
            rows=inner if by_column else outer,
            columns=outer if by_column else inner,
            values=np.array(lp.a_matrix_.value_),
            low=np.array(lp.row_lower_),
            high=np.array(lp.row_upper_),
            costs=np.array(lp.col_cost_),
            offset=float(lp.offset_),
            sense=lp.sense_,
        )

    def entry(self, row: int, column: int) -> int | None:
        """Place of an entry among the values; None where there is none."""
        found = np.flatnonzero((self.rows == row) & (self.columns == column))
        return int(found[0]) if len(found) else None

    def open_rows(
        self, lower: Floats, upper: Floats, kept: NDArray[np.bool_], always: Sequence[int]
    ) -> Ints:
        """Rows with at least one open column that the bounds of their columns alone do not keep
        satisfied."""
        positive = self.values > 0
        # A row is least with each column at the end that its coefficient's sign asks for.
        at_low = np.where(positive, lower[self.columns], upper[self.columns])
        at_high = np.where(positive, upper[self.columns], lower[self.columns])
        number = len(self.low)
        least = np.bincount(self.rows, self.values * at_low, minlength=number)
        most = np.bincount(self.rows, self.values * at_high, minlength=number)
        held = np.bincount(self.rows, kept[self.columns], minlength=number) > 0
        # Where in doubt a row is kept, whatever the size of what is added up.
        binds = (least < self.low + _SLACK) | (most > self.high - _SLACK)
        binds[list(always)] = True
        return np.flatnonzero(held & binds)


@dataclass(frozen=True, slots=True)
class Bend:
    """The rows and columns of a chord (see `guide.Chord`) within the linear program."""

    on: int
    by: int
    lacking: int
    amount: int
    flag: int
    had: float
    short: float


class Focus:
    """The open part of a linear program, as a model of its own that is solved from its last
    basis."""

    def __init__(
        self,
        matrix: Matrix,
        lower: Floats,
        upper: Floats,
        model: Any,
        *,
        whole: bool = False,
        always: Sequence[int] = (),
    ) -> None:
        """`model` is empty, its options set, and is given the part: with `whole` everything,
        and the rows `always` wherever they hold an open column."""
        size, number = len(lower), len(matrix.low)
        kept = np.ones(size, dtype=bool) if whole else upper - lower > _FIXED
        self.columns: Ints = np.flatnonzero(kept)
        open_rows = matrix.open_rows(lower, upper, kept, always)
        self.rows: Ints = np.arange(number) if whole else open_rows
        self.least, self.most = lower.copy(), upper.copy()
        """The bounds that it was made for."""
        self.lower, self.upper = lower.copy(), upper.copy()
        self.place = _places(self.columns, size)
        """Where a column of the whole is in the part; -1 where it is fixed."""
        self.row = _places(self.rows, number)
        self._settled = np.where(kept, 0.0, self.lower)
        # What the fixed columns take of each row is moved to its right side.
        self._taken = np.bincount(
            matrix.rows, matrix.values * self._settled[matrix.columns], minlength=number
        )
        self.spreads: dict[int, tuple[float, float]] = {}
        """Coefficients of chords as last set."""
        self.model = model
        self.offset = matrix.offset + float(matrix.costs @ self._settled)
        """What the fixed columns bring, with the constant of the whole."""
        model.passModel(self._part(matrix))

    def _part(self, matrix: Matrix) -> Any:
        """The open columns and rows as a linear program of HiGHS's own.

        What the columns left out take of the rows and cost is in the bounds of the rows and the
        offset, so that the objective is that of the whole.
        """
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.columns), len(self.rows)
        lp.sense_ = matrix.sense
        lp.offset_ = self.offset
        lp.col_cost_ = matrix.costs[self.columns]
        lp.col_lower_, lp.col_upper_ = self.lower[self.columns], self.upper[self.columns]
        lp.row_lower_ = (matrix.low - self._taken)[self.rows]
        lp.row_upper_ = (matrix.high - self._taken)[self.rows]
        inside = (self.place[matrix.columns] >= 0) & (self.row[matrix.rows] >= 0)
        columns, rows = self.place[matrix.columns[inside]], self.row[matrix.rows[inside]]
        # HiGHS takes the entries column after column; the last key of a lexsort counts first.
        order = np.lexsort((rows, columns))
        counts = np.bincount(columns, minlength=lp.num_col_)
        lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
        lp.a_matrix_.start_ = np.concatenate(([0], np.cumsum(counts))).astype(np.int32)
        lp.a_matrix_.index_ = rows[order].astype(np.int32)
        lp.a_matrix_.value_ = matrix.values[inside][order]
        return lp

    def holds(self, lower: Floats, upper: Floats) -> bool:
        """Whether narrower bounds agree with the values at which columns are fixed here."""
        fixed = self.place < 0
        return not bool(
            (lower > self.upper + _SLACK)[fixed].any() or (upper < self.lower - _SLACK)[fixed].any()
        )

    def apply(self, lower: Floats, upper: Floats) -> None:
        """Change the bounds of the open columns."""
        own = self.columns
        # Between two nodes of a tree a handful of bounds differ: only these are handed over.
        changed = own[(lower[own] != self.lower[own]) | (upper[own] != self.upper[own])]
        if len(changed):
            self.model.changeColsBounds(
                len(changed), self.place[changed].astype(np.int32), lower[changed], upper[changed]
            )
            self.lower[changed], self.upper[changed] = lower[changed], upper[changed]

    def bend(self, number: int, chord: Bend, spread: tuple[float, float]) -> None:
        """Set the coefficients of a chord from how far its amount may lie below and above."""
        flag = int(self.place[chord.flag])
        # HiGHS factors its basis anew after a changed coefficient: only what has moved is set.
        if flag < 0 or self.spreads.get(number) == spread:
            return
        self.spreads[number] = spread
        below, above = spread
        on, by = int(self.row[chord.on]), int(self.row[chord.by])
        if on >= 0:
            self.model.changeCoeff(on, flag, -below)
        if by >= 0:
            self.model.changeCoeff(by, flag, above)
            most = chord.had + above - float(self._taken[chord.by])
            self.model.changeRowBounds(by, -highspy.kHighsInf, most)

    def whole(self, values: Any, missing: float | None = None) -> Floats:
        """Values for all columns of the whole, from those of the open part.

        Fixed columns have the values that they are fixed at, or `missing` where that is given.
        """
        found = self.lower.copy() if missing is None else np.full(len(self.lower), missing)
        found[self.columns] = values
        return found


def _places(kept: Ints, size: int) -> Ints:
    """Position of each column among those kept, -1 for the others."""
    found: Ints = np.full(size, -1, dtype=np.int64)
    found[kept] = np.arange(len(kept))
    return found

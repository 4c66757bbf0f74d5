"""A grid of characters to draw on, and the characters that stand for parts."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Symbols:
    """Characters of an elevation."""

    board: str
    upright: str
    rod: str
    clothes: str
    wall: str
    floor: str
    ceiling: str
    strip: str
    obstruction: str
    opening_side: str
    opening_top: str
    support: str
    joint: str
    kept_clear: str
    cut_mark: str


UNICODE = Symbols(
    board="═",
    upright="║",
    rod="─",
    clothes="┊",
    wall="│",
    floor="▔",
    ceiling="▁",
    strip="╳",
    obstruction="▒",
    opening_side="┆",
    opening_top="┄",
    support="╤",
    joint="╪",
    kept_clear="░",
    cut_mark="…",
)

ASCII = Symbols(
    board="=",
    upright="#",
    rod="-",
    clothes=":",
    wall="|",
    floor="^",
    ceiling="_",
    strip="x",
    obstruction="%",
    opening_side="'",
    opening_top="~",
    support="T",
    joint="+",
    kept_clear="/",
    cut_mark="..",
)


class Canvas:
    """Characters by column (from the left) and row (from the bottom, as heights run)."""

    def __init__(self, columns: int, rows: int) -> None:
        """Blank; rows count from the bottom, so that a height needs no turning round."""
        self._rows = [[" "] * columns for _ in range(rows)]
        self.columns = columns
        self.rows = rows

    def at(self, column: int, row: int) -> str:
        """The character there; a blank outside the grid."""
        inside = 0 <= column < self.columns and 0 <= row < self.rows
        return self._rows[row][column] if inside else " "

    def put(self, column: int, row: int, text: str, over: str | None = None) -> int:
        """Write `text` from `column` on; what lies outside the grid is dropped.

        With `over`, only characters in it are written over. Gives how many were written.
        """
        written = 0
        for offset, letter in enumerate(text):
            here = column + offset
            if not (0 <= here < self.columns and 0 <= row < self.rows):
                continue
            if over is not None and self._rows[row][here] not in over:
                continue
            self._rows[row][here] = letter
            written += 1
        return written

    def lines(self) -> list[str]:
        """The grid from top to bottom, as it is read."""
        return ["".join(row) for row in reversed(self._rows)]

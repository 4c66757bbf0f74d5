"""Wrapped corners: one wall's shelves run through to the corner, the next wall's end against them.

No upright stands there. The bay that ends against the other's boards is called *butting*, the other
*through*; a part of the through bay lies hidden behind the butting one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimizer.checking.case import Case, Placed
from optimizer.checking.floor_plan import Side, WallLine
from optimizer.checking.shapes import Interval
from optimizer.domain.layout import Carried

OTHER: dict[Side, Side] = {"left": "right", "right": "left"}


def carried(placed: Placed, side: Side) -> Carried:
    """What an end of a bay stands on."""
    return placed.bay.left if side == "left" else placed.bay.right


def end_bay(case: Case, line: WallLine, side: Side) -> Placed | None:
    """The outermost bay of a wall on one side; None where it has none."""
    row = case.row(line)
    if not row:
        return None
    return row[0] if side == "left" else row[-1]


@dataclass(frozen=True, slots=True)
class Wrap:
    """Two bays at an inside corner: `butting` ends with its `side` at the boards of `through`."""

    butting: Placed
    side: Side
    through: Placed

    @property
    def hidden(self) -> Interval:
        """The stretch of the through bay's wall that the butting bay stands before."""
        return self.through.wall.local_rect(self.butting.footprint)[0]

    @property
    def inner_end(self) -> float:
        """Where along its own wall the butting bay ends at the other's boards."""
        return self.butting.bay.start if self.side == "left" else self.butting.bay.end


def wraps(case: Case) -> Iterator[Wrap]:
    """Every pair of bays of which one ends at a corner where the other stands on the wall."""
    for line, after in case.plan.inside_corners():
        # A wall's right end is at the corner with the next wall's left end.
        before, behind = end_bay(case, line, "right"), end_bay(case, after, "left")
        if before is None or behind is None:
            continue
        pairs: tuple[tuple[Placed, Side, Placed], ...] = (
            (before, "right", behind),
            (behind, "left", before),
        )
        for butting, side, through in pairs:
            butts = carried(butting, side) is Carried.CORNER
            if butts and carried(through, OTHER[side]) is Carried.WALL:
                yield Wrap(butting, side, through)

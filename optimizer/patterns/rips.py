"""Boards ripped in equal strips: the depth at which one more comes out of a sheet's width.

With a depth d, n boards and the blade between them fill the sheet's width W when
n d + (n - 1) kerf <= W. Three boards of 16 in do not come out of 48 in, three of 15-7/8 in do: a
builder takes those for shelves 16 in deep (common practice).
"""

from __future__ import annotations

import math

from optimizer.domain.brief import Brief
from optimizer.tolerances import FINE


def dividing_depth(brief: Brief, depth: float) -> float:
    """The largest depth below `depth` at which one more board comes out of a sheet's width,
    on the grid of the brief."""
    rules, grid = brief.construction, brief.units.grid
    # A kerf more than there is, since the last board needs no cut behind it.
    width = rules.sheet[1] - 2.0 * rules.edge_trim + rules.kerf
    across = math.floor(width / (depth + rules.kerf) + FINE) + 1
    return math.floor((width / across - rules.kerf) / grid + FINE) * grid


def ripped_depth(brief: Brief) -> float | None:
    """What boards of the wished depth come out at where a sheet is ripped in equal strips.

    None where that is more than a blade's thickness less, on the grid: then it is another depth.
    """
    wished = brief.needs.shelf_depth
    now = dividing_depth(brief, wished)
    lost = wished - now
    return now if lost <= brief.construction.kerf + brief.units.grid + FINE else None

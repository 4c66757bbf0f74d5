"""Sheet layouts and stick layouts: the fewest sheets proved, or the bound stated."""

from optimizer.nesting.offcuts import fill_offcuts
from optimizer.nesting.sheets import nest
from optimizer.nesting.sticks import cut_sticks

__all__ = ["cut_sticks", "fill_offcuts", "nest"]

"""Sheet layouts and stick layouts: the fewest sheets proved, or the bound stated.

`sheets.nest` and `sticks.cut_sticks` turn lengths into whole steps (`grid`), pose a
`cutting_problem`, and have it searched (`search`): a first answer (`firstfit`), columns by pricing
(`columns`, `pricing`, `master`), whole numbers over them (`integer`), and where a gap is left every
column that could close it (`enumeration`). `sheet_layout` then says where each part lies and which
cuts are made in which order.
"""

from optimizer.nesting.offcuts import fill_offcuts
from optimizer.nesting.sheets import nest
from optimizer.nesting.sticks import cut_sticks

__all__ = ["cut_sticks", "fill_offcuts", "nest"]

"""How long a piece of a board or a rod may be, by its own span and by what carries its ends."""

from __future__ import annotations

from optimizer.structure.limits import rod_span_limit, shelf_span_limit, span_at_ratio
from optimizer.structure.pieces import through_piece, widest_piece

__all__ = [
    "rod_span_limit",
    "shelf_span_limit",
    "span_at_ratio",
    "through_piece",
    "widest_piece",
]

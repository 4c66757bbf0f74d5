"""Figures as they are told."""

from __future__ import annotations

import math


def at_most(bound: float, decimals: int) -> str:
    """A bound with so many decimals, rounded up: what is said is within what is proved."""
    scale = 10.0**decimals
    # A bound that stands a rounding above a whole figure is that figure.
    return f"{math.ceil(scale * bound - 1e-6) / scale:.{decimals}f}"

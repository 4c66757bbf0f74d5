"""Parts laid out on stock, and what that costs: one way for choosing and for building."""

from optimizer.stocking.plan import CHOOSING_STEPS, NESTING_STEPS, Stocked, on_stock, stocked
from optimizer.stocking.takings import Takings, takes_fewer, takings_of

__all__ = [
    "CHOOSING_STEPS",
    "NESTING_STEPS",
    "Stocked",
    "Takings",
    "on_stock",
    "stocked",
    "takes_fewer",
    "takings_of",
]

"""Parts laid out on sheets, strips and rods: one way for choosing a layout and for building it."""

from optimizer.stocking.plan import (
    CHOOSING_STEPS,
    NESTING_STEPS,
    Stocked,
    StockPlan,
    on_stock,
    stocked,
)

__all__ = [
    "CHOOSING_STEPS",
    "NESTING_STEPS",
    "StockPlan",
    "Stocked",
    "on_stock",
    "stocked",
]

"""What a piece of stock costs, relative to the dearest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from optimizer.domain.sheets import StockSheet, StockStick


@dataclass(frozen=True, slots=True)
class StockCosts:
    """Cost of one of each stock, relative; `unit` is what a cost of 1 is in the result."""

    each: tuple[float, ...]
    unit: float


def costs_of(stock: Sequence[StockSheet | StockStick], areas: Sequence[int]) -> StockCosts:
    """Relative costs by price where every size to buy has one above zero, else by area.

    Offcuts cost nothing.
    """
    bought = [s for s in stock if not s.offcut]
    prices = [s.price for s in bought if s.price]
    if bought and len(prices) == len(bought):
        dearest = max(prices)
        return StockCosts(
            tuple(0.0 if s.offcut else (s.price or 0.0) / dearest for s in stock), dearest
        )
    sizes = [area for s, area in zip(stock, areas, strict=True) if not s.offcut]
    largest = max(sizes, default=1)
    return StockCosts(
        tuple(0.0 if s.offcut else a / largest for s, a in zip(stock, areas, strict=True)), 1.0
    )


def count_of(stock: StockSheet | StockStick) -> int | None:
    """How many there are; an offcut without a count is there once."""
    return 1 if stock.offcut and stock.count is None else stock.count

"""Lengths as whole steps of a grid, so that sums are exact."""

from __future__ import annotations

import math
from dataclasses import dataclass

from optimizer.units import Units, format_short

STEPS_PER_UNIT = {Units.INCH: 32, Units.MILLIMETRE: 10}
"""Steps of the grid: 1/32 in and 0.1 mm, finer than a tape reads."""

NOISE = 1e-6
"""Part of a step that counts as floating-point noise."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Lengths as whole numbers: how many small steps one inch or millimetre has, and back.

    The programs and knapsacks of nesting count in these steps.
    """

    units: Units

    @property
    def per_unit(self) -> int:
        """Steps in one inch or millimetre."""
        return STEPS_PER_UNIT[self.units]

    @property
    def step(self) -> float:
        """Length of a step."""
        return 1 / self.per_unit

    def up(self, length: float) -> int:
        """Steps that hold `length`."""
        return math.ceil(length * self.per_unit - NOISE)

    def down(self, length: float) -> int:
        """Steps within `length`."""
        return math.floor(length * self.per_unit + NOISE)

    def back(self, steps: int) -> float:
        """Length of `steps`."""
        return steps / self.per_unit

    def text(self, steps: int) -> str:
        """`steps` as a length for a message."""
        return format_short(self.back(steps), self.units)

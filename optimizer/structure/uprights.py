"""Uprights: the load they bring to the floor, bearing under their foot, and buckling.

Boards hold an upright over its whole depth where they meet it; between boards its back edge
is held to the wall every `upright_hold` at least, and its front edge is free. Its own weight
is left out.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from optimizer.domain.construction import Construction
from optimizer.reference.materials import PANEL_POISSON, creep_of, stock
from optimizer.units import Units

FLOOR_BEARING_PSI = 425.0
"""Compression across the grain of spruce-pine-fir, as under a subfloor: NDS Supplement, Table
4A (in a restatement)."""
FREE_EDGE = 0.425
"""Buckling coefficient of a long plate with one long edge simply supported and one free:
Timoshenko & Gere, Theory of Elastic Stability, 2nd ed., chapter 9, from memory."""
_TOUCH = 1e-9


@dataclass(frozen=True, slots=True)
class UprightCheck:
    """What one upright has to bear, and how much of its strength it uses.

    `load` [lb] in all, on the floor. `free` [brief units] is the height between two holds where
    buckling is nearest, `pressed` the load on it and `held` what it may bear [lb]; that takes creep
    as a softer panel and a safety factor into account.
    """

    load: float
    bearing_share: float
    buckling_share: float
    free: float
    pressed: float
    held: float

    @property
    def share(self) -> float:
        """The larger used share."""
        return max(self.bearing_share, self.buckling_share)


def column_load(modulus: float, depth: float, thickness: float, free: float) -> float:
    """Euler load [lb] of a panel `free` [in] between holds, ends turning freely.

    pi^2 E I / L^2, bending across the thickness.
    """
    return math.pi**2 * modulus * depth * thickness**3 / 12.0 / free**2


def strip_load(modulus: float, depth: float, thickness: float, free: float) -> float:
    """Load [lb] that buckles a panel `free` [in] high, back edge held, front edge free.

    sigma = k pi^2 E / (12 (1 - nu^2)) (t / b)^2 with k = 0.425 + (b / a)^2: Timoshenko & Gere,
    Theory of Elastic Stability, from memory; nu 0.3.
    """
    factor = FREE_EDGE + (depth / free) ** 2
    stress = factor * math.pi**2 * modulus / 12.0 / (1.0 - PANEL_POISSON**2)
    return stress * (thickness / depth) ** 2 * depth * thickness


def holding_load(construction: Construction, units: Units, depth: float, free: float) -> float:
    """Load [lb] that an upright `depth` deep, free over `free` [brief units], may bear.

    The lesser of the strip between boards and the column between the holds of its back edge,
    with the lowest stiffness, softened by creep, over `safety_factor`.
    """
    inches, height = units.to_inch(depth), units.to_inch(free)
    thickness = units.to_inch(construction.panel_thickness)
    modulus = stock(construction.material).modulus_low / creep_of(construction)
    # The back edge is fastened between boards as well, the front edge never.
    hold = min(height, units.to_inch(construction.upright_hold))
    least = min(
        strip_load(modulus, inches, thickness, height),
        column_load(modulus, inches, thickness, hold),
    )
    return least / construction.safety_factor


def free_heights(levels: Iterable[float]) -> tuple[tuple[float, float], ...]:
    """Pieces of an upright between what holds it, from the floor up: bottom and top of each."""
    ordered = sorted({0.0, *levels})
    return tuple((low, high) for low, high in pairwise(ordered) if high - low > _TOUCH)


def upright_check(
    construction: Construction,
    units: Units,
    depth: float,
    levels: Sequence[float],
    loads: Sequence[tuple[float, float]],
) -> UprightCheck:
    """An upright `depth` deep held at `levels`, with `loads` as (height, lb) where they enter.

    Each piece between holds bears what enters above its foot.
    """
    worst = (0.0, 0.0, 0.0, math.inf)
    for low, high in free_heights(levels):
        pressed = sum(load for height, load in loads if height > low + _TOUCH)
        held = holding_load(construction, units, depth, high - low)
        # `>=`, so that an upright without any load still tells of a free height.
        if pressed / held >= worst[0]:
            worst = (pressed / held, high - low, pressed, held)
    load = sum(amount for _, amount in loads)
    area = units.to_inch(depth) * units.to_inch(construction.panel_thickness)
    return UprightCheck(
        load=load,
        bearing_share=load / area / FLOOR_BEARING_PSI,
        buckling_share=worst[0],
        free=worst[1],
        pressed=worst[2],
        held=worst[3],
    )

"""Uprights: the load they bring to the floor, bearing under their foot, and buckling."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from optimizer.domain.construction import Construction
from optimizer.reference.materials import rod, stock
from optimizer.structure.loads import (
    area_load_psi,
    board_pressure_psi,
    line_load_lb_in,
    weight_out,
)
from optimizer.units import Units

FLOOR_BEARING_PSI = 425.0
"""Compression across the grain of spruce-pine-fir, as under a subfloor: NDS Supplement, Table
4A, from memory."""


@dataclass(frozen=True, slots=True)
class UprightCheck:
    """Load on one upright [lb or kg] and what it uses of floor bearing and of buckling.

    Shares above 1 fall short.
    """

    load: float
    bearing_share: float
    buckling_share: float

    @property
    def passes(self) -> bool:
        """Whether floor and upright both carry it."""
        return max(self.bearing_share, self.buckling_share) <= 1.0


def _bay_load_lb(
    construction: Construction, units: Units, width: float, shelves: Sequence[float], rods: int
) -> float:
    """Load [lb] of one bay: its shelves by depth, its rods, and their own weight."""
    chosen = rod(construction.rod_stock)
    inches = units.to_inch(width)
    pressure = area_load_psi(construction.shelf_load, units) + board_pressure_psi(
        construction, units
    )
    on_shelves = sum(pressure * units.to_inch(depth) * inches for depth in shelves)
    per_inch = line_load_lb_in(construction.rod_load, units) + chosen.weight / 12.0
    return on_shelves + rods * per_inch * inches


def bay_load(
    construction: Construction, units: Units, width: float, shelves: Sequence[float], rods: int
) -> float:
    """Load of a full bay [lb or kg]: shelves of the depths given and so many rods."""
    return weight_out(_bay_load_lb(construction, units, width, shelves, rods), units)


def buckling_load(modulus: float, depth: float, thickness: float, free: float) -> float:
    """Euler load [lb] of a panel `free` [in] between boards that hold it, ends turning freely.

    pi^2 E I / L^2, bending across the thickness.
    """
    return math.pi**2 * modulus * depth * thickness**3 / 12.0 / free**2


def upright_check(
    construction: Construction,
    units: Units,
    depth: float,
    free: float,
    bays: Sequence[tuple[float, Sequence[float], int]],
) -> UprightCheck:
    """An upright `depth` deep whose boards leave it `free` over at most that height.

    `bays` are the one or two bays beside it, each with width, depths of its shelves and number
    of rods; half of each stands on the upright. Buckling counts creep as a softer panel.
    """
    load = sum(
        _bay_load_lb(construction, units, width, shelves, rods) / 2.0
        for width, shelves, rods in bays
    )
    thickness, inches = units.to_inch(construction.panel_thickness), units.to_inch(depth)
    modulus = stock(construction.material).modulus / construction.creep_factor
    critical = buckling_load(modulus, inches, thickness, units.to_inch(free))
    return UprightCheck(
        load=weight_out(load, units),
        bearing_share=load / (inches * thickness) / FLOOR_BEARING_PSI,
        buckling_share=load / critical,
    )

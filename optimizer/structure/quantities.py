"""Weights of boards and sheets, and how far a cartridge of caulk goes."""

from __future__ import annotations

import math
from enum import StrEnum

from optimizer.domain.construction import Construction, Material
from optimizer.reference.materials import stock
from optimizer.structure.loads import CUBIC_INCHES_PER_CUBIC_FOOT, weight_out
from optimizer.units import Units

CUBIC_INCHES_PER_FLUID_OUNCE = 231.0 / 128.0
"""Exact: a US gallon is 231 cu in and 128 fl oz."""

CARTRIDGE_FLUID_OUNCES = 10.1
"""A common cartridge of caulk: common practice."""


class Bead(StrEnum):
    """Cross-section of a bead of caulk of a given size."""

    SQUARE = "square"
    ROUND = "round"
    FILLET = "fillet"


def bead_area(bead: Bead, size: float) -> float:
    """Section of a bead: a square of that side, a round of that diameter, a right triangle."""
    if bead is Bead.ROUND:
        return math.pi * size**2 / 4.0
    return size**2 if bead is Bead.SQUARE else size**2 / 2.0


def cartridge_volume() -> float:
    """Volume of a cartridge [cu in]."""
    return CARTRIDGE_FLUID_OUNCES * CUBIC_INCHES_PER_FLUID_OUNCE


def caulk_length(bead: Bead, size: float, units: Units) -> float:
    """Length of bead [brief units] that one cartridge gives; `size` in brief units."""
    return units.from_inch(cartridge_volume() / bead_area(bead, units.to_inch(size)))


def cartridges(length: float, bead: Bead, size: float, units: Units) -> int:
    """Whole cartridges for `length` of bead [brief units]; 0 for none."""
    return math.ceil(length / caulk_length(bead, size, units) - 1e-9)


def board_weight(
    material: Material, length: float, width: float, thickness: float, units: Units
) -> float:
    """Weight [lb in inch briefs, kg in millimetre ones] of a board of those sizes."""
    volume = units.to_inch(length) * units.to_inch(width) * units.to_inch(thickness)
    return weight_out(volume / CUBIC_INCHES_PER_CUBIC_FOOT * stock(material).density, units)


def sheet_weight(construction: Construction, units: Units) -> float:
    """Weight [lb or kg] of one whole sheet of the brief's stock."""
    length, width = construction.sheet
    return board_weight(construction.material, length, width, construction.panel_thickness, units)

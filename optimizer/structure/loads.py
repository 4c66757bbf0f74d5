"""Loads of a brief in pounds and inches, and weights back in the units of the brief."""

from __future__ import annotations

from optimizer.domain.construction import Construction
from optimizer.reference.materials import rod, stock
from optimizer.units import KG_PER_LB, MM_PER_INCH, Units

CUBIC_INCHES_PER_CUBIC_FOOT = 1728.0


def area_load_psi(load: float, units: Units) -> float:
    """Shelf load [lb/sq in] of `load` [lb/sq ft in inch briefs, kg/m2 in millimetre ones]."""
    if units is Units.INCH:
        return load / 144.0
    return load / KG_PER_LB * (MM_PER_INCH / 1000.0) ** 2


def line_load_lb_in(load: float, units: Units) -> float:
    """Rod load [lb/in] of `load` [lb/ft in inch briefs, kg/m in millimetre ones]."""
    if units is Units.INCH:
        return load / 12.0
    return load / KG_PER_LB * MM_PER_INCH / 1000.0


def board_pressure_psi(construction: Construction, units: Units) -> float:
    """Own weight [lb/sq in] of a board of the brief's stock, lying flat."""
    density = stock(construction.material).density / CUBIC_INCHES_PER_CUBIC_FOOT
    return density * units.to_inch(construction.panel_thickness)


def board_load_lb(
    construction: Construction, units: Units, depth: float, length: float, housed: float = 0.0
) -> float:
    """Load [lb] of a full board of `depth` over `length` [brief units], own weight counted.

    `shelf_load` over its area, or the items on it [lb] where they weigh more.
    """
    area = units.to_inch(depth) * units.to_inch(length)
    put_on = max(area_load_psi(construction.shelf_load, units) * area, housed)
    return put_on + board_pressure_psi(construction, units) * area


def rod_load_lb(construction: Construction, units: Units, length: float) -> float:
    """Load [lb] of a full rod over `length` [brief units], own weight counted."""
    own = rod(construction.rod_stock).weight / 12.0
    return (line_load_lb_in(construction.rod_load, units) + own) * units.to_inch(length)


def weight_out(pounds: float, units: Units) -> float:
    """`pounds` as lb in inch briefs and as kg in millimetre ones."""
    return pounds if units is Units.INCH else pounds * KG_PER_LB

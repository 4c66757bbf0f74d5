"""Longest spans of shelves and rods under the loads of a brief.

Boards and rods count as simply supported, and their own weight is not added: that is how
the published span tables are worked out (Architectural Woodwork Standards, 1st ed. 2009,
4.4.14.10). Solving 5 w L^4 / (384 E I) x creep = L / ratio for the span L gives
L^3 = 384 E I / (5 w ratio creep).
"""

from __future__ import annotations

import math

from optimizer.domain.construction import Construction
from optimizer.reference.materials import Rod, rod, stock
from optimizer.structure.loads import area_load_psi, line_load_lb_in
from optimizer.structure.sections import Section, rectangle, stiffened_board
from optimizer.units import Units

ROD_SUPPORTS_IN = 48.0
"""Rod supports at most this far apart: Architectural Woodwork Standards, 1st ed. 2009, 4.4.16."""


def span_at_ratio(rigidity: float, load: float, ratio: float, creep: float = 1.0) -> float:
    """Simple span [in] that sags span/`ratio` under a uniform `load` [lb/in].

    `rigidity` is E I [lb sq in]; `creep` multiplies the elastic sag.
    """
    return math.cbrt(384.0 * rigidity / (5.0 * load * ratio * creep))


def shelf_section(
    construction: Construction, units: Units, depth: float, *, stiffened: bool
) -> Section:
    """Section [in] of a shelf board of `depth` [brief units], with its front stiffener or not."""
    board = rectangle(units.to_inch(depth), units.to_inch(construction.panel_thickness))
    if not stiffened:
        return board
    return stiffened_board(
        board,
        rectangle(
            units.to_inch(construction.panel_thickness),
            units.to_inch(construction.stiffener_height),
        ),
    )


def shelf_span_limit(
    construction: Construction, units: Units, depth: float, *, stiffened: bool
) -> float:
    """Widest bay [brief units] for a shelf board of `depth` under `shelf_load` after creep.

    A stiffened board has a strip of the same stock on edge under its front edge, glued and
    screwed so that both bend as one. Never above `max_bay_width`.
    """
    section = shelf_section(construction, units, depth, stiffened=stiffened)
    rigidity = stock(construction.material).modulus * section.inertia
    load = area_load_psi(construction.shelf_load, units) * units.to_inch(depth)
    span = span_at_ratio(rigidity, load, construction.deflection_ratio, construction.creep_factor)
    return min(construction.max_bay_width, units.from_inch(span))


def rod_creep(chosen: Rod, construction: Construction) -> float:
    """What lasting load makes of a rod's elastic sag: wood creeps, steel does not."""
    return construction.creep_factor if chosen.creeps else 1.0


def rod_span_limit(construction: Construction, units: Units) -> float:
    """Widest bay [brief units] for the rod in stock under `rod_load`, wood after creep.

    Never above `max_bay_width` nor 48 in, the largest distance of rod supports.
    """
    chosen = rod(construction.rod_stock)
    span = span_at_ratio(
        chosen.modulus * chosen.inertia,
        line_load_lb_in(construction.rod_load, units),
        construction.deflection_ratio,
        rod_creep(chosen, construction),
    )
    return min(construction.max_bay_width, units.from_inch(min(span, ROD_SUPPORTS_IN)))

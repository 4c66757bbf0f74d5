"""Longest pieces of shelves and rods between supports, under the loads of a brief.

A *piece* is what a board or a rod runs from one support to the next: an end of its bay, or a
mid support. Limits take the lowest stiffness of the stock and its creep; own weight counts for
bending stress alone, as in the published span tables (Architectural Woodwork Standards, 1st
ed. 2009, 4.4.14.10). MDF and particleboard boards, held at the back and at both ends, work as
plates with a free front edge; plywood and pine, whose stiffness across the grain is slight,
count as simple beams: L^3 = 384 E I / (5 w ratio creep). A stiffened board spans the more of
what the plate without its stiffener does and the simple beam with it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

from optimizer.domain.construction import Construction
from optimizer.reference.materials import (
    PANEL_POISSON,
    creep_of,
    rod,
    rod_creep,
    stock,
)
from optimizer.structure.loads import area_load_psi, board_pressure_psi, line_load_lb_in
from optimizer.structure.plates import free_edge, plate_rigidity
from optimizer.structure.sections import Section, rectangle, stiffened_board
from optimizer.units import Units

WOOD_STRESS_SHARE = 1.0 / 3.0
"""Bending stress under a lasting load, of the modulus of rupture: a third, common practice."""
STEEL_STRESS_SHARE = 0.6
"""Bending stress of the yield strength: AISC 360, allowable strength 1/1.67, from memory."""

FARTHEST_IN = 1200.0
"""Where a search for a span stops: no board is as long."""
_HALVINGS = 44


def span_at_ratio(rigidity: float, load: float, ratio: float, creep: float = 1.0) -> float:
    """Simple span [in] that sags span/`ratio` under a uniform `load` [lb/in].

    `rigidity` is E I [lb sq in]; `creep` multiplies the elastic sag.
    """
    return math.cbrt(384.0 * rigidity / (5.0 * load * ratio * creep))


def shelf_section(
    construction: Construction, units: Units, depth: float, *, stiffened: bool
) -> Section:
    """Section [in] of a shelf board of `depth` [brief units], with its front stiffener or not.

    A stiffener is a strip of the same stock on edge under the front edge, glued and screwed
    so that both bend as one.
    """
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


def bearing(construction: Construction) -> float:
    """How much of a piece lies on its supports, of both ends together [brief units].

    A span runs from the centre of one cleat to that of the next, so that a piece may be longer
    than its span by one thickness of cleat. The top board of a level line lies on the edges of
    uprights and turns about their inner edges: its span is the whole piece.
    """
    return 0.0 if construction.top_line == "level" else construction.cleat_thickness


def _beam_limit(
    construction: Construction, units: Units, depth: float, *, stiffened: bool
) -> tuple[float, float]:
    """Spans [in] at which a board as a simple beam comes to its limits of sag and of stress."""
    board = stock(construction.material)
    section = shelf_section(construction, units, depth, stiffened=stiffened)
    load = area_load_psi(construction.shelf_load, units) * units.to_inch(depth)
    sag = span_at_ratio(
        board.modulus_low * section.inertia,
        load,
        construction.deflection_ratio,
        creep_of(construction),
    )
    whole = load + board_pressure_psi(construction, units) * units.to_inch(depth)
    return sag, math.sqrt(8.0 * WOOD_STRESS_SHARE * board.rupture * section.modulus / whole)


def _plate_limit(construction: Construction, units: Units, depth: float) -> tuple[float, float]:
    """Spans [in] at which a board as a plate comes to its limits of sag and of stress."""
    board, inches = stock(construction.material), units.to_inch(depth)
    thickness = units.to_inch(construction.panel_thickness)
    pressure = area_load_psi(construction.shelf_load, units)
    rigidity = plate_rigidity(board.modulus_low, thickness, PANEL_POISSON)
    soft = construction.deflection_ratio * creep_of(construction) * pressure / rigidity
    whole = pressure + board_pressure_psi(construction, units)
    stress = 6.0 * whole / thickness**2 / (WOOD_STRESS_SHARE * board.rupture)

    def sag(span: float) -> float:
        """Used share of the sag allowed at that span [in]."""
        return free_edge(inches / span, PANEL_POISSON).deflection * soft * span**3

    def bent(span: float) -> float:
        """Used share of the bending stress allowed at that span [in]."""
        return free_edge(inches / span, PANEL_POISSON).moment * stress * span**2

    # A plate spans further than the beam of the same board: a start below its limit.
    beam = _beam_limit(construction, units, depth, stiffened=False)
    return _largest(sag, beam[0] / 2.0), _largest(bent, beam[1] / 2.0)


def _largest(share: Callable[[float], float], start: float) -> float:
    """The span [in] at which `share`, which grows with it, comes to 1.

    From `start` the span is doubled until it is too long, then found by halving.
    """
    low, high = 0.0, start
    # A board of next to no load never comes to its limit: the doubling needs an end.
    while share(high) < 1.0 and high < FARTHEST_IN:
        low, high = high, 2.0 * high
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if share(middle) <= 1.0 else (low, middle)
    return low


@lru_cache(maxsize=4096)
def shelf_sag_limits(
    construction: Construction, units: Units, depth: float, *, stiffened: bool
) -> tuple[float, float]:
    """Longest effective spans [brief units] of a board by sag and by bending stress."""
    sag, stress = _beam_limit(construction, units, depth, stiffened=stiffened)
    alike = stock(construction.material).in_plane_alike
    if stiffened and not alike:
        # A low stiffener is strained more than the board; the board holds without it as well.
        stress = max(stress, _beam_limit(construction, units, depth, stiffened=False)[1])
    if alike:
        plate = _plate_limit(construction, units, depth)
        sag = max(sag, plate[0]) if stiffened else plate[0]
        stress = max(stress, plate[1]) if stiffened else plate[1]
    return units.from_inch(sag), units.from_inch(stress)


def shelf_span_limit(
    construction: Construction, units: Units, depth: float, *, stiffened: bool
) -> float:
    """Longest piece [brief units] of a shelf board of `depth` between supports.

    By sag after creep and by bending stress under `shelf_load`, and by practice: plain boards
    no longer than `max_plain_span`, stiffened ones than `rod_support_spacing`.
    """
    practice = construction.rod_support_spacing if stiffened else construction.max_plain_span
    limits = shelf_sag_limits(construction, units, depth, stiffened=stiffened)
    return min(practice, min(limits) + bearing(construction))


@lru_cache(maxsize=256)
def rod_sag_limits(construction: Construction, units: Units) -> tuple[float, float]:
    """Longest spans [brief units] of the rod in stock by sag and by bending stress."""
    chosen = rod(construction.rod_stock)
    load = line_load_lb_in(construction.rod_load, units)
    sag = span_at_ratio(
        chosen.modulus_low * chosen.inertia,
        load,
        construction.deflection_ratio,
        rod_creep(construction),
    )
    section = 2.0 * chosen.inertia / chosen.outside
    whole = load + chosen.weight / 12.0
    stress = math.sqrt(8.0 * rod_stress_share(construction) * chosen.rupture * section / whole)
    return units.from_inch(sag), units.from_inch(stress)


def rod_stress_share(construction: Construction) -> float:
    """Part of a rod's strength that its bending stress may come to."""
    return WOOD_STRESS_SHARE if rod(construction.rod_stock).creeps else STEEL_STRESS_SHARE


def rod_span_limit(construction: Construction, units: Units) -> float:
    """Longest piece [brief units] of the rod in stock between supports, under `rod_load`.

    By sag, wood after creep, by bending stress, and no longer than `rod_support_spacing`.
    """
    return min(construction.rod_support_spacing, *rod_sag_limits(construction, units))

"""Lights in closets: clearance to storage and the storage space itself.

From the National Electrical Code (NFPA 70): 410.16 (2017) and 410.2 (2014).
"""

from __future__ import annotations

from optimizer.domain.room import Luminaire
from optimizer.units import Units

CLEARANCE_IN: dict[Luminaire, float] = {
    Luminaire.SURFACE_ENCLOSED: 12.0,
    Luminaire.SURFACE_FLUORESCENT: 6.0,
    Luminaire.RECESSED_ENCLOSED: 6.0,
    Luminaire.RECESSED_FLUORESCENT: 6.0,
}
"""Least distance to the storage space [in]: NEC 2017, 410.16(C). Enclosed means an
incandescent lamp or LED wholly enclosed."""

NOT_ALLOWED = frozenset({Luminaire.OPEN_LAMP})
"""Open or partly enclosed incandescent lamps and pendants: NEC 410.16(B), 2008 to 2020 alike."""

LOWER_DEPTH_IN = 24.0
"""Storage space out from the sides and back, up to the rod: NEC 2014, 410.2."""

LOWER_TOP_IN = 72.0
"""Top of that part, or the highest rod where that is higher: NEC 2014, 410.2."""

UPPER_DEPTH_IN = 12.0
"""Storage space above, up to the ceiling, or the shelf depth if greater: NEC 2014, 410.2."""


def is_allowed(luminaire: Luminaire) -> bool:
    """Whether a luminaire of this kind may be in a clothes closet at all."""
    return luminaire not in NOT_ALLOWED


def light_clearance(luminaire: Luminaire, units: Units) -> float:
    """Least distance from a luminaire to storage [brief units].

    One that is not allowed gets the largest distance in the table, so that a layout drawn
    before it is replaced suits every replacement.
    """
    inches = CLEARANCE_IN.get(luminaire, max(CLEARANCE_IN.values()))
    return units.from_inch(inches)


def storage_space_depth(
    height: float, units: Units, *, highest_rod: float = 0.0, shelf_depth: float = 0.0
) -> float:
    """How far the storage space reaches out from sides and back at `height` [brief units].

    `highest_rod` is the height of the highest rod and `shelf_depth` the depth of the shelf
    above it, both 0 when there is none.
    """
    lower_top = max(units.from_inch(LOWER_TOP_IN), highest_rod)
    if height <= lower_top:
        return units.from_inch(LOWER_DEPTH_IN)
    return max(units.from_inch(UPPER_DEPTH_IN), shelf_depth)

"""Lights in closets and their clearance to storage.

From the National Electrical Code (NFPA 70), 410.16 (2017).
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

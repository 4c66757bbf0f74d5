"""Where the studs of a wall are: as given, or assumed until someone has found them."""

from __future__ import annotations

from optimizer.domain.room import Wall
from optimizer.units import Units

STUD_SPACING = {Units.INCH: 16.0, Units.MILLIMETRE: 406.4}
"""Assumed distance of stud centres: 16 in on centre, common practice; the same in mm."""
STUD_WIDTH_IN = 1.5
"""Width of a stud's face: common practice for framing of 2 in nominal stock."""

_FINE = 1e-9


def studs_known(wall: Wall) -> bool:
    """Whether the brief says where this wall's studs are."""
    studs = wall.studs
    return studs is not None and (studs.positions is not None or studs.first is not None)


def stud_centres(wall: Wall, units: Units) -> tuple[float, ...]:
    """Stud centres from the wall's left end [brief units], left to right.

    Listed positions count as they are. Else they are `spacing` apart (16 in unless given)
    from `first` (one spacing from the corner unless given), up to the wall's length.
    """
    length = wall.clear_length
    studs = wall.studs
    if studs is not None and studs.positions is not None:
        return tuple(sorted({p for p in studs.positions if p <= length + _FINE}))
    spacing = STUD_SPACING[units]
    first = spacing
    if studs is not None:
        spacing = studs.spacing or spacing
        first = spacing if studs.first is None else studs.first
    # With the slack a stud at the very end of the wall counts, whatever the division rounds to.
    count = int((length - first) / spacing + _FINE) + 1 if first <= length else 0
    return tuple(first + index * spacing for index in range(count))

"""Lights: clearances and the storage space of the National Electrical Code."""

from __future__ import annotations

import pytest

from optimizer.domain.room import Luminaire
from optimizer.reference.lights import (
    is_allowed,
    light_clearance,
)
from optimizer.units import MM_PER_INCH, Units


@pytest.mark.parametrize(
    ("luminaire", "inches"),
    [
        (Luminaire.SURFACE_ENCLOSED, 12.0),
        (Luminaire.SURFACE_FLUORESCENT, 6.0),
        (Luminaire.RECESSED_ENCLOSED, 6.0),
        (Luminaire.RECESSED_FLUORESCENT, 6.0),
        (Luminaire.OPEN_LAMP, 12.0),
    ],
)
def test_clearance(luminaire: Luminaire, inches: float) -> None:
    """NEC 2017, 410.16(C); an open lamp gets the largest, in both systems of units."""
    assert light_clearance(luminaire, Units.INCH) == inches
    assert light_clearance(luminaire, Units.MILLIMETRE) == pytest.approx(
        inches * MM_PER_INCH, rel=1e-6
    )


def test_only_open_lamps_are_forbidden() -> None:
    """NEC 410.16(B): no open or partly enclosed incandescent lamps."""
    forbidden = [kind for kind in Luminaire if not is_allowed(kind)]
    assert forbidden == [Luminaire.OPEN_LAMP]

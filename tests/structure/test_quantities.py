"""Caulk and weights."""

from __future__ import annotations

import pytest

from optimizer.domain.construction import Construction, Material
from optimizer.structure.quantities import (
    Bead,
    board_weight,
    cartridge_volume,
    cartridges,
    caulk_length,
    sheet_weight,
)
from optimizer.units import KG_PER_LB, MM_PER_INCH, Units


def test_cartridge_volume() -> None:
    """10.1 fl oz is 18.23 cu in: a US gallon is 231 cu in exactly (computed)."""
    assert cartridge_volume() == pytest.approx(18.23, abs=0.005)


@pytest.mark.parametrize(
    ("bead", "size", "feet", "within"),
    [
        (Bead.SQUARE, 1 / 4, 24.3, 0.05),
        (Bead.ROUND, 1 / 4, 30.9, 0.05),
        (Bead.FILLET, 3 / 16, 86.0, 0.5),
    ],
)
def test_caulk_length(bead: Bead, size: float, feet: float, within: float) -> None:
    """One cartridge: 1/4 in square 24.3 ft, 1/4 in round 30.9, 3/16 in fillet 86 (computed)."""
    assert caulk_length(bead, size, Units.INCH) / 12.0 == pytest.approx(feet, abs=within)


def test_cartridges_are_whole() -> None:
    """Just one length is one cartridge, a bit more is two, nothing is none."""
    one = caulk_length(Bead.SQUARE, 0.25, Units.INCH)
    lengths = (0.0, 1.0, one, one + 1.0)
    counts = [cartridges(length, Bead.SQUARE, 0.25, Units.INCH) for length in lengths]
    assert counts == [0, 1, 1, 2]


def test_sheet_weight() -> None:
    """A 4 x 8 ft sheet of 3/4 in MDF at 48 lb/cu ft weighs 96 lb (computed)."""
    assert sheet_weight(Construction(), Units.INCH) == pytest.approx(96.0)


def test_weights_agree_between_units() -> None:
    """The same board in millimetres weighs the same, in kilograms."""
    inches = board_weight(Material.PLYWOOD, 60.0, 12.0, 0.75, Units.INCH)
    sizes = [size * MM_PER_INCH for size in (60.0, 12.0, 0.75)]
    metric = board_weight(Material.PLYWOOD, *sizes, units=Units.MILLIMETRE)
    assert metric == pytest.approx(inches * KG_PER_LB, rel=1e-6)


def test_caulk_agrees_between_units() -> None:
    """The same bead in millimetres runs equally far."""
    inch = caulk_length(Bead.FILLET, 0.25, Units.INCH)
    metric = caulk_length(Bead.FILLET, 0.25 * MM_PER_INCH, Units.MILLIMETRE)
    assert metric == pytest.approx(inch * MM_PER_INCH, rel=1e-6)

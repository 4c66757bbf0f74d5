"""Checks of one shelf, rod or upright as the build pack reports them."""

from __future__ import annotations

import math

import pytest

from optimizer.domain.construction import Construction, Material, RodStock
from optimizer.structure.checks import rod_check, shelf_check
from optimizer.structure.sections import built_up, rectangle
from optimizer.structure.uprights import bay_load, buckling_load, upright_check
from optimizer.units import KG_PER_LB, MM_PER_INCH, Units


def test_shelf_check_on_the_example_board() -> None:
    """36 in, 12 x 3/4 in MDF at 24 psf (2 lb/in): 0.2074 in at first, twice that in time.

    0.331 in at first with the 313,300 psi of ANSI A208.2 grade 130, 0.0415 in clamped.
    """
    rules = Construction(shelf_load=24.0)
    check = shelf_check(rules, Units.INCH, 12.0, 36.0, stiffened=False)
    assert check.sag == pytest.approx(0.20736)
    assert check.sag_clamped == pytest.approx(0.041472)
    assert check.sag_lasting == pytest.approx(0.41472)
    assert check.sag_lasting_low == pytest.approx(2 * 0.331, abs=1e-3)
    assert check.limit == pytest.approx(0.25)
    assert check.passes is False


def test_sag_in_all_counts_own_weight_and_shear() -> None:
    """Own weight of 0.25 lb/in, and shear 2.25 x 36 x 36 / (8 x 31250 x 7.5), added, doubled."""
    rules = Construction(shelf_load=24.0)
    check = shelf_check(rules, Units.INCH, 12.0, 36.0, stiffened=False)
    bending = 0.20736 * 2.25 / 2.0
    shear = 2.25 * 36.0 * 36.0 / (8.0 * 31_250.0 * 7.5)
    assert check.sag_in_all == pytest.approx(2.0 * (bending + shear))


def test_stress_share_of_the_example_board() -> None:
    """288 psi from the load, 324 with own weight, over 5,200 psi (Wood Handbook Table 12-1)."""
    check = shelf_check(Construction(shelf_load=24.0), Units.INCH, 12.0, 36.0, stiffened=False)
    assert check.stress_share == pytest.approx(324.0 / 5200.0)


def test_stock_without_a_second_figure_shows_no_range() -> None:
    """Pine has one published stiffness here."""
    rules = Construction(material=Material.WHITE_PINE)
    check = shelf_check(rules, Units.INCH, 12.0, 36.0, stiffened=False)
    assert check.sag_lasting_low is None


def test_rod_checks_at_48_inches() -> None:
    """20 lb/ft: tube 0.102 in and no creep, dowel 0.80 in and twice that in time (computed)."""
    tube = rod_check(Construction(), Units.INCH, 48.0)
    dowel = rod_check(Construction(rod_stock=RodStock.WOOD_DOWEL), Units.INCH, 48.0)
    assert tube.sag == pytest.approx(0.102, abs=5e-4)
    assert tube.sag_lasting == tube.sag
    assert dowel.sag == pytest.approx(0.80, abs=5e-3)
    assert dowel.sag_lasting == 2.0 * dowel.sag
    assert (tube.passes, dowel.passes) == (True, False)


def test_rod_stress() -> None:
    """Tube at 48 in under 20 lb/ft: 480 lb-in on 0.0593 cu in is 8,100 psi; own weight 3 % more."""
    check = rod_check(Construction(), Units.INCH, 48.0)
    assert check.stress_share * 30_000.0 == pytest.approx(8100.0 * 1.033, rel=5e-3)


def test_checks_agree_between_units() -> None:
    """A shelf in millimetres sags as far as in inches."""
    inch = shelf_check(Construction(), Units.INCH, 12.0, 30.0, stiffened=True)
    same = Construction.model_construct(
        **{
            **Construction().__dict__,
            "panel_thickness": 0.75 * MM_PER_INCH,
            "stiffener_height": 1.5 * MM_PER_INCH,
            "shelf_load": 15.0 * KG_PER_LB / 0.3048**2,
            "rod_load": 20.0 * KG_PER_LB / 0.3048,
        }
    )
    mm = Units.MILLIMETRE
    metric = shelf_check(same, mm, 12 * MM_PER_INCH, 30 * MM_PER_INCH, stiffened=True)
    assert metric.sag_in_all == pytest.approx(inch.sag_in_all * MM_PER_INCH, rel=1e-6)
    assert metric.stress_share == pytest.approx(inch.stress_share, rel=1e-6)
    rod_inch, rod_mm = rod_check(Construction(), Units.INCH, 48.0), rod_check(same, mm, 1219.2)
    assert rod_mm.sag_in_all == pytest.approx(rod_inch.sag_in_all * MM_PER_INCH, rel=1e-6)


def test_bay_load() -> None:
    """36 in bay: one 12 in shelf at 15 + 3 psf is 54 lb; a rod at 20 lb/ft 60 lb and its weight."""
    shelf = bay_load(Construction(), Units.INCH, 36.0, [12.0], 0)
    with_rod = bay_load(Construction(), Units.INCH, 36.0, [12.0], 1)
    assert shelf == pytest.approx(54.0)
    tube = math.pi * (1.3125**2 - 1.2145**2) / 4.0 * 0.284 * 36.0
    assert with_rod - shelf == pytest.approx(60.0 + tube)


def test_upright_between_two_bays() -> None:
    """Half of each bay stands on it: 54 lb twice over 18 sq in is 3 psi of the 425 allowed."""
    check = upright_check(
        Construction(), Units.INCH, 24.0, 40.0, [(36.0, [12.0], 0), (36.0, [12.0], 0)]
    )
    assert check.load == pytest.approx(54.0)
    assert check.bearing_share == pytest.approx(3.0 / 425.0)
    # Euler with E halved for creep: pi^2 x 250,000 x 24 x 0.75^3 / 12 / 40^2 = 1,301 lb.
    assert check.buckling_share == pytest.approx(54.0 / 1301.0, rel=1e-3)
    assert check.passes is True


def test_long_free_upright_buckles() -> None:
    """A 12 in upright free over 95 in, loaded like a library, fails in buckling."""
    rules = Construction(shelf_load=200.0)
    check = upright_check(rules, Units.INCH, 12.0, 95.0, [(40.0, [12.0] * 6, 0)])
    assert check.buckling_share > 1.0
    assert check.passes is False


def test_buckling_load_is_eulers() -> None:
    """pi^2 E I / L^2 with E 1, a 12 x 1 in panel (I 1) and L pi is 1."""
    assert buckling_load(1.0, 12.0, 1.0, math.pi) == pytest.approx(1.0)


def test_built_up_of_two_halves_is_the_whole() -> None:
    """Two 1 in layers joined are one board of 2 in."""
    half, whole = rectangle(6.0, 1.0), rectangle(6.0, 2.0)
    joined = built_up(((half, 0.5), (half, 1.5)))
    assert joined.inertia == pytest.approx(whole.inertia)
    assert (joined.area, joined.below, joined.above) == (whole.area, 1.0, 1.0)
    assert joined.modulus == pytest.approx(whole.modulus)
    assert joined.height == whole.height

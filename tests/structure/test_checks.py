"""Checks of one shelf, rod or upright as the structural report tells them."""

from __future__ import annotations

import math

import pytest

from optimizer.domain.construction import Construction, Material, RodStock
from optimizer.structure.checks import Patch, rod_check, shelf_check
from optimizer.structure.loads import board_load_lb, rod_load_lb
from optimizer.structure.plates import free_edge, plate_rigidity
from optimizer.structure.sections import built_up, rectangle
from optimizer.structure.uprights import (
    column_load,
    free_heights,
    holding_load,
    strip_load,
    upright_check,
)
from optimizer.units import KG_PER_LB, MM_PER_INCH, Units

INCH = Units.INCH


def _metric(rules: Construction) -> Construction:
    """The same rules in millimetres and kilograms, not rounded."""
    lengths = {
        "panel_thickness",
        "stiffener_height",
        "cleat_thickness",
        "max_plain_span",
        "rod_support_spacing",
        "upright_hold",
    }
    values = dict(rules.__dict__)
    values |= {name: values[name] * MM_PER_INCH for name in lengths}
    values["shelf_load"] = rules.shelf_load * KG_PER_LB / 0.3048**2
    values["rod_load"] = rules.rod_load * KG_PER_LB / 0.3048
    return Construction.model_construct(**values)


def test_pine_shelf_is_a_simple_beam() -> None:
    """36 in, 12 x 3/4 in, 24 psf (2 lb/in), 0.64 x 1.24e6 psi: 5 W L^3 / (384 E I) x 1.48."""
    rules = Construction(shelf_load=24.0, material=Material.WHITE_PINE)
    check = shelf_check(rules, INCH, 12.0, 36.0)
    assert check.sag == pytest.approx(0.20736 * 0.5e6 / (0.64 * 1.24e6))
    assert check.sag_lasting == pytest.approx(1.48 * check.sag)
    assert check.sag_mean == pytest.approx(0.64 * check.sag_lasting)
    assert (check.limit, check.works_as) == (0.25, "beam")
    assert check.passes is True


def test_mdf_shelf_is_a_plate() -> None:
    """36 x 12 in at 24 psf: alpha(1/3) q a^4 / D, creep 2.8: 0.129 in where the beam had 0.928."""
    rules = Construction(shelf_load=24.0)
    check = shelf_check(rules, INCH, 12.0, 36.0)
    rigidity = plate_rigidity(313_300.0, 0.75, 0.3)
    by_hand = free_edge(1 / 3, 0.3).deflection * 24 / 144 * 36**4 / rigidity
    assert check.sag == pytest.approx(by_hand)
    assert check.sag_lasting == pytest.approx(2.8 * by_hand)
    assert check.works_as == "plate"


def test_a_given_creep_factor_overrides() -> None:
    """Creep 2 asked for, creep 2 reckoned with."""
    check = shelf_check(Construction(creep_factor=2.0), INCH, 12.0, 36.0)
    assert check.sag_lasting == pytest.approx(2.0 * check.sag)


def test_stiffener_never_makes_it_worse() -> None:
    """The stiffer of plate and stiffened beam counts."""
    for depth, span, works in ((8.0, 48.0, "plate"), (24.0, 40.0, "stiffened beam")):
        plain = shelf_check(Construction(), INCH, depth, span)
        front = shelf_check(Construction(), INCH, depth, span, stiffened=True)
        assert front.sag <= plain.sag
        assert front.works_as == works


def test_sag_in_all_counts_own_weight() -> None:
    """3 psf of MDF beside 24 psf."""
    check = shelf_check(Construction(shelf_load=24.0), INCH, 12.0, 36.0)
    assert check.sag_in_all == pytest.approx(check.sag_lasting * 27.0 / 24.0)


def test_stress_share_of_a_beam() -> None:
    """White pine, 24 and 1.53 psf: 306 psi or so of a third of 8,600 psi."""
    rules = Construction(shelf_load=24.0, material=Material.WHITE_PINE)
    check = shelf_check(rules, INCH, 12.0, 36.0)
    load = (24.0 + 24.5 / 16.0) / 144.0 * 12.0
    stress = load * 36.0**2 / 8.0 / (12.0 * 0.75**2 / 6.0)
    assert check.stress_share == pytest.approx(stress / (8600.0 / 3.0))


@pytest.mark.parametrize("material", [Material.MDF, Material.PLYWOOD])
def test_patch_of_the_next_wall_bends_the_board_more(material: Material) -> None:
    """27 lb on 12 in of the front edge: more sag and stress; none brought, none more."""
    rules = Construction(material=material)
    plain = shelf_check(rules, INCH, 12.0, 30.0)
    patched = shelf_check(rules, INCH, 12.0, 30.0, patch=Patch(12.0, 27.0))
    assert patched.sag > plain.sag and patched.stress_share > plain.stress_share
    assert shelf_check(rules, INCH, 12.0, 30.0, patch=Patch(12.0, 0.0)) == plain


def test_rod_checks_at_48_inches() -> None:
    """20 lb/ft: tube 0.102 in and no creep, dowel 0.80 in by its mean, 1.25 by its lowest."""
    tube = rod_check(Construction(), INCH, 48.0)
    dowel = rod_check(Construction(rod_stock=RodStock.WOOD_DOWEL), INCH, 48.0)
    assert tube.sag == pytest.approx(0.102, abs=5e-4)
    assert tube.sag_lasting == tube.sag
    assert dowel.sag * 0.64 == pytest.approx(0.80, abs=5e-3)
    assert dowel.sag_lasting == pytest.approx(1.48 * dowel.sag)
    assert (tube.passes, dowel.passes) == (True, False)


def test_rod_stress() -> None:
    """Tube at 48 in under 20 lb/ft: 8,100 psi and 3 % of own weight, of 0.6 x 30,000 psi."""
    check = rod_check(Construction(), INCH, 48.0)
    assert check.stress_share * 0.6 * 30_000.0 == pytest.approx(8100.0 * 1.033, rel=5e-3)


def test_checks_agree_between_units() -> None:
    """A shelf and a rod in millimetres sag as far as in inches."""
    rules = Construction()
    inch = shelf_check(rules, INCH, 12.0, 30.0, stiffened=True)
    same, mm = _metric(rules), Units.MILLIMETRE
    metric = shelf_check(same, mm, 12 * MM_PER_INCH, 30 * MM_PER_INCH, stiffened=True)
    assert metric.sag_in_all == pytest.approx(inch.sag_in_all * MM_PER_INCH, rel=1e-6)
    assert metric.stress_share == pytest.approx(inch.stress_share, rel=1e-6)
    rod_inch, rod_mm = rod_check(rules, INCH, 48.0), rod_check(same, mm, 1219.2)
    assert rod_mm.sag_in_all == pytest.approx(rod_inch.sag_in_all * MM_PER_INCH, rel=1e-6)
    load = holding_load(same, mm, 12 * MM_PER_INCH, 40 * MM_PER_INCH)
    assert load == pytest.approx(holding_load(rules, INCH, 12.0, 40.0), rel=1e-6)


def test_loads_of_boards_and_rods() -> None:
    """36 in: a 12 in shelf at 15 + 3 psf is 54 lb, items of 80 lb make it 89; a rod 60 lb."""
    assert board_load_lb(Construction(), INCH, 12.0, 36.0) == pytest.approx(54.0)
    assert board_load_lb(Construction(), INCH, 12.0, 36.0, 80.0) == pytest.approx(89.0)
    tube = math.pi * (1.3125**2 - 1.2145**2) / 4.0 * 0.284 * 36.0
    assert rod_load_lb(Construction(), INCH, 36.0) == pytest.approx(60.0 + tube)


def test_column_load_is_eulers() -> None:
    """pi^2 E I / L^2 with E 1, a 12 x 1 in panel (I 1) and L pi is 1."""
    assert column_load(1.0, 12.0, 1.0, math.pi) == pytest.approx(1.0)


def test_strip_with_a_free_edge() -> None:
    """A long strip: 0.425 pi^2 E / (12 (1 - nu^2)) (t / b)^2; a square one has k 1.425."""
    long = strip_load(1.0, 10.0, 1.0, 1e6) / 10.0
    assert long == pytest.approx(0.425 * math.pi**2 / 12.0 / 0.91 * 0.01)
    square = strip_load(1.0, 10.0, 1.0, 10.0) / 10.0
    assert square == pytest.approx(1.425 * math.pi**2 / 12.0 / 0.91 * 0.01)


def test_upright_holds_by_hand() -> None:
    """24 in deep, 83 in free, MDF 313,300 / 2.8 psi, factor 2: strip 271 lb, column 398 lb."""
    strip = strip_load(313_300 / 2.8, 24.0, 0.75, 83.0) / 2.0
    column = column_load(313_300 / 2.8, 24.0, 0.75, 32.0) / 2.0
    held = holding_load(Construction(), INCH, 24.0, 83.0)
    assert held == pytest.approx(min(strip, column))
    assert strip == pytest.approx(
        (0.425 + (24 / 83) ** 2) * math.pi**2 * 313_300 / 2.8 / 10.92 * (0.75 / 24) ** 2 * 18 / 2
    )


def test_loads_press_only_below_where_they_enter() -> None:
    """A rod at 40 in between boards at 12 and 80 presses the free height it is in, and below."""
    loads = [(80.0, 50.0), (40.0, 30.0), (12.0, 20.0)]
    check = upright_check(Construction(), INCH, 24.0, [12.0, 80.0], loads)
    assert check.load == 100.0
    assert (check.free, check.pressed) == (68.0, 80.0)
    assert check.held == pytest.approx(holding_load(Construction(), INCH, 24.0, 68.0))
    assert check.buckling_share == pytest.approx(80.0 / check.held)
    assert check.bearing_share == pytest.approx(100.0 / 18.0 / 425.0)


def test_a_low_rod_presses_only_the_foot() -> None:
    """Under a board at 42 in, a rod at 38 in adds nothing to the free height above."""
    low = upright_check(
        Construction(), INCH, 24.0, [42.0, 90.0], [(90.0, 90.0), (42.0, 20.0), (38.0, 40.0)]
    )
    above = upright_check(Construction(), INCH, 24.0, [42.0, 90.0], [(90.0, 90.0)])
    assert above.free == 48.0
    foot = 150.0 / holding_load(Construction(), INCH, 24.0, 42.0)
    assert low.buckling_share == pytest.approx(max(foot, above.buckling_share))


def test_free_heights_from_the_floor_up() -> None:
    """Equal levels count once."""
    assert free_heights([30.0, 12.0, 30.0]) == ((0.0, 12.0), (12.0, 30.0))


@pytest.mark.parametrize(
    ("change", "better"),
    [
        ({"safety_factor": 1.0}, 2.0),
        ({"creep_factor": 1.4}, 2.0),
        ({"upright_hold": 16.0}, None),
    ],
)
def test_what_an_upright_holds_follows_the_rules(
    change: dict[str, float], better: float | None
) -> None:
    """Half the factor or half the creep doubles it; holds nearer together never make it less."""
    before = holding_load(Construction(), INCH, 12.0, 80.0)
    after = holding_load(Construction(**change), INCH, 12.0, 80.0)
    if better is None:
        assert after > before
    else:
        assert after == pytest.approx(better * before)


def test_built_up_of_two_halves_is_the_whole() -> None:
    """Two 1 in layers joined are one board of 2 in."""
    half, whole = rectangle(6.0, 1.0), rectangle(6.0, 2.0)
    joined = built_up(((half, 0.5), (half, 1.5)))
    assert joined.inertia == pytest.approx(whole.inertia)
    assert (joined.area, joined.below, joined.above) == (whole.area, 1.0, 1.0)
    assert joined.modulus == pytest.approx(whole.modulus)
    assert joined.height == whole.height

"""What must hold of limits of span whatever the load, stock and depth."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.domain.construction import Construction, Material, RodStock
from optimizer.structure.checks import rod_check, shelf_check
from optimizer.structure.limits import FARTHEST_IN, bearing, rod_sag_limits, shelf_sag_limits
from optimizer.structure.spans import rod_span_limit, shelf_span_limit
from optimizer.units import KG_PER_LB, MM_PER_INCH, Units

MATERIALS = st.sampled_from(list(Material))
BEAMS = st.sampled_from([Material.PLYWOOD, Material.WHITE_PINE, Material.PONDEROSA_PINE])
LOADS = st.floats(5.0, 200.0)
THICKNESSES = st.floats(0.375, 1.5)
DEPTHS = st.floats(6.0, 30.0)
BOARDS = st.tuples(MATERIALS, LOADS, DEPTHS, st.booleans())
"""Material, load, depth, and whether stiffened."""


def _by_sag(rules: Construction, depth: float, *, stiffened: bool) -> float:
    """Longest span by sag alone."""
    return shelf_sag_limits(rules, Units.INCH, depth, stiffened=stiffened)[0]


@given(MATERIALS, LOADS, st.floats(1.01, 3.0), DEPTHS, st.booleans())
def test_span_falls_with_load(
    material: Material, load: float, factor: float, depth: float, stiffened: bool
) -> None:
    """More load, shorter span."""
    light = Construction(material=material, shelf_load=load)
    heavy = Construction(material=material, shelf_load=load * factor)
    before = _by_sag(light, depth, stiffened=stiffened)
    assert _by_sag(heavy, depth, stiffened=stiffened) <= before
    if before < FARTHEST_IN:
        assert _by_sag(heavy, depth, stiffened=stiffened) < before


@given(BEAMS, LOADS, st.floats(1.01, 3.0), DEPTHS, st.booleans())
def test_span_of_a_beam_falls_by_the_cube_root(
    material: Material, load: float, factor: float, depth: float, stiffened: bool
) -> None:
    """Plywood and pine: by the cube root of the factor of the load."""
    light = Construction(material=material, shelf_load=load)
    heavy = Construction(material=material, shelf_load=load * factor)
    before = _by_sag(light, depth, stiffened=stiffened)
    after = _by_sag(heavy, depth, stiffened=stiffened)
    assert after == pytest.approx(before / factor ** (1 / 3))


@given(LOADS, DEPTHS)
def test_shallower_plates_span_more(load: float, depth: float) -> None:
    """The back holds the front edge of a shallow board better."""
    rules = Construction(shelf_load=load)
    plate = _by_sag(rules, depth, stiffened=False)
    assert _by_sag(rules, depth * 0.8, stiffened=False) > plate or plate >= FARTHEST_IN
    assert shelf_check(rules, Units.INCH, depth, plate).works_as == "plate"


@given(BOARDS, THICKNESSES, st.floats(1.01, 2.0))
def test_span_grows_with_thickness(
    board: tuple[Material, float, float, bool], thickness: float, factor: float
) -> None:
    """Thicker stock never spans less."""
    material, load, depth, stiffened = board
    thin = Construction(material=material, shelf_load=load, panel_thickness=thickness)
    thick = Construction(material=material, shelf_load=load, panel_thickness=thickness * factor)
    before = _by_sag(thin, depth, stiffened=stiffened)
    after = _by_sag(thick, depth, stiffened=stiffened)
    assert after > before or before >= FARTHEST_IN


@given(MATERIALS, LOADS, THICKNESSES, DEPTHS, st.floats(0.5, 4.0))
def test_stiffened_never_spans_less(
    material: Material, load: float, thickness: float, depth: float, height: float
) -> None:
    """A stiffener never takes span away, whatever its height."""
    rules = Construction(
        material=material, shelf_load=load, panel_thickness=thickness, stiffener_height=height
    )
    plain = shelf_span_limit(rules, Units.INCH, depth, stiffened=False)
    assert shelf_span_limit(rules, Units.INCH, depth, stiffened=True) >= plain


@given(BOARDS, st.floats(60.0, 400.0), st.floats(1.0, 3.0), st.floats(0.3, 2.0))
def test_check_agrees_with_the_limit(
    board: tuple[Material, float, float, bool], ratio: float, creep: float, share: float
) -> None:
    """At the limit of sag the lasting sag is span / ratio; on either side the check agrees."""
    material, load, depth, stiffened = board
    rules = Construction(
        material=material, shelf_load=load, deflection_ratio=ratio, creep_factor=creep
    )
    limit = _by_sag(rules, depth, stiffened=stiffened)
    if limit >= FARTHEST_IN:
        return
    at = shelf_check(rules, Units.INCH, depth, limit, stiffened=stiffened)
    assert at.sag_share == pytest.approx(1.0, rel=1e-6)
    check = shelf_check(rules, Units.INCH, depth, limit * share, stiffened=stiffened)
    if abs(share - 1.0) > 1e-6:
        assert check.passes is (share < 1.0)


@given(BEAMS, LOADS, DEPTHS, st.booleans())
def test_stress_at_its_limit_is_the_allowed_one(
    material: Material, load: float, depth: float, stiffened: bool
) -> None:
    """Own weight counted, a third of the strength."""
    rules = Construction(material=material, shelf_load=load)
    limit = shelf_sag_limits(rules, Units.INCH, depth, stiffened=stiffened)[1]
    check = shelf_check(rules, Units.INCH, depth, limit, stiffened=stiffened)
    assert check.stress_share == pytest.approx(1.0)


@given(LOADS, st.sampled_from(list(RodStock)), st.floats(60.0, 400.0), st.floats(0.3, 2.0))
def test_rod_check_agrees_with_its_limit(
    load: float, stock_of_rod: RodStock, ratio: float, share: float
) -> None:
    """A rod passes exactly up to its limits of sag and stress."""
    rules = Construction(rod_stock=stock_of_rod, rod_load=load, deflection_ratio=ratio)
    sag, stress = rod_sag_limits(rules, Units.INCH)
    check = rod_check(rules, Units.INCH, sag * share)
    if abs(share - 1.0) > 1e-6:
        assert check.passes is (share < 1.0)
    assert rod_check(rules, Units.INCH, stress).stress_share == pytest.approx(1.0)
    assert rod_span_limit(rules, Units.INCH) == min(48.0, sag, stress)


@given(BOARDS, st.floats(10.0, 60.0), st.floats(10.0, 60.0), st.sampled_from(["level", "free"]))
def test_practice_caps_pieces(
    board: tuple[Material, float, float, bool], plain: float, spacing: float, line: str
) -> None:
    """Plain pieces by `max_plain_span`, stiffened ones and rods by `rod_support_spacing`."""
    material, load, depth, stiffened = board
    rules = Construction(
        material=material,
        shelf_load=load,
        max_plain_span=plain,
        rod_support_spacing=spacing,
        top_line=line,
    )
    physics = min(shelf_sag_limits(rules, Units.INCH, depth, stiffened=stiffened))
    piece = shelf_span_limit(rules, Units.INCH, depth, stiffened=stiffened)
    assert piece == min(spacing if stiffened else plain, physics + bearing(rules))
    assert rod_span_limit(rules, Units.INCH) <= spacing


@given(BOARDS, THICKNESSES, st.sampled_from(list(RodStock)))
def test_units_agree(
    board: tuple[Material, float, float, bool], thickness: float, stock_of_rod: RodStock
) -> None:
    """The same rules in millimetres and kilograms give the same spans to 1e-6."""
    material, load, depth, stiffened = board
    inch = Construction(
        material=material, shelf_load=load, panel_thickness=thickness, rod_stock=stock_of_rod
    )
    lengths = (
        "panel_thickness",
        "stiffener_height",
        "max_plain_span",
        "rod_support_spacing",
        "cleat_thickness",
    )
    metric = Construction.model_construct(
        **{
            **inch.__dict__,
            **{name: getattr(inch, name) * MM_PER_INCH for name in lengths},
            "shelf_load": load * KG_PER_LB / 0.3048**2,
            "rod_load": inch.rod_load * KG_PER_LB / 0.3048,
        }
    )
    shelf = shelf_span_limit(inch, Units.INCH, depth, stiffened=stiffened)
    shelf_mm = shelf_span_limit(metric, Units.MILLIMETRE, depth * MM_PER_INCH, stiffened=stiffened)
    assert shelf_mm == pytest.approx(shelf * MM_PER_INCH, rel=1e-6)
    rod_mm = rod_span_limit(metric, Units.MILLIMETRE)
    assert rod_mm == pytest.approx(rod_span_limit(inch, Units.INCH) * MM_PER_INCH, rel=1e-6)

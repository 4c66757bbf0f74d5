"""What must hold of span limits whatever the load, stock and depth."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.domain.construction import Construction, Material, RodStock
from optimizer.reference.materials import rod, stock
from optimizer.structure.beams import deflection
from optimizer.structure.checks import rod_check, shelf_check
from optimizer.structure.loads import area_load_psi, line_load_lb_in
from optimizer.structure.spans import (
    rod_creep,
    rod_span_limit,
    shelf_section,
    shelf_span_limit,
)
from optimizer.units import KG_PER_LB, MM_PER_INCH, Units

MATERIALS = st.sampled_from(list(Material))
LOADS = st.floats(5.0, 200.0)
THICKNESSES = st.floats(0.375, 1.5)
DEPTHS = st.floats(6.0, 30.0)
BOARDS = st.tuples(MATERIALS, LOADS, DEPTHS, st.booleans())
"""Material, load, depth, and whether stiffened."""

WIDE = 1100.0
"""A bay width that never binds, so that the physics shows."""


def _rules(**changes: object) -> Construction:
    return Construction.model_validate({"max_bay_width": WIDE, **changes})


@given(MATERIALS, LOADS, st.floats(1.01, 3.0), DEPTHS, st.booleans())
def test_span_falls_with_load(
    material: Material, load: float, factor: float, depth: float, stiffened: bool
) -> None:
    """More load, shorter span: by the cube root of the factor."""
    light = _rules(material=material, shelf_load=load)
    heavy = _rules(material=material, shelf_load=load * factor)
    before = shelf_span_limit(light, Units.INCH, depth, stiffened=stiffened)
    after = shelf_span_limit(heavy, Units.INCH, depth, stiffened=stiffened)
    assert after == pytest.approx(before / factor ** (1 / 3))


@given(BOARDS, THICKNESSES, st.floats(1.01, 2.0))
def test_span_grows_with_thickness(
    board: tuple[Material, float, float, bool], thickness: float, factor: float
) -> None:
    """Thicker stock never spans less; a plain board in proportion to its thickness."""
    material, load, depth, stiffened = board
    thin = _rules(material=material, shelf_load=load, panel_thickness=thickness)
    thick = _rules(material=material, shelf_load=load, panel_thickness=thickness * factor)
    before = shelf_span_limit(thin, Units.INCH, depth, stiffened=stiffened)
    after = shelf_span_limit(thick, Units.INCH, depth, stiffened=stiffened)
    assert after > before
    if not stiffened:
        assert after == pytest.approx(before * factor)


@given(MATERIALS, LOADS, THICKNESSES, DEPTHS, st.floats(0.5, 4.0))
def test_stiffened_never_spans_less(
    material: Material, load: float, thickness: float, depth: float, height: float
) -> None:
    """A stiffener adds span, whatever its height."""
    rules = _rules(
        material=material, shelf_load=load, panel_thickness=thickness, stiffener_height=height
    )
    plain = shelf_span_limit(rules, Units.INCH, depth, stiffened=False)
    assert shelf_span_limit(rules, Units.INCH, depth, stiffened=True) > plain


@given(BOARDS, st.floats(60.0, 400.0), st.floats(1.0, 3.0))
def test_sag_at_the_limit_is_the_allowed_one(
    board: tuple[Material, float, float, bool], ratio: float, creep: float
) -> None:
    """At the span limit the lasting sag is span / ratio."""
    material, load, depth, stiffened = board
    rules = _rules(material=material, shelf_load=load, deflection_ratio=ratio, creep_factor=creep)
    span = shelf_span_limit(rules, Units.INCH, depth, stiffened=stiffened)
    section = shelf_section(rules, Units.INCH, depth, stiffened=stiffened)
    whole = area_load_psi(load, Units.INCH) * depth * span
    sag = deflection(whole, span, stock(material).modulus * section.inertia) * creep
    assert sag == pytest.approx(span / ratio)


@given(LOADS, st.sampled_from(list(RodStock)), st.floats(60.0, 400.0))
def test_rod_within_its_limit_sags_no_more_than_allowed(
    load: float, stock_of_rod: RodStock, ratio: float
) -> None:
    """At the rod's limit the sag is span / ratio, or less where 48 in binds."""
    rules = _rules(rod_stock=stock_of_rod, rod_load=load, deflection_ratio=ratio)
    span = rod_span_limit(rules, Units.INCH)
    chosen = rod(stock_of_rod)
    whole = line_load_lb_in(load, Units.INCH) * span
    sag = deflection(whole, span, chosen.modulus * chosen.inertia) * rod_creep(chosen, rules)
    assert span <= 48.0
    if span < 48.0:
        assert sag == pytest.approx(span / ratio)
    else:
        assert sag <= span / ratio * (1 + 1e-9)


@given(st.floats(10.0, 60.0))
def test_never_above_the_widest_bay(widest: float) -> None:
    """`max_bay_width` caps shelves and rods alike."""
    rules = Construction(max_bay_width=widest)
    assert shelf_span_limit(rules, Units.INCH, 12.0, stiffened=True) <= widest
    assert rod_span_limit(rules, Units.INCH) == min(widest, 48.0)


@given(BOARDS, THICKNESSES, st.sampled_from(list(RodStock)))
def test_units_agree(
    board: tuple[Material, float, float, bool], thickness: float, stock_of_rod: RodStock
) -> None:
    """The same rules in millimetres and kilograms give the same spans to 1e-6."""
    material, load, depth, stiffened = board
    inch = Construction(
        material=material, shelf_load=load, panel_thickness=thickness, rod_stock=stock_of_rod
    )
    metric = Construction.model_construct(
        **{
            **inch.__dict__,
            "panel_thickness": thickness * MM_PER_INCH,
            "stiffener_height": inch.stiffener_height * MM_PER_INCH,
            "max_bay_width": inch.max_bay_width * MM_PER_INCH,
            "shelf_load": load * KG_PER_LB / 0.3048**2,
            "rod_load": inch.rod_load * KG_PER_LB / 0.3048,
        }
    )
    shelf = shelf_span_limit(inch, Units.INCH, depth, stiffened=stiffened)
    shelf_mm = shelf_span_limit(metric, Units.MILLIMETRE, depth * MM_PER_INCH, stiffened=stiffened)
    assert shelf_mm == pytest.approx(shelf * MM_PER_INCH, rel=1e-6)
    rod_mm = rod_span_limit(metric, Units.MILLIMETRE)
    assert rod_mm == pytest.approx(rod_span_limit(inch, Units.INCH) * MM_PER_INCH, rel=1e-6)


@given(MATERIALS, LOADS, DEPTHS, st.booleans(), st.floats(0.2, 3.0))
def test_check_passes_exactly_within_the_limit(
    material: Material, load: float, depth: float, stiffened: bool, share: float
) -> None:
    """A shelf check agrees with the span limit on either side of it."""
    rules = _rules(material=material, shelf_load=load)
    limit = shelf_span_limit(rules, Units.INCH, depth, stiffened=stiffened)
    check = shelf_check(rules, Units.INCH, depth, limit * share, stiffened=stiffened)
    if abs(share - 1.0) > 1e-6:
        assert check.passes is (share < 1.0)
    assert check.sag_lasting == pytest.approx(check.limit * share**3)


@given(st.floats(5.0, 100.0), st.floats(10.0, 60.0))
def test_rod_check_agrees_with_its_limit(load: float, span: float) -> None:
    """A dowel passes exactly up to its limit."""
    rules = _rules(rod_stock="wood_dowel", rod_load=load)
    limit = rod_span_limit(rules, Units.INCH)
    if limit < 48.0 and abs(span - limit) > 1e-6:
        assert rod_check(rules, Units.INCH, span).passes is (span < limit)

"""Published span and beam examples, each with its source."""

from __future__ import annotations

import math

import pytest

from optimizer.domain.construction import Construction, Material, RodStock
from optimizer.reference.materials import stock
from optimizer.structure.beams import (
    COEFFICIENTS,
    Ends,
    Loading,
    bending_stress,
    deflection,
    largest_moment,
)
from optimizer.structure.limits import shelf_sag_limits
from optimizer.structure.sections import rectangle
from optimizer.structure.spans import rod_span_limit, shelf_span_limit, span_at_ratio
from optimizer.units import Units

# Architectural Woodwork Standards, 1st ed. 2009, 4.4.14.10: longest simple span at L/144.
# Columns: thickness [in], E [psi], load [psf], closed form [in], printed row [in].
AWS_ROWS = [
    (0.75, 0.95e6, 40.0, 40.03, 40.0),
    (0.75, 0.95e6, 50.0, 37.16, 37.0),
    (1.00, 0.95e6, 40.0, 53.37, 53.0),
    (1.00, 0.95e6, 50.0, 49.54, 49.0),
    (0.75, 1.80e6, 40.0, 49.53, 49.0),
    (0.75, 1.80e6, 50.0, 45.98, 46.0),
    (1.00, 1.80e6, 40.0, 66.04, 66.0),
    (1.00, 1.80e6, 50.0, 61.30, 61.0),
]


def _span(thickness: float, modulus: float, psf: float) -> float:
    """Span [in] of a board 12 in deep at L/144 without creep."""
    board = rectangle(12.0, thickness)
    return span_at_ratio(modulus * board.inertia, psf / 144.0 * 12.0, 144.0)


@pytest.mark.parametrize(("thickness", "modulus", "psf", "closed", "printed"), AWS_ROWS)
def test_span_table_of_woodwork_standards(
    thickness: float, modulus: float, psf: float, closed: float, printed: float
) -> None:
    """Every row of AWS 2009, 4.4.14.10; its rounding is mixed, hence -0.8 to +0.1 in."""
    span = _span(thickness, modulus, psf)
    assert span == pytest.approx(closed, abs=0.01)
    assert -0.8 <= printed - span <= 0.1


def test_span_table_with_the_second_modulus() -> None:
    """AWS 2009, 4.4.14.10, E 1.82e6 psi: the same printed rows as 1.8e6 within its rounding."""
    spans = [_span(0.75, 1.82e6, 40), _span(0.75, 1.82e6, 50), _span(1, 1.82e6, 40)]
    for span, printed in zip(spans, (49.0, 46.0, 66.0), strict=True):
        assert -0.8 <= printed - span <= 0.1


@pytest.mark.parametrize(
    ("ends", "loading", "bending", "shear"),
    [
        (Ends.SIMPLE, Loading.UNIFORM, 5 / 384, 1 / 8),
        (Ends.CLAMPED, Loading.UNIFORM, 1 / 384, 1 / 8),
        (Ends.SIMPLE, Loading.POINT, 1 / 48, 1 / 4),
        (Ends.CLAMPED, Loading.POINT, 1 / 192, 1 / 4),
        (Ends.CANTILEVER, Loading.UNIFORM, 1 / 8, 1 / 2),
        (Ends.CANTILEVER, Loading.POINT, 1 / 3, 1.0),
    ],
)
def test_coefficients_of_wood_handbook(
    ends: Ends, loading: Loading, bending: float, shear: float
) -> None:
    """Wood Handbook FPL-GTR-190, Equation 9-1 and Table 9-1, both terms of the equation."""
    load, span, rigidity, shear_stiffness = 70.0, 30.0, 2.0e5, 4.0e4
    whole = bending * load * span**3 / rigidity + shear * load * span / shear_stiffness
    actual = deflection(load, span, rigidity, ends, loading, shear=shear_stiffness)
    assert actual == pytest.approx(whole, rel=1e-12)
    assert COEFFICIENTS[ends, loading].bending == bending


# 36 in span, board 12 x 3/4 in, E 0.5e6 psi, 2 lb/in: computed, and agreed by three beam packages.
BOARD = rectangle(12.0, 0.75)
RIGIDITY = 0.5e6 * BOARD.inertia


def test_example_board_deflections() -> None:
    """Worked example: 0.20736 in simply supported, 0.04147 in clamped."""
    assert deflection(72.0, 36.0, RIGIDITY) == pytest.approx(0.20736, abs=5e-6)
    assert deflection(72.0, 36.0, RIGIDITY, Ends.CLAMPED) == pytest.approx(0.04147, abs=5e-6)


def test_example_board_moment_and_stress() -> None:
    """Worked example: 324 lb-in and 288 psi at midspan."""
    moment = largest_moment(72.0, 36.0)
    assert moment == pytest.approx(324.0)
    assert bending_stress(moment, BOARD) == pytest.approx(288.0)


def test_example_board_with_the_lowest_published_stiffness() -> None:
    """With the 313,300 psi of ANSI A208.2 grade 130 (from memory) it sags 0.331 in."""
    low = stock(Material.MDF).modulus_low
    assert low == 313_300.0
    assert deflection(72.0, 36.0, low * BOARD.inertia) == pytest.approx(0.331, abs=5e-4)


@pytest.mark.parametrize(("psf", "expected"), [(15.0, 44.8), (40.0, 32.3), (50.0, 30.0)])
def test_mdf_spans_without_creep(psf: float, expected: float) -> None:
    """3/4 in MDF at L/144 and E 0.5e6 psi: computed from the AWS loads and the KCMA test load."""
    board = rectangle(12.0, 0.75)
    assert span_at_ratio(0.5e6 * board.inertia, psf / 12.0, 144.0) == pytest.approx(
        expected, abs=0.06
    )


@pytest.mark.parametrize(
    ("depth", "by_sag"), [(12.0, 50.23), (14.0, 41.27), (16.0, 36.30), (24.0, 29.33)]
)
def test_default_mdf_spans(depth: float, by_sag: float) -> None:
    """3/4 in MDF at 15 psf, 313,300 psi, creep 2.8, as plates (computed; tests of plates)."""
    limits = shelf_sag_limits(Construction(), Units.INCH, depth, stiffened=False)
    assert limits[0] == pytest.approx(by_sag, abs=0.01)
    piece = shelf_span_limit(Construction(), Units.INCH, depth, stiffened=False)
    assert piece == min(36.0, limits[0])


def test_plywood_span_is_a_simple_beam() -> None:
    """L^3 = 384 x 1.01e6 x 0.421875 / (5 x 1.25 x 144 x 1.64) for 12 in: 48.0 in, 36 in used."""
    rules = Construction(material=Material.PLYWOOD)
    board = rectangle(12.0, 0.75)
    by_hand = math.cbrt(384 * 1.01e6 * board.inertia / (5 * 1.25 * 144 * 1.64))
    limits = shelf_sag_limits(rules, Units.INCH, 12.0, stiffened=False)
    assert limits[0] == pytest.approx(by_hand)
    assert shelf_span_limit(rules, Units.INCH, 12.0, stiffened=False) == 36.0


def test_pieces_lie_on_cleats_where_lines_are_free() -> None:
    """From cleat centre to cleat centre a piece is one thickness of cleat longer than its span."""
    deep = Construction(top_line="free"), Units.INCH, 24.0
    span = shelf_sag_limits(*deep, stiffened=False)[0]
    assert shelf_span_limit(*deep, stiffened=False) == pytest.approx(span + 0.75)


def test_rods_at_48_inches() -> None:
    """20 lb/ft over 48 in: tube 0.102 in, 1-1/4 in dowel 0.80 in (computed): a least dowel sags."""
    assert deflection(80.0, 48.0, 29.0e6 * 0.0389) == pytest.approx(0.102, abs=5e-4)
    assert deflection(80.0, 48.0, 1.2e6 * 0.1198) == pytest.approx(0.80, abs=5e-3)


def test_rod_limits() -> None:
    """A steel tube goes the 48 in of AWS 2009, 4.4.16; a dowel under lasting load 27.1 in."""
    assert rod_span_limit(Construction(), Units.INCH) == 48.0
    dowel = Construction(rod_stock=RodStock.WOOD_DOWEL)
    # L^3 = 384 x 0.64 x 1.2e6 x 0.1198 / (5 x 20/12 x 144 x 1.48)
    assert rod_span_limit(dowel, Units.INCH) == pytest.approx(27.10, abs=0.01)

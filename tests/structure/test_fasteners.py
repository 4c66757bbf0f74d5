"""Fasteners against the tables, text and solved examples of the NDS."""

from __future__ import annotations

import math

import pytest

from optimizer.structure.fasteners import (
    STUD_GRAVITY,
    Driven,
    FastenerKind,
    bearing_strength,
    brad,
    lateral,
    reduction,
    withdrawal,
    withdrawal_per_inch,
    wood_screw,
    yield_loads,
)

LAG = Driven("1/4 in lag screw", FastenerKind.LAG_SCREW, 0.25, 0.173, 3.0, 70e3)


@pytest.mark.parametrize(("gravity", "expected"), [(0.42, 173.0), (0.50, 225.0)])
def test_lag_screw_withdrawal(gravity: float, expected: float) -> None:
    """NDS Table 12.2A: a 1/4 in lag screw holds 173 lb/in at G .42 and 225 at G .50."""
    assert withdrawal_per_inch(LAG, gravity) == pytest.approx(expected, abs=0.5)


@pytest.mark.parametrize(("number", "expected"), [(8, 82.0), (10, 96.0)])
def test_wood_screw_withdrawal(number: int, expected: float) -> None:
    """NDS formula 2850 G^2 D: 82 and 96 lb/in for #8 and #10 at G .42."""
    assert withdrawal_per_inch(wood_screw(number, 2.5)) == pytest.approx(expected, abs=0.5)


@pytest.mark.parametrize(("gauge", "expected"), [(18, 7.5), (16, 9.9)])
def test_brad_withdrawal(gauge: int, expected: float) -> None:
    """NDS formula 1380 G^5/2 D: 7.5 and 9.9 lb/in for 18 and 16 gauge at G .42."""
    assert withdrawal_per_inch(brad(gauge, 2.0)) == pytest.approx(expected, abs=0.05)


@pytest.mark.parametrize(("gauge", "diameter"), [(15, 0.072), (16, 0.0625), (18, 0.0475)])
def test_brads_are_nails_of_their_wire(gauge: int, diameter: float) -> None:
    """Steel wire gauges, 100,000 psi as the thinnest nails of NDS Table I1 have; sideways a brad
    holds what a nail of that wire does."""
    nail = Driven("nail", FastenerKind.NAIL, diameter, diameter, 2.0, 100e3)
    one = brad(gauge, 2.0)
    assert one.kind is FastenerKind.NAIL
    assert one.name == f"{gauge} ga x 2 in brad"
    assert lateral(one, 0.75, 0.75, side_gravity=0.5) == pytest.approx(
        lateral(nail, 0.75, 0.75, side_gravity=0.5)
    )
    assert withdrawal(one, 0.75) == pytest.approx(withdrawal(nail, 0.75))
    assert 0.0 < lateral(one, 0.75, 0.75, side_gravity=0.5) < 90.0


def test_nail_withdrawal_of_solved_example() -> None:
    """American Wood Council, Structural Wood Design Solved Examples, E2.1a (in a restatement).

    A 0.131 in nail in spruce-pine-fir, 2.395 in deep: 3,619 N/m, so 20.67 lb/in and 49.5 lb.
    """
    nail = Driven("8d nail", FastenerKind.NAIL, 0.131, 0.131, 2.5, 100e3)
    assert withdrawal_per_inch(nail) * 4.44822 / 0.0254 == pytest.approx(3619.3, abs=0.1)
    assert withdrawal(nail, 2.395) == pytest.approx(49.5, abs=0.05)


@pytest.mark.parametrize(("gauge", "expected"), [(18, 5.6), (16, 7.4)])
def test_one_brad_through_cleat_and_wallboard(gauge: int, expected: float) -> None:
    """A 2 in brad through 3/4 in cleat and 1/2 in board is 3/4 in deep: 5.6 and 7.4 lb."""
    assert withdrawal(brad(gauge, 2.0), 2.0 - 0.75 - 0.5) == pytest.approx(expected, abs=0.05)


@pytest.mark.parametrize(("number", "expected"), [(8, 103.0), (10, 119.0)])
def test_one_screw_through_cleat_and_wallboard(number: int, expected: float) -> None:
    """A 2-1/2 in screw through the same is 1-1/4 in deep: 103 and 119 lb."""
    screw = wood_screw(number, 2.5)
    assert withdrawal(screw, 2.5 - 0.75 - 0.5) == pytest.approx(expected, abs=0.5)


def test_only_the_thread_of_a_screw_holds() -> None:
    """NDS Appendix L: two thirds of a wood screw are threaded; deeper adds nothing."""
    screw = wood_screw(8, 3.0)
    assert withdrawal(screw, 2.9) == withdrawal(screw, 2.0)
    assert withdrawal(screw, 1.0) == pytest.approx(withdrawal(screw, 2.0) / 2.0)


def test_fastener_that_does_not_reach_the_stud_holds_nothing() -> None:
    """No embedment, no strength either way."""
    short = brad(18, 1.0)
    assert withdrawal(short, -0.25) == 0.0
    assert lateral(short, 0.75, -0.25, side_gravity=0.5) == 0.0


@pytest.mark.parametrize(
    ("diameter", "bending_yield", "gravity", "expected"),
    [
        (0.162, 90e3, 0.50, 141.0),
        (0.162, 90e3, 0.42, 120.0),
        (0.148, 90e3, 0.50, 118.0),
    ],
)
def test_nail_lateral_values(
    diameter: float, bending_yield: float, gravity: float, expected: float
) -> None:
    """NDS 2005 Table 11N, 1-1/2 in side member: 16d common 141 lb at G .50 (seen) and 120 at
    .42 (from memory), 10d common 118 (as at 1 in, below).

    The table works with bearing strengths rounded to 50 psi, hence 0.7 lb.
    """
    nail = Driven("common nail", FastenerKind.NAIL, diameter, diameter, 3.5, bending_yield)
    actual = lateral(nail, 1.5, 2.0, side_gravity=gravity, gravity=gravity)
    assert actual == pytest.approx(expected, abs=0.7)


@pytest.mark.parametrize(
    ("side", "printed"),
    [(0.75, (72.0, 90.0, 105.0, 121.0)), (1.0, (72.0, 97.0, 118.0, 141.0))],
)
def test_nails_of_another_thickness(side: float, printed: tuple[float, ...]) -> None:
    """NDS 2018, Table 12N, G .50 (cells told in a restatement): 6d, 8d, 10d and 16d common nails
    through 3/4 in and 1 in, deep enough in the main member."""
    nails = [(0.113, 100e3), (0.131, 100e3), (0.148, 90e3), (0.162, 90e3)]
    for (diameter, bending_yield), expected in zip(nails, printed, strict=True):
        nail = Driven("common nail", FastenerKind.NAIL, diameter, diameter, 3.5, bending_yield)
        actual = lateral(nail, side, 10.0 * diameter, side_gravity=0.50, gravity=0.50)
        assert actual == pytest.approx(expected, abs=0.7)


def test_screw_lateral_value_of_solved_example() -> None:
    """American Wood Council, Solved Examples, E2.4 (in a restatement): a #10 screw, root 0.152 in,
    80,000 psi, bearing strength of G .55, R_d 2.4: 1,039.6 N in double shear, half in single."""
    actual = lateral(wood_screw(10, 6.0), 1.5, 3.0, side_gravity=0.55, gravity=0.55)
    assert 2.0 * actual * 4.44822 == pytest.approx(1039.6, abs=0.5)


def test_bearing_strength_of_spruce_pine_fir() -> None:
    """NDS Table 12.3.3: 3,350 psi for G .42, rounded to 50 psi; 5,550 psi for G .55."""
    assert bearing_strength(0.42) == pytest.approx(3350.0, abs=25.0)
    assert bearing_strength(0.55) == pytest.approx(5550.0, abs=25.0)


@pytest.mark.parametrize(("diameter", "expected"), [(0.131, 2.2), (0.17, 2.2), (0.19, 2.4)])
def test_reduction_term(diameter: float, expected: float) -> None:
    """NDS Table 12.3.1B: 2.2 up to 0.17 in, 10 D + 0.5 above."""
    assert reduction(diameter) == pytest.approx(expected)


def test_yield_modes_without_gap_are_those_of_the_nds() -> None:
    """All six modes against NDS Table 12.3.1A, written out with its k1, k2 and k3."""
    screw = wood_screw(10, 2.5)
    main, side, d, fyb = 1.25, 0.75, screw.root, screw.bending_yield
    fem, fes = bearing_strength(0.42), bearing_strength(0.50)
    re, rt = fem / fes, main / side
    k1 = (math.sqrt(re + 2 * re**2 * (1 + rt + rt**2) + rt**2 * re**3) - re * (1 + rt)) / (1 + re)
    k2 = -1 + math.sqrt(2 * (1 + re) + 2 * fyb * (1 + 2 * re) * d**2 / (3 * fem * main**2))
    k3 = -1 + math.sqrt(2 * (1 + re) / re + 2 * fyb * (2 + re) * d**2 / (3 * fem * side**2))
    expected = {
        "Im": d * main * fem,
        "Is": d * side * fes,
        "II": k1 * d * side * fes,
        "IIIm": k2 * d * main * fem / (1 + 2 * re),
        "IIIs": k3 * d * side * fem / (2 + re),
        "IV": d**2 * math.sqrt(2 * fem * fyb / (3 * (1 + re))),
    }
    actual = yield_loads(screw, side, main, side_gravity=0.50, gravity=STUD_GRAVITY)
    assert actual == pytest.approx(expected)


def test_gap_weakens_every_bending_mode() -> None:
    """Wallboard in between lowers all modes but plain bearing."""
    screw = wood_screw(8, 2.5)
    tight = yield_loads(screw, 0.75, 1.25, side_gravity=0.5)
    apart = yield_loads(screw, 0.75, 1.25, side_gravity=0.5, gap=0.5)
    assert [mode for mode in tight if apart[mode] == tight[mode]] == ["Im", "Is"]
    assert all(apart[mode] < tight[mode] for mode in ("II", "IIIm", "IIIs", "IV"))


def test_shallow_nail_loses_its_tip() -> None:
    """Under 10 diameters deep the tip of 2 diameters is not counted (NDS 12.3.5.3).

    A nail too stiff to bend, so that how much of it bears is what decides.
    """
    nail = Driven("stiff nail", FastenerKind.NAIL, 0.1, 0.1, 3.0, 1e9)
    crush = bearing_strength(0.42) * 0.1 / 2.2
    strengths = [lateral(nail, 50.0, depth, side_gravity=0.9) for depth in (0.59, 0.9, 1.0)]
    assert strengths == pytest.approx([0.0, crush * 0.7, crush * 1.0])

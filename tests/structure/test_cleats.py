"""Cleats: capacity at a stud, what a shelf asks, brads against screws."""

from __future__ import annotations

import math

import pytest

from optimizer.domain.construction import Construction, Fastener, Material
from optimizer.structure.cleats import (
    cleat_check,
    combined_share,
    embedment_in,
    screw_for,
    stud_capacity,
)
from optimizer.structure.fasteners import Kind, brad, wood_screw
from optimizer.units import KG_PER_LB, MM_PER_INCH, Units


def test_screw_keeps_within_safe_penetration() -> None:
    """3/4 in cleat + 1/2 in board + 1-1/4 in: 2-1/2 in at most; a thinner cleat takes less."""
    assert screw_for(0.75).length == 2.5
    assert screw_for(0.5).length == 2.0
    assert embedment_in(screw_for(0.75), 0.75) == 1.25


def test_capacity_at_a_stud_under_a_lasting_load() -> None:
    """One #8 screw 103 lb and three 18 ga brads 16.9 lb in withdrawal, times C_D 0.9."""
    rules = Construction()
    screw = stud_capacity(wood_screw(8, 2.5), 1, rules, Units.INCH)
    brads = stud_capacity(brad(18, 2.0), 3, rules, Units.INCH)
    assert screw.withdrawal == pytest.approx(0.9 * 103.0, abs=0.5)
    assert brads.withdrawal == pytest.approx(0.9 * 3 * 5.62, abs=0.1)
    assert (screw.embedment, brads.embedment) == (1.25, 0.75)


def test_shear_of_a_screw_with_wallboard_as_a_gap() -> None:
    """Mode IV of the general dowel equations by hand: #8, MDF at G .50, stud at G .42, 1/2 in gap.

    q 609.1 and 440.5 lb/in, M 33.7 lb-in: (-g + sqrt(g^2 + 4 a 2M)) / 2a = 97.6 lb, / 2.2 x 0.9.
    """
    shear = stud_capacity(wood_screw(8, 2.5), 1, Construction(), Units.INCH).shear
    q_side, q_main = 16600 * 0.50**1.84 * 0.131, 16600 * 0.42**1.84 * 0.131
    moment = 90e3 * 0.131**3 / 6
    a = 1 / (2 * q_side) + 1 / (2 * q_main)
    by_hand = (-0.5 + math.sqrt(0.25 + 8 * a * moment)) / (2 * a) / 2.2 * 0.9
    assert shear == pytest.approx(by_hand)
    assert by_hand == pytest.approx(39.9, abs=0.1)


def test_demand_of_a_default_shelf() -> None:
    """12 in deep, 15 psf and 3 psf of MDF, half on the back cleat, 16 in of it: 12 lb.

    Pull: 12 lb x 3/8 in over 1 in of arm = 4.5 lb.
    """
    demand = cleat_check(Construction(), Units.INCH, 12.0).demand
    assert demand.shear == pytest.approx(18.0 * 0.5 * 16.0 / 12.0)
    assert demand.withdrawal == pytest.approx(4.5)


def test_brads_fall_short_where_screws_hold() -> None:
    """On a default shelf three brads are overloaded, a screw is not: screws are advised."""
    check = cleat_check(Construction(fastener=Fastener.BRADS), Units.INCH, 12.0)
    assert check.brads_share > 1.0 > check.screws_share
    assert (check.passes, check.screws_advised) == (False, True)
    assert cleat_check(Construction(), Units.INCH, 12.0).passes is True


def test_light_shelf_may_hang_on_brads() -> None:
    """A shallow, lightly loaded pine shelf is within three brads: nothing to advise."""
    rules = Construction(material=Material.WHITE_PINE, shelf_load=5.0, fastener=Fastener.BRADS)
    check = cleat_check(rules, Units.INCH, 8.0)
    assert (check.passes, check.screws_advised) == (True, False)


def test_studs_further_apart_ask_more_of_each() -> None:
    """24 in studs carry one and a half times the load of 16 in ones."""
    near = cleat_check(Construction(), Units.INCH, 12.0, 16.0)
    far = cleat_check(Construction(), Units.INCH, 12.0, 24.0)
    assert far.demand.shear == pytest.approx(1.5 * near.demand.shear)
    assert far.share == pytest.approx(1.5 * near.share)


def test_combined_load_of_nails_is_a_straight_line() -> None:
    """NDS 12.4.1: shares of shear and pull add up for nails."""
    assert combined_share(Kind.NAIL, (3.0, 10.0), (2.0, 4.0)) == pytest.approx(0.8)


def test_combined_load_of_screws_follows_hankinson() -> None:
    """NDS 12.4.1: Z = W Z / (W cos^2 + Z sin^2) for screws, here at 45 degrees."""
    allowed = 40.0 * 100.0 / (100.0 * 0.5 + 40.0 * 0.5)
    expected = math.hypot(10.0, 10.0) / allowed
    assert combined_share(Kind.WOOD_SCREW, (10.0, 40.0), (10.0, 100.0)) == pytest.approx(expected)


@pytest.mark.parametrize("kind", [Kind.NAIL, Kind.WOOD_SCREW])
def test_combined_load_with_one_part_only(kind: Kind) -> None:
    """Pure shear uses the shear strength, pure pull the withdrawal, no load nothing."""
    assert combined_share(kind, (10.0, 40.0), (0.0, 100.0)) == pytest.approx(0.25)
    assert combined_share(kind, (0.0, 40.0), (10.0, 100.0)) == pytest.approx(0.1)
    assert combined_share(kind, (0.0, 40.0), (0.0, 100.0)) == 0.0


def test_fastener_without_strength_never_passes() -> None:
    """A cleat so thick that brads miss the stud is an infinite share, not a division by zero."""
    rules = Construction(cleat_thickness=1.75, fastener=Fastener.BRADS)
    check = cleat_check(rules, Units.INCH, 12.0)
    assert check.brads_share == math.inf
    assert check.passes is False


def test_metric_brief_agrees() -> None:
    """The same cleat in millimetres and kilograms: same shares, weights in kg."""
    inch = cleat_check(Construction(), Units.INCH, 12.0, 16.0)
    same = Construction.model_construct(
        **{
            **Construction().__dict__,
            "cleat_thickness": 0.75 * MM_PER_INCH,
            "cleat_height": 2.0 * MM_PER_INCH,
            "panel_thickness": 0.75 * MM_PER_INCH,
            "shelf_load": 15.0 * KG_PER_LB / 0.3048**2,
        }
    )
    metric = cleat_check(same, Units.MILLIMETRE, 12.0 * MM_PER_INCH, 16.0 * MM_PER_INCH)
    assert metric.screws_share == pytest.approx(inch.screws_share, rel=1e-6)
    assert metric.brads_share == pytest.approx(inch.brads_share, rel=1e-6)
    assert metric.demand.shear == pytest.approx(inch.demand.shear * KG_PER_LB, rel=1e-6)
    assert metric.screws.embedment == pytest.approx(1.25 * MM_PER_INCH, rel=1e-6)
    assert metric.screws.shear == pytest.approx(inch.screws.shear * KG_PER_LB, rel=1e-6)

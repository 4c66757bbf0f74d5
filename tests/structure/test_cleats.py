"""Cleats: what holds them at a stud, on an upright and on a side wall."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.domain.construction import METRIC_DEFAULTS, Construction, Fastener
from optimizer.structure.cleats import (
    ANCHOR_LOAD_LB,
    at_stud,
    back_cleat,
    board_on_wall,
    cleat_pull,
    combined_share,
    front_screw_part,
    largest_share,
    screw_room,
    side_cleat,
    stud_choices,
    wall_cleat,
)
from optimizer.structure.fasteners import FastenerKind, brad, lateral, wood_screw
from optimizer.structure.fixings import (
    SCREW_KEY,
    length_limit,
    panel_screw_shear,
    stiffener_fixing,
    stud_holds,
)
from optimizer.units import MM_PER_INCH, Units

INCH = Units.INCH
RULES = Construction()


def test_screw_keeps_within_safe_penetration() -> None:
    """3/4 in cleat + 1/2 in board + 1-1/4 in: 2-1/2 in at most."""
    assert length_limit(RULES) == 2.5
    assert stud_choices(RULES, INCH)[0][0].length == 2.5


def test_capacity_at_a_stud_under_a_lasting_load() -> None:
    """One #8 screw 103 lb and three 18 ga brads 16.9 lb in withdrawal, times C_D 0.9."""
    _, screw = stud_holds(wood_screw(8, 2.5), 1, RULES, INCH)
    _, brads = stud_holds(brad(18, 2.0), 3, RULES, INCH)
    assert screw == pytest.approx(0.9 * 103.0, abs=0.5)
    assert brads == pytest.approx(0.9 * 3 * 5.62, abs=0.1)


def test_shear_of_a_screw_with_wallboard_as_a_gap() -> None:
    """Mode IV of the general dowel equations by hand: #8, side G .50, stud G .42, 1/2 in gap.

    q 609.1 and 440.5 lb/in, M 33.7 lb-in: (-g + sqrt(g^2 + 4 a 2M)) / 2a = 97.6 lb, / 2.2.
    """
    shear = lateral(wood_screw(8, 2.5), 0.75, 1.25, side_gravity=0.50, gap=0.5)
    q_side, q_main = 16600 * 0.50**1.84 * 0.131, 16600 * 0.42**1.84 * 0.131
    moment = 90e3 * 0.131**3 / 6
    a = 1 / (2 * q_side) + 1 / (2 * q_main)
    by_hand = (-0.5 + math.sqrt(0.25 + 8 * a * moment)) / (2 * a) / 2.2
    assert shear == pytest.approx(by_hand)
    assert by_hand * 0.9 == pytest.approx(39.9, abs=0.1)


def test_choices_grow_stronger() -> None:
    """The brief's own fastener first, then one #8, two, two #10."""
    brads = stud_choices(Construction(fastener=Fastener.BRADS), INCH)
    assert [choice[0].each for choice in brads] == [3, 1, 2, 2]
    assert [choice[0].key == SCREW_KEY for choice in brads] == [False, True, True, True]
    assert len(stud_choices(RULES, INCH)) == 3
    pulls = [choice[2] for choice in brads]
    assert pulls == sorted(pulls)


def test_nothing_short_enough_holds_nothing() -> None:
    """A cleat so thin that no screw stays off the cables is an infinite share, no error."""
    rules = Construction(cleat_thickness=0.1, wallboard_thickness=0.1, stud_penetration=0.2)
    assert stud_choices(rules, INCH) == ()
    assert at_stud(rules, INCH, 10.0, 2.0).share == math.inf


def test_load_on_the_front_edge_turns_the_cleat() -> None:
    """12 lb on the front edge of a 3/4 x 2 in cleat: 12 x 3/4 in over 1 in of arm = 9 lb."""
    assert cleat_pull(RULES, 12.0, 2.0) == pytest.approx(9.0)


@pytest.mark.parametrize(
    ("load", "each", "number"), [(20.0, 1, 8), (45.0, 2, 8), (70.0, 2, 10), (500.0, 2, 10)]
)
def test_the_weakest_choice_that_holds(load: float, each: int, number: int) -> None:
    """One #8 up to about 30 lb, two up to about 60, then two #10."""
    held = at_stud(RULES, INCH, load, 2.0)
    assert held.fixing is not None
    assert held.fixing.each == each
    assert held.fixing.driven.diameter == pytest.approx(0.060 + 0.013 * number)
    assert (held.share <= 1.0) is (load < 400.0)


def test_brads_give_way_to_screws() -> None:
    """Three brads hold a few pounds; where they fall short, a screw goes in instead."""
    rules = Construction(fastener=Fastener.BRADS)
    light, heavy = at_stud(rules, INCH, 3.0, 2.0), at_stud(rules, INCH, 20.0, 2.0)
    assert light.fixing is not None and heavy.fixing is not None
    assert (light.fixing.each, heavy.fixing.key) == (3, SCREW_KEY)
    assert heavy.share <= 1.0


def test_back_cleat_on_three_studs() -> None:
    """27 lb over 36 in with studs at 2, 18 and 34: 16/36 of it on the middle one."""
    held = back_cleat(RULES, INCH, 27.0, height=2.0, start=0.0, end=36.0, studs=(2.0, 18.0, 34.0))
    assert held.share == pytest.approx(at_stud(RULES, INCH, 12.0, 2.0).share)
    assert held.anchors == 0


def test_single_stud_asks_for_an_anchor_beside_it() -> None:
    """One stud carries it all, and one anchor steadies the far end."""
    held = back_cleat(RULES, INCH, 20.0, height=2.0, start=0.0, end=14.0, studs=(3.0,))
    assert held.share == pytest.approx(at_stud(RULES, INCH, 20.0, 2.0).share)
    assert held.anchors == 1


def test_anchors_alone_and_anchors_in_support() -> None:
    """No stud: anchors at 25 lb; studs that fall short get anchors between them."""
    alone = back_cleat(RULES, INCH, 60.0, height=2.0, start=0.0, end=14.0, studs=())
    assert (alone.anchors, alone.fixing) == (3, None)
    assert alone.share == pytest.approx(60.0 / (3 * ANCHOR_LOAD_LB))
    helped = back_cleat(RULES, INCH, 150.0, height=2.0, start=0.0, end=20.0, studs=(10.0,))
    assert helped.anchors > 1 and helped.share <= 1.0
    beyond = back_cleat(RULES, INCH, 900.0, height=2.0, start=0.0, end=20.0, studs=(10.0,))
    assert beyond.share > 1.0


def test_largest_share_of_a_cleat() -> None:
    """Between halves to the neighbours; nothing without studs or length."""
    assert largest_share(0.0, 36.0, (2.0, 18.0, 34.0)) == pytest.approx(16.0 / 36.0)
    assert largest_share(0.0, 36.0, ()) == 0.0
    assert largest_share(5.0, 5.0, (5.0,)) == 0.0


@pytest.mark.parametrize(("count", "part"), [(1, 0.5), (2, 0.25), (3, 5 / 24), (4, 0.175)])
def test_screw_with_the_most(count: int, part: float) -> None:
    """A quarter of W at the front of a row of screws, by the usual group of fasteners."""
    assert front_screw_part(count) == pytest.approx(part)


def test_side_cleat_takes_as_many_screws_as_it_needs() -> None:
    """From two up to one every 1-1/2 in; beyond that it falls short."""
    one = panel_screw_shear(RULES, INCH)
    held, count = side_cleat(RULES, INCH, 3.9 * one, length=10.75)
    assert (count, held.share) == (2, pytest.approx(0.25 * 3.9))
    more, most = side_cleat(RULES, INCH, 6.5 * one, length=10.75)
    assert most > 2 and more.share <= 1.0
    full, room = side_cleat(RULES, INCH, 100.0 * one, length=10.75)
    assert (room, full.share > 1.0) == (screw_room(INCH, 10.75), True)


def test_a_load_beyond_the_front_fastener_lifts_the_corner() -> None:
    """A beam with an overhang: P at its end, supported at the wall and at b from it, has P a / b
    at the outer support and P (a - b) / b down at the wall (statics)."""
    load, reach, stud = 30.0, 16.0, 12.0
    held = wall_cleat(RULES, INCH, [(load, reach)], reach=reach, height=3.5, studs=(stud,))
    assert held.front.load == pytest.approx(load * reach / stud)
    assert held.back.load == pytest.approx(load * (reach - stud) / stud)


def test_board_on_a_side_wall_by_the_lever() -> None:
    """54 lb: 27 at 5.6 of 11.25 in; three quarters out the anchors get 18, the corner 9."""
    held = wall_cleat(RULES, INCH, board_on_wall(54.0, 11.25), reach=11.25, height=2.0)
    assert held.front.load == pytest.approx(18.0)
    assert held.back.load == pytest.approx(9.0)
    assert (held.front.anchors, held.front.share) == (1, pytest.approx(18.0 / 25.0))
    assert held.share == max(held.front.share, held.back.share)


def test_stud_in_the_front_half_does_better_or_nothing() -> None:
    """A stud that holds comes before anchors, and none makes a cleat fail."""
    loads = list(board_on_wall(260.0, 15.25))
    plain = wall_cleat(RULES, INCH, loads, reach=15.25, height=2.0)
    for stud in (2.0, 8.0, 12.0, 15.0, 40.0):
        with_stud = wall_cleat(RULES, INCH, loads, reach=15.25, height=2.0, studs=(stud,))
        assert with_stud.share <= max(1.0, plain.share)
    lighter = board_on_wall(150.0, 15.25)
    good = wall_cleat(RULES, INCH, lighter, reach=15.25, height=2.0, studs=(13.0,))
    assert good.front.fixing is not None


def test_rod_and_board_on_one_rod_cleat() -> None:
    """A rod's 41 lb at 12 in and a board's 27 lb: more anchors fit a cleat 4-3/4 in high."""
    loads = [(41.0, 12.0), *board_on_wall(54.0, 12.0)]
    low = wall_cleat(RULES, INCH, loads, reach=14.0, height=2.0)
    tall = wall_cleat(RULES, INCH, loads, reach=14.0, height=4.75)
    assert low.front.load == pytest.approx((41 * 12 + 27 * 6) / 10.5)
    assert tall.share <= 1.0
    assert tall.front.anchors >= 3


@pytest.mark.parametrize(
    ("kind", "held"), [(FastenerKind.NAIL, 50.0), (FastenerKind.WOOD_SCREW, 70.71)]
)
def test_equal_shear_and_pull(kind: FastenerKind, held: float) -> None:
    """NDS 2018, 12.4 (worked in a restatement): with 100 lb either way, as much of both is
    held up to 50 lb by nails and up to 70.71 by screws."""
    assert combined_share(kind, (held, 100.0), (held, 100.0)) == pytest.approx(1.0, abs=1e-4)


@given(st.floats(1, 200), st.floats(1, 200), st.floats(0, 90))
def test_the_load_that_nails_just_hold_lies_on_a_straight_line(
    shear: float, pull: float, degrees: float
) -> None:
    """From all shear to all pull, in the plane of both: the point reached in any direction is as
    far from the axes as the line through both strengths has it (the area of its triangle)."""
    across, out = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    share = combined_share(FastenerKind.NAIL, (across, shear), (out, pull))
    x, y = across / share, out / share
    assert x * pull + y * shear == pytest.approx(shear * pull)


@given(st.floats(1, 200), st.floats(1, 200), st.floats(0, 90))
def test_the_load_that_screws_just_hold_follows_hankinson(
    shear: float, pull: float, degrees: float
) -> None:
    """Wood Handbook, chapter 5 and NDS 12.4.1: N = P Q / (P sin^2 + Q cos^2), of which three things
    must hold: equal strengths are the same in every direction, strengths are met at both ends, and
    1 / N goes with sin^2 as a straight line, so that at 45 degrees it is the mean of the ends."""
    turn = math.radians(degrees)

    def held(angle: float, one: float, other: float) -> float:
        load = (math.cos(angle), one), (math.sin(angle), other)
        return 1.0 / combined_share(FastenerKind.WOOD_SCREW, *load)

    assert held(turn, shear, shear) == pytest.approx(shear)
    assert held(0.0, shear, pull) == pytest.approx(shear)
    assert held(math.pi / 2, shear, pull) == pytest.approx(pull)
    mean = (1 / shear + 1 / pull) / 2
    assert 1 / held(math.pi / 4, shear, pull) == pytest.approx(mean)
    across = 1 / held(turn, shear, pull) + 1 / held(math.pi / 2 - turn, shear, pull)
    assert across == pytest.approx(2 * mean)


@pytest.mark.parametrize("kind", [FastenerKind.NAIL, FastenerKind.WOOD_SCREW])
def test_combined_load_with_one_part_only(kind: FastenerKind) -> None:
    """Pure shear uses the shear strength, pure pull the withdrawal, no load nothing."""
    assert combined_share(kind, (10.0, 40.0), (0.0, 100.0)) == pytest.approx(0.25)
    assert combined_share(kind, (0.0, 40.0), (10.0, 100.0)) == pytest.approx(0.1)
    assert combined_share(kind, (0.0, 40.0), (0.0, 100.0)) == 0.0
    assert combined_share(kind, (1.0, 0.0), (1.0, 1.0)) == math.inf


def test_metric_brief_agrees() -> None:
    """The same side cleat in millimetres: the same room and share."""
    assert screw_room(Units.MILLIMETRE, 10.75 * MM_PER_INCH) == screw_room(INCH, 10.75)
    loads = [(40.0, 300.0)]
    metric = Construction.model_construct(
        **{**RULES.__dict__, "cleat_thickness": 19.05, "wallboard_thickness": 12.7}
    )
    mm = wall_cleat(metric, Units.MILLIMETRE, loads, reach=350.0, height=90.0)
    inch = wall_cleat(RULES, INCH, [(40.0, 300 / 25.4)], reach=350 / 25.4, height=90 / 25.4)
    assert mm.front.load == pytest.approx(inch.front.load)
    assert mm.front.share == pytest.approx(inch.front.share)


def test_the_screw_of_a_stiffener_in_millimetres() -> None:
    """18 mm of board and 38 mm of stiffener: 50 mm long, reckoned with as 1.97 in."""
    fixing = stiffener_fixing(Construction(**METRIC_DEFAULTS), Units.MILLIMETRE)
    assert fixing is not None
    assert fixing.driven.length == pytest.approx(fixing.length / MM_PER_INCH)
    assert 1.0 < fixing.driven.length < 2.2


@pytest.mark.parametrize("thickness", [19.0, 19.05, 22.0])
def test_a_thicker_screw_that_holds_nothing_hides_no_thinner_ones(thickness: float) -> None:
    """60 mm screws through such a cleat and 12.5 mm of board are in by less than 6 diameters of
    a #10, and by more than 6 of a #8: two of these count, however heavy the load."""
    rules = Construction.model_validate(
        {**METRIC_DEFAULTS, "cleat_thickness": thickness}, context=Units.MILLIMETRE
    )
    for load in (30.0, 1e4):
        held = at_stud(rules, Units.MILLIMETRE, load, 50.0)
        assert math.isfinite(held.share)
        assert held.fixing is not None
        assert held.fixing.driven.diameter == pytest.approx(0.164)

"""The structural report: figures by hand, verdicts, and mends that do mend."""

from __future__ import annotations

import pytest

from optimizer.buildpack.markout import markout
from optimizer.buildpack.parts import parts_of
from optimizer.buildpack.structure_report import alike, structural_checks, worst
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Layout
from optimizer.domain.needs import Hang
from optimizer.domain.pack import CheckStatus, PartKind, StructuralCheck
from tests.buildpack.samples import metric, reach_in, reach_in_brief, rod, shelf


def _by_part(brief: Brief, layout: Layout) -> dict[str, StructuralCheck]:
    return {check.part: check for check in structural_checks(brief, layout)}


def _figure(check: StructuralCheck, name: str) -> float:
    return next(figure.value for figure in check.figures if figure.name == name)


def _wide(width: float = 46.0, depth: float = 12.0, **fields: object) -> Layout:
    """One bay of two boards, wide enough to sag too far unless stiffened."""
    values: dict[str, object] = {
        "id": "B1",
        "wall": "B",
        "start": 0.75,
        "width": width,
        "depth": depth,
        "pattern": "p",
        "height": 75.5,
        "zones": (shelf(3.5, 74.75, depth), shelf(75.5, 90.0, depth)),
    }
    return Layout(bays=(Bay.model_validate({**values, **fields}),))


def test_every_part_that_carries_is_checked() -> None:
    """Uprights, boards, cleats and rods have one check each, and nothing else has."""
    brief, layout = reach_in()
    loose = (PartKind.FILLER, PartKind.SCRIBE, PartKind.STIFFENER)
    expected = sorted(part.id for part in parts_of(brief, layout) if part.kind not in loose)
    assert sorted(check.part for check in structural_checks(brief, layout)) == expected


def test_shelf_sag_by_hand() -> None:
    """A board 12 x 3/4, 34-1/2 long, E 500,000 psi, 15 lb/sq ft.

    w = 15 / 144 x 12 = 1.25 lb/in; I = 12 x 0.75^3 / 12 = 0.421875; sag = 5 x 1.25 x 34.5^4 /
    (384 x 500,000 x 0.421875) = 0.10931 in; twice that after creep; limit 34.5 / 144 = 0.23958.
    With ends held from turning a fifth of it. Load 1.25 x 34.5 = 43.125 lb.
    """
    check = _by_part(*reach_in())["B1-S1"]
    assert _figure(check, "sag now") == pytest.approx(0.10931, abs=1e-5)
    assert _figure(check, "sag now, ends held from turning") == pytest.approx(0.021862, abs=1e-6)
    assert check.demand == pytest.approx(0.21862, abs=2e-5)
    assert check.limit == pytest.approx(0.239583, abs=1e-6)
    assert _figure(check, "load on it") == pytest.approx(43.125)


def test_lowest_published_stiffness_warns() -> None:
    """The same board with 313,300 psi sags 0.21862 x 500 / 313.3 = 0.3489 in: a warning."""
    check = _by_part(*reach_in())["B1-S1"]
    assert check.status is CheckStatus.WARN
    assert _figure(check, "sag after creep, lowest stiffness") == pytest.approx(0.3489, abs=1e-4)
    assert "0.349 in" in check.mends[0]


def test_a_stiffened_board_is_one_section() -> None:
    """Board 12 x 3/4 over stiffener 3/4 x 1-1/2, by the parallel axis theorem.

    Areas 9 and 1.125, centroids 1.875 and 0.75 up: common centroid (16.875 + 0.84375) / 10.125 =
    1.75. I = 0.421875 + 9 x 0.125^2 + 0.2109375 + 1.125 x 1^2 = 1.8984375 in4. At 46 in:
    5 x 1.25 x 46^4 / (384 x 500,000 x 1.8984375) = 0.076774 in.
    """
    check = _by_part(reach_in_brief(), _wide(stiffened=True))["B1-S1"]
    assert _figure(check, "sag now") == pytest.approx(0.076774, abs=1e-6)
    assert check.status is CheckStatus.PASS
    assert "one section" in check.formula


def test_a_failed_shelf_comes_with_mends_that_mend() -> None:
    """46 in plain fails; each way out that is offered passes when it is built that way.

    Narrower: L^3 = 384 x 500,000 x 0.421875 / (5 x 1.25 x 144 x 2) = 45,000, L = 35.568, on the
    grid 35-9/16.
    """
    failed = _by_part(reach_in_brief(), _wide())["B1-S1"]
    assert failed.status is CheckStatus.FAIL
    assert [mend.split(":")[0] for mend in failed.mends] == [
        'bay B1 at most 35-9/16" wide',
        'a front stiffener 1-1/2" high',
        'stock 1" thick',
        "a support in the middle",
    ]
    for brief, layout in (
        (reach_in_brief(), _wide(width=35.5625)),
        (reach_in_brief(), _wide(stiffened=True)),
        (reach_in_brief(panel_thickness=1.0), _wide(start=1.0)),
    ):
        assert _by_part(brief, layout)["B1-S1"].status is not CheckStatus.FAIL
    assert _by_part(reach_in_brief(), _wide(width=35.625))["B1-S1"].status is CheckStatus.FAIL


def test_a_board_on_the_floor_spans_half_of_its_bay() -> None:
    """Packed in the middle as well, 46 in count as 23; nothing is said of cleats it has not."""
    checks = _by_part(
        reach_in_brief(), _wide(zones=(shelf(0.75, 74.75, 12.0), shelf(75.5, 90.0, 12.0)))
    )
    assert _figure(checks["B1-S1"], "span") == 23
    assert checks["B1-S1"].status is CheckStatus.PASS
    assert [name for name in checks if name.startswith("B1-K1")] == []


def test_heavy_items_raise_the_load_of_their_shelf() -> None:
    """A 12 x 30 board is planned for 37.5 lb; a 60 lb safe on it makes 60 lb of it."""
    data = reach_in_brief().model_dump(mode="json")
    data["needs"]["items"] = [
        {"id": "safe", "width": 12, "depth": 10, "height": 9, "place": "shelf", "weight_lb": 60}
    ]
    layout = _wide(width=30.0, zones=(shelf(3.5, 74.75, 12.0, "safe"), shelf(75.5, 90.0, 12.0)))
    checks = _by_part(Brief.model_validate(data), layout)
    assert _figure(checks["B1-S1"], "load on it") == pytest.approx(60.0)
    assert checks["B1-S1"].demand == pytest.approx(checks["B1-S2"].demand * 60 / 37.5)
    assert _figure(checks["B1-S1"], "items on it") == 60


def test_rod_sag_by_hand() -> None:
    """Tube 1-5/16 x 0.049, I 0.0389 in4, 34-1/2 in at 20 lb/ft.

    5 x (20/12) x 34.5^4 / (384 x 29e6 x 0.0389) = 0.02725 in; steel does not creep.
    """
    check = _by_part(*reach_in())["B1-R1"]
    assert check.demand == pytest.approx(0.02725, abs=3e-5)
    assert _figure(check, "sag now") == check.demand
    assert check.status is CheckStatus.PASS


def test_a_dowel_that_sags_is_mended_by_a_bracket_or_a_tube() -> None:
    """A wooden rod over 40 in sags past L/144 after creep; tube and bracket are offered."""
    zones = (rod(3.0, 66.0, 69.0, Hang.LONG), shelf(69.75, 90.0, 12.0))
    layout = _wide(width=40.0, depth=24.0, height=69.75, zones=zones)
    check = _by_part(reach_in_brief(rod_stock="wood_dowel"), layout)["B1-R1"]
    assert check.status is CheckStatus.FAIL
    assert [mend.split(":")[0] for mend in check.mends][1:] == [
        "a rod bracket in the middle, under the shelf",
        "steel tube in place of the dowel",
    ]
    assert _by_part(reach_in_brief(), layout)["B1-R1"].status is CheckStatus.PASS


def test_rod_supports_are_at_most_48_in_apart() -> None:
    """Even a tube that hardly sags fails over a bay of 50 in."""
    zones = (rod(3.0, 66.0, 69.0, Hang.LONG), shelf(69.75, 90.0, 12.0))
    layout = _wide(width=50.0, depth=24.0, height=69.75, zones=zones)
    check = _by_part(reach_in_brief(), layout)["B1-R1"]
    assert (check.status, check.check) == (CheckStatus.FAIL, "distance of supports")
    assert (check.demand, check.limit) == (50, 48)


def test_back_cleat_load_by_hand() -> None:
    """Half of a full shelf hangs on the studs at 9 and 25 of a cleat from 0.78 to 35.22.

    Pressure 15/144 + 48/1728 x 0.75 = 0.125 psi on 12 x 34.5: 51.75 lb, half 25.875. The second
    stud gets the cleat from 17 on: 18.21875 of 34.4375, 13.689 lb; withdrawal 3/4 over 2 of it.
    """
    check = _by_part(*reach_in())["B1-K1"]
    assert _figure(check, "load on the cleat") == pytest.approx(25.875)
    assert check.demand == pytest.approx(25.875 * 18.21875 / 34.4375)
    assert _figure(check, "withdrawal at that stud") == pytest.approx(check.demand * 0.75 / 2)
    assert _figure(check, "withdrawal they hold") == pytest.approx(0.9 * 82.45 * 1.25, abs=0.1)
    assert check.status is CheckStatus.PASS


def test_brads_fall_short_where_screws_hold() -> None:
    """On brads the same cleat fails; the mend is one screw at each stud, as the brief then has."""
    _, layout = reach_in()
    failed = _by_part(reach_in_brief(fastener="brads"), layout)["B1-K1"]
    assert failed.status is CheckStatus.FAIL
    assert failed.mends == ('1 x #8 x 2-1/2" screw at each stud: uses 43%',)
    assert _by_part(reach_in_brief(), layout)["B1-K1"].use == pytest.approx(0.43, abs=0.005)


def test_a_second_screw_where_one_falls_short() -> None:
    """Under 30 lb/sq ft a cleat of a 24 in board gets two screws at each stud, under 50 number
    10 ones; under 100 nothing within the length limit holds it, and a bracket is advised.
    """
    layout = _wide(width=30.0, depth=24.0)
    found = []
    for load in (15, 30, 50, 100):
        check = _by_part(reach_in_brief(shelf_load=load), layout)["B1-K1"]
        found.append((_figure(check, "fasteners at each stud"), check.status.value))
    assert found == [(1, "pass"), (2, "pass"), (2, "pass"), (2, "fail")]
    assert "a bracket to a stud under the shelf" in check.mends[0]
    thick = {line.part: line for line in markout(reach_in_brief(shelf_load=50), layout)}["B1-K1"]
    assert thick.fastener == '#10 x 2-1/2" screw'


def test_a_cleat_without_a_stud_is_a_warning_with_anchors() -> None:
    """A 14 in bay between the studs at 25 and 41: 12 x 14 x 0.125 / 2 = 10.5 lb on two anchors."""
    check = _by_part(reach_in_brief(), _wide(start=26.0, width=14.0))["B1-K1"]
    assert (check.status, check.check) == (CheckStatus.WARN, "no stud behind the cleat")
    assert (check.demand, check.limit) == (10.5, 50)
    assert "2 hollow-wall anchors (5 lb on each)" in check.mends[0]
    assert "the whole shelf, 21 lb" in check.mends[0]


def test_side_cleats_have_a_screw_every_six_inches_and_enough() -> None:
    """10-3/4 in: three screws; each cleat is given half of the shelf."""
    check = _by_part(*reach_in())["B1-K1L"]
    assert _figure(check, "screws") == 3
    assert check.demand == pytest.approx(25.875)
    assert check.limit == pytest.approx(3 * _figure(check, "shear one screw holds"))


def test_upright_by_hand() -> None:
    """The left upright carries half of a bay: two boards of 51.75 lb and a rod of 20 lb/ft.

    Tube: 0.1945 sq in x 0.284 x 12 = 0.6628 lb/ft. (2 x 51.75 + 20.663 x 34.5 / 12) / 2 =
    81.45 lb. Free height 69 under the lower board; Euler with half of E: pi^2 x 250,000 x
    (14 x 0.75^3 / 12) / 69^2 = 255.1 lb.
    """
    check = _by_part(*reach_in())["B-U1"]
    assert check.demand == pytest.approx(81.45, abs=0.01)
    assert check.limit == pytest.approx(255.1, abs=0.1)
    assert (check.check, check.status) == ("buckling", CheckStatus.PASS)
    assert _figure(check, "free height") == 69


def test_boards_on_both_sides_hold_a_shared_upright() -> None:
    """The shelves beside it leave the shared upright free over 12 in at most."""
    assert _figure(_by_part(*reach_in())["B-U2"], "free height") == 12


def test_an_upright_that_buckles_gets_a_brace_or_thicker_stock() -> None:
    """Under 150 lb/sq ft a lone top board on tall uprights buckles them; mends are worked out."""
    layout = _wide(width=30.0, depth=16.0, height=84.0, zones=(shelf(84.0, 95.0, 16.0),))
    check = _by_part(reach_in_brief(shelf_load=250), layout)["B-U1"]
    assert (check.status, check.check) == (CheckStatus.FAIL, "buckling")
    assert check.mends[0].startswith("a shelf or a cleat to the wall at half")
    share = _figure(check, "used share in buckling")
    assert f"uses {share / 4:.0%} in buckling" in check.mends[0]
    assert "thick: uses" in check.mends[1]


def test_metric_figures_are_metric() -> None:
    """Sags in mm and loads in kg: 0.9 m x 0.4 m x 73 kg/m2 = 26.28 kg."""
    check = _by_part(*metric())["N1-S1"]
    assert check.unit == "mm"
    assert _figure(check, "load on it") == pytest.approx(26.28)


def test_alike_checks_are_put_together_and_none_is_lost() -> None:
    """Grouping keeps every part id once; the worst verdict is found."""
    checks = structural_checks(*reach_in())
    groups = alike(checks)
    assert sorted(name for _, ids in groups for name in ids) == sorted(c.part for c in checks)
    assert len(groups) < len(checks)
    assert worst(checks) is CheckStatus.WARN
    assert worst([]) is CheckStatus.PASS
    failed = structural_checks(reach_in_brief(), _wide())
    assert worst(failed) is CheckStatus.FAIL


def test_every_check_names_formula_and_source() -> None:
    """No check without a formula and a source; every fail says what would mend it."""
    brief, layout = reach_in_brief(fastener="brads", shelf_load=60), reach_in()[1]
    checks = structural_checks(brief, layout)
    assert [c.part for c in checks if not c.formula or not c.source] == []
    assert [c.part for c in checks if c.status is CheckStatus.FAIL and not c.mends] == []
    assert [c.part for c in checks if (c.use > 1) != (c.status is CheckStatus.FAIL)] == []

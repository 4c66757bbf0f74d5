"""The structural report: figures by hand, verdicts, and mends that do mend."""

from __future__ import annotations

import pytest

from optimizer.buildpack.structure_report import alike, worst
from optimizer.domain.brief import Brief
from optimizer.domain.construction import Construction
from optimizer.domain.layout import Bay, Layout
from optimizer.domain.needs import Hang
from optimizer.domain.pack import CheckStatus, PartKind, StructuralCheck
from optimizer.structure.cleats import at_stud
from optimizer.structure.fixings import panel_screw_shear
from optimizer.structure.uprights import holding_load
from optimizer.units import Units
from tests.buildpack.samples import metric, reach_in, reach_in_brief, rod, shelf
from tests.packs import markout, parts_of, structural_checks


def _of(brief: Brief, layout: Layout, part: str, kind: str | None = None) -> StructuralCheck:
    """The first check of a part (of a kind)."""
    checks = structural_checks(brief, layout)
    return next(c for c in checks if c.part == part and kind in (None, c.kind))


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
    """Uprights, boards, cleats and rods have a check each, rods one more for each socket."""
    brief, layout = reach_in()
    loose = (PartKind.FILLER, PartKind.SCRIBE, PartKind.STIFFENER)
    expected = sorted(part.id for part in parts_of(brief, layout) if part.kind not in loose)
    checks = structural_checks(brief, layout)
    assert sorted(check.part for check in checks if check.kind != "socket") == expected
    assert [check.part for check in checks if check.kind == "socket"] == ["B1-R1", "B1-R1"]


def test_pine_shelf_sag_by_hand() -> None:
    """A pine board 12 x 3/4, 34-1/2 wide, from cleat centre to cleat centre 33-3/4.

    E 0.64 x 1.24e6 = 793,600 psi, w = 1.25 lb/in, I = 0.421875: 5 x 1.25 x 33.75^4 / (384 x
    793,600 x 0.421875) = 0.063075 in, x 1.48 = 0.093351; limit 33.75 / 144 = 0.234375.
    """
    brief = reach_in_brief(material="white_pine", max_plain_span=90)
    check = _of(brief, reach_in()[1], "B1-S1")
    assert _figure(check, "sag now") == pytest.approx(0.063075, abs=1e-6)
    assert check.demand == pytest.approx(0.093351, abs=2e-6)
    assert check.limit == pytest.approx(0.234375, abs=1e-6)
    assert _figure(check, "load on it") == pytest.approx(43.125)


def test_figures_say_the_loads_of_the_brief() -> None:
    """15 lb/sq ft on shelves, 20 lb/ft on rods; in a metric brief 73 kg/m2."""
    shelf_check = _of(*reach_in(), "B1-S1")
    assert _figure(shelf_check, "shelf load of the brief") == 15
    assert _figure(_of(*reach_in(), "B1-R1", "rod"), "rod load of the brief") == 20
    assert "load: the brief" in shelf_check.source
    units = {f.name: f.unit for f in _of(*metric(), "N1-S1").figures}
    assert units["shelf load of the brief"] == "kg/m2"


def test_a_failed_board_comes_with_mends_that_mend() -> None:
    """46 in plain fails; each way out that is offered passes when it is built that way."""
    failed = _of(reach_in_brief(), _wide(), "B1-S1")
    assert failed.status is CheckStatus.FAIL
    assert [mend.split(":")[0] for mend in failed.mends] == [
        'a mid support 24-1/4" from the left end of bay B1',
        'a front stiffener 1-1/2" high',
    ]
    for layout in (_wide(mid_supports=(25.0,)), _wide(stiffened=True)):
        check = _of(reach_in_brief(), layout, "B1-S1")
        assert check.status is CheckStatus.PASS
        assert any(mend.endswith(f"uses {check.use:.0%}") for mend in failed.mends)
    assert _of(reach_in_brief(), _wide(width=36.0), "B1-S1").status is CheckStatus.PASS
    assert _of(reach_in_brief(), _wide(width=36.0625), "B1-S1").status is CheckStatus.FAIL


def test_a_board_on_the_floor_spans_half_of_its_bay() -> None:
    """Packed in the middle as well, 46 in count as 23; nothing is said of cleats it has not."""
    layout = _wide(zones=(shelf(0.75, 74.75, 12.0), shelf(75.5, 90.0, 12.0)))
    check = _of(reach_in_brief(), layout, "B1-S1")
    assert _figure(check, "piece between supports") == 23
    assert check.status is CheckStatus.PASS
    parts = [c.part for c in structural_checks(reach_in_brief(), layout)]
    assert [name for name in parts if name.startswith("B1-K1")] == []


def test_heavy_items_are_told() -> None:
    """A 60 lb safe on a board planned for 37.5 lb."""
    data = reach_in_brief().model_dump(mode="json")
    data["needs"]["items"] = [
        {"id": "safe", "width": 12, "depth": 10, "height": 9, "place": "shelf", "weight_lb": 60}
    ]
    layout = _wide(width=30.0, zones=(shelf(3.5, 74.75, 12.0, "safe"), shelf(75.5, 90.0, 12.0)))
    brief = Brief.model_validate(data)
    check, other = _of(brief, layout, "B1-S1"), _of(brief, layout, "B1-S2")
    assert _figure(check, "items on it") == 60
    sags = [_figure(c, "sag after creep") for c in (check, other)]
    assert sags[0] == pytest.approx(sags[1] * 60 / 37.5)


def test_rod_sag_by_hand() -> None:
    """Tube 1-5/16 x 0.049, I 0.0389 in4, 34-1/2 in at 20 lb/ft.

    5 x (20/12) x 34.5^4 / (384 x 29e6 x 0.0389) = 0.02725 in; steel does not creep.
    """
    check = _of(*reach_in(), "B1-R1", "rod")
    assert _figure(check, "sag after creep") == pytest.approx(0.02725, abs=3e-5)
    assert _figure(check, "sag now") == _figure(check, "sag after creep")
    assert check.status is CheckStatus.PASS


def test_a_dowel_that_sags_is_mended_by_a_support_or_a_tube() -> None:
    """A wooden rod over 40 in sags past L/144 after creep: a mid support or a tube mends it."""
    zones = (rod(3.0, 66.0, 69.0, Hang.LONG), shelf(69.75, 90.0, 12.0))
    layout = _wide(width=40.0, depth=24.0, height=69.75, zones=zones)
    check = _of(reach_in_brief(rod_stock="wood_dowel"), layout, "B1-R1", "rod")
    assert check.status is CheckStatus.FAIL
    assert [mend.split(":")[0] for mend in check.mends] == [
        'a mid support 24-1/4" from the left end of bay B1',
        "steel tube in place of the dowel",
    ]
    assert _of(reach_in_brief(), layout, "B1-R1", "rod").status is CheckStatus.PASS


def test_rod_supports_are_at_most_48_in_apart() -> None:
    """Even a tube that hardly sags fails over a bay of 50 in."""
    zones = (rod(3.0, 66.0, 69.0, Hang.LONG), shelf(69.75, 90.0, 12.0))
    layout = _wide(width=50.0, depth=24.0, height=69.75, zones=zones)
    check = _of(reach_in_brief(), layout, "B1-R1", "rod")
    assert (check.status, check.check) == (CheckStatus.FAIL, "distance of supports")
    assert (check.demand, check.limit) == (50, 48)


def test_back_cleat_load_by_hand() -> None:
    """Half of a full shelf hangs on the studs at 9 and 25 of a cleat from 0.78 to 35.22.

    Pressure 15/144 + 48/1728 x 0.75 = 0.125 psi on 12 x 34.5: 51.75 lb, half 25.875. The second
    stud gets the cleat from 17 on: 18.21875 of 34.4375, 13.689 lb.
    """
    check = _of(*reach_in(), "B1-K1")
    assert check.demand == pytest.approx(25.875)
    assert check.use == pytest.approx(
        at_stud(Construction(), Units.INCH, 25.875 * 18.21875 / 34.4375, 2.0).share
    )
    assert _figure(check, "studs") == 2
    assert check.status is CheckStatus.PASS


def test_screws_take_the_place_of_brads_that_fall_short() -> None:
    """With brads chosen the same cleat gets a screw at each stud, and the mark-out says why."""
    brief, layout = reach_in_brief(fastener="brads"), reach_in()[1]
    assert _of(brief, layout, "B1-K1").use == pytest.approx(_of(*reach_in(), "B1-K1").use)
    line = {line.part: line for line in markout(brief, layout)}["B1-K1"]
    assert line.fastener == '#8 x 2-1/2" screw'
    assert "brads fall short" in line.note


def test_more_screws_where_one_falls_short() -> None:
    """A cleat of a 24 in board: one screw at 10 lb/sq ft, two at 30, number 10 ones at 50, and
    under 100 hollow-wall anchors between the studs as well.
    """
    layout = _wide(width=30.0, depth=24.0)
    found = []
    for load in (10, 30, 50, 100):
        brief = reach_in_brief(shelf_load=load, unbacked_span=0)
        line = {line.part: line for line in markout(brief, layout)}["B1-K1"]
        anchors = _figure(_of(brief, layout, "B1-K1"), "anchors")
        found.append((line.fasteners, line.fastener.split(" ")[0], anchors > 0))
    assert found == [
        (2, "#8", False),
        (4, "#8", False),
        (4, "#10", False),
        (4, "#10", True),
    ]


def test_a_cleat_without_a_stud_is_a_warning_with_anchors() -> None:
    """A 14 in bay between the studs at 25 and 41: 12 x 14 x 0.125 / 2 = 10.5 lb on two anchors."""
    brief = reach_in_brief(unbacked_span=0)
    check = _of(brief, _wide(start=26.0, width=14.0), "B1-K1")
    assert (check.status, check.check) == (CheckStatus.WARN, "no stud behind the cleat")
    assert (check.demand, check.limit) == (10.5, 50)


def test_side_cleats_have_a_screw_every_six_inches_and_enough() -> None:
    """10-3/4 in: three screws; the first of them gets 5/24 of the board."""
    check = _of(*reach_in(), "B1-K1L")
    assert _figure(check, "screws") == 3
    assert check.demand == pytest.approx(25.875)
    one = panel_screw_shear(Construction(), Units.INCH)
    assert check.use == pytest.approx(5 / 24 * 51.75 / one)


def test_upright_by_hand() -> None:
    """The left upright carries half of a bay: two boards of 51.75 lb and a rod of 20 lb/ft.

    Tube: 0.1945 sq in x 0.284 x 12 = 0.6628 lb/ft. (2 x 51.75 + 20.663 x 34.5 / 12) / 2 =
    81.45 lb. Free height 69 under the lower board, its back edge held every 32 in.
    """
    check = _of(*reach_in(), "B-U1")
    assert check.demand == pytest.approx(81.45, abs=0.01)
    assert check.limit == pytest.approx(holding_load(Construction(), Units.INCH, 14.0, 69.0))
    assert (check.check, check.status) == ("buckling", CheckStatus.PASS)
    assert _figure(check, "worst free height") == 69


def test_boards_on_both_sides_hold_a_shared_upright() -> None:
    """The shelves beside it leave the shared upright free over 12 in at most."""
    assert _figure(_of(*reach_in(), "B-U2"), "worst free height") <= 12


def test_an_upright_that_buckles_gets_holds_or_thicker_stock() -> None:
    """Under 250 lb/sq ft a lone top board on tall uprights buckles them; mends are worked out."""
    layout = _wide(width=30.0, depth=16.0, height=84.0, zones=(shelf(84.0, 95.0, 16.0),))
    check = _of(reach_in_brief(shelf_load=250, upright_hold=32), layout, "B-U1")
    assert (check.status, check.check) == (CheckStatus.FAIL, "buckling")
    assert any(mend.startswith("stock 1") for mend in check.mends)
    assert all("uses" in mend for mend in check.mends)


def test_a_top_board_over_two_bays_is_checked_by_its_own_id() -> None:
    """Under a level line one board lies over both bays of equal height and depth."""
    zones = (shelf(75.5, 90.0, 12.0),)
    first = _wide(width=30.0, zones=zones).bays[0]
    second = first.model_copy(update={"id": "B2", "start": 31.5})
    brief = reach_in_brief(top_line="level")
    checks = structural_checks(brief, Layout(bays=(first, second)))
    assert [c.part for c in checks if c.kind == "board"] == ["B1-S1", "B1-S1"]


def test_metric_figures_are_metric() -> None:
    """Sags in mm and loads in kg: 0.9 m x 0.4 m x 73 kg/m2 = 26.28 kg."""
    check = _of(*metric(), "N1-S1")
    assert {f.unit for f in check.figures if "sag" in f.name} == {"mm"}
    assert _figure(check, "load on it") == pytest.approx(26.28)


def test_alike_checks_are_put_together_and_none_is_lost() -> None:
    """Grouping keeps every part id once; the worst verdict is found."""
    checks = structural_checks(*reach_in())
    groups = alike(checks)
    assert sorted(name for _, ids in groups for name in ids) == sorted(c.part for c in checks)
    assert len(groups) < len(checks)
    assert worst(checks) is CheckStatus.PASS
    assert worst(structural_checks(reach_in_brief(), _wide(start=26.0, width=14.0))) is (
        CheckStatus.WARN
    )
    assert worst([]) is CheckStatus.PASS
    assert worst(structural_checks(reach_in_brief(), _wide())) is CheckStatus.FAIL


@pytest.mark.parametrize("load", [15, 60, 250])
def test_every_check_names_formula_and_source(load: float) -> None:
    """No check without a formula and a source; fails exactly past the limit."""
    brief, layout = reach_in_brief(fastener="brads", shelf_load=load), reach_in()[1]
    checks = structural_checks(brief, layout)
    assert [c.part for c in checks if not c.formula or not c.source] == []
    assert [c.part for c in checks if (c.use > 1 + 1e-6) != (c.status is CheckStatus.FAIL)] == []

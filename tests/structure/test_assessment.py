"""Every strain of a layout: what there is, what governs, and the limits from both sides."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.domain.layout import Carried, Layout
from optimizer.structure.assessment import assess, worst
from optimizer.structure.bay_surroundings import BaySurroundings
from optimizer.structure.loadings import end_patch
from optimizer.structure.strain import Strain
from tests.structure.layouts import (
    alcove,
    bay,
    double,
    hanging,
    room,
    shelves,
    wrapped,
)


def _of(strains: tuple[Strain, ...], part: str, kind: str | None = None) -> Strain:
    """The one strain of a part (of a kind)."""
    (found,) = [s for s in strains if s.part == part and kind in (None, s.kind)]
    return found


def _kinds(strains: tuple[Strain, ...]) -> dict[str, int]:
    found: dict[str, int] = {}
    for strain in strains:
        found[strain.kind] = found.get(strain.kind, 0) + 1
    return found


def test_alcove_pantry_has_boards_and_cleats_alone() -> None:
    """36 in wall to wall, 16 in deep: seven boards, seven back cleats, fourteen on side walls."""
    strains = assess(*alcove())
    assert _kinds(strains) == {"board": 7, "cleat": 21}
    assert all(strain.passes for strain in strains)
    assert {strain.bays for strain in strains} == {("B1",)}


def test_board_of_the_alcove_by_its_length_and_sag() -> None:
    """36 of 36 in is the practice; from cleat centre to cleat centre it sags 0.95 of L/144."""
    board = _of(assess(*alcove()), "B1-S3")
    figures = {name: value for name, value, _ in board.figures}
    assert (board.check, board.share) == ("length between supports", 1.0)
    assert figures["span reckoned with"] == 35.25
    assert 0.9 < figures["sag after creep"] / figures["sag allowed"] < 1.0
    assert board.name == "the shelf at 36 in of bay B1"


@pytest.mark.parametrize(("width", "passes"), [(36.0, True), (36.0625, False)])
def test_plain_boards_at_the_limit_of_practice(width: float, passes: bool) -> None:
    """One sixteenth past `max_plain_span` fails, and the worst of the layout says so."""
    brief, layout = alcove(width)
    assert all(s.passes for s in assess(brief, layout) if s.kind == "board") is passes
    most = worst(brief, layout)
    assert most is not None
    assert (most.share <= 1.0) is passes
    assert "length between supports" in most.of


def test_mid_support_halves_the_piece() -> None:
    """60 in with a triangle at 32 in: pieces of 32 and 28, and a triangle under every board."""
    brief, layout = alcove(60.0, 12.0)
    (pantry,) = layout.bays
    held = Layout(bays=(pantry.model_copy(update={"mid_supports": (32.0,)}),))
    assert not all(s.passes for s in assess(brief, layout))
    strains = assess(brief, held)
    assert all(s.passes for s in strains)
    triangles = [s for s in strains if s.kind == "mid_support"]
    assert len(triangles) == 7
    assert triangles[0].demand == pytest.approx(30.0 / 12.0 * 18.0)
    assert _of(strains, "B1-S1").demand == 32.0


def test_bracket_is_held_straight_and_better_than_a_triangle() -> None:
    """Slanted screws hold less: 0.67 in pull, 0.83 in shear."""
    shares = []
    for kind in ("triangle", "bracket"):
        brief, layout = alcove(60.0, 12.0, mid_support=kind)
        (pantry,) = layout.bays
        held = Layout(bays=(pantry.model_copy(update={"mid_supports": (32.0,)}),))
        shares.append(_of(assess(brief, held), "B1-T7a").share)
    assert shares[1] < shares[0]


def test_rod_from_wall_to_wall() -> None:
    """48 in: rod, two sockets on rod cleats, which carry the board's ends as well."""
    brief = room((20.0, 48.0, 20.0))
    hang = bay("B1", "B", 0.0, 48.0, hanging(), left=Carried.WALL, right=Carried.WALL)
    strains = assess(brief, Layout(bays=(hang,)))
    assert _kinds(strains) == {"board": 1, "rod": 1, "socket": 2, "cleat": 3}
    rod = _of(strains, "B1-R1", "rod")
    assert (rod.check, rod.share) == ("distance of supports", 1.0)
    cleat = _of(strains, "B1-Q1L")
    figures = {name: value for name, value, _ in cleat.figures}
    total = 48 / 12 * 18 / 2 + (20 * 4 + 48 * 0.663 / 12) / 2
    assert figures["at the corner's stud"] + figures["towards the front"] == pytest.approx(
        total, rel=2e-3
    )


def test_low_rod_has_a_cleat_of_its_own() -> None:
    """Two rods wall to wall, each under its board: two rod cleats at each side, no side cleat."""
    brief = room((24.0, 40.0, 24.0))
    hang = bay("B1", "B", 0.0, 40.0, double(), left=Carried.WALL, right=Carried.WALL)
    parts = [s.part for s in assess(brief, Layout(bays=(hang,))) if s.kind == "cleat"]
    assert parts == ["B1-K1", "B1-K2", "B1-Q1L", "B1-Q2L", "B1-Q1R", "B1-Q2R"]


def test_level_top_board_lies_on_its_uprights() -> None:
    """Under a level line no side cleats under the top board; its span is the clear width."""
    brief = room((60.0,))
    one = Layout(bays=(bay("A1", "A", 1.0, 30.0, shelves(3, 12.0)),))
    strains = assess(brief, one)
    parts = {s.part for s in strains}
    assert "A1-K2L" in parts and "A1-K3L" not in parts
    spans = [
        {n: v for n, v, _ in _of(strains, f"A1-S{number}").figures}["span reckoned with"]
        for number in (2, 3)
    ]
    assert spans == [29.25, 30.0]
    free = assess(room((60.0,), top_line="free"), one)
    assert "A1-K3L" in {s.part for s in free}


def test_upright_between_two_bays_gets_half_of_each() -> None:
    """Two double hangs of 36 in share one: boards and rods, each where it enters."""
    brief = room((100.0,))
    left = bay("A1", "A", 1.0, 36.0, double())
    right = bay("A2", "A", 37.75, 36.0, double())
    strains = assess(brief, Layout(bays=(left, right)))
    names = [s.part for s in strains if s.kind == "upright"]
    assert names == ["A-U1", "A-U2", "A-U3"]
    outer, shared = _of(strains, "A-U1"), _of(strains, "A-U2")
    assert shared.bays == ("A1", "A2")
    assert shared.share == pytest.approx(2.0 * outer.share)
    floor = {name: value for name, value, _ in shared.figures}["load on the floor"]
    assert floor == pytest.approx(2 * (54 + 60 + 36 * 0.663 / 12), rel=1e-3)


@pytest.mark.parametrize(("factor", "passes"), [(2.0, True), (4.0, False)])
def test_uprights_fail_with_a_larger_factor(factor: float, passes: bool) -> None:
    """`safety_factor` is on the buckling load."""
    brief = room((100.0,), safety_factor=factor, upright_hold=32)
    left = bay("A1", "A", 1.0, 36.0, double())
    right = bay("A2", "A", 37.75, 36.0, double())
    strains = assess(brief, Layout(bays=(left, right)))
    assert all(s.passes for s in strains if s.kind == "upright") is passes


def test_wrapped_corner_brings_its_load() -> None:
    """30 in of a 12 in board: 22.5 lb on the front of the board that runs through."""
    brief, layout = wrapped()
    standing = BaySurroundings(brief, layout)
    through = layout.bays[1]
    board = standing.boards(through)[0]
    patch = end_patch(standing, through, board, left=True)
    assert patch is not None
    assert (patch.length, patch.load) == (12.0, pytest.approx(22.5))
    assert end_patch(standing, through, board, left=False) is None
    strains = assess(brief, layout)
    assert sum(s.kind == "joint" for s in strains) == 6
    alone = assess(brief, Layout(bays=(through,)))
    assert _of(strains, "B1-S2").share > _of(alone, "B1-S2").share
    # The board ends on the next wall's back cleat, where that is there.
    name = "the side cleat on the left wall of the shelf at 36 in of bay B1"
    (shared,) = [s for s in strains if s.part == "A1-K2" and s.name == name]
    assert shared.share > _of(alone, "B1-K2L").share


def test_wrapped_corner_at_the_other_end() -> None:
    """A mirror: A's boards run through to wall B, B's butt against them."""
    brief = room((33.75, 42.75))
    through = bay("A1", "A", 0.75, 33.0, shelves(6, 12.0), right=Carried.WALL)
    joined = bay("B1", "B", 12.0, 30.0, shelves(6, 12.0), left=Carried.CORNER)
    strains = assess(brief, Layout(bays=(through, joined)))
    _, mirror = wrapped()
    other = assess(wrapped()[0], mirror)
    assert _of(strains, "A1-S2").share == pytest.approx(_of(other, "B1-S2").share)


def test_items_that_weigh_more_than_the_load_planned() -> None:
    """100 lb on a board for 37.5: the board sags more, and all that carries it gets more."""
    brief, layout = alcove(30.0, 12.0)
    heavy = {"id": "safe", "width": 12, "depth": 10, "height": 8, "place": "shelf"}
    needs = {"items": [{**heavy, "weight_lb": 100.0}]}
    loaded = brief.model_copy(update={"needs": brief.needs.model_validate(needs)})
    (pantry,) = layout.bays
    first = pantry.zones[0].model_copy(update={"items": ("safe",)})
    housed = pantry.model_copy(update={"zones": (first, *pantry.zones[1:])})
    before = assess(loaded, layout)
    after = assess(loaded, Layout(bays=(housed,)))
    for part in ("B1-K1", "B1-K1L"):
        assert _of(after, part).demand > _of(before, part).demand
    sag = {n: v for n, v, _ in _of(after, "B1-S1").figures}["sag after creep"]
    plain = {n: v for n, v, _ in _of(before, "B1-S1").figures}["sag after creep"]
    assert sag == pytest.approx(plain * 100.0 / 37.5)


def test_studs_that_nobody_has_behind_a_cleat() -> None:
    """12 in between the studs: hollow-wall anchors, told as such."""
    brief = room((100.0,), unbacked_span=0)
    narrow = bay("A1", "A", 16.5, 14.0, shelves(3, 12.0))
    back = _of(assess(brief, Layout(bays=(narrow,))), "A1-K1")
    assert back.check == "no stud behind the cleat"
    assert ("anchors", 2.0, "") in back.figures
    assert back.passes


@pytest.mark.parametrize(
    "change",
    [
        {"wall": "nowhere"},
        {"zones": ()},
        {"start": 500.0},
        {"mid_supports": (-5.0, 10.0, 400.0)},
        {"left": Carried.CORNER, "right": Carried.CORNER},
        {"left": Carried.WALL, "right": Carried.WALL},
        {"depth": 0.01},
    ],
)
def test_odd_layouts_are_never_refused(change: dict[str, Any]) -> None:
    """Whatever stands in a layout, what can be worked out is."""
    brief = room((60.0,))
    odd = bay("A1", "A", 1.0, 30.0, shelves(3, 12.0)).model_copy(update=change)
    strains = assess(brief, Layout(bays=(odd, odd)))
    assert all(strain.share >= 0.0 for strain in strains)
    worst(brief, Layout(bays=(odd,)))


def test_no_bays_no_worst() -> None:
    """Nothing carries anything."""
    assert worst(room((60.0,)), Layout()) is None


def test_metric_layout_agrees() -> None:
    """The same alcove in millimetres: shares within what rounding of sizes changes."""
    from optimizer.domain.brief import Brief
    from optimizer.domain.layout import Bay, Zone, ZoneKind

    brief = Brief.model_validate(
        {
            "units": "mm",
            "room": {
                "ceiling_height": 2440,
                "walls": [{"id": n, "length": w} for n, w in (("A", 400), ("B", 880), ("C", 400))],
            },
            "needs": {"shelf_length": 2500},
        }
    )
    zones = tuple(
        Zone(kind=ZoneKind.SHELF, bottom=2130 - 300 * i, top=2412 - 300 * i, depth=400)
        for i in range(6, -1, -1)
    )
    pantry = Bay(
        id="B1",
        wall="B",
        start=0,
        width=880,
        depth=400,
        pattern="x",
        zones=zones,
        height=2130,
        left=Carried.WALL,
        right=Carried.WALL,
    )
    layout = Layout(bays=(pantry,))
    strains = assess(brief, layout)
    assert {s.unit for s in strains if s.kind == "cleat"} == {"kg"}
    inch = _of(assess(*alcove(880 / 25.4, 400 / 25.4)), "B1-K4L")
    assert _of(strains, "B1-K4L").share == pytest.approx(inch.share, rel=0.1)


def test_a_layout_that_is_put_together_again_is_not_worked_out_again() -> None:
    """Whatever else is said of it: strains are those of its bays, and of these alone."""
    brief, layout = alcove()
    again = Layout.model_validate(layout.model_dump(), context=brief.units)
    found = assess(brief, layout)
    assert assess(brief, again.model_copy(update={"score": 50.0})) is found
    narrow = layout.bays[0].model_copy(update={"width": layout.bays[0].width - 1.0})
    assert assess(brief, Layout(bays=(narrow, *layout.bays[1:]))) != found
    light = brief.model_copy(
        update={"construction": brief.construction.model_copy(update={"shelf_load": 5.0})}
    )
    assert assess(light, layout) != found

"""Bays that walls, corners and mid supports carry: parts, lines and hardware worked out by hand."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from optimizer.buildpack.chains import wall_chains
from optimizer.buildpack.hardware import hardware_of
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Carried, Filler, Layout
from optimizer.domain.pack import Box, MarkoutLine, Notch, Part, PartKind, Stock
from optimizer.errors import BuildError
from optimizer.parts.job import Job
from optimizer.stocking.stock import sheet_parts
from tests.buildpack.rebuild import layout_from_parts
from tests.packs import markout, parts_of, quick_pack
from tests.structure.layouts import alcove, bay, double, hanging, room, shelves, wrapped


def _by_id(brief: Brief, layout: Layout) -> dict[str, Part]:
    return {part.id: part for part in parts_of(brief, layout)}


def _kinds(brief: Brief, layout: Layout) -> dict[str, int]:
    return dict(Counter(part.kind.value for part in parts_of(brief, layout)))


def _lines(brief: Brief, layout: Layout) -> dict[str, MarkoutLine]:
    return {line.part: line for line in markout(brief, layout) if line.part}


def _with_mids(width: float, depth: float, *at: float, **construction: Any) -> tuple[Brief, Layout]:
    brief, layout = alcove(width, depth, **construction)
    (pantry,) = layout.bays
    return brief, Layout(bays=(pantry.model_copy(update={"mid_supports": at}),))


def test_alcove_pantry_is_boards_and_cleats() -> None:
    """Seven boards from wall to wall: 7 boards and 21 cleats are 28 parts, no upright."""
    brief, layout = alcove()
    assert _kinds(brief, layout) == {
        "shelf": 6,
        "top_shelf": 1,
        "back_cleat": 7,
        "side_cleat": 14,
    }
    assert len(parts_of(brief, layout)) == 28


def test_each_board_is_followed_by_its_cleats() -> None:
    """In the order of putting up: a board, its back cleat, its cleats on the side walls."""
    ids = [part.id for part in parts_of(*alcove())]
    assert ids[:5] == ["B1-S1", "B1-K1", "B1-K1L", "B1-K1R", "B1-S2"]


def test_alcove_sizes_by_hand() -> None:
    """36 wide less 1/16; side cleats 16 - 3/4 - 1/2 = 14-3/4, at the walls' own ends."""
    parts = _by_id(*alcove())
    assert (parts["B1-S1"].length, parts["B1-S7"].length) == (35.9375, 35.9375)
    assert parts["B1-K3"].length == 35.9375
    assert parts["B1-K3L"].box == Box(
        along=0, out=0.75, bottom=33.25, size_along=0.75, size_out=14.75, size_up=2
    )
    assert parts["B1-K3R"].box.along == 35.25
    assert (parts["B1-K3L"].note, parts["B1-K3R"].note) == ("on wall A", "on wall C")


def test_side_cleats_are_marked_on_the_side_walls() -> None:
    """From the corner 3/4 to 15-1/2 out: on wall A from its right end, on wall C from its left."""
    lines = _lines(*alcove())
    left, right = lines["B1-K3L"], lines["B1-K3R"]
    assert (left.wall, left.start, left.end) == ("A", 0.5, 15.25)
    assert (right.wall, right.start, right.end) == ("C", 0.75, 15.5)
    assert left.height == right.height == 35.25
    assert (left.kind, left.fasteners) == ("side_cleat", 1)
    assert "stud in the corner (taken to be there: find it)" in left.note
    assert "1 hollow-wall anchor there" in left.note


def test_walls_with_cleats_alone_have_a_schedule_of_their_own() -> None:
    """Datum and studs on each, in order from 1."""
    schedule = markout(*alcove())
    for wall in "ABC":
        own = [line for line in schedule if line.wall == wall]
        assert [line.kind for line in own[:2]] == ["datum", "stud"]
        assert [line.order for line in own] == list(range(1, len(own) + 1))


def test_boards_between_uneven_walls_are_measured_on_site() -> None:
    """Readings that differ by 3/8: each board says so, and the notes do; no strip is cut."""
    brief, layout = alcove()
    data = brief.model_dump(mode="json")
    data["room"]["walls"][1]["length"] = [36.375, 36]
    uneven = Brief.model_validate(data)
    parts = _by_id(uneven, layout)
    assert 'readings of the wall differ by 3/8"' in parts["B1-S2"].note
    assert {part.kind for part in parts.values()} <= {
        PartKind.SHELF,
        PartKind.TOP_SHELF,
        PartKind.BACK_CLEAT,
        PartKind.SIDE_CLEAT,
    }
    notes = " ".join(quick_pack(uneven, layout).notes)
    assert "measure each board that reaches a side wall after its cleats are up" in notes
    assert "cut each upright" not in notes


def test_uprights_beside_uneven_walls_get_a_strip() -> None:
    """Wall B reads 60-3/8 and 60: the upright at its right end gets a strip of 3/8 + 1/4."""
    brief = room((20.0, 60.0, 20.0))
    data = brief.model_dump(mode="json")
    data["room"]["walls"][1]["length"] = [60.375, 60]
    layout = Layout(bays=(bay("B1", "B", 30.0, 29.25, shelves(3, 12.0)),))
    strip = _by_id(Brief.model_validate(data), layout)["B-F1"]
    assert (strip.kind, strip.width) == (PartKind.SCRIBE, 0.625)
    assert "readings of the wall differ" in strip.note
    assert "B-F1" not in _by_id(brief, layout)


def test_a_scribed_left_over_is_as_wide_as_it_may_become() -> None:
    """A scribe of 1/2 at the end of a wall that differs by 3/8: cut 1/2 + 3/8 + 1/4."""
    brief = room((20.0, 60.0, 20.0))
    data = brief.model_dump(mode="json")
    data["room"]["walls"][1]["length"] = [60.375, 60]
    filler = Filler(wall="B", start=59.5, width=0.5, kind="scribe")
    layout = Layout(bays=(bay("B1", "B", 30.0, 28.75, shelves(3, 12.0)),), fillers=(filler,))
    strips = [p for p in parts_of(Brief.model_validate(data), layout) if p.kind is PartKind.SCRIBE]
    assert [(strip.id, strip.width) for strip in strips] == [("B-F1", 1.125)]


def test_rod_between_walls_hangs_on_rod_cleats() -> None:
    """48 in: the rod is shorter by two cleats of 3/4 and 1/8; the cleats take board and socket.

    From the board's underside 83-1/4, 3 in down to the rod and 1-3/4 under it: 4-3/4 high, from
    the back cleat to 14 in out: 13-1/4 long, cut from the sheet.
    """
    brief = room((24.0, 48.0, 24.0))
    hang = bay("B1", "B", 0.0, 48.0, hanging(), left=Carried.WALL, right=Carried.WALL)
    layout = Layout(bays=(hang,))
    parts = _by_id(brief, layout)
    assert sorted(parts) == ["B1-K1", "B1-Q1L", "B1-Q1R", "B1-R1", "B1-S1"]
    assert (parts["B1-R1"].length, parts["B1-R1"].box.along) == (46.375, 0.8125)
    cleat = parts["B1-Q1L"]
    assert (cleat.length, cleat.width, cleat.stock) == (13.25, 4.75, Stock.SHEET)
    assert (cleat.box.bottom, cleat.box.top, cleat.box.front) == (78.5, 83.25, 14)
    line = _lines(brief, layout)["B1-Q1R"]
    assert (line.kind, line.wall, line.start, line.end) == ("rod_cleat", "C", 0.75, 14)
    assert "the rod cleat" in _lines(brief, layout)["B1-R1"].note or True
    rod_line = next(m for m in markout(brief, layout) if m.kind == "rod")
    assert "both rod cleats" in rod_line.note


def test_rod_far_from_its_board_has_a_cleat_of_3_1_2() -> None:
    """A rod 10 in under its board: a cleat of its own beside the board's side cleat."""
    low = hanging()
    rod = low[0].model_copy(update={"rod_height": 73.25, "bottom": 10.25})
    brief = room((24.0, 40.0, 24.0))
    hang = bay("B1", "B", 0.0, 40.0, (rod, low[1]), left=Carried.WALL, right=Carried.WALL)
    parts = _by_id(brief, Layout(bays=(hang,)))
    assert {"B1-K1L", "B1-Q1L"} <= set(parts)
    assert (parts["B1-Q1L"].width, parts["B1-Q1L"].box.bottom) == (3.5, 71.5)
    assert (parts["B1-Q1L"].length, parts["B1-Q1L"].box.out) == (14, 0)


def test_wrapped_corner_by_hand() -> None:
    """B's boards run to wall A; A's end on joint cleats under B's front edge.

    A's back cleats run on to B's, 3/4 from the corner of a wall of 42-3/4, and carry B's boards:
    from 1/32 in its bay (3/4 on) they are 42 - 25/32 long.
    """
    brief, layout = wrapped(33.0, 30.0, 12.0)
    parts = _by_id(brief, layout)
    assert _kinds(brief, layout) == {
        "upright": 2,
        "shelf": 10,
        "top_shelf": 2,
        "back_cleat": 12,
        "side_cleat": 10,
        "joint_cleat": 6,
    }
    cleat = parts["A1-K2"]
    assert (cleat.box.along, cleat.box.end, cleat.length) == (0.78125, 41.96875, 41.1875)
    assert "runs on to the corner under the boards of B1" in cleat.note
    mark = _lines(brief, layout)["A1-K2"]
    assert (mark.wall, mark.start, mark.end) == ("A", 0.78125, 42)
    assert "carries the end of B1-S2: 1 into the stud in the corner" in mark.note
    joint = parts["A1-J2R"]
    assert (joint.length, joint.width) == (10.75, 3)
    assert joint.box == Box(
        along=29.25, out=0.75, bottom=34.5, size_along=3, size_out=10.75, size_up=0.75
    )
    assert "flat under the joint with the boards of wall B" in joint.note
    chain = {c.wall: c for c in wall_chains(Job(brief, layout))}["A"]
    assert [(link.label, link.length) for link in chain.links] == [
        ("A-U1", 0.75),
        ("A1", 30),
        ("boards of B", 12),
    ]
    line = _lines(brief, layout)["A1-J2R"]
    assert (line.kind, line.start, line.end, line.fasteners) == ("joint_cleat", 29.25, 32.25, 4)


def test_triangles_under_every_board() -> None:
    """60 x 12 with a support at 32: seven triangles of 9 x 9 on the stud there."""
    brief, layout = _with_mids(60.0, 12.0, 32.0)
    parts = _by_id(brief, layout)
    triangles = [part for part in parts.values() if part.kind is PartKind.TRIANGLE]
    assert [part.id for part in triangles] == [f"B1-T{n}a" for n in range(1, 8)]
    first = parts["B1-T2a"]
    assert (first.name, first.length, first.width, first.area) == ("Triangle", 9, 9, 40.5)
    assert first.box == Box(
        along=31.625, out=0, bottom=14.25, size_along=0.75, size_out=9, size_up=9
    )
    line = _lines(brief, layout)["B1-T2a"]
    assert (line.kind, line.studs, line.fasteners) == ("mid_support", (32,), 3)
    assert line.flagged is False
    off = _lines(*_with_mids(60.0, 12.0, 30.0))["B1-T2a"]
    assert off.flagged and "NO STUD IS LISTED" in off.note


def test_two_triangles_come_out_of_one_rectangle() -> None:
    """Seven triangles need four rectangles of 9 x (9 + 1/8 x sqrt 2), 9-3/16 on the grid."""
    brief, layout = _with_mids(60.0, 12.0, 32.0)
    cut = [p for p in sheet_parts(parts_of(brief, layout), 0.125) if "-T" in p.id]
    assert [part.id for part in cut] == [
        "B1-T1a+B1-T2a",
        "B1-T3a+B1-T4a",
        "B1-T5a+B1-T6a",
        "B1-T7a",
    ]
    assert (cut[0].length, cut[0].width) == (9.1875, 9)


def test_triangles_pass_behind_a_rod() -> None:
    """Under a board 24 in deep over a rod the slope stays 1/2 in behind the rod."""
    brief = room((24.0, 60.0, 24.0))
    hang = bay(
        "B1", "B", 0.0, 60.0, hanging(24.0),
        left=Carried.WALL, right=Carried.WALL, mid_supports=(32.0,),
    )  # fmt: skip
    triangle = _by_id(brief, Layout(bays=(hang,)))["B1-T1a"].box
    assert triangle.size_up == 18
    at_rod = triangle.size_out * (1 - 3 / 18)
    assert at_rod == pytest.approx(12 - 0.65625 - 0.5, abs=0.0625)


def test_brackets_are_bought() -> None:
    """With brackets chosen no triangle is cut; a bracket under each board, and one for a rod."""
    brief, layout = _with_mids(60.0, 12.0, 32.0, mid_support="bracket")
    assert "triangle" not in _kinds(brief, layout)
    counts = {h.key: h.count for h in hardware_of(Job(brief, layout), parts_of(brief, layout))}
    assert counts["shelf_bracket"] == 7


def test_a_rod_with_a_centre_bracket() -> None:
    """One rod over 80 in, a bracket at its middle: bought, marked, and told on the rod."""
    brief = room((24.0, 80.0, 24.0))
    hang = bay(
        "B1", "B", 0.0, 80.0, hanging(),
        left=Carried.WALL, right=Carried.WALL, mid_supports=(32.0, 48.0),
    )  # fmt: skip
    layout = Layout(bays=(hang,))
    counts = {h.key: h.count for h in hardware_of(Job(brief, layout), parts_of(brief, layout))}
    assert (counts["rod_bracket"], counts["rod_socket"]) == (2, 2)
    assert 'centre bracket 32", 48" from the left end' in _by_id(brief, layout)["B1-R1"].note
    marked = [m for m in markout(brief, layout) if m.part == "B1-R1" and m.kind == "mid_support"]
    assert [m.start + 0.375 for m in marked] == [32, 48]


def _line_of(*widths: float, depth: float = 12.0, **changes: Any) -> tuple[Brief, Layout]:
    """Bays of shelves side by side on wall B, one upright between neighbours."""
    here, bays = 1.0, []
    for number, width in enumerate(widths, 1):
        bays.append(bay(f"B{number}", "B", here, width, shelves(3, depth)))
        here += width + 0.75
    return room((20.0, here + 10.0, 20.0), **changes), Layout(bays=tuple(bays))


def test_one_top_board_over_a_line() -> None:
    """Three bays of 20: one board of 3 x 20 + 4 x 3/4 = 63 over uprights of 84 - 3/4.

    One cleat runs through under it, 61-1/2 less 1/16, and the inner uprights are notched over it,
    3/4 deep and 2 high. The boards below lie on the cleats at their ends alone.
    """
    brief, layout = _line_of(20.0, 20.0, 20.0)
    parts = _by_id(brief, layout)
    tops = [part for part in parts.values() if part.kind is PartKind.TOP_SHELF]
    assert [(top.id, top.length, top.bays) for top in tops] == [("B1-S3", 63, ("B1", "B2", "B3"))]
    assert tops[0].box.along == 0.25
    assert "lies on B-U1, B-U2, B-U3, B-U4" in tops[0].note
    uprights = [part for part in parts.values() if part.kind is PartKind.UPRIGHT]
    assert {part.length for part in uprights} == {83.25}
    assert {part.shown for part in uprights} == {("front",)}
    assert not [name for name in parts if name.startswith("B2-K3") and name[-1] in "LR"]
    backs = [part for part in parts.values() if part.kind is PartKind.BACK_CLEAT]
    assert [(back.id, back.length, back.bays) for back in backs] == [
        ("B1-K3", 61.4375, ("B1", "B2", "B3"))
    ]
    over = Notch(corner="back_top", depth=0.75, height=2.0)
    assert [upright.notches for upright in uprights] == [(), (over,), (over,), ()]
    assert {"B2-K2L", "B2-K1R"} <= set(parts)


def test_uprights_without_cleats_behind_are_bracketed_more_often() -> None:
    """83-1/4 up to the one cleat: brackets at the foot and three more keep holds 24 apart.

    With a back cleat under every board the lowest, at 59-1/4, asks for two more below it.
    """
    for span, heights in ((30.0, 4), (0.0, 3)):
        brief, layout = _line_of(20.0, 20.0, 20.0, unbacked_span=span)
        lines = {line.part: line for line in markout(brief, layout)}
        assert lines["B-U2"].fasteners == heights


def test_the_same_line_free() -> None:
    """With free lines each bay has its own top board between uprights cut to the line."""
    brief, layout = _line_of(20.0, 20.0, 20.0, top_line="free")
    parts = _by_id(brief, layout)
    tops = [part for part in parts.values() if part.kind is PartKind.TOP_SHELF]
    assert [top.length for top in tops] == [19.9375] * 3
    assert {p.length for p in parts.values() if p.kind is PartKind.UPRIGHT} == {84}
    assert {"B2-K3L", "B2-K3R"} <= set(parts)


def test_a_line_longer_than_a_sheet_is_jointed_over_an_upright() -> None:
    """Four bays of 30 are 124 long: cut over the middle of an upright within 96 of the start.

    The boards meet on half of it each, so both lie on side cleats there as well.
    """
    brief, layout = _line_of(30.0, 30.0, 30.0, 30.0)
    parts = _by_id(brief, layout)
    tops = [part for part in parts.values() if part.kind is PartKind.TOP_SHELF]
    assert [(top.id, top.length) for top in tops] == [("B1-S3", 92.625), ("B4-S3", 31.125)]
    assert tops[0].box.end == pytest.approx(tops[1].box.along)
    assert 'joint 92-7/8" from the left end' in tops[0].note
    assert {"B3-K3R", "B4-K3L"} <= set(parts)
    assert "B3-K3L" not in parts


def test_a_bay_longer_than_a_sheet_is_jointed_over_a_mid_support() -> None:
    """100 in from wall to wall: two boards that meet over the support at 64."""
    brief, layout = _with_mids(100.0, 12.0, 32.0, 64.0)
    tops = [p for p in parts_of(brief, layout) if p.kind is PartKind.TOP_SHELF]
    assert [(top.id, top.length) for top in tops] == [("B1-S7", 63.9375), ("B1-S7b", 35.9375)]


def test_a_lower_neighbour_ends_at_the_upright() -> None:
    """A bay 24 in lower: its top board ends at the face of the taller upright, on a cleat."""
    tall = bay("B1", "B", 1.0, 20.0, shelves(3, 12.0))
    low = bay("B2", "B", 21.75, 20.0, shelves(3, 12.0, line=60.0))
    brief, layout = room((20.0, 60.0, 20.0)), Layout(bays=(tall, low))
    parts = _by_id(brief, layout)
    assert (parts["B1-S3"].length, parts["B2-S3"].length) == (21.5, 20.6875)
    assert [parts[f"B-U{n}"].length for n in (1, 2, 3)] == [83.25, 83.25, 59.25]
    assert "B2-K3L" in parts and "B2-K3R" not in parts


def test_top_boards_of_other_depths_meet_over_the_upright() -> None:
    """12 and 16 in deep at one height: two boards, each on half of the upright and on a cleat."""
    one = bay("B1", "B", 1.0, 20.0, shelves(3, 12.0))
    two = bay("B2", "B", 21.75, 20.0, shelves(3, 16.0))
    parts = _by_id(room((20.0, 60.0, 20.0)), Layout(bays=(one, two)))
    assert (parts["B1-S3"].length, parts["B2-S3"].length) == (21.125, 21.125)
    assert {"B1-K3R", "B2-K3L"} <= set(parts)


def test_between_two_side_walls_a_top_board_has_air() -> None:
    """Uprights at both walls of 61-1/2: the board over them is 1/16 shorter than the wall."""
    one = bay("B1", "B", 0.75, 60.0, shelves(3, 12.0))
    parts = _by_id(room((20.0, 61.5, 20.0)), Layout(bays=(one,)))
    assert parts["B1-S3"].length == 61.4375


def test_angle_brackets_hold_the_back_edge() -> None:
    """Under a lone board at 84 an upright gets one at the foot and three more, 24 in at most."""
    brief = room((20.0, 60.0, 20.0))
    layout = Layout(bays=(bay("B1", "B", 10.0, 30.0, hanging()),))
    counts = {
        (h.key, h.used_for): h.count
        for h in hardware_of(Job(brief, layout), parts_of(brief, layout))
    }
    assert counts["angle_bracket", "uprights to the wall behind"] == 8
    line = _lines(brief, layout)["B-U1"]
    assert line.fasteners == 4
    assert 'at the foot and at 20-13/16", 41-5/8", 62-7/16"' in line.note


def test_an_old_layout_stands_between_uprights() -> None:
    """A bay without the new fields is read with an upright at both ends and no mid support."""
    data = {
        "bays": [
            {
                "id": "B1", "wall": "B", "start": 1, "width": 30, "depth": 12, "pattern": "p",
                "zones": [{"kind": "shelf", "bottom": 40, "top": 80, "depth": 12}], "height": 40,
            }
        ]
    }  # fmt: skip
    brief, layout = room((20.0, 60.0, 20.0), top_line="free"), Layout.model_validate(data)
    assert _kinds(brief, layout) == {
        "upright": 2,
        "top_shelf": 1,
        "back_cleat": 1,
        "side_cleat": 2,
    }
    assert _by_id(brief, layout)["B-U1"].length == 40


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        ({"start": 2.0, "width": 34.0}, "carried by the wall at its left, which is 2"),
        ({"width": 30.0}, "carried by the wall at its right"),
    ],
)
def test_a_wall_carries_only_what_reaches_it(changes: dict[str, float], named: str) -> None:
    """A gap between a bay and the wall that is to carry it makes no parts."""
    brief, layout = alcove()
    (pantry,) = layout.bays
    with pytest.raises(BuildError, match=named):
        parts_of(brief, Layout(bays=(pantry.model_copy(update=changes),)))


def test_neighbours_stand_on_an_upright() -> None:
    """Two bays side by side cannot both do without one between them."""
    one = bay("B1", "B", 0.75, 20.0, shelves(2, 12.0), right=Carried.CORNER)
    two = bay("B2", "B", 20.75, 20.0, shelves(2, 12.0))
    with pytest.raises(BuildError, match="an upright carries both there"):
        parts_of(room((20.0, 60.0, 20.0)), Layout(bays=(one, two)))


@pytest.mark.parametrize(
    "case",
    [alcove(), wrapped(), _with_mids(60.0, 12.0, 32.0), _line_of(20.0, 24.0, 30.0)],
    ids=["alcove", "wrapped", "mid support", "line"],
)
def test_layouts_come_back_from_their_parts(case: tuple[Brief, Layout]) -> None:
    """Ends and mid supports are told by cleats, uprights and triangles."""
    brief, layout = case
    rebuilt = layout_from_parts(brief, parts_of(brief, layout))
    for before, after in zip(layout.bays, rebuilt.bays, strict=True):
        told = ("id", "wall", "start", "width", "depth", "height", "left", "right", "mid_supports")
        assert [getattr(after, n) for n in told] == [getattr(before, n) for n in told]


def test_the_whole_pack_of_each_kind_of_bay() -> None:
    """Everything that is cut, bought and marked names parts that are there."""
    both = room((24.0, 90.0, 24.0))
    hang = (
        bay("B1", "B", 0.0, 36.0, double(), left=Carried.WALL),
        bay("B2", "B", 36.75, 53.25, hanging(), right=Carried.WALL, mid_supports=(64.0,)),
    )
    for brief, layout in (alcove(), wrapped(), (both, Layout(bays=hang))):
        pack = quick_pack(brief, layout)
        ids = {part.id for part in pack.parts}
        checks = {check.part for check in pack.checks if check.kind != "mid_support"}
        assert checks <= ids
        assert {line.part for line in pack.markout if line.part} <= ids
        assert pack.quote.total > 0

"""The mark-out schedule: heights, places, studs and fasteners."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Filler, Layout
from optimizer.domain.pack import MarkoutLine, PartKind
from tests.buildpack.samples import metric, reach_in, reach_in_bays, reach_in_brief, shelf
from tests.buildpack.strategies import layouts
from tests.packs import markout, parts_of


def _by_part(brief: Brief, layout: Layout) -> dict[str, MarkoutLine]:
    return {line.part: line for line in markout(brief, layout) if line.part}


def _changed(brief: Brief, **wall: object) -> Brief:
    """The brief with changes to its wall B."""
    data = brief.model_dump(mode="json")
    data["room"]["walls"][1].update(wall)
    return Brief.model_validate(data)


def _narrow(start: float, width: float = 14.0) -> Layout:
    """One bay with a board at 40 somewhere along wall B."""
    bay = Bay(
        id="B1",
        wall="B",
        start=start,
        width=width,
        depth=12.0,
        pattern="p",
        zones=(shelf(40.0, 90.0, 12.0),),
        height=40.0,
    )
    return Layout(bays=(bay,))


def test_order_of_work_on_a_wall() -> None:
    """Datum, studs, uprights from the left, then cleats and rods bay by bay; numbered."""
    lines = markout(*reach_in())
    assert [line.order for line in lines] == list(range(1, 16))
    assert [line.kind for line in lines] == [
        *("datum", "stud", "upright", "upright", "upright"),
        *("cleat", "cleat", "rod"),
        *(["cleat"] * 7),
    ]


def test_heights_from_floor_and_datum_by_hand() -> None:
    """Cleat tops are undersides: 69-3/4 less 3/4 is 69, 21 above the datum at 48; rod at 66."""
    lines = _by_part(*reach_in())
    heights = {name: (lines[name].height, lines[name].from_datum) for name in lines}
    assert heights["B1-K1"] == (69, 21)
    assert heights["B2-K1"] == (2.75, -45.25)
    assert heights["B1-R1"] == (66, 18)
    assert heights["B-U3"] == (75.5, 27.5)


def test_uprights_from_the_left_corner() -> None:
    """Faces of the uprights of the reach-in: 0 to 3/4, 35-1/4 to 36, 71-1/4 to 72."""
    lines = _by_part(*reach_in())
    places = [(lines[name].start, lines[name].end) for name in ("B-U1", "B-U2", "B-U3")]
    assert places == [(0, 0.75), (35.25, 36), (71.25, 72)]


def test_studs_caught_and_fasteners() -> None:
    """Studs at 9, 25, 41, 57: the left cleats catch 9 and 25, the right ones 41 and 57.

    3/4 cleat + 1/2 board + 1-1/4 in the stud: 2-1/2 in screws, one at each.
    """
    lines = _by_part(*reach_in())
    assert lines["B1-K1"].studs == (9, 25)
    assert lines["B2-K4"].studs == (41, 57)
    line = lines["B1-K1"]
    assert (line.fastener, line.fastener_length, line.fasteners) == ('#8 x 2-1/2" screw', 2.5, 2)
    assert 'no fastener longer than 2-1/2"' in line.note


def test_brads_are_two_inches_three_at_a_stud() -> None:
    """With brads chosen, under a load they hold: 18 gauge, 2 in, three at each of two studs."""
    brief = reach_in_brief(fastener="brads", shelf_load=1, material="white_pine")
    line = _by_part(brief, reach_in()[1])["B1-K1"]
    assert (line.fastener, line.fastener_length, line.fasteners) == ('18 ga x 2" brad', 2, 6)


@pytest.mark.parametrize(
    ("construction", "expected"),
    [
        ({"stud_penetration": 1.0}, 2.0),
        ({"wallboard_thickness": 0.625}, 2.5),
        ({"cleat_thickness": 1.5}, 3.0),
        ({"stud_penetration": 0.75}, 2.0),
    ],
)
def test_the_length_limit_is_kept(construction: dict[str, float], expected: float) -> None:
    """The longest stocked screw within cleat + board + penetration, never beyond."""
    line = _by_part(reach_in_brief(**construction), reach_in()[1])["B1-K1"]
    assert line.fastener_length == expected


def test_a_cleat_that_catches_no_stud_is_flagged() -> None:
    """A bay from 26 to 40 between studs at 25 and 41: anchors, and what to do."""
    line = _by_part(reach_in_brief(), _narrow(26.0))["B1-K1"]
    assert line.flagged
    assert (line.studs, line.fastener, line.fasteners) == ((), "hollow-wall anchor", 2)
    assert "CATCHES NO STUD" in line.note
    assert "blocking" in line.note


def test_one_stud_only_asks_for_an_anchor() -> None:
    """A bay from 18 to 32 catches the stud at 25 alone."""
    line = _by_part(reach_in_brief(), _narrow(18.0))["B1-K1"]
    assert (line.studs, line.flagged) == ((25,), False)
    assert "one stud only" in line.note


def test_a_stud_too_near_the_end_is_not_caught() -> None:
    """A cleat from 8.28: the stud at 9 is 0.72 in from its end, less than 3/4."""
    assert _by_part(reach_in_brief(), _narrow(8.25))["B1-K1"].studs == ()
    assert _by_part(reach_in_brief(), _narrow(8.1875))["B1-K1"].studs == (9,)


def test_assumed_studs_are_said_to_be_assumed() -> None:
    """Without studs in the brief they are 16 in apart from the corner, flagged to verify."""
    brief = _changed(reach_in_brief(), studs=None)
    stud = next(line for line in markout(brief, reach_in()[1]) if line.kind == "stud")
    assert stud.studs == (16, 32, 48, 64)
    assert stud.flagged
    assert "assumed" in stud.note
    known = next(line for line in markout(*reach_in()) if line.kind == "stud")
    assert (known.studs, known.flagged, known.note) == ((9, 25, 41, 57), False, "")


def test_listed_studs_count_as_they_are() -> None:
    """Positions given one by one are used in order, those beyond the wall left out."""
    brief = _changed(reach_in_brief(), studs={"positions": [60.5, 14, 90, 31]})
    assert next(x for x in markout(brief, reach_in()[1]) if x.kind == "stud").studs == (
        14,
        31,
        60.5,
    )


def test_a_box_beside_a_stud_warns_of_its_cable() -> None:
    """An outlet from 26 to 28-1/2 hangs on the stud at 25."""
    data = reach_in_brief().model_dump(mode="json")
    data["room"]["obstructions"] = [
        {"wall": "B", "start": 26, "width": 2.5, "bottom": 12, "height": 4, "kind": "outlet"}
    ]
    stud = next(
        line for line in markout(Brief.model_validate(data), reach_in()[1]) if line.kind == "stud"
    )
    assert stud.flagged
    assert stud.note == 'an electric box is beside the stud at 25": expect its cable there'


def test_uprights_flat_against_side_walls_are_screwed_to_their_studs() -> None:
    """Wall A is 24 long with its corner to B at its end: the stud at 16 is behind 14 in of
    upright; wall C begins at its corner, its stud at 16 is beyond the 12 in of the other.
    """
    lines = _by_part(*reach_in())
    assert lines["B-U1"].fastener == '#8 x 2-1/2" screw'
    assert 'screw to its studs at 16"' in lines["B-U1"].note
    assert not lines["B-U1"].flagged
    assert lines["B-U3"].flagged
    assert "no stud is listed" in lines["B-U3"].note


def test_an_open_end_has_brackets() -> None:
    """In an open run nothing stands beside the first upright."""
    lines = _by_part(*metric())
    assert {lines[f"N-U{n}"].fastener for n in (1, 2, 3, 4)} == {"angle bracket"}


def test_baseboards_are_cut_back_and_cleats_packed_out() -> None:
    """A baseboard of 3-1/2 x 1/2: the low cleat is packed out, its screw longer by as much."""
    brief = reach_in_brief(baseboard_height=3.5, baseboard_thickness=0.5)
    lines = _by_part(brief, reach_in()[1])
    assert 'pack it out 1/2" over the baseboard' in lines["B2-K1"].note
    assert lines["B2-K1"].fastener_length == 3
    assert lines["B2-K2"].fastener_length == 2.5
    assert "cut the baseboard of wall A back" in lines["B-U1"].note


def test_strips_and_caulked_gaps_are_listed() -> None:
    """A filler between neighbours, and a gap of 1/8 in that is caulked."""
    assert _by_part(*metric())["N-F1"].note == "closes the gap"
    first, _ = reach_in_bays()
    bay = first.model_copy(update={"start": 0.875})
    gap = Filler(wall="B", start=0, width=0.125, kind="scribe")
    line = markout(reach_in_brief(), Layout(bays=(bay,), fillers=(gap,)))[-1]
    assert (line.kind, line.fastener, line.note) == ("filler", "caulk", 'caulk the gap of 1/8"')


@given(layouts())
@settings(max_examples=40, deadline=None)
def test_schedule_and_parts_agree(case: tuple[Brief, Layout]) -> None:
    """Whatever is fastened to a wall is marked once, where the part stands; so are rods, and
    cleats on uprights that no back cleat tells the height of."""
    brief, layout = case
    lines = _by_part(brief, layout)
    every = parts_of(brief, layout)
    backs = {
        (bay, round(p.box.top, 3)) for p in every if p.kind is PartKind.BACK_CLEAT for bay in p.bays
    }
    parts = {
        part.id: part
        for part in every
        if part.kind in _MARKED
        or (
            part.kind is PartKind.SIDE_CLEAT
            and ("on wall" in part.note or (part.bays[0], round(part.box.top, 3)) not in backs)
        )
    }
    assert sorted(lines) == sorted(parts)
    grid = brief.units.grid
    for name, line in lines.items():
        box = parts[name].box
        assert line.from_datum == pytest.approx(line.height - brief.construction.datum_height)
        if line.kind == "rod":
            assert line.height == pytest.approx(box.bottom + box.size_up / 2)
            continue
        assert line.height == pytest.approx(box.top, abs=grid)
        if line.wall == parts[name].wall:
            assert line.start == pytest.approx(box.along)
            assert line.end == pytest.approx(box.end, abs=grid)
        else:
            length = brief.room.wall(line.wall).clear_length
            out = (
                (length - line.end, length - line.start)
                if line.wall == "V"
                else (
                    line.start,
                    line.end,
                )
            )
            assert out == pytest.approx((box.out, box.front), abs=grid)
        assert all(line.start < stud < line.end for stud in line.studs if line.kind == "cleat")


_MARKED = (
    PartKind.UPRIGHT,
    PartKind.BACK_CLEAT,
    PartKind.ROD_CLEAT,
    PartKind.JOINT_CLEAT,
    PartKind.TRIANGLE,
    PartKind.ROD,
    PartKind.FILLER,
)

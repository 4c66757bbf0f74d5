"""Parts of hand-made layouts against figures worked out by hand."""

from __future__ import annotations

from collections import Counter

import pytest

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Filler, Layout
from optimizer.domain.needs import Hang
from optimizer.domain.pack import Box, Edge, Notch, Part, PartKind, Stock
from optimizer.errors import BuildError
from tests.buildpack.samples import metric, reach_in, reach_in_bays, reach_in_brief, shelf
from tests.packs import parts_of


def _by_id(brief: Brief, layout: Layout) -> dict[str, Part]:
    return {part.id: part for part in parts_of(brief, layout)}


def _size(part: Part) -> tuple[float, float, float]:
    return part.length, part.width, part.thickness


def _one_shelf_bay(start: float = 0.75, height: float = 75.5, **fields: object) -> Bay:
    values = {"id": "B1", "wall": "B", "width": 30.0, "depth": 12.0, "pattern": "p"}
    zones = (shelf(3.5, 74.75, 12.0), shelf(75.5, 90.0, 12.0))
    return Bay.model_validate(
        {**values, "start": start, "height": height, "zones": zones, **fields}
    )


def test_reach_in_has_the_parts_counted_by_hand() -> None:
    """Two bays that share an upright: 3 uprights; 2 + 7 boards, each on three cleats; a rod."""
    kinds = Counter(part.kind for part in parts_of(*reach_in()))
    assert kinds == {
        PartKind.UPRIGHT: 3,
        PartKind.SHELF: 7,
        PartKind.TOP_SHELF: 2,
        PartKind.BACK_CLEAT: 9,
        PartKind.SIDE_CLEAT: 18,
        PartKind.ROD: 1,
    }


def test_reach_in_sizes_by_hand() -> None:
    """Sizes of the reach-in, worked out from the named clearances.

    Uprights: beside the rod max(12 in board, 12 setback + 2 overlap) = 14 deep, up to the
    highest board they carry, 81-3/4; the right one carries only 12 in boards up to 75-1/2.
    Shelf: 34-1/2 less 1/16. Back cleat as the shelf. Side cleat: 12 less the 3/4 back cleat
    less the 1/2 setback = 10-3/4. Rod: 34-1/2 less 1/8.
    """
    parts = _by_id(*reach_in())
    assert {
        name: _size(parts[name])
        for name in ("B-U1", "B-U2", "B-U3", "B1-S1", "B2-S7", "B1-K1", "B1-K1L", "B1-R1")
    } == {
        "B-U1": (81.75, 14.0, 0.75),
        "B-U2": (81.75, 14.0, 0.75),
        "B-U3": (75.5, 12.0, 0.75),
        "B1-S1": (34.4375, 12.0, 0.75),
        "B2-S7": (35.1875, 12.0, 0.75),
        "B1-K1": (34.4375, 2.0, 0.75),
        "B1-K1L": (10.75, 2.0, 0.75),
        "B1-R1": (34.375, 1.3125, 1.3125),
    }


def test_reach_in_positions_by_hand() -> None:
    """The shared upright stands at 35-1/4; the top board's underside is 81; rod centre 66, 12."""
    parts = _by_id(*reach_in())
    assert parts["B-U2"].box == Box(
        along=35.25, out=0, bottom=0, size_along=0.75, size_out=14, size_up=81.75
    )
    assert parts["B-U2"].bays == ("B1", "B2")
    assert parts["B1-S2"].box == Box(
        along=0.78125, out=0, bottom=81, size_along=34.4375, size_out=12, size_up=0.75
    )
    assert parts["B1-K2R"].box == Box(
        along=34.5, out=0.75, bottom=79, size_along=0.75, size_out=10.75, size_up=2
    )
    rod = parts["B1-R1"]
    assert (rod.box.bottom + rod.box.size_up / 2, rod.box.out + rod.box.size_out / 2) == (66, 12)
    assert rod.hang is Hang.LONG


def test_metric_sizes_by_hand() -> None:
    """Millimetres: shelf 900 - 2, rod 800 - 3, upright beside a rod 300 + 50 deep, stiffener on
    edge 898 x 38 under the front; its side cleats 400 - 18 - 18 = 364; the filler fills 60.
    """
    parts = _by_id(*metric())
    assert _size(parts["N1-S1"]) == (898, 400, 18)
    assert _size(parts["N2-R2"]) == (797, 33.3375, 33.3375)
    assert _size(parts["N-U3"]) == (2123, 350, 18)
    assert _size(parts["N1-N3"]) == (898, 38, 18)
    assert parts["N1-N3"].box == Box(
        along=19, out=382, bottom=1744, size_along=898, size_out=18, size_up=38
    )
    assert _size(parts["N1-K2R"]) == (364, 50, 18)
    assert _size(parts["N-F1"]) == (1800, 60, 18)
    assert parts["N-F1"].bays == ("N1", "N2")


def test_stock_and_edges() -> None:
    """Panels come from sheets, cleats from strips, rods from rod; front edges show."""
    parts = _by_id(*metric())
    assert {part.stock for part in parts.values()} == set(Stock)
    assert parts["N1-S1"].shown == (Edge.FRONT,)
    assert parts["N-U1"].shown == (Edge.FRONT, Edge.TOP)
    assert parts["N1-K1L"].shown == (Edge.FRONT, Edge.BOTTOM)
    assert parts["N1-N1"].shown == (Edge.BOTTOM,)


def test_clearances_are_rules_of_the_brief() -> None:
    """Every clearance can be changed in the brief: shelf 1/8, rod 1/4, overlap 3, setback 1."""
    _, layout = reach_in()
    brief = reach_in_brief(
        shelf_clearance=0.125,
        rod_allowance=0.25,
        rod_overlap=3,
        side_cleat_setback=1,
        cleat_height=2.5,
    )
    parts = _by_id(brief, layout.model_copy(update={"bays": reach_in_bays()[:1]}))
    assert _size(parts["B1-S1"]) == (34.375, 12, 0.75)
    assert _size(parts["B1-R1"])[0] == 34.25
    assert _size(parts["B-U1"]) == (81.75, 15, 0.75)
    assert _size(parts["B1-K1L"]) == (10.25, 2.5, 0.75)


def test_an_upright_is_never_deeper_than_its_bay() -> None:
    """A shallow hanging bay of 13 in has uprights of 13 in, not 14."""
    bay, _ = reach_in_bays()
    zones = tuple(zone.model_copy(update={"depth": min(zone.depth or 0, 13)}) for zone in bay.zones)
    shallow = bay.model_copy(update={"depth": 13.0, "zones": zones})
    parts = _by_id(reach_in_brief(), Layout(bays=(shallow,)))
    assert parts["B-U1"].width == 13


def test_baseboard_and_carpet() -> None:
    """A baseboard of 3-1/2 x 1/2 and carpet of 3/8: uprights 3/8 shorter, notched 1/2 x 3-1/8.

    The lowest board, underside 2-3/4, stands 1/2 off the wall and is 11-1/2 deep; so does its
    cleat; its side cleats are 12 - 1/2 - 3/4 - 1/2 = 10-1/4.
    """
    brief = reach_in_brief(baseboard_height=3.5, baseboard_thickness=0.5, carpet_thickness=0.375)
    parts = _by_id(brief, Layout(bays=(_one_shelf_bay(),)))
    upright = parts["B-U1"]
    assert (upright.length, upright.box.bottom, upright.box.top) == (75.125, 0.375, 75.5)
    assert upright.notches == (Notch(depth=0.5, height=3.125),)
    assert upright.note == 'notch 1/2" x 3-1/8" at the back of its foot'
    assert (parts["B1-S1"].width, parts["B1-S1"].box.out) == (11.5, 0.5)
    assert parts["B1-K1"].box.out == 0.5
    assert parts["B1-K1L"].length == 10.25
    assert (parts["B1-S2"].width, parts["B1-S2"].box.out) == (12, 0)


def test_a_board_is_as_deep_as_its_zone() -> None:
    """10 in under a top board of 12, which is the bay's depth."""
    zones = (shelf(3.5, 74.75, 10.0), shelf(75.5, 90.0, 12.0))
    parts = _by_id(reach_in_brief(), Layout(bays=(_one_shelf_bay(zones=zones),)))
    assert (parts["B1-S1"].width, parts["B1-S2"].width) == (10.0, 12.0)


def test_a_stiffener_stands_up_over_a_rod() -> None:
    """Where hangers would catch on it, it is on the board's front edge; else it hangs under it."""
    brief, layout = reach_in()
    stiff = [bay.model_copy(update={"stiffened": True}) for bay in layout.bays]
    parts = _by_id(brief, layout.model_copy(update={"bays": tuple(stiff)}))
    over, under = parts["B1-N1"], parts["B1-N2"]
    assert (over.box.bottom, over.box.top, over.shown) == (69.75, 71.25, (Edge.TOP,))
    assert (under.box.bottom, under.box.top, under.shown) == (79.5, 81.0, (Edge.BOTTOM,))


def test_an_upright_stops_short_of_the_ceiling() -> None:
    """Boards up to the ceiling of 96: the upright ends at 95-3/4 and its top does not show."""
    zones = (shelf(48, 95.25, 12.0), shelf(96, 96, 12.0))
    parts = _by_id(reach_in_brief(), Layout(bays=(_one_shelf_bay(height=96.0, zones=zones),)))
    assert parts["B-U1"].length == 95.75
    assert parts["B-U1"].shown == (Edge.FRONT,)


def test_uprights_under_a_slope() -> None:
    """A ceiling from 60 at the left to 96 at the right of 72: it rises 1/2 an inch.

    Over a bay [12, 42] the least height is at 12 - 3/4: 60 + 11.25 / 2 = 65.625, so its left
    upright ends at 65.375 where boards reach 65.5; the right one at 65.5.
    """
    data = reach_in_brief().model_dump(mode="json")
    data["room"]["walls"][1]["height"] = {"left": 60, "right": 96}
    brief = Brief.model_validate(data)
    zones = (shelf(30, 64.75, 12.0), shelf(65.5, 65.625, 12.0))
    bay = _one_shelf_bay(start=12.0, height=65.5, zones=zones)
    parts = _by_id(brief, Layout(bays=(bay,)))
    assert (parts["B-U1"].length, parts["B-U2"].length) == (65.375, 65.5)
    # A board at 65.75 would go in over the bay, and not over the left upright.
    higher = bay.model_copy(update={"height": 66.0, "zones": (zones[0], shelf(65.75, 65.75, 12.0))})
    with pytest.raises(BuildError, match="has a shelf at 65-3/4"):
        parts_of(brief, Layout(bays=(higher,)))


def test_a_wall_whose_readings_differ_gets_a_strip_at_the_end_that_is_near() -> None:
    """Of no width, at the left corner, for the 1/4 by which the wall is off."""
    data = reach_in_brief().model_dump(mode="json")
    data["room"]["walls"][1]["length"] = [72.0, 72.25]
    parts = _by_id(Brief.model_validate(data), Layout(bays=(_one_shelf_bay(),)))
    (strip,) = (part for part in parts.values() if part.kind is PartKind.SCRIBE)
    assert strip.box.along == 0.0


@pytest.mark.parametrize(
    ("width", "kind", "expected"),
    [
        (0.1875, "scribe", None),
        (0.5, "scribe", (75.5, 0.75, 0.75)),
        (6.0, "filler", (75.5, 6.0, 0.75)),
    ],
)
def test_left_overs_become_caulk_scribes_or_fillers(
    width: float, kind: str, expected: tuple[float, float, float] | None
) -> None:
    """Up to 3/16 is caulked; a scribe is cut 1/4 wider than its gap; a filler fills exactly."""
    bay = _one_shelf_bay(start=0.75 + width)
    filler = Filler.model_validate({"wall": "B", "start": 0, "width": width, "kind": kind})
    parts = _by_id(reach_in_brief(), Layout(bays=(bay,), fillers=(filler,)))
    strip = parts.get("B-F1")
    assert (None if strip is None else _size(strip)) == expected
    if strip is not None:
        assert (strip.box.along, strip.box.size_along, strip.box.front) == (0, width, 12)


def test_grain_is_handed_on_to_panels_only() -> None:
    """A brief with grain lengthwise marks panels, not strips or rods."""
    _, layout = reach_in()
    parts = parts_of(reach_in_brief(grain="length"), layout)
    assert {part.grain for part in parts if part.stock is Stock.SHEET} == {"length"}
    assert {part.grain for part in parts if part.stock is not Stock.SHEET} == {"none"}


def _with(**changes: object) -> Layout:
    """The reach-in with its first bay changed."""
    first, second = reach_in_bays()
    return Layout(bays=(Bay.model_validate({**first.model_dump(), **changes}), second))


@pytest.mark.parametrize(
    ("layout", "named"),
    [
        (_with(wall="X"), "bay B1 stands on wall X"),
        (_with(id="B2"), "two bays have the id B2"),
        (_with(start=0.5), "bay B1 with its uprights takes"),
        (_with(width=34.75), "bays B1 and B2 are 1/2"),
        (_with(height=70.0), "bay B1 has a shelf at 81-3/4"),
        (_with(zones=(shelf(0.5, 80.0, 12.0),)), "shelf B1-S1 would stand in the floor"),
        (_with(zones=(shelf(20, 21, 12.0), shelf(21.25, 80, 12.0))), "shelf B1-S2 is 1/2"),
        (_with(zones=(shelf(20, 21, 1.0),)), "shelf B1-S1 is 1"),
        (_with(zones=({"kind": "rod", "bottom": 3, "top": 70},)), "rod zone without a rod height"),
    ],
)
def test_a_layout_that_makes_no_parts_is_refused(layout: Layout, named: str) -> None:
    """Each fault raises BuildError naming the bay or the part."""
    with pytest.raises(BuildError) as caught:
        parts_of(reach_in_brief(), layout)
    assert named in str(caught.value)


def _low(bottom: float, **fields: object) -> dict[str, Part]:
    """Parts of a bay whose lowest board has its top at `bottom`."""
    zones = (shelf(bottom, 74.75, 12.0), shelf(75.5, 90.0, 12.0))
    return _by_id(reach_in_brief(), Layout(bays=(_one_shelf_bay(zones=zones, **fields),)))


def test_cleats_are_lower_where_there_is_less_room() -> None:
    """A board at 2 has 1-1/4 under it: cleats of 1-1/4, and no room for a stiffener of 1-1/2."""
    parts = _low(2.0, stiffened=True)
    assert (parts["B1-K1"].width, parts["B1-K1"].box.bottom) == (1.25, 0)
    assert parts["B1-K2"].width == 2
    assert ("B1-N1" in parts, "B1-N2" in parts) == (False, True)


@pytest.mark.parametrize(("bottom", "lies"), [(1.0, 'packing 1/4" thick'), (0.75, "the floor")])
def test_a_board_on_the_floor_has_no_cleats(bottom: float, lies: str) -> None:
    """With less than 3/4 under it a board lies on packing or on the floor itself."""
    parts = _low(bottom)
    assert [name for name in parts if name.startswith("B1-K1")] == []
    assert parts["B1-S1"].note.startswith(f"lies on {lies}")


def test_neighbours_with_uprights_of_their_own() -> None:
    """A bay 1 in narrower leaves 1-3/4 to its neighbour: room for two uprights, one part more."""
    parts = parts_of(reach_in_brief(), _with(width=33.5))
    assert [p.box.along for p in parts if p.kind is PartKind.UPRIGHT] == [0, 34.25, 35.25, 71.25]


def test_a_strip_needs_an_upright_and_a_free_gap() -> None:
    """A filler away from every upright, or over one, is refused by its id or place."""
    bay = _one_shelf_bay(start=10.75)
    for start, width, named in ((0.0, 5.0, "B-F1 has no upright"), (5.0, 5.5, "lies over")):
        filler = Filler(wall="B", start=start, width=width, kind="filler")
        with pytest.raises(BuildError) as caught:
            parts_of(reach_in_brief(), Layout(bays=(bay,), fillers=(filler,)))
        assert named in str(caught.value)


def test_no_bays_no_parts() -> None:
    """An empty layout has no parts."""
    assert parts_of(reach_in_brief(), Layout()) == ()

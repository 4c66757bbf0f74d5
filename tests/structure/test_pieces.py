"""Widest pieces: a layout within the limits passes, one past them fails where they govern."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from optimizer.domain.brief import Brief
from optimizer.domain.construction import Construction, Material, RodStock
from optimizer.domain.layout import Carried, Layout, Zone, ZoneKind
from optimizer.structure.assessment import assess
from optimizer.structure.spans import (
    rod_span_limit,
    shelf_span_limit,
    through_piece,
    widest_piece,
)
from optimizer.units import Units
from tests.structure.layouts import bay, double, hanging, room, shelves, wrapped

INCH = Units.INCH

CONSTRUCTIONS = st.fixed_dictionaries(
    {
        "material": st.sampled_from(list(Material)),
        "rod_stock": st.sampled_from(list(RodStock)),
        "shelf_load": st.sampled_from([10.0, 15.0, 30.0, 50.0, 100.0]),
        "rod_load": st.sampled_from([10.0, 20.0, 35.0]),
        "safety_factor": st.sampled_from([1.0, 2.0, 3.0]),
        "top_line": st.sampled_from(["level", "free"]),
        "panel_thickness": st.sampled_from([0.5, 0.625, 0.75, 1.0]),
        "fastener": st.sampled_from(["screws", "brads"]),
        "upright_hold": st.sampled_from([16.0, 32.0, 48.0]),
        "mid_support": st.sampled_from(["triangle", "bracket"]),
    }
)
STACKS = st.one_of(
    st.tuples(
        st.integers(2, 7), st.sampled_from([10.0, 12.0, 16.0, 24.0]), st.sampled_from([9.0, 12.0])
    ).map(lambda stack: shelves(*stack)),
    st.sampled_from([12.0, 16.0]).map(hanging),
    st.sampled_from([12.0, 16.0]).map(double),
)


def _limit(rules: Construction, zones: tuple[Zone, ...], *, stiffened: bool, mids: bool) -> float:
    """Longest piece of a bay with these zones."""
    depth = max(zone.depth or 0.0 for zone in zones)
    found = [widest_piece(rules, INCH, zones, depth, stiffened=stiffened, supported=mids)]
    for zone in zones:
        if zone.kind is ZoneKind.ROD:
            found.append(rod_span_limit(rules, INCH))
        else:
            found.append(shelf_span_limit(rules, INCH, zone.depth or 0.0, stiffened=stiffened))
    return min(found)


def _on_wall_b(brief: Brief, plans: list[tuple[tuple[Zone, ...], float, bool, int]]) -> Layout:
    """Bays side by side from corner to corner of wall B, uprights between them alone."""
    here, bays = 0.0, []
    for number, (zones, piece, stiffened, mids) in enumerate(plans, 1):
        width = piece * (mids + 1)
        bays.append(
            bay(
                f"B{number}",
                "B",
                here,
                width,
                zones,
                stiffened=stiffened,
                left=Carried.WALL if number == 1 else Carried.UPRIGHT,
                right=Carried.WALL if number == len(plans) else Carried.UPRIGHT,
                mid_supports=tuple(here + piece * (i + 1) for i in range(mids)),
            )
        )
        here += width + brief.construction.panel_thickness
    return Layout(bays=tuple(bays))


@settings(max_examples=150, deadline=None)
@given(
    CONSTRUCTIONS,
    st.lists(st.tuples(STACKS, st.booleans(), st.integers(0, 1)), min_size=1, max_size=3),
    st.floats(0.5, 1.0),
)
# The back cleat of two short pieces, on anchors where no stud is met, bears both of them.
@example(
    {"shelf_load": 100.0, "panel_thickness": 0.5, "safety_factor": 1.0, "mid_support": "bracket"},
    [(shelves(2, 24.0, 9.0), False, 1)],
    0.875,
)
def test_layouts_within_the_limits_pass(
    construction: dict[str, Any],
    stacks: list[tuple[tuple[Zone, ...], bool, int]],
    share: float,
) -> None:
    """Bays of pieces no longer than the limits, any mix of neighbours, ends on side walls."""
    rules = Construction.model_validate(construction)
    plans = []
    for zones, stiffened, mids in stacks:
        held = 0 if stiffened else mids
        piece = share * _limit(rules, zones, stiffened=stiffened, mids=held > 0)
        plans.append((zones, piece, stiffened, held))
    if min(piece for _, piece, _, _ in plans) < 4.0:
        return
    length = sum(p * (m + 1) for _, p, _, m in plans) + rules.panel_thickness * (len(plans) - 1)
    brief = room((40.0, length, 40.0), **construction)
    strains = assess(brief, _on_wall_b(brief, plans))
    assert [(s.name, s.check, s.share) for s in strains if not s.passes] == []


@pytest.mark.parametrize(("factor", "passes"), [(0.999, True), (1.001, False)])
def test_widest_piece_of_a_double_hang_is_where_its_upright_buckles(
    factor: float, passes: bool
) -> None:
    """Two double hangs in MDF, held every 32 in: their upright is at its limit at 41 in or so."""
    rules, zones = Construction(upright_hold=32.0), double()
    piece = widest_piece(rules, INCH, zones, 24.0)
    assert 40.0 < piece < 43.0
    width = piece * factor
    brief = room((200.0,), upright_hold=32)
    first = bay("A1", "A", 1.0, width, zones)
    second = bay("A2", "A", 1.75 + width, width, zones)
    strains = [s for s in assess(brief, Layout(bays=(first, second))) if s.kind == "upright"]
    assert all(s.passes for s in strains) is passes


def test_mid_supports_count_only_where_asked_for() -> None:
    """24 in deep boards 12 in apart leave a triangle a short leg: it limits the piece."""
    rules, zones = Construction(), shelves(7, 24.0)
    plain = widest_piece(rules, INCH, zones, 24.0)
    held = widest_piece(rules, INCH, zones, 24.0, supported=True)
    assert held < 30.0 < plain
    none = Construction(mid_support="none")
    assert widest_piece(none, INCH, zones, 24.0, supported=True) == plain


@pytest.mark.parametrize(("weight", "narrower"), [(10.0, False), (400.0, True)])
def test_heavy_items_narrow_a_bay(weight: float, narrower: bool) -> None:
    """Items of known weight count where they weigh more than the load planned."""
    rules = Construction()
    zones = tuple(zone.model_copy(update={"items": ("safe",)}) for zone in shelves(1, 12.0))
    plain = widest_piece(rules, INCH, zones, 12.0)
    housing = widest_piece(rules, INCH, zones, 12.0, weights={"safe": weight})
    span = min(plain, shelf_span_limit(rules, INCH, 12.0, stiffened=False))
    assert (housing < span) is narrower


@pytest.mark.parametrize(("factor", "passes"), [(0.99, True), (1.02, False)])
@pytest.mark.parametrize("material", ["mdf", "plywood"])
def test_through_piece_at_its_limit(factor: float, passes: bool, material: str) -> None:
    """The board that runs through a wrapped corner, at the limit of its piece there."""
    construction = {"material": material, "max_plain_span": 96.0, "top_line": "free"}
    rules = Construction.model_validate(construction)
    limit = through_piece(rules, INCH, 12.0, 12.0, 30.0)
    brief, layout = wrapped(limit * factor, 30.0, **construction)
    found = [s for s in assess(brief, layout) if s.bays == ("B1",) and s.kind != "upright"]
    assert all(s.passes for s in found) is passes


def test_through_piece_is_shorter_than_a_plain_one() -> None:
    """The heavier what is joined, the shorter."""
    rules = Construction()
    pieces = [through_piece(rules, INCH, 12.0, 12.0, joined) for joined in (12.0, 24.0, 36.0)]
    assert pieces == sorted(pieces, reverse=True)
    assert pieces[-1] < 36.0


def test_bay_without_boards_or_rods_is_not_limited() -> None:
    """An open floor zone asks for nothing."""
    zones = (Zone(kind=ZoneKind.FLOOR, bottom=0.0, top=40.0, depth=24.0),)
    assert widest_piece(Construction(), INCH, zones, 24.0) == 96.0


@pytest.mark.parametrize("stiffened", [False, True])
def test_through_piece_of_stiffened_boards(stiffened: bool) -> None:
    """A stiffener takes none of the piece away at a wrapped corner, and passes there."""
    construction = {"max_plain_span": 96.0, "top_line": "free"}
    rules = Construction.model_validate(construction)
    limit = through_piece(rules, INCH, 16.0, 16.0, 30.0, stiffened=stiffened)
    assert limit >= through_piece(rules, INCH, 16.0, 16.0, 30.0)
    brief, layout = wrapped(limit * 0.99, 30.0, 16.0, **construction)
    bays = (layout.bays[0], layout.bays[1].model_copy(update={"stiffened": stiffened}))
    found = assess(brief, Layout(bays=bays))
    assert all(s.passes for s in found if s.bays == ("B1",) and s.kind != "upright")

"""How wide a bay may be, plain or carried between its ends, and where mid supports go."""

from __future__ import annotations

from itertools import combinations, pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.patterns.bay_rules import BayRules
from optimizer.patterns.pattern import Pattern
from optimizer.patterns.tiers import PieceLimits, longest_piece, support_places
from tests.model.rooms import brief_of
from tests.patterns.samples import catalogue_of, column, with_label

SHELVES = {"shelf_length": 40}


def _shelves(blocks: tuple[tuple[float, float], ...] = (), **construction: Any) -> Pattern:
    catalogue = catalogue_of(SHELVES, construction=construction)
    return with_label(catalogue.patterns(column(96.0, 24.0, *blocks)), "shelf*")


def test_tiers_rise_in_width_and_cost() -> None:
    """Plain to 36 in, then what costs least for more; the last tier is the widest bay."""
    tiers = _shelves().tiers
    assert tiers[0].width == 36.0
    assert not tiers[0].stiffened
    assert tiers[0].supports == 0
    assert all(a.width < b.width and a.cost <= b.cost for a, b in pairwise(tiers))
    assert max(tier.supports for tier in tiers) >= 1
    # By the price book a triangle costs less than a stiffener: that has its turn without them.
    assert any(tier.stiffened for tier in _shelves(mid_support="none").tiers)


def test_stiffened_bays_have_no_mid_supports() -> None:
    """And each tier is one or the other, or plain."""
    for tier in _shelves().tiers:
        assert not (tier.stiffened and tier.supports)


@pytest.mark.parametrize("support", ["triangle", "bracket", "none"])
def test_mid_supports_as_the_brief_says(support: str) -> None:
    """A triangle of sheet is a part to make under each board; a bracket is bought."""
    pattern = _shelves(mid_support=support, stiffener_allowed=False)
    supported = [tier for tier in pattern.tiers if tier.supports]
    if support == "none":
        assert supported == []
        assert pattern.max_width == 36.0
    for tier in supported:
        made = len(pattern.boards) if support == "triangle" else 0
        assert tier.parts == made * tier.supports
        assert tier.cost == pytest.approx(tier.supports * supported[0].cost / supported[0].supports)


def test_no_board_is_stiffened_where_stiffeners_are_ruled_out() -> None:
    """Only mid supports are left for wider bays."""
    assert not any(tier.stiffened for tier in _shelves(stiffener_allowed=False).tiers)


def test_no_triangle_stands_in_what_a_board_clears() -> None:
    """A rail from 50 to 58 in leaves 2 in of air under the board at 60 in and none for a
    triangle of 9 in; the board itself is kept clear of it."""
    blocked = _shelves(((50.0, 58.0),))
    assert 60.0 in [board.bottom for board in blocked.boards]
    assert not any(tier.supports for tier in blocked.tiers)


def test_pieces_of_a_tier_are_no_longer_than_what_holds() -> None:
    """Between its ends and its supports no piece of board need be longer than its limit."""
    catalogue = catalogue_of({"long_hang": 20, "shelf_length": 40})
    rules = catalogue.rules
    for pattern in catalogue.patterns(column()):
        for tier in pattern.tiers:
            piece = longest_piece(
                pattern.zones,
                pattern.depth,
                rules,
                stiffened=tier.stiffened,
                supported=bool(tier.supports),
            )
            assert tier.width <= (tier.supports + 1) * piece + 1e-6
            assert tier.longest <= piece + 1e-6


@given(
    start=st.integers(0, 40 * 16).map(lambda n: n / 16),
    width=st.integers(12 * 16, 96 * 16).map(lambda n: n / 16),
    first=st.sampled_from([36.0, 30.0, 20.0]),
    last=st.sampled_from([36.0, 24.0]),
    number=st.integers(0, 4),
)
def test_supports_stand_on_studs_as_evenly_as_they_can(
    start: float, width: float, first: float, last: float, number: int
) -> None:
    """Of all choices of so many studs one with the shortest longest piece, or none holds."""
    studs = [16.0 * n for n in range(1, 12)]
    end, limits = start + width, PieceLimits(36.0, first, last)
    found = support_places(start, end, limits, number, studs)
    inside = [stud for stud in studs if start < stud < end]
    holding = []
    for chosen in combinations(inside, number):
        pieces = [high - low for low, high in pairwise((start, *chosen, end))]
        if max(pieces) <= 36.0 and pieces[0] <= first and pieces[-1] <= last:
            holding.append(max(pieces))
    if not holding:
        assert found is None
        return
    assert found is not None
    assert set(found) <= set(inside)
    assert max(b - a for a, b in pairwise((start, *found, end))) == pytest.approx(min(holding))


def test_rods_are_held_more_often_than_a_sheet_is_long() -> None:
    """A rod's piece is 48 in at most: Architectural Woodwork Standards, 4.4.16."""
    brief = brief_of([100], {"long_hang": 20}, construction={"max_plain_span": 60})
    assert BayRules(brief).rod_piece <= 48.0

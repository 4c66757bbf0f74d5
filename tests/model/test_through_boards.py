"""Boards that run through a corner: the model's straight line keeps below the true limit."""

from __future__ import annotations

import pytest

from optimizer.checking import check_layout
from optimizer.domain.layout import Carried, Layout
from optimizer.model.constraints.through_boards import _line
from optimizer.patterns.bay_rules import BayRules
from optimizer.structure.spans import through_piece
from tests.model.rooms import best_of, brief_of

MDF = {"mid_support": "none", "stiffener_allowed": False, "min_bay_width": 14}


@pytest.mark.parametrize("material", ["mdf", "particleboard", "plywood", "white_pine"])
@pytest.mark.parametrize(("depth", "beside"), [(12.0, 12.0), (16.0, 12.0), (12.0, 20.0)])
def test_line_is_nowhere_above_the_limit_nor_far_below(
    material: str, depth: float, beside: float
) -> None:
    """Looked at between the pieces that it was drawn through, too: within 3 in of it."""
    brief = brief_of([60], {"shelf_length": 60}, construction={"material": material})
    start, fall = _line(BayRules(brief), depth, beside, 14.0, 36.0)
    for step in range(45):
        piece = 14.0 + step / 2.0
        limit = through_piece(brief.construction, brief.units, depth, beside, piece)
        assert start - fall * piece <= limit + 0.1
        # No plain board is longer than 36 in, whatever it would bear.
        assert start - fall * piece >= min(limit, 36.0) - 3.0


@pytest.mark.parametrize("lengths", [(42.25, 35.125), (48.0, 44.0), (39.0, 51.0), (60.0, 60.0)])
@pytest.mark.parametrize("support", ["none", "triangle"])
def test_shelves_round_a_corner_hold(lengths: tuple[float, float], support: str) -> None:
    """The weakest stock, with and without mid supports: what the model chooses passes."""
    construction = {**MDF, "mid_support": support}
    brief = brief_of(list(lengths), {"shelf_length": 400}, construction=construction)
    _, found = best_of(brief)
    assert check_layout(brief, Layout(bays=found.bays)) == ()
    ends = {end for bay in found.bays for end in (bay.left, bay.right)}
    # These are full without their corner where boards are of one piece.
    assert Carried.CORNER in ends or (support == "none" and lengths == (39.0, 51.0))


def test_boards_hold_in_every_state_of_a_wrapped_corner() -> None:
    """Where more than one state wraps a corner alike, each keeps what runs through short."""
    walls = [76.0, 95.0, 76.0, 95.0]
    opening = {"wall": "C", "start": 23, "width": 30, "kind": "cased"}
    box = {"id": "box", "width": 20, "depth": 13, "height": 9, "place": "any"}
    needs = {"shelf_length": 141, "shelf_spacing": 10, "items": [box]}
    brief = brief_of(
        list(walls),
        needs,
        room={"ceiling_height": 90, "openings": [opening]},
        construction={"mid_support": "none"},
        options={"gap": 0.02},
    )
    _, found = best_of(brief)
    assert check_layout(brief, Layout(bays=found.bays)) == ()

"""What a study says a layout takes is what its build pack buys."""

from __future__ import annotations

import math

import pytest

from optimizer.buildpack.takings import Takings, takings_of
from optimizer.delivery import Delivery, build_pack
from optimizer.domain.brief import Brief
from optimizer.domain.construction import Material
from optimizer.domain.layout import Layout
from optimizer.domain.pack import PartKind, Stock
from optimizer.proposing import propose
from optimizer.reference.prices import OffcutOnHand, invented_prices
from optimizer.stocking import stocked
from tests.buildpack.samples import reach_in, reach_in_bays, reach_in_brief
from tests.hand.rooms import ROOMS
from tests.hand.test_hand_layouts import drawn
from tests.ready_briefs import load_scenario


@pytest.mark.parametrize("name", ["hall-reach-in", "linen-closet", "pantry", "sliding-doors-mm"])
def test_the_study_says_what_the_pack_buys(name: str) -> None:
    """Cost, sheets and parts are those of the pack, or differ by the error that is told."""
    brief = load_scenario(name)
    options = brief.options.model_copy(update={"alternatives": 1, "gap": 0.03, "time_limit_s": 60})
    study = propose(brief.model_copy(update={"options": options}), repairs=False)
    assert study.layouts
    for layout in study.layouts:
        metrics = layout.metrics
        assert metrics is not None
        told = Takings(metrics.material_cost, metrics.sheets, metrics.parts, metrics.cost_error)
        assert_bought(told, build_pack(brief, layout))


@pytest.mark.parametrize("name", ROOMS)
def test_what_is_drawn_by_hand_costs_what_its_pack_buys(name: str) -> None:
    """Walk-ins, slopes, corners, millimetres: the same sums."""
    brief, layout = drawn(name)
    assert_bought(takings_of(brief, layout), build_pack(brief, layout))


def assert_bought(told: Takings, delivery: Delivery) -> None:
    """What was told is what the pack buys, to the cent where it says that it is exact."""
    materials = delivery.pack.quote.materials
    assert materials == pytest.approx(told.cost, abs=0.01 + told.error * told.cost)
    sheets = delivery.plan.sheets.bought if delivery.plan.sheets else 0
    assert told.sheets == sheets or told.error > 0
    assert told.parts == sum(part.count for part in delivery.pack.parts)


def test_a_cost_is_the_sum_of_what_is_bought() -> None:
    """The reach-in's sum is that of its shopping list, line by line: quantity times price."""
    brief, layout = reach_in()
    shopping = build_pack(brief, layout).pack.shopping
    assert {"sheet", "fastener", "finish", "sundry"} <= {line.section for line in shopping}
    total = sum(line.quantity * line.unit_price for line in shopping)
    taken = takings_of(brief, layout)
    assert (taken.cost, taken.error) == (pytest.approx(total, abs=0.01), 0.0)
    assert taken.parts == 40


def test_a_thickness_that_is_not_in_the_book() -> None:
    """Stock of 0.9 in is priced from the nearest one: dearer than 3/4 in, and the study goes on."""
    bay = reach_in_bays()[1].model_copy(update={"start": 0.9})
    thin = takings_of(reach_in_brief(), Layout(bays=(bay,)))
    thick = takings_of(reach_in_brief(panel_thickness=0.9), Layout(bays=(bay,)))
    assert thick.cost > thin.cost


def test_what_cannot_be_laid_out_is_marked_as_an_estimate() -> None:
    """Parts larger than the sheet: a rough cost, and an error told with it."""
    brief, layout = reach_in()
    rules = brief.construction.model_copy(update={"sheet": (48.0, 24.0)})
    taken = takings_of(brief.model_copy(update={"construction": rules}), layout)
    assert taken.cost > 0
    assert taken.error > 0.05


def cleats_of(brief: Brief, layout: Layout) -> dict[Stock, int]:
    """Cleats by what they are cut from; sheets checked."""
    found = stocked(brief, layout, invented_prices())
    assert found.plan.sheets is not None
    kinds = {PartKind.BACK_CLEAT, PartKind.SIDE_CLEAT}
    cleats = [part for part in found.parts if part.kind in kinds]
    return {stock: sum(c.stock is stock for c in cleats) for stock in Stock}


def test_cleats_come_from_offcuts_before_strips_are_bought() -> None:
    """The reach-in's 25 cleats of 3/4 in come from its sheets; none of particleboard, nor where
    the sheet is thinner than a cleat."""
    brief, layout = reach_in()
    own = cleats_of(brief, layout)
    assert own[Stock.SHEET] > 0
    assert math.isclose(brief.construction.cleat_thickness, brief.construction.panel_thickness)
    for change in ({"material": Material.PARTICLEBOARD}, {"cleat_thickness": 1.0}):
        rules = brief.construction.model_copy(update=change)
        other = brief.model_copy(update={"construction": rules})
        assert cleats_of(other, layout)[Stock.SHEET] == 0


def test_offcuts_on_hand_and_grain() -> None:
    """With grain no cleat lies across it; an offcut on hand is used before a sheet is bought."""
    brief, layout = reach_in()
    grained = brief.construction.model_copy(update={"grain": "length", "edge_trim": 0.25})
    other = brief.model_copy(update={"construction": grained})
    found = stocked(other, layout, invented_prices())
    assert found.plan.sheets is not None
    assert not any(p.turned for sheet in found.plan.sheets.sheets for p in sheet.parts)
    assert all(sheet.edge_trim == 0.25 for sheet in found.plan.sheets.sheets)
    piece = OffcutOnHand(
        material=brief.construction.material, thickness=0.75, size=(90.0, 48.0), count=3
    )
    book = invented_prices().model_copy(update={"offcut": (piece,)})
    plan = stocked(brief, layout, book).plan
    assert plan.sheets is not None
    assert plan.sheets.bought == 0

"""Shopping list, finish, hours, quote, weights and the summary, against figures by hand."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimizer.buildpack.cutlist import cuts
from optimizer.buildpack.finish import Surfaces, finish_needs, part_surface, surfaces_of
from optimizer.buildpack.hardware import hardware_of
from optimizer.buildpack.labour import hours_of, quote_of
from optimizer.buildpack.shopping import cheapest_cans
from optimizer.buildpack.weights import part_weight, weights_of
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.pack import PriceLine
from optimizer.domain.sheets import (
    NestingResult,
    SheetLayout,
    StickLayout,
    StickResult,
    StockSheet,
    StockStick,
)
from optimizer.parts.job import Job
from optimizer.reference.prices import Can, FinishPrice, QuoteRates, invented_prices
from optimizer.stocking.plan import StockPlan
from tests.buildpack.samples import metric, reach_in
from tests.packs import parts_of, quick_pack


def _lines(brief: Brief, layout: Layout, plan: StockPlan | None = None) -> dict[str, PriceLine]:
    return {line.key: line for line in quick_pack(brief, layout, plan=plan).shopping}


def test_hardware_by_hand() -> None:
    """Sockets 2; side-wall screws 2 x 8, two every 24 in; a bracket and an anchor at the foot of
    the upright that boards hold every 12 in; studs 9 x 2; panel 18 x 3.

    Boards: 34-1/2 and 35-1/4 at most 8 apart take 6 brads at the back, 12 deep takes 3 at each
    side: 12 each, 108.
    """
    brief, layout = reach_in()
    job = Job(brief, layout)
    counts = {(h.key, h.used_for): h.count for h in hardware_of(job, parts_of(brief, layout))}
    assert counts == {
        ("rod_socket", "rods"): 2,
        ("cleat_screw", "uprights to studs of the side wall"): 16,
        ("angle_bracket", "uprights to the wall behind"): 1,
        ("wall_anchor", "brackets with no stud behind"): 1,
        ("cleat_screw", "back cleats to studs"): 18,
        ("panel_screw", "side cleats to uprights"): 54,
        ("board_brad", "boards on cleats and uprights"): 108,
    }


def test_surfaces_by_hand() -> None:
    """Faces and edges that show of a shelf, an upright and cleats of the reach-in.

    Shelf 34.4375 x 12: two faces and a front edge. Upright 81.75 x 14: two faces, front and
    top edges, one face less flat against a wall. Cleats: the face and the edges that show.
    """
    parts = {part.id: part for part in parts_of(*reach_in())}
    shelf = 2 * 34.4375 * 12 + 34.4375 * 0.75
    upright = 81.75 * 14 * 2 + (81.75 + 14) * 0.75
    assert part_surface(parts["B1-S1"]) == shelf
    assert part_surface(parts["B-U2"]) == upright
    assert part_surface(parts["B-U1"], hidden_face=True) == upright - 81.75 * 14
    assert part_surface(parts["B1-K1"]) == 34.4375 * 2 + 34.4375 * 0.75
    assert part_surface(parts["B1-K1L"]) == 10.75 * 2 + 10.75 * 0.75 + 2 * 0.75
    assert part_surface(parts["B1-R1"]) == 0


def test_surfaces_of_the_whole() -> None:
    """Area is the sum over the parts with one face of each end upright hidden; the bead runs along
    boards and the backs of uprights, twice where both sides are free.
    """
    brief, layout = reach_in()
    parts = parts_of(brief, layout)
    surfaces = surfaces_of(Job(brief, layout), parts)
    hidden = 81.75 * 14 + 75.5 * 12
    assert surfaces.area == pytest.approx(sum(part_surface(part) for part in parts) - hidden)
    boards = 7 * 35.1875 + 2 * 34.4375
    assert surfaces.bead == pytest.approx(boards + 81.75 + 2 * 81.75 + 75.5)
    assert surfaces.glue == pytest.approx(18 * 10.75)


def test_finish_by_coverage_and_coats() -> None:
    """400 sq ft take 1.6 gallons of primer at 250 and 2 of paint at 400 in two coats."""
    job = Job(*reach_in())
    needs = finish_needs(job, Surfaces(area=400 * 144, bead=0, glue=0), invented_prices())
    assert [(need.key, need.coats, need.amount, need.unit) for need in needs] == [
        ("primer", 1, pytest.approx(1.6), "gal"),
        ("paint", 2, pytest.approx(2.0), "gal"),
    ]
    assert needs[0].area == pytest.approx(400)
    metres = finish_needs(
        Job(*metric()), Surfaces(area=1e6 / 25.4**2, bead=0, glue=0), invented_prices()
    )
    assert (metres[0].area, metres[0].area_unit) == (pytest.approx(1.0), "m2")


@pytest.mark.parametrize(
    ("amount", "expected"),
    [
        (0.2, [(0.25, 1)]),
        (0.6, [(1.0, 1)]),
        (0.5, [(0.25, 2)]),
        (1.1, [(1.0, 1), (0.25, 1)]),
        (9.3, [(1.0, 9), (0.25, 2)]),
    ],
)
def test_cheapest_cans(amount: float, expected: list[tuple[float, int]]) -> None:
    """Gallons at 46 and quarts at 18: two quarts before a gallon, a gallon before three."""
    line = FinishPrice(
        key="paint",
        name="paint",
        coats=2,
        coverage=400.0,
        per="sq ft/gal",
        cans=(Can(size=1.0, price=46.0), Can(size=0.25, price=18.0)),
    )
    assert [(can.size, count) for can, count in cheapest_cans(line, amount)] == expected


@given(
    st.floats(0.01, 30),
    st.lists(
        st.tuples(st.sampled_from([0.25, 0.5, 1.0, 5.0]), st.integers(1, 90)),
        min_size=1,
        max_size=3,
        unique_by=lambda can: can[0],
    ),
)
@settings(max_examples=60, deadline=None)
def test_cans_hold_what_is_needed_at_no_more_than_one_size_alone(
    amount: float, cans: list[tuple[float, int]]
) -> None:
    """Enough, and never dearer than buying any single size."""
    sizes = tuple(Can(size=size, price=float(price)) for size, price in cans)
    line = FinishPrice(key="p", name="p", coats=1, coverage=1.0, per="sq ft/gal", cans=sizes)
    bought = cheapest_cans(line, amount)
    paid = sum(can.price * count for can, count in bought)
    assert sum(can.size * count for can, count in bought) >= amount - 1e-9
    for can in sizes:
        alone = int(-(-(amount - 1e-9) // can.size))
        assert paid <= alone * can.price + 1e-6


def test_shopping_list_without_sheet_layouts_says_that_it_estimates() -> None:
    """48.45 sq ft of panels over 27.2 sq ft usable a sheet: 2; 508.7 in of strip: 7 lengths."""
    lines = _lines(*reach_in())
    assert (lines["mdf"].quantity, lines["mdf"].amount) == (2, 115.2)
    assert lines["mdf"].needed == pytest.approx(48.453)
    assert lines["mdf"].note == "estimated with 15% waste"
    assert (lines["strip"].quantity, lines["rod"].quantity) == (7, 1)


def test_shopping_list_counts_sheets_and_sticks_laid_out() -> None:
    """Two sheets bought and one offcut used: two are on the list; sticks likewise, by length."""
    sheet = StockSheet(width=96, height=48, price=57.6, name="sheet")
    offcut = StockSheet(width=40, height=24, price=0, offcut=True, name="offcut")

    def cut(number: int, stock: StockSheet) -> SheetLayout:
        return SheetLayout(
            number=number,
            stock=stock,
            width=stock.width,
            height=stock.height,
            edge_trim=0,
            pattern=number,
            parts=(),
            cuts=(),
            offcuts=(),
        )

    proof = {"cost": 2, "cost_bound": 2, "proved": True, "method": "", "kerf": 0.125, "step": 0.1}
    sheets = NestingResult.model_validate(
        {
            **proof,
            "sheets": (cut(1, sheet), cut(2, sheet), cut(3, offcut)),
            "bought": 2,
            "lower_bound": 2,
        }
    )
    sticks = tuple(
        StickLayout(
            number=number,
            stock=StockStick(length=length, price=length / 10),
            length=length,
            parts=(),
            kerf_loss=0,
            offcut=length,
        )
        for number, length in ((1, 96), (2, 96), (3, 72))
    )
    strips = StickResult.model_validate({**proof, "sticks": sticks, "bought": 3, "lower_bound": 2})
    pack = quick_pack(*reach_in(), plan=StockPlan(sheets=sheets, strips=strips))
    bought = [(x.section, x.quantity, x.amount) for x in pack.shopping if x.section != "hardware"]
    assert bought[:3] == [("sheet", 2, 115.2), ("strip", 2, 19.2), ("strip", 1, 7.2)]
    assert pack.shopping[0].note.startswith("2 sheets, proved the fewest")


def test_fasteners_come_in_boxes_with_a_tenth_to_spare() -> None:
    """34 screws are a box of 100; 108 brads a box of 1000; 54 x 1.1 panel screws one of 100."""
    lines = _lines(*reach_in())
    assert {
        key: (lines[key].needed, lines[key].quantity, lines[key].unit)
        for key in ("cleat_screw", "board_brad", "panel_screw", "rod_socket")
    } == {
        "cleat_screw": (34, 1, "pack of 100"),
        "board_brad": (108, 1, "pack of 1000"),
        "panel_screw": (54, 1, "pack of 100"),
        "rod_socket": (2, 1, "pack of 2"),
    }


def test_amounts_add_up() -> None:
    """Each line is quantity times price; materials of the quote are their sum."""
    pack = quick_pack(*metric())
    for line in pack.shopping:
        assert line.amount == pytest.approx(line.quantity * line.unit_price, abs=0.005)
    assert pack.quote.materials == pytest.approx(sum(line.amount for line in pack.shopping))


def test_hours_by_hand() -> None:
    """The reach-in: 45 min to set up; 20 + 9 x 3 to mark; 10 x 4 + 12 x 5 + 28 x 2 to cut;
    3 x 15 + 9 x 8 + 18 x 4 + 9 x 5 + 10 to install.
    """
    brief, layout = reach_in()
    job, parts = Job(brief, layout), parts_of(brief, layout)
    surfaces = Surfaces(area=100 * 144, bead=120, glue=0)
    hours = {t.task: t for t in hours_of(job, parts, cuts(parts), surfaces, invented_prices())}
    minutes = {name: task.hours * 60 for name, task in hours.items()}
    assert minutes == pytest.approx(
        {
            "set up and clear away": 45,
            "mark out": 47,
            "cut": 156,
            "sand": 35,
            "finish": 150,
            "install": 244,
            "caulk": 4,
        },
        abs=0.31,
    )
    assert hours["mark out"].basis == "1 x wall at 20 min, 9 x cleat at 3 min"


def test_quote_by_hand() -> None:
    """200 of materials, 10 h at 50: 700; margin 20 % of it, 140; tax 10 % of 840, 84: 924."""
    line = quick_pack(*reach_in()).shopping[0].model_copy(update={"amount": 200.0})
    task = quick_pack(*reach_in()).hours[0].model_copy(update={"hours": 10.0})
    rates = QuoteRates(labour_rate=50.0, margin=0.2, tax=0.1)
    quote = quote_of([line], [task], invented_prices(), rates)
    assert (quote.labour, quote.margin, quote.tax, quote.total) == (500, 140, 84, 924)


def test_weights_by_hand() -> None:
    """MDF of 48 lb/cu ft: an upright 81.75 x 14 x 3/4 weighs 23.84 lb, a full sheet 96 lb."""
    brief, layout = reach_in()
    parts = {part.id: part for part in parts_of(brief, layout)}
    assert part_weight(parts["B-U1"], brief) == pytest.approx(81.75 * 14 * 0.75 / 1728 * 48)
    # Tube 1-5/16 x 0.049: 0.19450 sq in x 0.284 lb/cu in.
    assert part_weight(parts["B1-R1"], brief) == pytest.approx(34.375 * 0.19450 * 0.284, abs=1e-3)
    assert part_weight(parts["B1-K1"], brief) == pytest.approx(34.4375 * 1.5 / 1728 * 24.5)
    weights = weights_of(brief, parts.values())
    assert weights.total == pytest.approx(sum(part_weight(p, brief) for p in parts.values()))
    assert (weights.heaviest_part, weights.unit) == ("B-U2", "lb")
    assert weights.sheet == pytest.approx(96.0)


def test_metric_weights_are_kilograms() -> None:
    """A sheet 2440 x 1220 x 18 of 769 kg/m3 weighs 41.2 kg."""
    brief, layout = metric()
    weights = weights_of(brief, parts_of(brief, layout))
    assert (round(weights.sheet, 1), weights.unit) == (41.2, "kg")

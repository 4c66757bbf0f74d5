"""Which boards have a back cleat, and how far one runs, worked out by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Carried, Layout
from optimizer.reference.materials import creep_of, stock
from optimizer.structure.assessment import assess
from optimizer.structure.back_cleats import back_cleats
from optimizer.structure.bay_surroundings import BaySurroundings
from tests.structure.layouts import bay, double, room, shelves, wrapped


def _cleats(brief: Brief, *bays: Bay) -> list[tuple[str, float, float]]:
    """Part, start and end of every back cleat, bay by bay."""
    standing = BaySurroundings(brief, Layout(bays=bays))
    return [(c.part, c.start, c.end) for one in bays for c in back_cleats(standing, one)]


def _numbers(brief: Brief, *bays: Bay) -> list[str]:
    return [part for part, _, _ in _cleats(brief, *bays)]


def _simple_span(brief: Brief) -> float:
    """Span at which a board on its two ends alone sags its limit after creep.

    L^3 = 384 E I / (5 w ratio creep): Wood Handbook, FPL-GTR-190, Eq. 9-1 and Table 9-1.
    """
    rules = brief.construction
    rigidity = stock(rules.material).modulus_low * rules.panel_thickness**3 / 12.0
    load = rules.shelf_load / 144.0 * rules.deflection_ratio * creep_of(rules)
    return math.cbrt(384.0 * rigidity / (5.0 * load))


@pytest.mark.parametrize("material", ["mdf", "particleboard"])
def test_a_board_lies_on_its_ends_as_far_as_a_simple_beam_reaches(material: str) -> None:
    """A sixteenth below that span no back cleat, a sixteenth above it one; and it passes there.

    The span is from the middle of one side cleat to that of the other, 3/4 in less than the bay."""
    brief = room((60.0,), material=material, unbacked_span=40.0)
    limit = _simple_span(brief) + 0.75
    assert 20.0 < limit < 36.0
    for width, backed in ((limit - 0.0625, False), (limit + 0.0625, True)):
        one = bay("A1", "A", 1.0, width, shelves(3, 12.0))
        assert _numbers(brief, one) == (["A1-K1", "A1-K2", "A1-K3"] if backed else ["A1-K3"])
        assert all(strain.passes for strain in assess(brief, Layout(bays=(one,))))


def test_plywood_does_without_up_to_what_the_brief_says() -> None:
    """Plywood would reach further: the brief's 30 in are the limit, and 0 asks for cleats."""
    brief = room((60.0,), material="plywood")
    assert _simple_span(brief) > 31.0
    for width, count in ((30.0, 1), (30.0625, 3)):
        assert len(_cleats(brief, bay("A1", "A", 1.0, width, shelves(3, 12.0)))) == count
    every = room((60.0,), material="plywood", unbacked_span=0)
    assert len(_cleats(every, bay("A1", "A", 1.0, 12.0, shelves(3, 12.0)))) == 3


def test_a_board_on_mid_supports_lies_on_them_alone() -> None:
    """No back cleat where each piece is as short as a board without mid supports may be; one
    where the longer piece is a sixteenth longer. Each triangle bears all of its board's load."""
    brief = room((60.0,))
    limit = _simple_span(brief) + 0.75
    for longer, backed in ((limit - 0.0625, False), (limit + 0.0625, True)):
        supports = {"mid_supports": (6.0 + longer,)}
        one = bay("A1", "A", 6.0, longer + 16.0, shelves(3, 12.0), **supports)
        assert _numbers(brief, one) == (["A1-K1", "A1-K2", "A1-K3"] if backed else ["A1-K3"])
    every = room((60.0,), unbacked_span=0)
    assert (
        len(_cleats(every, bay("A1", "A", 6.0, 24.0, shelves(3, 12.0), mid_supports=(22.0,)))) == 3
    )


@pytest.mark.parametrize("more", [{"stiffened": True}, {"left": Carried.CORNER}])
def test_boards_that_carry_otherwise_keep_their_cleats(more: dict[str, Any]) -> None:
    """Stiffened ones, and those that end on the next wall's boards."""
    one = bay("A1", "A", 1.0, 24.0, shelves(3, 12.0), **more)
    assert len(_cleats(room((60.0,)), one)) == 3


def test_boards_through_a_corner_keep_their_cleats() -> None:
    """Both walls' boards at a wrapped corner; beside it, on an upright, they do without."""
    brief, layout = wrapped(through=24.0, joined=24.0)
    assert len(_cleats(brief, *layout.bays)) == 12
    free = tuple(b.model_copy(update={"right": Carried.UPRIGHT}) for b in layout.bays)
    assert len(_cleats(brief, *free)) == 2


def test_a_heavy_thing_on_a_board_asks_for_a_back_cleat() -> None:
    """24 x 12 in are planned for 30 lb: under 70 lb the same board sags too much on its ends."""
    brief = room((60.0,))
    data = brief.model_dump(mode="json")
    things = [{"id": "safe", "width": 12, "depth": 10, "height": 9, "weight_lb": 70}]
    heavy = Brief.model_validate({**data, "needs": {**data["needs"], "items": things}})
    low, *rest = shelves(3, 12.0)
    zones = (low.model_copy(update={"items": ("safe",)}), *rest)
    assert _numbers(heavy, bay("A1", "A", 1.0, 24.0, zones)) == ["A1-K1", "A1-K3"]
    assert _numbers(heavy, bay("A1", "A", 1.0, 24.0, shelves(3, 12.0))) == ["A1-K3"]


def _row(*widths: float, heights: tuple[float, ...] = ()) -> list[Bay]:
    """Bays side by side, each with the line given for it, else 84."""
    here, found = 1.0, []
    for number, width in enumerate(widths):
        line = heights[number] if heights else 84.0
        found.append(bay(f"A{number + 1}", "A", here, width, shelves(2, 12.0, line=line)))
        here += width + 0.75
    return found


def test_one_cleat_behind_all_bays_of_a_line() -> None:
    """From the first bay's left face to the last one's right, a thirty-second short at either."""
    bays = _row(20.0, 24.0, 18.0)
    assert _cleats(room((90.0,)), *bays) == [("A1-K2", 1.03125, 64.46875)]
    free = room((90.0,), top_line="free")
    assert _numbers(free, *bays) == ["A1-K2", "A2-K2", "A3-K2"]


def test_a_cleat_is_no_longer_than_a_strip() -> None:
    """Four bays of 24 are 98-1/4 in: three lie over one strip of 96, two over one of 49."""
    bays = _row(24.0, 24.0, 24.0, 24.0)
    assert _numbers(room((110.0,)), *bays) == ["A1-K2", "A4-K2"]
    short = room((110.0,), strip_lengths=(49.0,))
    assert _numbers(short, *bays) == ["A1-K2", "A3-K2"]


def test_a_cleat_ends_where_the_line_drops_or_changes_its_depth() -> None:
    """At a lower neighbour, and at one whose top board is deeper."""
    dropped = _row(20.0, 20.0, 20.0, heights=(84.0, 84.0, 72.0))
    assert _numbers(room((90.0,)), *dropped) == ["A1-K2", "A3-K2"]
    left = bay("A1", "A", 1.0, 20.0, shelves(2, 12.0))
    deep = bay("A2", "A", 21.75, 20.0, shelves(2, 14.0))
    assert _numbers(room((90.0,)), left, deep) == ["A1-K2", "A2-K2"]


def test_a_cleat_does_not_run_on_where_it_would_not_hold() -> None:
    """No stud behind two bays of 13-1/2 in; 12 in boards under 213 lb/sq ft bring 9 lb/in.

    Each cleat has room for 5 anchors of 25 lb, 3 in apart from 3/4 to 12-3/4, and gets 121.5 lb.
    One behind both, 27-3/4 long, would have room for 9, 225 lb, and get 250.
    """
    data = room((90.0,), shelf_load=213.0).model_dump(mode="json")
    data["room"]["walls"][0]["studs"] = {"positions": [88.0]}
    brief, bays = Brief.model_validate(data), _row(13.5, 13.5)
    tops = [part for part in _numbers(brief, *bays) if part.endswith("K2")]
    assert tops == ["A1-K2", "A2-K2"]
    data["construction"]["shelf_load"] = 190.0
    less = _numbers(Brief.model_validate(data), *bays)
    assert [part for part in less if part.endswith("K2")] == ["A1-K2"]


def test_rods_between_boards_change_nothing() -> None:
    """A board over the lower of two rods, 24 in wide, lies on its ends like any other."""
    assert _numbers(room((60.0,)), bay("A1", "A", 1.0, 24.0, double())) == ["A1-K2"]

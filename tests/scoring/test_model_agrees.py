"""A finished layout scores what the model said of it, but for rounding to the grid."""

from __future__ import annotations

import time
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings

from optimizer.domain.brief import Brief
from optimizer.domain.layout import TermName
from optimizer.model.search.alternatives import Found, Search
from optimizer.patterns.column import column_of
from optimizer.scoring.amounts import Amounts, amounts_of
from optimizer.scoring.terms import NEEDS_SHARE, Frame
from tests.model.bays import kinds_in, steepest
from tests.model.rooms import best_of, brief_of
from tests.strategies import SMALL_SHAPES, briefs

OPTIONS = {"alternatives": 1, "gap": 0.05, "time_limit_s": 10.0}
FEW: dict[str, Any] = {
    "deadline": None,
    "derandomize": True,
    "suppress_health_check": [HealthCheck.too_slow, HealthCheck.data_too_large],
    "phases": (Phase.explicit, Phase.generate),
}


def _score(search: Search, found: Found) -> float:
    amounts = amounts_of(found.bays, search.rules, search.surveyed, found.mounts)
    return sum(term.points for term in search.frame.terms(amounts, search.yardstick))


def test_score_of_the_placed_layout_is_the_models() -> None:
    """Rounding moves each bay by less than a grid step or two, worth so many points an inch."""
    compared: list[int] = []

    @settings(max_examples=15, **FEW)
    @given(briefs(shapes=SMALL_SHAPES, max_items=2, max_obstructions=1, options=OPTIONS))
    def each(brief: Brief) -> None:
        search = Search(brief)
        found = search.next(time.monotonic() + 30.0)
        if isinstance(found, Found):
            _require_same_score(search, found)
            compared.append(len(found.bays))

    each()
    assert len(compared) >= 10
    assert max(compared) >= 2


def _require_same_score(search: Search, found: Found) -> None:
    kinds = [
        kind
        for stretch in search.surveyed.stretches
        for kind in kinds_in(column_of([stretch]), search.catalogue)
    ]
    slope = steepest(kinds, search.frame, search.yardstick)
    rounding = (1 + 2 * len(found.bays)) * search.rules.grid * slope
    if search.rules.things:
        # Whole rows: a layout may hold less of what is counted than the model has it, never more.
        assert (found.outcome.objective or 0.0) >= _score(search, found) - rounding - 1e-4
        return
    if found.mounts or any(bay.mid_supports for bay in found.bays):
        # Where studs stand unluckily a bay has more mid supports than the model paid for.
        assert (found.outcome.objective or 0.0) >= _score(search, found) - rounding - 1e-4
        return
    assert found.outcome.objective == pytest.approx(_score(search, found), abs=rounding + 1e-4)


EXACT: dict[str, tuple[list[Any], dict[str, Any], dict[str, Any]]] = {
    "one wall": ([62.25], {"short_hang": 40, "shelf_length": 60}, {"min_bay_width": 15}),
    "no mid supports": (
        [62.25],
        {"short_hang": 40, "shelf_length": 60},
        {"min_bay_width": 15, "mid_support": "none"},
    ),
    "wall to wall": ([15, 61.5, 15], {"shelf_length": 300}, {"min_bay_width": 18}),
    "brackets": ([15, 61.5, 15], {"shelf_length": 300}, {"mid_support": "bracket"}),
    "free tops": ([15, 61.5, 15], {"shelf_length": 300}, {"top_line": "free"}),
    "round a corner": ([48.75, 44.75], {"shelf_length": 400}, {"material": "plywood"}),
    "on uprights": ([48.75, 44.75], {"shelf_length": 400}, {"wall_ends": "uprights"}),
}


@pytest.mark.parametrize("name", EXACT)
def test_score_is_the_models_to_the_digit_where_nothing_is_rounded(name: str) -> None:
    """Walls that grid widths fill exactly: model and scoring agree to rounding noise."""
    walls, needs, construction = EXACT[name]
    search, found = best_of(brief_of(walls, needs, construction=construction))
    assert found.outcome.objective == pytest.approx(_score(search, found), abs=1e-6)


NOTHING = {"long": 0.0, "medium": 0.0, "short": 0.0}


def _amounts(**given: Any) -> Amounts:
    usual: dict[str, Any] = {
        "hang": NOTHING,
        "shelf_length": 0.0,
        "shelf_area": 0.0,
        "open_floor": 0.0,
        "easy": 0.0,
        "cost": 0.0,
        "parts": 0,
        "housed": {},
    }
    return Amounts(**{**usual, **given})


def test_worths_of_needs_add_up_to_one() -> None:
    """Meeting everything is 1, and half of everything is a half."""
    items = [{"id": "box", "width": 10, "depth": 10, "height": 10, "count": 4}]
    needs = {"long_hang": 30, "short_hang": 60, "shelf_length": 80, "items": items}
    search, _ = best_of(brief_of([80], needs))
    full = {need.name: need.required for need in search.frame.needs()}
    assert sum(n.required * n.worth for n in search.frame.needs()) == pytest.approx(1.0)
    hang = {"long": full["long_hang"] / 2, "medium": 0.0, "short": full["short_hang"] / 2}
    half = _amounts(hang=hang, shelf_free=full["shelf_length"] / 2, housed={"box": 2})
    values = search.frame.values(half, search.yardstick)
    assert values[TermName.NEEDS] == pytest.approx(0.5)


def test_points_are_two_thirds_needs_and_a_third_priorities() -> None:
    """Nothing built: no points but the full ones of cost and simplicity."""
    search, _ = best_of(brief_of([60], {"long_hang": 30}, priorities={"low_cost": 4}))
    terms = search.frame.terms(_amounts(), search.yardstick)
    total = sum(search.brief.priorities.weights().values())
    expected = 100 * (1 - NEEDS_SHARE) * (4 + 1) / total
    assert sum(term.points for term in terms) == pytest.approx(expected)
    assert sum(search.frame.weights().values()) == pytest.approx(100.0)


def test_a_needed_item_weighs_as_its_use_says() -> None:
    """A daily piece is worth one and a half weekly ones."""
    items = [
        {"id": use, "width": 10, "depth": 10, "height": 10, "use": use}
        for use in ("daily", "weekly", "seldom")
    ]
    search, _ = best_of(brief_of([60], {"items": items}))
    worth = {need.name: need.worth for need in Frame(search.rules).needs()}
    assert worth["item:daily"] == pytest.approx(1.5 * worth["item:weekly"])
    assert worth["item:seldom"] == pytest.approx(0.6 * worth["item:weekly"])

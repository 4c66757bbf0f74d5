"""Heavy pieces."""

from __future__ import annotations

import pytest

from optimizer.domain.needs import Item
from optimizer.reference.weights import heavy_limit, is_heavy, item_weight
from optimizer.units import KG_PER_LB, Units


def _item(**weights: float) -> Item:
    return Item.model_validate({"id": "trunk", "width": 30, "depth": 16, "height": 14, **weights})


def test_heavy_limits() -> None:
    """25 lb up to 36 in, 11 kg up to 915 mm (common practice)."""
    assert heavy_limit(Units.INCH) == (25.0, 36.0)
    assert heavy_limit(Units.MILLIMETRE) == (11.0, 915.0)


def test_weight_in_the_units_of_the_brief() -> None:
    """lb in inch briefs, kg in millimetre ones, converted where only the other is given."""
    assert item_weight(_item(weight_lb=20.0), Units.INCH) == 20.0
    assert item_weight(_item(weight_kg=9.0), Units.MILLIMETRE) == 9.0
    assert item_weight(_item(weight_lb=20.0), Units.MILLIMETRE) == pytest.approx(20.0 * KG_PER_LB)
    assert item_weight(_item(weight_kg=9.0), Units.INCH) == pytest.approx(9.0 / KG_PER_LB)


def test_own_unit_wins_when_both_are_given() -> None:
    """With both weights the brief's own unit is read."""
    both = _item(weight_lb=20.0, weight_kg=9.0)
    assert (item_weight(both, Units.INCH), item_weight(both, Units.MILLIMETRE)) == (20.0, 9.0)


@pytest.mark.parametrize("units", list(Units))
def test_unknown_weight(units: Units) -> None:
    """No weight given is None, and counts as light."""
    assert item_weight(_item(), units) is None
    assert is_heavy(_item(), units) is False


@pytest.mark.parametrize(("pounds", "heavy"), [(24.9, False), (25.0, True), (60.0, True)])
def test_heavy_from_the_limit_on(pounds: float, heavy: bool) -> None:
    """25 lb itself is heavy."""
    assert is_heavy(_item(weight_lb=pounds), Units.INCH) is heavy

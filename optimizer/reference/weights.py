"""Which pieces are heavy, and where heavy pieces may stand."""

from __future__ import annotations

from optimizer.domain.needs import Item
from optimizer.units import KG_PER_LB, Units

HEAVY: dict[Units, tuple[float, float]] = {
    Units.INCH: (25.0, 36.0),
    Units.MILLIMETRE: (11.0, 915.0),
}
"""Weight from which a piece is heavy [lb or kg], and the highest shelf it may stand on
[brief units]: common practice, in round figures of each system."""


def heavy_limit(units: Units) -> tuple[float, float]:
    """Weight from which a piece is heavy [lb or kg] and its highest shelf [brief units]."""
    return HEAVY[units]


def item_weight(item: Item, units: Units) -> float | None:
    """Weight of one piece [lb in inch briefs, kg in millimetre ones]; None when not given."""
    if units is Units.INCH:
        if item.weight_lb is not None:
            return item.weight_lb
        return None if item.weight_kg is None else item.weight_kg / KG_PER_LB
    if item.weight_kg is not None:
        return item.weight_kg
    return None if item.weight_lb is None else item.weight_lb * KG_PER_LB


def is_heavy(item: Item, units: Units) -> bool:
    """Whether a piece must stand on the floor or on a low shelf; unknown weight is light."""
    weight = item_weight(item, units)
    return weight is not None and weight >= heavy_limit(units)[0]

"""R10: bought units of drawers or baskets, on each side of the width that they ask for."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.briefs.reader import read_brief
from optimizer.checking import check_layout
from optimizer.domain.layout import Layout
from optimizer.errors import BriefError
from tests.checking.parts import bay, floor, shelf

Raw = dict[str, Any]
UNIT = {
    "id": "drawers", "width": 18, "depth": 11, "height": 20, "place": "any",
    "fits_between": {"least": 18.25, "most": 19},
}  # fmt: skip


def _brief(**more: Any) -> Raw:
    return {
        "room": {"ceiling_height": 96, "walls": [{"id": "A", "length": 100}]},
        "needs": {
            "items": [{**UNIT, **more}, {"id": "jar", "width": 0.1, "depth": 1, "height": 4,
                                         "place": "any"}],
            "stored": [{"kind": "jars", "count": 3, "width": 0.25}],
        },
        "construction": {"material": "plywood", "min_bay_width": 15, "item_clearance": 0.1},
    }  # fmt: skip


def _codes(
    width: float, *items: str, stored: int = 0, hung: bool = False, **more: Any
) -> list[str]:
    """Codes of a bay with these on its floor, or `hung` over its lowest board."""
    low = shelf(30.0, 59.25, 12.0, *(items if hung else ()))
    if stored:
        low["stored"] = [{"kind": "jars", "count": stored}]
    zones = [floor(29.25, *(() if hung else items), depth=12.0), low, shelf(60.0, 71.25, 12.0)]
    zones += [shelf(72.0, 83.25, 12.0), shelf(84.0, 96.0, 12.0)]
    brief, _ = read_brief(_brief())
    layout = Layout.model_validate({"bays": [bay("A1", "A", 0.75, width, zones, **more)]})
    return [fault.code for fault in check_layout(brief, layout)]


@pytest.mark.parametrize("hung", [False, True])
@pytest.mark.parametrize(
    ("width", "codes"),
    [(18.25, []), (19.0, []), (18.1875, ["unit_width"]), (19.0625, ["unit_width"])],
)
def test_the_bay_is_as_wide_as_the_unit_asks(width: float, codes: list[str], hung: bool) -> None:
    """18-1/4 to 19 in, on the floor or hung over a board."""
    assert _codes(width, "drawers", hung=hung) == codes


def test_nothing_is_beside_a_unit() -> None:
    """Not an item, nor what is counted."""
    assert _codes(18.5, "drawers", "jar") == ["unit_alone"]
    assert _codes(18.5, "drawers", hung=True, stored=1) == ["unit_alone"]
    assert _codes(18.5, "drawers", stored=1) == []


@pytest.mark.parametrize("inside", [{"mid_supports": [9.0]}, {"left": "corner"}])
def test_a_unit_stands_between_uprights_or_walls(inside: Raw) -> None:
    """No support inside its bay, and no end that butts at a wrapped corner."""
    assert "unit_place" in _codes(18.5, "drawers", **inside)
    assert "unit_place" not in _codes(18.5, **inside)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"fits_between": {"least": 17.5, "most": 19}}, "least"),
        ({"fits_between": {"least": 19, "most": 18.5}}, "most"),
        ({"width": 10, "fits_between": {"least": 11, "most": 12}}, "most"),
        ({"fits_between": {"least": 120, "most": 122}}, "least"),
    ],
)
def test_a_unit_that_fits_nowhere_is_refused(change: Raw, field: str) -> None:
    """Wider than its opening, no opening at all, narrower than any bay, wider than any."""
    with pytest.raises(BriefError) as caught:
        read_brief(_brief(**change))
    assert f"/needs/items/0/fits_between/{field}" in {
        fault.pointer for fault in caught.value.faults
    }

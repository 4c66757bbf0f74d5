"""Groups and rows of bulky items: widths with air, the tallest sets the height."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.domain.layout import ZoneKind
from optimizer.patterns.groups import MAX_GROUPS, MAX_HEIGHT_CLASSES, Group, height_classes
from tests.patterns.samples import catalogue_of, column


def _item(name: str, width: float, height: float, **rest: Any) -> dict[str, Any]:
    return {"id": name, "width": width, "depth": 14, "height": height, **rest}


def test_group_adds_widths_and_air_and_takes_the_tallest() -> None:
    """Two things of 10 and 12 in: 22 in and three times 1/2 in of air; 20 in high and air."""
    needs = {"items": [_item("a", 10, 15), _item("b", 12, 20)]}
    groups = {group.counts: group for group in catalogue_of(needs).floor_groups}
    both = groups[("a", 1), ("b", 1)]
    assert (both.width, both.height, both.depth) == (23.5, 20.5, 14.0)
    assert both.items == ("a", "b")


def test_groups_do_not_outgrow_the_widest_bay_or_the_count() -> None:
    """No more pieces than there are, and nothing wider than a bay may be."""
    needs = {"items": [_item("a", 15, 15, count=2), _item("b", 30, 20)]}
    catalogue = catalogue_of(needs, construction={"max_bay_width": 48})
    groups = [group.counts for group in catalogue.floor_groups]
    assert sorted(groups) == [(("a", 1),), (("a", 1), ("b", 1)), (("a", 2),), (("b", 1),)]


def test_a_long_row_of_one_kind_is_a_group() -> None:
    """Five boxes of 6 in stand side by side on one floor: 30 in and six times 1/2 in."""
    needs = {"items": [_item("box", 6, 8, count=5)]}
    widths = {g.counts[0][1]: g.width for g in catalogue_of(needs).floor_groups}
    assert widths == {1: 7.0, 2: 13.5, 3: 20.0, 4: 26.5, 5: 33.0}


def test_many_kinds_make_no_more_groups_than_said() -> None:
    """Beyond the limit only smaller groups are enumerated; each piece keeps one of its own."""
    items = [_item(f"i{n}", 6 + n / 4, 10 + n) for n in range(12)]
    groups = catalogue_of({"items": items}).floor_groups
    assert len(groups) <= MAX_GROUPS
    assert {group.counts for group in groups} >= {((f"i{n}", 1),) for n in range(12)}


def test_shelf_rows_are_of_one_kind_single_or_full() -> None:
    """One bin, or as many as a plain 12 in shelf of 35.5 in takes: three of 11 in."""
    needs = {"items": [_item("bin", 11, 7, count=4, place="shelf", depth=11)]}
    catalogue = catalogue_of(needs)
    assert catalogue.floor_groups == ()
    assert [group.counts for group in catalogue.shelf_groups] == [(("bin", 1),), (("bin", 3),)]


def test_few_height_classes_waste_least() -> None:
    """Of many heights the classes kept are the tallest and those that waste least."""
    groups = [Group((("x", 1),), 10.0, h, 10.0, False, False) for h in (10, 11, 20, 21, 30, 31)]
    classes = height_classes(groups)
    assert len(classes) == MAX_HEIGHT_CLASSES
    assert classes[-1] == 31
    assert sum(min(c for c in classes if c >= g.height) - g.height for g in groups) == 2


def test_floor_zones_are_made_for_items() -> None:
    """Hosting patterns have a free floor zone high enough, and bays under rods and shelves."""
    needs = {"short_hang": 30, "items": [_item("hamper", 18, 26)]}
    hosting = [p for p in catalogue_of(needs).patterns(column()) if p.hosting]
    assert {pattern.kind for pattern in hosting} == {"shelves over floor", "short over floor"}
    for pattern in hosting:
        assert pattern.zones[0].kind is ZoneKind.FLOOR
        assert pattern.zones[0].top >= 26.5


@pytest.mark.parametrize(("weight", "heavy"), [(24.9, False), (25.0, True), (60.0, True)])
def test_heavy_from_25_lb(weight: float, heavy: bool) -> None:
    """A piece of 25 lb counts as heavy: common practice, as the rules of a layout say."""
    needs = {"items": [_item("case", 18, 10, weight_lb=weight)]}
    assert catalogue_of(needs).floor_groups[0].heavy is heavy

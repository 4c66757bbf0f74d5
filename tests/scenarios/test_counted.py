"""Scenarios of what is counted, and of as much as will go in."""

from __future__ import annotations

from collections import Counter

import pytest

from optimizer.checking import check_study
from optimizer.domain.layout import ZoneKind
from optimizer.domain.pack import CheckStatus
from optimizer.domain.study import Study
from optimizer.model.search.alternatives import Search
from tests.packs import quick_pack
from tests.ready_briefs import load_scenario
from tests.scenarios.proposals import proposed

SHOE_CLEAR_IN = 6.25


def _first(name: str) -> Study:
    study = proposed(name)
    assert check_study(study.brief, study) == ()
    pack = quick_pack(study.brief, study.layouts[0])
    assert all(check.status is not CheckStatus.FAIL for check in pack.checks)
    return study


def test_a_shoe_closet_is_pitched_for_shoes() -> None:
    """Of forty pairs nearly all go in, most of them on shelves 7 in apart under the line."""
    study = _first("shoe-closet")
    (layout,) = study.layouts
    zones = [zone for bay in layout.bays for zone in bay.zones]
    stored = Counter[str]()
    for zone in zones:
        stored.update({kept.kind: kept.count for kept in zone.stored})
    assert stored["shoes"] >= 38
    assert stored["boots"] >= 2
    assert stored["hats"] == 4
    closer = [z for z in zones if z.kind is ZoneKind.SHELF and z.top - z.bottom < 8.0]
    assert len(closer) >= 8
    assert {zone.top - zone.bottom for zone in closer} == {SHOE_CLEAR_IN}
    assert {kept.kind for zone in closer for kept in zone.stored} == {"shoes"}
    assert {bay.height for bay in layout.bays} == {84.0}
    named = {unmet.need: unmet for unmet in layout.unmet}
    if stored["shoes"] < 40:
        assert named["stored:shoes"].shortfall == 40 - stored["shoes"]


def test_a_bare_wall_is_filled_with_shelf() -> None:
    """Without amounts nothing is unmet, the priorities make the score, and shelf goes all over."""
    study = _first("bare-wall")
    (layout,) = study.layouts
    assert not study.brief.needs.amounts
    assert layout.unmet == ()
    needs = layout.terms[0]
    assert (needs.name, needs.weight, needs.points) == ("needs", 0.0, 0.0)
    assert sum(bay.width for bay in layout.bays) > 0.95 * 118.5
    assert all(zone.kind is not ZoneKind.ROD for bay in layout.bays for zone in bay.zones)
    assert layout.score > 85.0


def test_no_rod_comes_where_hanging_weighs_nothing() -> None:
    """Nothing is asked for and hanging weighs 0: no bay with a rod is made, though the scale on
    which other priorities would be scored knows of them."""
    brief = load_scenario("bare-wall")
    search = Search(brief)
    assert not any(v.slot.pattern.has_rod for v in search.model.slots)
    assert search.yardstick.hanging > 0
    weighed = brief.priorities.model_copy(update={"hanging": 2.0})
    other = Search(brief.model_copy(update={"priorities": weighed}))
    assert any(v.slot.pattern.has_rod for v in other.model.slots)
    assert other.yardstick.hanging == pytest.approx(search.yardstick.hanging)

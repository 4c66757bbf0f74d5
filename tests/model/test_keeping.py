"""What stood on the shelves of a pinned bay stays there where it can."""

from __future__ import annotations

from typing import Any

from optimizer.domain.brief import Pin, shelved_in
from optimizer.domain.layout import Bay, Layout
from optimizer.model.shelf_contents import stowed
from optimizer.patterns.bay_rules import BayRules
from tests.checking.parts import bay, levels
from tests.model.rooms import brief_of

FOLDED = {"kind": "folded", "count": 8}
BAYS = Layout.model_validate(
    {"bays": [bay(f"A{n}", "A", 0.75 + 25.5 * n, 24.75, levels(96.0, 12.0)) for n in (0, 1)]}
).bays


def _stowed(stood: list[tuple[int, str, int]], **needs: Any) -> tuple[Bay, ...]:
    """Both bays stowed, the second one pinned with what stood on its shelves."""
    pin: dict[str, Any] = {"wall": "A", "start": 26.25, "width": 24.75, "pattern": "any"}
    pin["stored"] = [{"zone": zone, "kind": kind, "count": count} for zone, kind, count in stood]
    brief = brief_of([54.0], {"stored": [FOLDED], **needs})
    pinned = brief.model_copy(update={"pins": (Pin.model_validate(pin, context=brief.units),)})
    return stowed(BAYS, BayRules(pinned))


def _where(bays: tuple[Bay, ...]) -> dict[tuple[int, int, str], int]:
    return {
        (number, kept.zone, kept.kind): kept.count
        for number, own in enumerate(bays)
        for kept in shelved_in(own)
    }


def test_folded_clothes_stay_where_they_were() -> None:
    """Two stacks, on the lowest shelf of the second bay, where they would not be put else."""
    assert (1, 0, "folded") not in _where(_stowed([]))
    assert _where(_stowed([(1, "folded", 0 + 4), (0, "folded", 4)])) == {
        (1, 0, "folded"): 4,
        (1, 1, "folded"): 4,
    }


def test_what_is_no_longer_asked_for_goes() -> None:
    """Of 16 that stood there 8 are left; of another kind nothing is."""
    where = _where(_stowed([(0, "folded", 8), (1, "folded", 8), (2, "hats", 1)]))
    assert where == {(1, 0, "folded"): 8}


def test_it_stays_only_where_all_goes_in_so() -> None:
    """Stacks in the way of things that go nowhere else give way: all of both kinds are kept."""
    tall = {"kind": "boots", "count": 4, "width": 12, "pitch": 12.5}
    where = _where(_stowed([(6, "folded", 8)], stored=[FOLDED, tall]))
    counts = {
        kind: sum(n for (_, _, k), n in where.items() if k == kind) for kind in ("folded", "boots")
    }
    assert counts == {"folded": 8, "boots": 4}

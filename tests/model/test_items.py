"""Bulky items on shelves: what the model promises has a place, and what has none is left out."""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import Any

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from optimizer.domain.brief import Brief
from optimizer.model.constraints.items import zone_sets
from optimizer.model.records import SlotVars
from optimizer.model.search.alternatives import Search
from optimizer.model.slots import Host
from optimizer.model.solution import paired
from optimizer.patterns.groups import Group
from optimizer.patterns.pattern import Tier
from optimizer.proposing import propose
from optimizer.solving import value_of
from tests.model.rooms import PATIENCE_S, brief_of
from tests.ready_briefs import load_scenario

Ask = tuple[frozenset[int], int]
"""Zones that take a group, and how many such groups there are."""


def _host(zones: frozenset[int], width: float = 8.0) -> Host:
    group = Group((("crate", 1),), width, 8.0, 8.0, heavy=False, daily=False)
    return Host(group, tuple(sorted(zones)), on_floor=False)


asks = st.lists(
    st.tuples(st.frozensets(st.integers(0, 5), min_size=1), st.integers(1, 3)),
    min_size=1,
    max_size=7,
)


@given(asks=asks, bays=st.integers(1, 2))
def test_zone_sets_hold_just_where_every_group_has_a_zone(asks: list[Ask], bays: int) -> None:
    """Against a matching: the sets allow what can be seated, and nothing else (Hall)."""
    sets = list(zone_sets([_host(zones) for zones, _ in asks]))
    allowed = all(
        sum(count for zones, count in asks if zones <= own) <= len(own) * bays for own in sets
    )
    rows = [(place, n) for place, (_, count) in enumerate(asks) for n in range(count)]
    graph = nx.Graph()
    graph.add_edges_from(
        (("row", row), (bay, zone))
        for row in rows
        for zone in asks[row[0]][0]
        for bay in range(bays)
    )
    top = [("row", row) for row in rows]
    seated = nx.bipartite.hopcroft_karp_matching(graph, top)
    assert allowed is (sum(node in seated for node in top) == len(rows))


@dataclass(frozen=True)
class _Solved:
    """A variable with a value."""

    number: float

    def value(self) -> float:
        return self.number


def test_what_only_seems_to_fit_is_left_out() -> None:
    """One of two bays is wide: it and the other one's only suitable zone take three of four."""
    asked = [(_host(frozenset({0, 1}), width=20.0), 2), (_host(frozenset({1})), 2)]
    vars_ = SlotVars(
        slot=None,  # type: ignore[arg-type]
        count=_Solved(2),
        width=_Solved(32.0),
        extra=None,
        tiers=[(Tier(36.0), _Solved(2))],
        parts={},
        widest=36.0,
        hosts=[(one, _Solved(number)) for one, number in asked],
        levels=[(20.0, _Solved(1))],
    )
    wide, narrow = paired(vars_, 2)
    assert [zone for zone, _ in wide] == [0, 1]
    assert [(zone, group.width) for zone, group in narrow] == [(1, 8.0)]


CROWDED = [
    {"id": "a", "width": 8, "depth": 15, "height": 6, "count": 3, "weight_lb": 30},
    {"id": "b", "width": 12, "depth": 8, "height": 10, "use": "daily"},
    {"id": "c", "width": 8, "depth": 8, "height": 10, "use": "daily"},
    {"id": "d", "width": 10, "depth": 8, "height": 8, "count": 3},
    {"id": "e", "width": 8, "depth": 12, "height": 8, "use": "daily"},
    {"id": "f", "width": 10, "depth": 15, "height": 9, "count": 2, "weight_lb": 30},
    {"id": "g", "width": 12, "depth": 15, "height": 14, "use": "daily", "weight_lb": 30},
    {"id": "h", "width": 8, "depth": 8, "height": 6, "count": 3, "use": "daily"},
]
"""Things of many sorts, each wanting other shelves: light, heavy, daily, high."""


def test_more_sorts_of_things_than_shelves_is_a_layout() -> None:
    """Shelves that many sorts of things compete for hold as many as there are places."""
    items = [{**item, "place": "shelf"} for item in CROWDED]
    needs: dict[str, Any] = {
        "shelf_length": 10,
        "shelf_spacing": 10,
        "shelf_depth": 20,
        "items": items,
    }
    brief: Brief = brief_of([26], needs, options={"gap": 0.005})
    (layout,) = propose(brief, repairs=False).layouts
    assert layout.status in ("optimal", "within_gap")
    assert layout.metrics is not None
    assert layout.metrics.items_housed > 0


def test_things_are_counted_whole() -> None:
    """No part of a pair of boots counts towards the need, and no bound speaks of one."""
    search = Search(load_scenario("shoe-closet"))
    outcome = search.optimum(time.monotonic() + PATIENCE_S, 0.005)
    assert outcome.has_solution
    stored = {need: value_of(met) for need, met in search.objective.met.items() if need.is_stored}
    assert len(stored) == 3
    assert all(abs(met - round(met)) < 1e-6 for met in stored.values())

"""Bulky items on shelves: what the model promises has a place."""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import Any

import networkx as nx
from hypothesis import given, settings
from hypothesis import strategies as st

from optimizer.domain.brief import Brief
from optimizer.model.constraints.nooks import seat_groups
from optimizer.model.records import Nook, NookZone, SlotVars
from optimizer.model.search.alternatives import Search
from optimizer.model.seating import seated
from optimizer.model.slots import Host
from optimizer.patterns.groups import Group
from optimizer.proposing import propose
from optimizer.solving import new_problem, solve, value_of
from tests.model.rooms import PATIENCE_S, brief_of
from tests.ready_briefs import load_scenario

WIDTHS = (8.0, 12.0, 16.0, 20.0)


@dataclass(frozen=True)
class _Bays:
    """Bays of one slot: how many reach each of `WIDTHS`, and the widest group that each of their
    zones takes."""

    reach: list[int]
    widest: list[float]


@dataclass(frozen=True)
class _Rows:
    """What is added to a model, and nothing else of it."""

    problem: Any

    def add(self, constraint: Any, name: str) -> None:
        self.problem.addConstraint(constraint, name)


bays = st.builds(
    _Bays,
    st.lists(st.integers(0, 3), min_size=4, max_size=4).map(lambda n: sorted(n, reverse=True)),
    st.lists(st.sampled_from(WIDTHS), min_size=1, max_size=2),
)


def _nook(problem: Any, slots: list[_Bays], asked: list[int]) -> Nook:
    """A nook whose variables can have the values given alone."""
    zones: list[NookZone] = []
    for number, own in enumerate(slots):
        # The first width fits into all of them.
        counts = [
            problem.add_variable(f"m_{number}_{n}", reach, reach, "Integer")
            for n, reach in enumerate(own.reach)
        ]
        vars_ = SlotVars(
            slot=None,  # type: ignore[arg-type]
            count=counts[0],
            width=None,
            extra=None,
            tiers=[],
            parts={},
            widest=36.0,
            levels=list(zip(WIDTHS[1:], counts[1:], strict=True)),
        )
        zones += [NookZone(vars_, zone, widest) for zone, widest in enumerate(own.widest)]
    held = []
    for number, (width, count) in enumerate(zip(WIDTHS, asked, strict=True)):
        group = Group((("crate", 1),), width, 8.0, 8.0, heavy=False, daily=False)
        variable = problem.add_variable(f"h_{number}", count, count, "Integer")
        held.append((Host(group, (), on_floor=False), variable))
    return Nook(0, False, tuple(zones), tuple(held))


@settings(deadline=None)
@given(
    slots=st.lists(bays, min_size=1, max_size=3),
    asked=st.lists(st.integers(0, 3), min_size=4, max_size=4),
)
def test_a_nook_takes_just_what_finds_a_place(slots: list[_Bays], asked: list[int]) -> None:
    """Against a matching: the rows allow what can be seated, and nothing else (Hall); all that they
    allow is given a place, each to itself, wide enough and in a zone that takes it."""
    problem = new_problem("nook", maximise=True)
    nook = _nook(problem, slots, asked)
    seat_groups(_Rows(problem), nook, "0")  # type: ignore[arg-type]
    allowed = solve(problem).has_solution
    groups = [(width, n) for width, count in zip(WIDTHS, asked, strict=True) for n in range(count)]
    graph = nx.Graph()
    graph.add_nodes_from(groups)
    for number, own in enumerate(slots):
        for zone, widest in enumerate(own.widest):
            for width, n in groups:
                reach = own.reach[WIDTHS.index(width)] if width <= widest else 0
                graph.add_edges_from(((width, n), (number, bay, zone)) for bay in range(reach))
    matching = nx.bipartite.hopcroft_karp_matching(graph, groups)
    assert allowed is all(group in matching for group in groups)
    if not allowed:
        return
    for variable in problem.variables():
        variable.varValue = variable.lowBound
    given_places = seated([nook])
    assert sum(len(held) for held in given_places.values()) == len(groups)
    for (name, bay), held in given_places.items():
        own = slots[int(name.split("_")[1])]
        assert len({zone for zone, _ in held}) == len(held)
        for zone, group in held:
            assert group.width <= own.widest[zone]
            assert bay < own.reach[WIDTHS.index(group.width)]


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

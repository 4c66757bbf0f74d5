"""The parts of the proof, each against trying everything."""

from __future__ import annotations

import itertools
import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimizer.nesting.bounds import area_bound, priced_bound, reachable
from optimizer.nesting.columns import Relaxed, generate
from optimizer.nesting.cutting_problem import Bin, CuttingProblem, Kind
from optimizer.nesting.effort import SEARCHED, Effort
from optimizer.nesting.enumeration import EnumerationBudget, Listing, TooManyError
from optimizer.nesting.firstfit import first_fit
from optimizer.nesting.knapsack import Knapsack
from optimizer.nesting.master import Columns
from optimizer.nesting.pricing import Pricer
from tests.nesting.lists import fewest_sheets

rows = st.lists(
    st.tuples(st.integers(1, 9), st.integers(0, 3), st.integers(0, 12)), min_size=1, max_size=5
)
SHEET = (40, 25)


def choices(items: list[tuple[int, int, int]], capacity: int) -> dict[tuple[int, ...], int]:
    """Every choice of counts that fits, with its value; rows are (size, bound, value)."""
    return {
        counts: sum(n * value for n, (_, _, value) in zip(counts, items, strict=True))
        for counts in itertools.product(*(range(bound + 1) for _, bound, _ in items))
        if sum(n * size for n, (size, _, _) in zip(counts, items, strict=True)) <= capacity
    }


@given(rows, st.integers(0, 30))
def test_knapsack_is_the_best_choice(items: list[tuple[int, int, int]], capacity: int) -> None:
    """The table's value is the best there is, for every prefix, and its counts give it."""
    sizes, bounds, values = zip(*items, strict=True)
    table = Knapsack(sizes, bounds, capacity).fill(values)
    for last in range(len(items)):
        best = max(choices(items[: last + 1], capacity).values())
        counts = dict(table.counts(last, capacity))
        assert table.value(last, capacity) == best
        assert sum(n * values[i] for i, n in counts.items()) == best
        assert sum(n * sizes[i] for i, n in counts.items()) <= capacity
        assert all(n <= bounds[i] for i, n in counts.items())


@given(rows, st.integers(0, 30), st.integers(0, 40))
def test_listing_is_complete(items: list[tuple[int, int, int]], capacity: int, least: int) -> None:
    """Listed are exactly the choices worth enough that take no further piece."""
    sizes, bounds, values = zip(*items, strict=True)
    listing = Listing(
        Knapsack(sizes, bounds, capacity),
        values,
        least,
        first=0,
        last=len(items) - 1,
        needed=0,
        budget=EnumerationBudget(Effort(10_000)),
    )
    found = {
        tuple(dict(counts).get(i, 0) for i in range(len(items)))
        for counts in listing.within(capacity)
    }
    fitting = choices(items, capacity)
    larger = {
        counts
        for counts in fitting
        if any((*counts[:i], counts[i] + 1, *counts[i + 1 :]) in fitting for i in range(len(items)))
    }
    wanted = {c for c, value in fitting.items() if value >= least and c not in larger and any(c)}
    assert found == wanted


def test_listing_stops_at_its_allowance() -> None:
    """More choices than allowed, or no effort left, are said and not cut off silently."""
    knapsack = Knapsack([1, 2, 3], [30, 30, 30], 60)
    few = EnumerationBudget(Effort(10_000), columns=5)
    with pytest.raises(TooManyError):
        list(Listing(knapsack, [1, 1, 1], 0, 0, 2, 0, few).within(60))
    late = EnumerationBudget(Effort(0), places=SEARCHED + 1)
    with pytest.raises(TooManyError):
        list(Listing(knapsack, [1, 1, 1], 0, 0, 2, 0, late).within(60))


@settings(max_examples=80, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(4, 30), st.integers(4, 20), st.floats(0, 1)), min_size=1, max_size=5
    ),
    st.integers(0, 2),
)
def test_bound_holds_for_any_prices(pieces: list[tuple[int, int, float]], kerf: int) -> None:
    """Whatever the prices, the bound is not above the fewest sheets; nor is the area's."""
    kinds = tuple(Kind(w + kerf, h + kerf, 1, can_turn=False) for w, h, _ in pieces)
    cutting = CuttingProblem(kinds, (Bin(SHEET[0] + kerf, SHEET[1] + kerf, None, 1.0),))
    prices = [price for _, _, price in pieces]
    _, best = Pricer(cutting).most(prices)
    fewest = fewest_sheets([(w, h) for w, h, _ in pieces], SHEET, kerf)
    assert priced_bound(cutting, prices, best) <= fewest + 1e-9
    assert reachable(cutting, area_bound(cutting)) <= fewest


def test_bound_rounds_up_to_what_sheets_cost() -> None:
    """Sheets at 1 and 0.6: a bound of 1.3 means 1.6, one of 2.1 means 2.2, 1.8 stays."""
    kinds = (Kind(10, 10, 1, can_turn=False),)
    cutting = CuttingProblem(kinds, (Bin(40, 25, None, 1.0), Bin(20, 25, None, 0.6)))
    found = [reachable(cutting, bound) for bound in (0.0, 0.2, 1.3, 1.8, 2.1)]
    assert found == [0.0, 0.6, 1.6, pytest.approx(1.8), 2.2]


def _made_up(seed: int, *, can_turn: bool = False) -> CuttingProblem:
    """Six kinds of parts drawn by chance, on sheets of one size."""
    draw = random.Random(seed)
    kinds = (
        Kind(draw.randint(8, 30), draw.randint(5, 18), draw.randint(1, 6), can_turn)
        for _ in range(6)
    )
    return CuttingProblem(tuple(kinds), (Bin(*SHEET, None, 1.0),))


def _generated(cutting: CuttingProblem, enough: float) -> Relaxed:
    """Columns from those of a first answer."""
    columns = Columns()
    columns.add_sheets(first_fit(cutting) or ())
    return generate(cutting, columns, Effort(6_000), enough=enough)


def test_no_column_is_looked_for_once_an_answer_is_proved() -> None:
    """As soon as the bound rounds up to what an answer costs; short of that it is that of all."""
    saved = 0
    for seed in range(30):
        cutting = _made_up(seed)
        cost = cutting.cost_of(first_fit(cutting) or ())
        every, until = _generated(cutting, math.inf), _generated(cutting, cost)
        assert reachable(cutting, until.bound) == reachable(cutting, every.bound)
        assert every.converged
        assert until.converged or reachable(cutting, until.bound) == cost
        saved += every.rounds - until.rounds
    assert saved > 0


def test_first_fit_ends_with_an_answer_that_costs_little_enough() -> None:
    """Any does where any is good enough; where the least is asked for it is found as before."""
    ended = set()
    for seed in range(30):
        cutting = _made_up(seed, can_turn=True)
        cost, first, best = (
            cutting.cost_of(first_fit(cutting, least) or ()) for least in (0.0, math.inf, 1.0)
        )
        assert best == cost <= first
        ended.add(cost < first)
    assert ended == {True, False}

"""Priorities mean what they say."""

from __future__ import annotations

import pytest

from optimizer.domain.brief import Brief
from optimizer.domain.layout import TermName
from optimizer.domain.study import Yardstick
from optimizer.model.search.alternatives import Search
from optimizer.proposing import propose
from optimizer.scoring.amounts import amounts_of
from tests.model.rooms import best_of, brief_of

NEEDS = {"long_hang": 24, "short_hang": 50, "shelf_length": 70}
TERMS = ["hanging", "shelving", "open_floor", "easy_reach", "low_cost", "simple_build"]


def _brief(**weights: float) -> Brief:
    return brief_of([66], NEEDS, priorities=weights)


def _yardstick() -> Yardstick:
    return Search(_brief()).yardstick


@pytest.mark.parametrize("term", TERMS)
def test_weight_0_leaves_a_term_without_influence(term: str) -> None:
    """However the term is measured, the study is the same, and it earns no points."""
    brief = _brief(**{term: 0.0})
    scale = _yardstick()
    stretched = scale.model_copy(update={term: 7.0 * getattr(scale, term) + 5.0})
    one = propose(brief, yardstick=scale, repairs=False).layouts[0]
    other = propose(brief, yardstick=stretched, repairs=False).layouts[0]
    assert one.bays == other.bays
    assert one.score == pytest.approx(other.score)
    assert next(t.points for t in one.terms if t.name.value == term) == 0.0


def test_only_proportions_count() -> None:
    """All weights three times as large: the same layout and the same score."""
    weights = {"hanging": 2.0, "shelving": 3.0, "open_floor": 1.0, "easy_reach": 0.5}
    weights |= {"low_cost": 1.0, "simple_build": 1.5}
    one = propose(_brief(**weights), repairs=False).layouts[0]
    other = propose(_brief(**{k: 3 * w for k, w in weights.items()}), repairs=False).layouts[0]
    assert one.bays == other.bays
    assert one.score == pytest.approx(other.score)


def _optimum(weights: dict[str, float], scale: Yardstick) -> dict[TermName, float]:
    """Term values of the exact optimum."""
    search, found = best_of(_brief(**weights), scale)
    return search.frame.values(
        amounts_of(found.bays, search.rules, search.surveyed), search.yardstick
    )


@pytest.mark.parametrize("term", TERMS[2:])
def test_more_weight_never_lowers_what_it_weighs(term: str) -> None:
    """The exact optimum's 2 x needs + value does not fall as the term's weight grows.

    The score times the sum of weights is, but for a constant, sum(w) x 2 needs +
    sum(w x value): its only part that grows with one weight is that weight times
    (2 needs + value). Of two optima, each best under its own weight, the one under the
    larger weight has at least as much of it: add the two inequalities. The needs' own
    worths depend on the weights of hanging and shelving alone, which stay.
    """
    scale = _yardstick()
    before = -1.0
    for weight in (0.0, 1.0, 4.0, 20.0):
        values = _optimum({term: weight}, scale)
        now = 2 * values[TermName.NEEDS] + values[TermName(term)]
        # Snapping to 1/16 in moves a value by less than a thousandth here.
        assert now >= before - 2e-3
        before = now


@pytest.mark.parametrize("term", TERMS[:2])
def test_more_weight_on_storage_never_lowers_it_where_needs_are_met(term: str) -> None:
    """With every need met in each optimum, the value itself does not fall."""
    needs = {"long_hang": 14, "shelf_length": 30}
    scale = Search(brief_of([66], needs)).yardstick
    before = -1.0
    for weight in (0.5, 2.0, 10.0):
        brief = brief_of([66], needs, priorities={term: weight})
        search, found = best_of(brief, scale)
        amounts = amounts_of(found.bays, search.rules, search.surveyed)
        values = search.frame.values(amounts, scale)
        assert values[TermName.NEEDS] == pytest.approx(1.0)
        assert values[TermName(term)] >= before - 2e-3
        before = values[TermName(term)]

"""Leaders: for each priority the layout that does most for it, proved, none twice."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.checking import check_layout
from optimizer.domain.layout import TermName
from optimizer.domain.study import Study
from optimizer.proposing import propose
from optimizer.proposing.assembly import _ended
from optimizer.proposing.leaders import NAMES
from tests.model.rooms import brief_of

NEEDS = {"long_hang": 20, "short_hang": 40, "shelf_length": 60}
OPTIONS: dict[str, Any] = {"alternatives": 2, "gap": 0.005, "time_limit_s": 30.0}


@pytest.fixture(scope="module")
def study() -> Study:
    """One wall of eight feet."""
    return propose(brief_of([96.0], NEEDS, options=OPTIONS))


def test_every_priority_has_one_leader(study: Study) -> None:
    """All six, each once, under the name that the trade would give it."""
    terms = [term for leader in study.leaders for term in leader.terms]
    assert sorted(terms) == sorted(NAMES)
    for leader in study.leaders:
        assert leader.names == tuple(NAMES[term] for term in leader.terms)
        assert (leader.rank is None) != (leader.layout is None)


def test_no_ranked_layout_does_more(study: Study) -> None:
    """What leads is no less than anything in the ranking, and no more than its bound."""
    for leader in study.leaders:
        for term, value, bound in zip(leader.terms, leader.values, leader.bounds, strict=True):
            assert value <= bound + 1e-9
            for layout in study.layouts:
                ranked = next(t.value for t in layout.terms if t.name is term)
                assert value >= ranked - 1e-6, term


def test_leaders_keep_the_rules_and_the_loss_allowed(study: Study) -> None:
    """Checked like every layout, and within the allowed loss of the best score."""
    least = study.layouts[0].score * (1 - study.brief.options.max_quality_loss)
    own = [leader.layout for leader in study.leaders if leader.layout is not None]
    assert own
    for layout in own:
        assert check_layout(study.brief, layout) == ()
        assert layout.score >= least - 0.2


def test_nothing_among_many_layouts_does_more_than_the_bound(study: Study) -> None:
    """Eight layouts close to one another, all within the loss allowed: none passes a bound."""
    options = {**OPTIONS, "alternatives": 8, "min_difference": 0.05}
    many = propose(brief_of([96.0], NEEDS, options=options), repairs=False)
    assert len(many.layouts) == 8
    bounds = {
        term: bound
        for leader in study.leaders
        for term, bound in zip(leader.terms, leader.bounds, strict=True)
    }
    for layout in many.layouts:
        for term in layout.terms:
            if term.name is not TermName.NEEDS:
                assert term.value <= bounds[term.name] + 1e-6


def test_no_time_leaves_them_out_and_says_so() -> None:
    """What there was no time for is named in a warning."""
    options = {**OPTIONS, "time_limit_s": 0.05}
    found = propose(brief_of([120.0, 120.0], NEEDS, options=options))
    if found.layouts:
        led = [term for leader in found.leaders for term in leader.terms]
        cut = [w for w in found.warnings if w.code == "leaders_cut"]
        assert len(led) == len(NAMES) or cut


@pytest.mark.parametrize(
    ("status", "gap", "word"),
    [
        ("optimal", 0.0, "optimal"),
        ("optimal", 0.003, "within_gap"),
        ("optimal", 0.008, "bounded"),
        ("within_gap", 0.004, "within_gap"),
        ("within_gap", 0.006, "bounded"),
        ("time_limit", 0.2, "time_limit"),
    ],
)
def test_word_promises_no_more_than_the_gap(status: str, gap: float, word: str) -> None:
    """A solve that ended well says nothing of a layout that placing made a little worse."""
    assert _ended(status, gap, 0.005) == word

"""A layout that is met with while reasons are looked for, and scores more, comes first."""

from __future__ import annotations

from dataclasses import replace

from optimizer.checking import check_layout
from optimizer.domain.layout import Layout
from optimizer.explaining.shortfalls import Verdict
from optimizer.model.search.alternatives import Found, Search
from optimizer.proposing import run
from optimizer.proposing.assembly import assembled, before, ranked
from tests.model.rooms import best_of, brief_of

BRIEF = brief_of(
    [84.0], {"long_hang": 30, "shelf_length": 60}, construction={"mid_support": "none"}
)


def _found() -> tuple[Search, Found, Layout]:
    """The best layout, and one with its last bay left away as if no more had been found."""
    search, found = best_of(BRIEF)
    assert len(found.bays) > 1
    return search, found, assembled(search, found.bays[:1], 100.0, "time_limit")


def test_a_better_layout_is_ranked_first_and_leads() -> None:
    """It passes the checker, keeps the bound, and the poorer one follows where it is apart."""
    search, found, poor = _found()
    making, layouts = run._Run(BRIEF, (), None, None, True), ranked([poor], BRIEF)
    verdict = Verdict(None, found.outcome.objective, found=found)
    better = making._better(search, layouts, [verdict], poor.score)
    assert better is not None
    assert better.score > poor.score
    taken, _ = making._taken_up(search, better, layouts, ())
    assert [layout.rank for layout in taken] == list(range(1, len(taken) + 1))
    assert taken[0].bays == found.bays
    assert taken[0].bound == 100.0
    assert check_layout(BRIEF, taken[0]) == ()


def test_what_is_no_better_or_breaks_a_rule_is_not_taken_up() -> None:
    """The same layout again; a bay said to be deeper than its boards."""
    search, found, poor = _found()
    making = run._Run(BRIEF, (), None, None, True)
    first = assembled(search, found.bays, 100.0, "time_limit")
    verdict = Verdict(None, found.outcome.objective, found=found)
    assert making._better(search, ranked([first], BRIEF), [verdict], first.score) is None
    # What the first one scored before its uprights moved is no more.
    assert making._better(search, ranked([poor], BRIEF), [verdict], first.score) is None
    last = found.bays[1]
    moved = last.model_copy(update={"depth": last.depth + 1.0})
    wrong = replace(verdict, found=replace(found, bays=(found.bays[0], moved)))
    assert making._better(search, ranked([poor], BRIEF), [wrong], poor.score) is None
    assert making._better(search, ranked([poor], BRIEF), [Verdict(None, None)], poor.score) is None


def test_no_more_layouts_than_were_asked_for() -> None:
    """With one asked for, the better one takes the place of the poorer, and the gap its word."""
    one = BRIEF.model_copy(update={"options": BRIEF.options.model_copy(update={"alternatives": 1})})
    search, found, poor = _found()
    better = assembled(search, found.bays, 100.0, "within_gap")
    taken = before(better, ranked([poor], one), one, search.walls)
    assert [layout.bays for layout in taken] == [found.bays]
    assert taken[0].gap > one.options.gap
    assert taken[0].status == "bounded"

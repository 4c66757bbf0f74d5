"""What is said of a layout once its bays are found: score, proof, ends, lines, left-overs."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.domain.layout import Bay, Filler
from optimizer.domain.study import Status
from optimizer.model.search.alternatives import Search
from optimizer.proposing.assembly import assembled, before, ranked, status_of
from optimizer.scoring.terms import NEEDS_SHARE
from tests.model.rooms import best_of, brief_of

NEEDS = {"long_hang": 24, "short_hang": 30, "shelf_length": 60}
GAP = 0.01


@pytest.fixture(scope="module")
def found() -> tuple[Search, tuple[Bay, ...]]:
    """A wall of 70.5 in that no side wall bounds, and its best bays."""
    search, layout = best_of(brief_of([70.5], NEEDS, options={"gap": GAP}))
    return search, layout.bays


def test_score_bound_and_gap_belong_together(found: tuple[Search, tuple[Bay, ...]]) -> None:
    """The score is the sum of its terms, and a bound is never told to be below it."""
    search, bays = found
    layout = assembled(search, bays, 99.0, "within_gap")
    assert layout.score == pytest.approx(sum(term.points for term in layout.terms))
    assert 50.0 < layout.score < 99.0
    needs, *others = (term.weight for term in layout.terms)
    assert needs / (needs + sum(others)) == pytest.approx(NEEDS_SHARE)
    assert layout.bound == 99.0
    assert layout.gap == pytest.approx((99.0 - layout.score) / layout.score)
    low = assembled(search, bays, layout.score - 5.0, "within_gap")
    assert (low.bound, low.gap) == (layout.score, 0.0)


def test_what_is_told_is_what_stands_there(found: tuple[Search, tuple[Bay, ...]]) -> None:
    """Amounts, line, strength and margins are those of the bays; what is short is named."""
    search, bays = found
    layout = assembled(search, bays, 99.0, "optimal")
    assert layout.bays == bays
    assert layout.lines == {"A": max(bay.height for bay in bays)}
    assert layout.structure is not None
    assert layout.structure.share <= 1.0
    assert layout.metrics is not None
    kinds = [(zone.hang, bay.width) for bay in bays for zone in bay.zones]
    assert layout.metrics.long_hang == sum(width for hang, width in kinds if hang == "long")
    assert layout.metrics.short_hang == sum(width for hang, width in kinds if hang == "short")
    assert layout.metrics.sheets in (1, 2)
    assert layout.margins
    assert layout.metrics.parts > len(bays)
    assert layout.metrics.material_cost > 0.0
    alone = assembled(search, bays[:1], 99.0, "optimal")
    assert {unmet.need for unmet in alone.unmet} > {unmet.need for unmet in layout.unmet}


def test_layouts_are_told_by_score_and_against_the_first(
    found: tuple[Search, tuple[Bay, ...]],
) -> None:
    """The one found last scores most: it comes first, with the bound of the one before it."""
    search, bays = found
    told = assembled(search, bays, 0.0, "optimal")
    near = told.score * (1.0 + GAP / 2.0)
    best = assembled(search, bays, near, "optimal").model_copy(update={"trade_off": "of old"})
    less = assembled(search, bays[:1], 97.0, "optimal")
    first, second = ranked([less, best], search.brief)
    assert (first.bays, first.rank, second.bays, second.rank) == (bays, 1, bays[:1], 2)
    assert (first.bound, second.bound) == (97.0, 97.0)
    assert first.gap == pytest.approx((97.0 - first.score) / first.score)
    assert first.trade_off == ""
    assert second.trade_off
    # Found last, it was proved to be within the gap of its own bound; of 97 points it is not.
    assert best.bound < 97.0
    assert (best.status, first.status) == ("within_gap", "bounded")


def test_a_layout_put_before_others_takes_their_bound(
    found: tuple[Search, tuple[Bay, ...]],
) -> None:
    """The first one's bound holds for all there are; without any before, its own does."""
    search, bays = found
    best = assembled(search, bays, 99.0, "optimal")
    less = assembled(search, bays[:1], 97.0, "optimal")
    assert before(best, [less], search.brief, ["A"])[0].bound == 97.0
    assert before(best, [], search.brief, ["A"])[0].bound == 99.0


@pytest.mark.parametrize(
    ("status", "gap", "told"),
    [
        ("optimal", 0.0, "optimal"),
        ("optimal", 0.5e-6, "optimal"),
        ("optimal", 0.005, "within_gap"),
        ("within_gap", 0.0, "within_gap"),
        ("within_gap", GAP, "within_gap"),
        ("within_gap", GAP + 0.001, "bounded"),
        ("optimal", GAP + 0.001, "bounded"),
        ("time_limit", 0.3, "time_limit"),
        ("time_limit", 0.0, "time_limit"),
        ("rescored", 0.3, "rescored"),
    ],
)
def test_a_word_promises_no_more_than_the_gap(
    found: tuple[Search, tuple[Bay, ...]], status: str, gap: float, told: str
) -> None:
    """A layout that placing made a little worse is not called what its model was proved to be."""
    search, bays = found
    score = assembled(search, bays, 0.0, "optimal").score
    assert assembled(search, bays, score * (1.0 + gap), status).status == told


@pytest.mark.parametrize(
    ("statuses", "told"),
    [
        (["optimal", "optimal"], Status.OPTIMAL),
        (["optimal", "within_gap"], Status.WITHIN_GAP),
        (["within_gap", "time_limit"], Status.TIME_LIMIT),
        (["time_limit", "cancelled"], Status.CANCELLED),
        (["cancelled", "optimal"], Status.CANCELLED),
        ([], Status.OPTIMAL),
    ],
)
def test_a_study_ended_as_the_least_of_its_solves(statuses: list[str], told: Status) -> None:
    """Stopped before out of time before within the gap before proved."""
    assert status_of(statuses) is told


def _run(search: Search, bays: tuple[Bay, ...], before: float, after: float) -> Any:
    """Left-overs of one bay, its uprights so far from the ends of the wall of 70.5 in."""
    panel = search.rules.panel
    start = before + panel
    bay = bays[0].model_copy(update={"start": start, "width": 70.5 - after - panel - start})
    return assembled(search, (bay,), 99.0, "optimal").fillers


def test_a_strip_beside_an_upright_is_scribed(found: tuple[Search, tuple[Bay, ...]]) -> None:
    """At either end, from half a step of the grid to the scribe limit of the brief: 1 in."""
    search, bays = found
    assert search.brief.construction.scribe_limit == 1.0
    assert _run(search, bays, 0.5, 0.25) == (
        Filler(wall="A", start=0.0, width=0.5, kind="scribe"),
        Filler(wall="A", start=70.25, width=0.25, kind="scribe"),
    )
    assert _run(search, bays, 0.0, 0.03) == ()
    assert [f.width for f in _run(search, bays, 1.0, 1.125)] == [1.0]
    assert [f.start for f in _run(search, bays, 1.125, 1.0)] == [69.5]

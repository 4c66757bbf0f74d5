"""Bounds of layouts told again: of stored ones in a rerun, and of any in a new order."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.study import Study
from optimizer.proposing import propose, rerun, reruns, rescore
from optimizer.proposing.assembly import ranked
from optimizer.scoring.distance import distance, portrait_of
from tests.model.rooms import brief_of

NEEDS = {"long_hang": 24, "short_hang": 50, "shelf_length": 70}
OPTIONS = {"alternatives": 5, "gap": 0.0, "time_limit_s": 60.0, "max_quality_loss": 0.5}
ROUNDING = 1e-6


@pytest.fixture(scope="module")
def exact() -> Study:
    """Five layouts of a wall, each proved to be the best that far from those before it."""
    study = propose(brief_of([70], NEEDS, options=OPTIONS), repairs=False)
    assert len(study.layouts) == 5
    # Or a bound that is a layout's own score would go unnoticed.
    assert all(one.score > other.score + 0.1 for one, other in pairwise(study.layouts))
    return study


def _studied(exact: Study, *chosen: Layout) -> Study:
    """A study as a search that ended early would have left it: some layouts, the first with a
    true bound. Those after it are bounded as if all that is better lay near the first."""
    best = exact.layouts[0].score
    told = [
        layout.model_copy(update={"rank": rank, "bound": layout.score if rank > 1 else best})
        for rank, layout in enumerate(chosen, start=1)
    ]
    return exact.model_copy(update={"layouts": tuple(told)})


def _far(one: Layout, other: Layout, brief: Brief) -> bool:
    walls = [wall.id for wall in brief.room.walls]
    apart = distance(portrait_of(one.bays), portrait_of(other.bays), brief, walls)
    return apart >= brief.options.min_difference


def _require_true_bounds(study: Study, known: tuple[Layout, ...]) -> None:
    """No known layout that keeps away from those ranked before scores above a layout's bound."""
    for number, layout in enumerate(study.layouts):
        before = study.layouts[:number]
        for other in known:
            if all(_far(other, earlier, study.brief) for earlier in before):
                assert other.score <= layout.bound + ROUNDING
        assert layout.gap == pytest.approx((layout.bound - layout.score) / layout.score)


def test_a_stored_layout_that_comes_first_has_the_new_search_s_bound(
    exact: Study, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The rerun finds worse than what is stored, which is not the best either."""
    _, second, third, fourth, _ = exact.layouts
    fresh = _studied(exact, third, fourth)
    monkeypatch.setattr(reruns, "propose", lambda *_, **__: fresh)
    study = rerun(_studied(exact, second), exact.brief, repairs=False)
    assert study.layouts[0].bays == second.bays
    assert len(study.layouts) >= 2
    _require_true_bounds(study, exact.layouts)


def test_stored_layouts_are_bounded_without_a_solve(exact: Study) -> None:
    """Whatever is stored, the bound is no lower than the best layout there is."""
    study = rescore(_studied(exact, *exact.layouts[2:]), exact.brief)
    assert len(study.layouts) == 3
    _require_true_bounds(study, exact.layouts)


@dataclass(frozen=True)
class Found:
    """A layout that a search with a gap found, and where it lies among all that there are."""

    place: int
    layout: Layout


@st.composite
def searches(draw: st.DrawFn) -> tuple[dict[int, float], int, list[Found]]:
    """Scores of all layouts by place on a line, the distance kept, and what was found in order.

    Each search may take any layout far enough from those before, and proves the best of these.
    """
    scores = draw(st.lists(st.integers(1, 90), min_size=3, max_size=9, unique=True))
    every = {place: float(score) for place, score in enumerate(scores)}
    least = draw(st.integers(1, 3))
    found: list[Found] = []
    for _ in range(draw(st.integers(1, 4))):
        left = [p for p in every if all(abs(p - f.place) >= least for f in found)]
        if not left:
            break
        place = draw(st.sampled_from(left))
        bound = max(every[p] for p in left)
        found.append(Found(place, Layout(bays=(), score=every[place], bound=bound)))
    return every, least, found


@given(searches())
def test_bounds_hold_in_the_order_of_ranks(
    drawn: tuple[dict[int, float], int, list[Found]],
) -> None:
    """A later find may rank first: what was proved beside it says nothing of it then."""
    every, least, found = drawn
    places = {one.layout.score: one.place for one in found}
    told = ranked([one.layout for one in found], brief_of([70], NEEDS))
    assert [layout.rank for layout in told] == list(range(1, len(found) + 1))
    for number, layout in enumerate(told):
        before = [places[earlier.score] for earlier in told[:number]]
        left = [p for p in every if all(abs(p - place) >= least for place in before)]
        assert layout.bound >= max(every[p] for p in left)
        assert layout.gap == pytest.approx((layout.bound - layout.score) / max(1.0, layout.score))


@given(searches())
def test_what_was_found_in_order_keeps_its_bounds(
    drawn: tuple[dict[int, float], int, list[Found]],
) -> None:
    """Nothing is given away where each layout scores less than the one found before."""
    _, _, found = drawn
    layouts = [one.layout for one in found]
    while any(one.score < other.score for one, other in pairwise(layouts)):
        layouts.pop()
    told = ranked(layouts, brief_of([70], NEEDS))
    assert [layout.bound for layout in told] == [layout.bound for layout in layouts]

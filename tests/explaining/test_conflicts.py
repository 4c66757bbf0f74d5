"""Smallest sets of needs that do not go together, against arithmetic and drawn families."""

from __future__ import annotations

import time
from collections.abc import Sequence
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.briefs.reader import read_brief
from optimizer.domain.brief import Brief
from optimizer.domain.study import Warned
from optimizer.explaining.conflicts import needs_conflict
from optimizer.explaining.deletion_filter import smallest
from optimizer.model.search.alternatives import Search
from optimizer.proposing.run import propose

PATIENCE_S = 60.0
FAMILIES = st.sets(st.frozensets(st.integers(0, 7), min_size=1, max_size=4), min_size=1, max_size=6)


@given(family=FAMILIES, order=st.permutations(range(8)))
def test_what_is_left_is_a_smallest_conflict(family: set[frozenset[int]], order: list[int]) -> None:
    """Demands conflict when they hold one of the drawn sets; one such set is left, no more."""

    def possible(some: Sequence[int]) -> bool:
        return not any(bad <= set(some) for bad in family)

    kept, settled = smallest(order, possible, time.monotonic() + PATIENCE_S)
    assert settled
    assert not possible(kept)
    for demand in kept:
        assert possible([other for other in kept if other != demand])


def test_what_cannot_be_told_stays_in() -> None:
    """Where a question has no answer, nothing is left out and nothing is claimed."""
    kept, settled = smallest([1, 2, 3], lambda _: None, time.monotonic() + PATIENCE_S)
    assert kept == [1, 2, 3]
    assert not settled


def test_time_that_is_over_ends_the_filter() -> None:
    """No question is asked after the deadline."""
    kept, settled = smallest([1, 2], lambda _: pytest.fail("asked"), time.monotonic() - 1.0)
    assert (kept, settled) == ([1, 2], False)


def _brief(**needs: Any) -> Brief:
    """A single wall of 48 in."""
    room = {"walls": [{"id": "A", "length": 48}], "ceiling_height": 96}
    return read_brief({"room": room, "needs": needs, "options": {"time_limit_s": 30}})[0]


def _conflict(brief: Brief, patience: float = PATIENCE_S) -> Warned | None:
    search = Search(brief)
    deadline = time.monotonic() + patience
    return needs_conflict(brief, search.yardstick, list(search.frame.needs()), deadline)


def test_two_hangs_that_are_longer_than_the_wall() -> None:
    """30 in of long and 30 in of medium hang ask for 60 in of a wall of 48 in, as a long
    garment leaves no room for another rod below; either goes alone, and so does the shelf."""
    found = _conflict(_brief(long_hang=30, medium_hang=30, shelf_length=20))
    assert found is not None
    assert found.code == "needs_conflict"
    assert found.detail.startswith("long hang and medium hang do not both go into this room")
    assert "without any one of them" in found.detail


def test_no_conflict_where_everything_goes() -> None:
    """20 + 20 in and three uprights of 3/4 in are 42.25 in."""
    assert _conflict(_brief(long_hang=20, medium_hang=20)) is None


def test_a_need_that_is_impossible_alone_is_no_conflict() -> None:
    """70 in of long hang is more than the wall: told as impossible, not as a conflict."""
    assert _conflict(_brief(long_hang=70, medium_hang=10)) is None


def test_nothing_is_claimed_without_time() -> None:
    """A deadline that is over proves nothing."""
    assert _conflict(_brief(long_hang=30, medium_hang=30), patience=-1.0) is None


def test_a_study_tells_its_conflict() -> None:
    """Among the warnings, where every reader of a study finds it; and none without one."""
    told = [w.code for w in propose(_brief(long_hang=30, medium_hang=30)).warnings]
    assert told.count("needs_conflict") == 1
    assert not propose(_brief(long_hang=20, medium_hang=20)).warnings

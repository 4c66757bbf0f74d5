"""Provisional layouts: shown before the first is proved, and of no influence on the study."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pytest

from optimizer.checking import check_layout
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.domain.progress import Progress
from optimizer.domain.study import Status, Study
from optimizer.errors import Fault
from optimizer.proposing import propose, provisional, rerun, reruns, run
from tests.ready_briefs import load_scenario


@dataclass(frozen=True)
class Watched:
    """A study and the reports of its run."""

    study: Study
    reports: list[Progress]

    @property
    def provisional(self) -> list[Progress]:
        """Reports that brought a provisional layout."""
        return [report for report in self.reports if report.stage == "provisional"]


@pytest.fixture(scope="module")
def brief() -> Brief:
    """A walk-in whose proof takes several times as long as its best layout, to within 2 %; closer
    it takes four times as long again, and nothing more is told meanwhile."""
    brief = load_scenario("utility-corner")
    asked = {"alternatives": 1, "gap": 0.02, "time_limit_s": 240.0}
    options = brief.options.model_copy(update=asked)
    return brief.model_copy(update={"options": options})


@pytest.fixture(scope="module")
def watched(brief: Brief) -> Watched:
    """A run that is watched."""
    reports: list[Progress] = []
    study = propose(brief, progress=reports.append, repairs=False)
    return Watched(study, reports)


def test_it_is_sound_and_says_how_good_it_is(brief: Brief, watched: Watched) -> None:
    """Checked, within 2 % of the end, never above the bound told, and before any other."""
    assert watched.provisional
    found = next(n for n, report in enumerate(watched.reports) if report.stage == "found")
    for report in watched.provisional:
        layout = report.layout
        assert layout is not None
        assert watched.reports.index(report) < found
        assert (report.layouts_found, report.provisional, layout.status) == (0, True, "provisional")
        assert check_layout(brief, layout) == ()
        assert layout.score <= layout.bound
        assert watched.study.layouts[0].score <= layout.bound + 1e-6
        assert layout.score >= 0.98 * watched.study.layouts[0].score
        assert layout.gap == pytest.approx((layout.bound - layout.score) / layout.score)
    scores = [report.score or 0.0 for report in watched.provisional]
    assert scores == sorted(set(scores))


def test_the_study_is_that_of_a_run_nobody_watches(brief: Brief, watched: Watched) -> None:
    """To the last digit, but for the time it took."""
    alone = propose(brief, repairs=False)
    assert alone.model_copy(update={"seconds": watched.study.seconds}) == watched.study


def _stopped(brief: Brief) -> Watched:
    """A run that is stopped as soon as a provisional layout is told."""
    reports: list[Progress] = []
    study = propose(
        brief,
        progress=reports.append,
        should_stop=lambda: any(report.provisional for report in reports),
        repairs=False,
    )
    return Watched(study, reports)


def test_a_run_stopped_after_it_shows_something_as_good(brief: Brief) -> None:
    """Cancelled, with a layout that is not called proved, under a bound that holds."""
    stopped = _stopped(brief)
    early = stopped.provisional[0].layout
    assert early is not None
    assert stopped.study.status is Status.CANCELLED
    [layout] = stopped.study.layouts
    assert layout.status == "time_limit"
    assert early.score <= layout.score <= layout.bound <= early.bound
    assert check_layout(brief, layout) == ()


def test_it_is_kept_where_what_is_found_later_breaks_a_rule(
    brief: Brief, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Stopped with nothing else that passes, the run shows the provisional layout."""

    def strict(_brief: Brief, _layout: Layout) -> tuple[Fault, ...]:
        return (Fault("/bays/0", "nobody wants this one", "unwanted"),)

    monkeypatch.setattr(run, "check_layout", strict)
    stopped = _stopped(brief)
    early = stopped.provisional[-1].layout
    assert early is not None
    [layout] = stopped.study.layouts
    assert (layout.status, stopped.study.status) == ("time_limit", Status.CANCELLED)
    assert (layout.bays, layout.score, layout.bound) == (early.bays, early.score, early.bound)


def test_one_that_breaks_a_rule_is_told_to_nobody(
    brief: Brief, watched: Watched, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is dropped, and the search goes on as if nothing had been looked at."""
    refused: list[Layout] = []

    def strict(_brief: Brief, layout: Layout) -> tuple[Fault, ...]:
        refused.append(layout)
        return (Fault("/bays/0", "nobody wants this one", "unwanted"),)

    monkeypatch.setattr(provisional, "check_layout", strict)
    reports: list[Progress] = []
    study = propose(brief, progress=reports.append, repairs=False)
    assert refused
    assert not any(report.provisional for report in reports)
    assert study.layouts == watched.study.layouts
    assert study.warnings == watched.study.warnings


@pytest.mark.parametrize("lower", [0.0, 30.0])
def test_a_rerun_shows_it_only_where_nothing_earlier_stands(
    brief: Brief, watched: Watched, monkeypatch: pytest.MonkeyPatch, lower: float
) -> None:
    """Under a ceiling so much lower the earlier layout does not go in any more."""
    asked: list[Any] = []

    def stub(_brief: Brief, **options: Any) -> Study:
        asked.append(options["early"])
        return watched.study

    monkeypatch.setattr(reruns, "propose", stub)
    height = brief.room.ceiling_height - lower
    room = brief.room.model_copy(update={"ceiling_height": height})
    rerun(watched.study, brief.model_copy(update={"room": room}))
    assert asked == [lower > 0]

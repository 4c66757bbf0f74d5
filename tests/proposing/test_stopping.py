"""A run that is stopped says that it was, and proves nothing by it."""

from __future__ import annotations

import pytest

from optimizer.domain.brief import Brief
from optimizer.domain.progress import Progress
from optimizer.domain.study import Status
from optimizer.proposing import propose, rerun, run
from optimizer.proposing.findings import Findings
from tests.ready_briefs import load_scenario


def test_a_run_stopped_at_its_first_sign_is_cancelled_not_infeasible() -> None:
    """The first incumbent is the empty layout: stopping there is no proof that none fits."""
    seen: list[Progress] = []
    brief = load_scenario("l-shaped-walk-in")
    options = brief.options.model_copy(update={"time_limit_s": 120.0})
    study = propose(
        brief.model_copy(update={"options": options}),
        progress=seen.append,
        should_stop=lambda: any(report.bound is not None for report in seen),
        repairs=False,
    )
    assert (study.status, study.exhausted) == (Status.CANCELLED, False)


def _patient(name: str, alternatives: int) -> Brief:
    brief = load_scenario(name)
    asked = {"time_limit_s": 120.0, "alternatives": alternatives, "gap": 0.001}
    options = brief.options.model_copy(update=asked)
    return brief.model_copy(update={"options": options})


def test_out_of_time_there_are_still_layouts_to_compare(monkeypatch: pytest.MonkeyPatch) -> None:
    """The first search gets all its time, proofs of later ones none: they come without."""
    whole = propose(_patient("six-foot-reach-in", 2), repairs=False)
    monkeypatch.setattr(run, "SEARCH_SHARE", 0.0)
    study = propose(_patient("six-foot-reach-in", 2), repairs=False)
    assert study.status is Status.TIME_LIMIT
    assert not study.exhausted
    first, *later = study.layouts
    assert (first.score, first.status) == (whole.layouts[0].score, whole.layouts[0].status)
    assert len(study.layouts) == len(whole.layouts) == 2
    assert later[-1].status == "time_limit"
    # What is proved of a rank holds for whatever stands there in the other study.
    assert all(layout.bound >= layout.score for layout in later)
    assert later[0].bound >= whole.layouts[1].score - 1e-6
    asked = study.brief.options.min_difference
    for row, apart in enumerate(study.differences):
        assert all(away >= asked - 1e-6 for away in (*apart[:row], *apart[row + 1 :]))


def test_a_room_that_is_not_posed_in_time_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """A room of twenty walls takes seconds to survey: the limit holds, nothing is claimed, and a
    rerun says the same."""
    monkeypatch.setattr(run, "BUSY_S", -1.0)
    monkeypatch.setattr("optimizer.model.records.ORDINARY", 0)
    brief = _patient("six-foot-reach-in", 2)
    options = brief.options.model_copy(update={"time_limit_s": 1.0})
    brief = brief.model_copy(update={"options": options})
    study = propose(brief)
    assert (study.status, study.exhausted, study.layouts) == (Status.TIME_LIMIT, False, ())
    assert [w.code for w in study.warnings if w.pointer == "/options/time_limit_s"] == ["not_posed"]
    again = rerun(study, brief)
    assert (again.status, again.layouts) == (Status.TIME_LIMIT, ())


def test_no_model_is_begun_that_there_is_no_time_to_pose(monkeypatch: pytest.MonkeyPatch) -> None:
    """Too late for another model of a large room there are layouts alone, and a word on it."""
    brief = load_scenario("hall-reach-in")
    assert propose(brief).leaders
    monkeypatch.setattr(run, "POSING_SHARE", 1e9)
    study = propose(brief)
    assert study.layouts
    assert (study.leaders, study.repairs) == ((), ())
    assert "leaders_cut" in [warned.code for warned in study.warnings]


@pytest.mark.parametrize("alternatives", [1, 2, 5, 10, 20])
def test_layouts_without_proofs_leave_most_of_the_time(alternatives: int) -> None:
    """However many are asked for, and however long the model took to build."""
    one = run._Run(_patient("six-foot-reach-in", alternatives), (), None, None, repairs=True)
    one.started -= 100.0
    with Findings(one.brief, one.layouts, lambda _: None) as findings:
        kept = one._reserve(findings)
    assert 0.0 < kept.each * max(1, alternatives - 1) <= 0.3 * 120.0 + 1e-9
    # What costs still take is kept free at the end.
    before = kept.end
    findings.slowest = 50.0
    assert kept.end <= before - 25.0


def test_what_is_no_different_from_a_layout_before_is_left_out(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A first layout may be another than later ones were kept away from (a provisional one)."""
    plain = propose(_patient("hall-reach-in", 5), repairs=False)
    assert len(plain.layouts) == 2
    monkeypatch.setattr(run._Run, "_checked", lambda *_: plain.layouts[0])
    assert propose(_patient("hall-reach-in", 5), repairs=False).layouts == plain.layouts[:1]

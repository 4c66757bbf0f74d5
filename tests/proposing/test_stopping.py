"""A run that is stopped says that it was, and proves nothing by it."""

from __future__ import annotations

from optimizer.domain.progress import Progress
from optimizer.domain.study import Status
from optimizer.proposing import propose
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

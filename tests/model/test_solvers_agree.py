"""HiGHS and CBC agree on every scenario, as far as what each has proved goes."""

from __future__ import annotations

import pytest

from optimizer.domain.study import Status, Study
from optimizer.exchange.scenarios import load_scenario, scenario_names
from optimizer.proposing import propose

SANE = {Status.OPTIMAL, Status.WITHIN_GAP, Status.TIME_LIMIT}
GAP = 0.03
ROUNDING = 1e-6


def _study(name: str, solver: str) -> Study:
    brief = load_scenario(name)
    options = {"alternatives": 1, "gap": GAP, "time_limit_s": 4.0, "solver": solver}
    brief = brief.model_copy(update={"options": brief.options.model_copy(update=options)})
    return propose(brief, repairs=False)


@pytest.mark.parametrize("name", scenario_names())
def test_neither_solver_beats_the_other_ones_bound(name: str) -> None:
    """Same yardstick, and each one's first layout scores within what the other proved."""
    highs, cbc = _study(name, "highs"), _study(name, "cbc")
    assert highs.status in SANE
    assert cbc.status in SANE
    assert highs.yardstick == cbc.yardstick
    assert highs.versions["solver"].startswith("highs")
    assert cbc.versions["solver"].startswith("cbc")
    for study, other in ((highs, cbc), (cbc, highs)):
        assert len(study.layouts) == 1 or study.status is Status.TIME_LIMIT
        for layout in study.layouts:
            assert all(layout.score <= rival.bound + ROUNDING for rival in other.layouts)
            if study.status is not Status.TIME_LIMIT:
                # Whole rows of what is counted may leave a layout below what the model promised.
                assert layout.gap <= GAP + ROUNDING or layout.status == "bounded"

"""HiGHS and CBC agree on scenarios, as far as what each has proved goes."""

from __future__ import annotations

import pytest

from optimizer.briefs.scenarios import scenario_names
from optimizer.domain.study import Status, Study
from tests.layouts import propose_layouts
from tests.scenarios.proposals import PATIENCE_S, brief_asked, proposed

SANE = {Status.OPTIMAL, Status.WITHIN_GAP, Status.TIME_LIMIT}
ROUNDING = 1e-6
LITTLE_S = 2.0
"""Enough for a layout of each of the others; the bound that CBC has by then is valid."""
SMALL = ("alcove-pantry", "bare-wall", "bedroom-bifold", "hall-reach-in", "mudroom", "old-house")
"""Scenarios that CBC solves at once: it has as long as it takes, and must have a layout of them."""
LARGE = (
    "attic-walk-in",
    "dressing-room",
    "galley-walk-in",
    "knee-wall",
    "l-shaped-walk-in",
    "seated-user",
    "two-households",
)
"""Scenarios of which CBC proves nothing in any time that a test has. Whatever is in them (corners,
wraps, slopes, people) is in smaller ones too; bounds on walk-ins are tested with SCIP."""


def _bounded(study: Study) -> None:
    """What was told to be near the best is."""
    assert study.status in SANE
    assert len(study.layouts) == 1 or study.status is Status.TIME_LIMIT
    for layout in study.layouts if study.status is not Status.TIME_LIMIT else ():
        # Whole rows of what is counted may leave a layout below what the model promised.
        assert layout.gap <= study.brief.options.gap + ROUNDING or layout.status == "bounded"


@pytest.mark.parametrize("name", [name for name in scenario_names() if name not in LARGE])
def test_neither_solver_beats_the_other_ones_bound(name: str) -> None:
    """Same yardstick, and each one's first layout scores within what the other proved."""
    highs = proposed(name)
    limit = PATIENCE_S if name in SMALL else LITTLE_S
    cbc = propose_layouts(brief_asked(name, solver="cbc", time_limit_s=limit))
    assert highs.yardstick == cbc.yardstick
    assert highs.versions["solver"].startswith("highs")
    assert cbc.versions["solver"].startswith("cbc")
    _bounded(highs)
    _bounded(cbc)
    assert highs.layouts
    assert cbc.layouts or name not in SMALL
    for ours, theirs in zip(highs.layouts, cbc.layouts, strict=False):
        assert ours.score <= theirs.bound + ROUNDING
        assert theirs.score <= ours.bound + ROUNDING

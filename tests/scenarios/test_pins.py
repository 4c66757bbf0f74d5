"""A layout's own bays as pins: in every scenario each of them is accepted, and all together."""

from __future__ import annotations

import pytest

from optimizer.exchange.scenarios import load_scenario, scenario_names
from optimizer.proposing import propose
from tests.pins import require_own_bays_stand

OPTIONS = {"alternatives": 1, "gap": 0.1, "time_limit_s": 20.0}
PATIENCE_S = 20.0


@pytest.mark.parametrize("name", scenario_names())
def test_bays_of_a_layout_are_accepted_as_pins(name: str) -> None:
    """One at a time some layout has it; all together give the layout, no worse and sound."""
    brief = load_scenario(name)
    brief = brief.model_copy(update={"options": brief.options.model_copy(update=OPTIONS)})
    study = propose(brief, repairs=False)
    require_own_bays_stand(brief, study, study.layouts[0], PATIENCE_S)

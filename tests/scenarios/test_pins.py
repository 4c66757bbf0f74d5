"""A layout's own bays as pins: in every scenario they are accepted, one and all together."""

from __future__ import annotations

import pytest

from optimizer.briefs.scenarios import scenario_names
from tests.pins import require_own_bays_stand
from tests.scenarios.proposals import proposed

PATIENCE_S = 120.0


@pytest.mark.parametrize(("number", "name"), list(enumerate(scenario_names())))
def test_bays_of_a_layout_are_accepted_as_pins(number: int, name: str) -> None:
    """One of them alone, another one in each scenario: some layout has it. All together give the
    layout, no worse and sound."""
    study = proposed(name)
    layout = study.layouts[0]
    alone = layout.bays[number % len(layout.bays)]
    require_own_bays_stand(study.brief, study, layout, PATIENCE_S, alone=[alone])

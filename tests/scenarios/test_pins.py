"""A layout's own bays as pins: in every scenario each of them is accepted, and all together."""

from __future__ import annotations

import time

import pytest

from optimizer.checking import check_study
from optimizer.domain.brief import Pin
from optimizer.domain.fields import reading_units
from optimizer.exchange.scenarios import load_scenario, scenario_names
from optimizer.explaining.pins import possible
from optimizer.proposing import propose

OPTIONS = {"alternatives": 1, "gap": 0.1, "time_limit_s": 20.0}
PATIENCE_S = 20.0


@pytest.mark.parametrize("name", scenario_names())
def test_bays_of_a_layout_are_accepted_as_pins(name: str) -> None:
    """One at a time some layout has it; all together give the layout, no worse and sound."""
    brief = load_scenario(name)
    brief = brief.model_copy(update={"options": brief.options.model_copy(update=OPTIONS)})
    study = propose(brief, repairs=False)
    first = study.layouts[0]
    with reading_units(brief.units):
        pins = tuple(
            Pin(
                wall=bay.wall,
                start=bay.start,
                width=bay.width,
                pattern=bay.pattern,
                left=bay.left,
                right=bay.right,
            )
            for bay in first.bays
        )
        for pin in pins:
            until = time.monotonic() + PATIENCE_S
            assert possible(brief, [pin], until, yardstick=study.yardstick), pin
    held = brief.model_copy(update={"pins": pins})
    again = propose(held, repairs=False, yardstick=study.yardstick)
    assert again.layouts
    assert again.layouts[0].bound >= first.score - 1e-6
    assert check_study(held, again) == ()

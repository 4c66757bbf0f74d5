"""Plans of the ready briefs as people get to see them: every name stands free."""

from __future__ import annotations

import pytest

from optimizer.briefs.scenarios import scenario_names
from optimizer.drawing import draw_plan
from tests.drawing.readback import clashes, crossed, document, text_boxes
from tests.scenarios.proposals import proposed

SLACK_MM = 0.05


@pytest.mark.parametrize("name", scenario_names())
def test_no_leader_and_no_other_name_runs_through_a_name(name: str) -> None:
    """In the plan of the first layout; every obstruction has its name on it."""
    study = proposed(name)
    drawing = draw_plan(study.brief, study.layouts[0])
    doc = document(drawing)
    boxes = text_boxes(doc)
    assert crossed(doc) == []
    assert clashes(boxes, SLACK_MM * drawing.page.unit_per_mm) == []
    shown = [box.text for box in boxes]
    kinds = [thing.kind.value for thing in study.brief.room.obstructions]
    assert [kind for kind in kinds if shown.count(kind) < kinds.count(kind)] == []

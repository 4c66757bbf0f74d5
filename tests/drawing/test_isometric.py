"""The isometric view: every bay is shown from the front once, and named."""

from __future__ import annotations

import pytest

from optimizer.drawing import draw_isometric
from tests.drawing import samples
from tests.drawing.readback import document, texts
from tests.drawing.samples import Sample


def test_every_bay_is_named_once(made: Sample) -> None:
    """Whichever walls they stand on, each bay's id is there exactly once (or as a key)."""
    brief, layout = made
    shown = texts(document(draw_isometric(brief, layout)))
    for bay in layout.bays:
        if len(bay.id) <= 8:
            assert shown.count(bay.id) == 1


def test_bays_on_facing_walls_need_two_views() -> None:
    """The walk-in has bays east and west: a second view shows what the first cuts away."""
    notes = texts(document(draw_isometric(*samples.walk_in())))
    assert any(text.startswith("Two views") for text in notes)
    single = texts(document(draw_isometric(*samples.reach_in())))
    assert not any(text.startswith("Two views") for text in single)


def test_upright_lines_keep_their_length() -> None:
    """Vertical edges of the lone bay's uprights are as long as they are high: to its top board."""
    brief, layout = samples.single_bay()
    lines = document(draw_isometric(brief, layout)).modelspace().query('LINE[layer=="UPRIGHT"]')
    upright = [
        abs(line.dxf.end.y - line.dxf.start.y)
        for line in lines
        if abs(line.dxf.end.x - line.dxf.start.x) < 1e-6
    ]
    assert max(upright) == pytest.approx(layout.bays[0].height - 0.75)


def test_a_room_without_bays_can_be_drawn() -> None:
    """The empty room is drawn: nothing crashes for want of a bay."""
    brief, layout = samples.reach_in()
    empty = layout.model_copy(update={"bays": (), "fillers": ()})
    doc = document(draw_isometric(brief, empty))
    assert len(doc.modelspace().query('LINE[layer=="WALL"]')) > 0

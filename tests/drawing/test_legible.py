"""Nothing covers anything: texts keep apart, stay on the sheet, and none gets lost."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings

from optimizer.domain.pack import BuildPack
from optimizer.drawing import Drawing, draw_all, draw_elevation, draw_plan
from optimizer.drawing.ink.lettering import printable
from tests.drawing import samples
from tests.drawing.readback import (
    Box,
    clashes,
    document,
    frame,
    rectangles,
    svg_texts,
    text_boxes,
    written,
)
from tests.drawing.samples import Sample
from tests.drawing.strategies import crowded
from tests.packs import quick_pack

SLACK_MM = 0.05
SOME = settings(
    max_examples=12,
    deadline=None,
    # A drawing takes a while: what fails is shown as found, not made smaller for minutes.
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
    suppress_health_check=[HealthCheck.too_slow],
)


def assert_legible(drawing: Drawing, doc: Any = None) -> list[Box]:
    """No two texts overlap and every text lies inside the frame; where they are.

    In the drawing's own document, where no other is given.
    """
    doc = doc or document(drawing)
    slack = SLACK_MM * drawing.page.unit_per_mm
    boxes = text_boxes(doc)
    assert clashes(boxes, slack) == []
    sheet = frame(doc)
    outside = [
        box.text
        for box in boxes
        if box.left < sheet.left or box.right > sheet.right
        or box.bottom < sheet.bottom or box.top > sheet.top
    ]  # fmt: skip
    assert outside == []
    return boxes


def kinds(doc: Any) -> Counter[str]:
    """How many there are of each kind of entity."""
    return Counter(entity.dxftype() for entity in doc.modelspace())


def joined(found: list[str]) -> str:
    """Texts as one string without spaces: keyed notes may run over several lines."""
    return "".join("".join(found).split())


def test_texts_of_every_drawing_keep_apart_and_can_be_read(made: Sample) -> None:
    """Plan, elevations and isometric of every sample, in the DXF as it is read back; capitals are
    at least 1.4 mm high on paper (5.5 points)."""
    for drawing in draw_all(*made):
        doc = written(drawing)
        assert kinds(doc) == kinds(drawing.doc)
        boxes = assert_legible(drawing, doc)
        low = min(
            min(box.right - box.left, box.top - box.bottom) for box in boxes if len(box.text) > 2
        )
        assert low / drawing.page.unit_per_mm >= 1.39


def test_every_bay_and_part_is_named_and_no_text_covers_another(made: Sample) -> None:
    """With every part's id on the elevations; each id of a wall's bays and parts is there, in SVG
    and in DXF."""
    brief, layout = made
    pack = quick_pack(brief, layout)
    for wall in dict.fromkeys(bay.wall for bay in layout.bays):
        drawing = draw_elevation(brief, layout, wall, pack)
        boxes = assert_legible(drawing)
        for shown in (joined(svg_texts(drawing)), joined([box.text for box in boxes])):
            assert missing_ids(pack, wall, shown) == []


@SOME
@given(made=crowded())
def test_crowded_elevations_are_legible(made: Sample) -> None:
    """However narrow, low and odd the bays, nothing overlaps and every id is there."""
    brief, layout = made
    drawing = draw_elevation(brief, layout, "W")
    assert_legible(drawing)
    shown = joined(svg_texts(drawing))
    for bay in layout.bays:
        assert joined([printable(bay.id)]) in shown


@pytest.mark.parametrize(("name", "smaller"), [("walk_in", True), ("reach_in", False)])
def test_a_drawing_for_a_narrow_screen_says_the_same(name: str, smaller: bool) -> None:
    """As legible, with every word and figure in its place; no smaller where a key would need to be
    read."""
    brief, layout = samples.SAMPLES[name]()
    for wall in dict.fromkeys(bay.wall for bay in layout.bays):
        whole, narrow = (draw_elevation(brief, layout, wall, widest=mm) for mm in (1000, 110))
        assert_legible(narrow)
        assert (narrow.page.unit_per_mm > whole.page.unit_per_mm) is smaller
        assert _drawn(narrow) == _drawn(whole)


def _drawn(drawing: Drawing) -> list[str]:
    """Words and figures of the drawing itself, without frame and notes."""
    furniture = {"FRAME", "TITLE"}
    own = document(drawing).modelspace().query("TEXT MTEXT")
    return sorted(one.dxf.text for one in own if one.dxf.layer not in furniture)


@SOME
@given(made=crowded())
def test_crowded_plans_are_legible(made: Sample) -> None:
    """The same of the plan."""
    brief, layout = made
    drawing = draw_plan(brief, layout)
    assert_legible(drawing)
    shown = joined(svg_texts(drawing))
    for bay in layout.bays:
        assert joined([printable(bay.id)]) in shown


def missing_ids(pack: BuildPack, wall: str, shown: str) -> list[str]:
    """Ids of a wall's parts and bays that are not in a text."""
    parts = [part for part in pack.parts if part.wall == wall]
    ids = [part.id for part in parts] + [bay for part in parts for bay in part.bays]
    return [name for name in ids if joined([printable(name)]) not in shown]


def test_labels_keep_off_boards_and_uprights() -> None:
    """Inside a bay no text runs over the edges of boards and uprights."""
    for name in ("reach_in", "walk_in", "metric", "narrow_bays"):
        brief, layout = samples.SAMPLES[name]()
        pack = quick_pack(brief, layout)
        for wall in dict.fromkeys(bay.wall for bay in layout.bays):
            drawing = draw_elevation(brief, layout, wall, pack)
            doc = document(drawing)
            solids = rectangles(doc, "BOARD") + rectangles(doc, "UPRIGHT")
            slack = SLACK_MM * drawing.page.unit_per_mm
            inside = [box for box in text_boxes(doc) if box.bottom > 0]
            crossing = [
                box.text for box in inside for solid in solids if box.overlap(solid) > slack
            ]
            assert crossing == []

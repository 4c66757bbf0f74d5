"""Sheets and sticks as drawings: every part named, every cut numbered, areas where they lie."""

from __future__ import annotations

from functools import cache

import pytest

from optimizer.drawing import Drawing, draw_sheets, draw_sticks
from optimizer.drawing.views.sheet_layouts import cut_lines, size_text
from optimizer.drawing.views.stick_layouts import STICKS_PER_PAGE
from optimizer.units import Units
from tests.drawing import nested
from tests.drawing.readback import clashes, document, rectangles, svg_texts, text_boxes, texts


@cache
def inch_drawings() -> tuple[Drawing, ...]:
    """Drawings of the two inch sheets, the second a crowd of 228 cleats."""
    return draw_sheets(nested.inch_sheets(), Units.INCH, "Hall")


def test_every_part_is_named_with_its_size() -> None:
    """Ids are on the sheet they are cut from, beside length x width."""
    result = nested.inch_sheets()
    for sheet, drawing in zip(result.sheets, inch_drawings(), strict=True):
        for shown in (svg_texts(drawing), texts(document(drawing))):
            everything = " ".join(shown)
            assert [p.part for p in sheet.parts if p.part not in everything] == []
    first = texts(document(inch_drawings()[0]))
    assert '84" x 24"' in first
    assert 'keep 26-1/4" x 4"' in first


def test_parts_lie_where_the_layout_puts_them() -> None:
    """Rectangles of parts read back are those of the sheet layout."""
    result = nested.inch_sheets()
    for sheet, drawing in zip(result.sheets, inch_drawings(), strict=True):
        drawn = {(b.left, b.bottom, b.right, b.top) for b in rectangles(document(drawing), "PART")}
        assert drawn == {(p.x, p.y, p.right, p.top) for p in sheet.parts}


def test_every_cut_has_its_number_on_the_sheet_and_its_setting_beside_it() -> None:
    """Ten cuts, ten circles; the list says what to set."""
    result = nested.inch_sheets()
    doc = document(inch_drawings()[0])
    circles = doc.modelspace().query('CIRCLE[layer=="CUT"]')
    assert len(circles) == len(result.sheets[0].cuts) == 10
    shown = texts(doc)
    assert [str(n) for n in range(1, 11) if str(n) not in shown] == []
    assert '1 rip 24"' in shown
    assert '4 crosscut 84"' in shown


def test_cuts_at_one_setting_share_a_line() -> None:
    """Runs of equal settings are written once, from first to last number."""
    cuts = nested.inch_sheets().sheets[1].cuts
    lines = cut_lines(cuts, Units.INCH)
    assert lines[0] == '1-19 rip 2"'
    assert lines[1] == '20 rip 3"'
    assert lines[2] == f'21-{20 + 19 * 12} crosscut 7-1/2"'


def test_no_label_on_a_sheet_covers_another() -> None:
    """The crowded sheet too: 228 cleats with their cuts."""
    for drawing in inch_drawings():
        assert clashes(text_boxes(document(drawing)), 0.05 * drawing.page.unit_per_mm) == []


def test_dimensions_are_those_of_the_sheet() -> None:
    """A sheet is dimensioned by its width and height."""
    doc = document(inch_drawings()[0])
    found = sorted(d.get_measurement() for d in doc.modelspace().query("DIMENSION"))
    assert found == pytest.approx([48.0, 96.0])


def test_millimetre_sheets_are_written_in_millimetres() -> None:
    """Sizes come to a tenth, without a unit."""
    made = nested.sheet(1, 2440, 1220, 3, [(600, [("A-U1", 2123.5)])])
    shown = texts(document(draw_sheets(nested.result(made), Units.MILLIMETRE)[0]))
    assert "2123.5 x 600" in shown
    assert "millimetres" in shown


@pytest.mark.parametrize(
    ("length", "units", "text"),
    [
        (11.96875, Units.INCH, '11-31/32"'),
        (12.0, Units.INCH, '12"'),
        (300.0, Units.MILLIMETRE, "300"),
        (300.4, Units.MILLIMETRE, "300.4"),
    ],
)
def test_sizes_on_sheets(length: float, units: Units, text: str) -> None:
    """Thirty-seconds of an inch and tenths of a millimetre are kept."""
    assert size_text(length, units) == text


def test_sticks_come_so_many_to_a_drawing() -> None:
    """Sixteen sticks take two drawings; every piece is on one of them."""
    result = nested.sticks()
    drawings = draw_sticks(result, Units.INCH, "Hall", what="Rods")
    assert [drawing.name for drawing in drawings] == ["rods-1", "rods-2"]
    shown = [" ".join(texts(document(drawing))) for drawing in drawings]
    for stick in result.sticks:
        page = shown[0] if stick.number <= STICKS_PER_PAGE else shown[1]
        assert [piece.part for piece in stick.parts if piece.part not in page] == []
    for drawing in drawings:
        assert clashes(text_boxes(document(drawing)), 0.05 * drawing.page.unit_per_mm) == []


def test_cautions_stand_on_every_sheet() -> None:
    """What is said at the saw is said beside each sheet."""
    words = "Guards on, push stick in reach."
    for drawing in draw_sheets(nested.inch_sheets(), Units.INCH, cautions=[words]):
        shown = texts(document(drawing))
        assert "CAUTION" in shown
        assert words in " ".join(shown)

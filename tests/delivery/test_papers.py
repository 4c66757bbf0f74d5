"""The papers beside the build pack: the customer's document, labels, the survey sheet."""

from __future__ import annotations

import io

from pypdf import PdfReader

from optimizer.delivery import customer_document, labels_document, survey_document
from optimizer.domain.brief import Brief
from optimizer.domain.pack import PartKind
from optimizer.units import Units
from tests.delivery.conftest import delivery_of, flat
from tests.drawing.samples import walk_in

ASKED = (
    *("Length,floor", "Length,waist", "Length,topshelf", "Plumb,left", "Studs", "Casing"),
    *("Diagonal1", "Baseboard", "highestpoint", "Whathangsandstands"),
)


def pages_in(document: bytes) -> list[str]:
    """Text of a PDF, page by page."""
    return [page.extract_text() for page in PdfReader(io.BytesIO(document)).pages]


def test_the_customer_reads_what_goes_where_and_the_price(name: str) -> None:
    """Every bay by name, the total, and neither a part number nor a score; few pages."""
    delivery = delivery_of(name)
    pages = pages_in(customer_document(delivery))
    text = flat(" ".join(pages))
    assert len(pages) <= 4
    assert f"{delivery.pack.quote.total:.2f}" in text
    if name != "long_names":
        assert all(flat(bay.id) in text for bay in delivery.layout.bays)
    kinds = (PartKind.UPRIGHT, PartKind.BACK_CLEAT, PartKind.ROD)
    assert not any(flat(p.id) in text for p in delivery.pack.parts if p.kind in kinds)
    assert "score" not in text.lower()


def test_there_is_a_label_for_each_piece() -> None:
    """Mark and size of every piece, 30 labels to a Letter page, 24 to an A4 one."""
    for name, each in (("walk_in", 30), ("metric", 24)):
        delivery = delivery_of(name)
        pages = pages_in(labels_document(delivery))
        count = sum(part.count for part in delivery.pack.parts)
        assert len(pages) == -(-count // each)
        lines = [line for page in pages for line in page.splitlines()]
        marks = [line.partition(",")[0] for line in lines if ", cut list row" in line]
        wanted = [f"{p.id}{p.name}" for p in delivery.pack.parts for _ in range(p.count)]
        assert sorted(marks) == sorted(wanted)


def test_a_blank_survey_asks_for_each_wall_at_three_heights() -> None:
    """Rows for as many walls as are asked for, in either paper."""
    for units, width in ((Units.INCH, 792), (Units.MILLIMETRE, 842)):
        document = survey_document(units=units, walls=6)
        reader = PdfReader(io.BytesIO(document))
        assert round(float(reader.pages[0].mediabox.width)) == width
        text = flat(" ".join(page.extract_text() for page in reader.pages))
        for words in ASKED:
            assert words in text


def test_a_described_room_fills_the_sheet_and_leaves_blank_what_is_assumed() -> None:
    """Lengths and openings stand there; studs and casing do only where they were told."""
    brief, _ = walk_in()
    text = flat(" ".join(pages_in(survey_document(brief))))
    assert brief.name.replace(" ", "") in text
    for thing in brief.room.obstructions:
        assert thing.kind.value in text
    room = {
        "ceiling_height": 96,
        "walls": [{"id": "A", "length": 77.25}, {"id": "B", "length": [51, 51.5, 52],
                  "studs": {"positions": [8.5, 24.5]}}],
        "openings": [{"wall": "A", "start": 3, "width": 31}],
    }  # fmt: skip
    told = Brief.model_validate({"room": room, "needs": {"shelf_length": 20}})
    text = flat(" ".join(pages_in(survey_document(told))))
    assert '77-1/4"' in text
    assert '51"51-1/2"52"' in text
    assert '8-1/2",24-1/2"' in text
    assert '80"' not in text, "the height of an opening that nobody told is no reading"

"""The document read back: every part and caution is in it, each caution where its work is."""

from __future__ import annotations

import io
import math
import re

import pytest
from pypdf import PdfReader

from optimizer.delivery import pack_document
from optimizer.delivery.delivery import Delivery
from optimizer.delivery.document import HEADINGS
from optimizer.domain.pack import Caution
from optimizer.drawing.formats.typeface import runs
from optimizer.drawing.ink.lettering import printable
from tests.delivery.conftest import BUILT, delivery_of, document_of, flat, pages_of

SECTION_OF = {
    "cut_list": "Cut list",
    "markout": "Mark-out",
    "assembly": "Order of work",
    "finish": "Shopping and quote",
    "structure": "Structural checks",
    "all": "Build pack",
}

READABLE = [name for name in BUILT if name != "long_names"]
"""Samples whose ids come back letter by letter; Asian letters do not, without their font."""


def section_pages(pages: tuple[str, ...], heading: str) -> str:
    """Text from a heading up to the next one; empty where there is no such section."""
    text = "\n".join(pages)
    marks = {name: [m.start() for m in re.finditer(rf"(?m)^{name}$", text)] for name in HEADINGS}
    # The cover and tables may have lines of the same words.
    which = {"Structural checks": 1}
    first = {name: at[which.get(name, 0)] for name, at in marks.items() if at}
    if heading != "Build pack" and heading not in first:
        return ""
    begin = 0 if heading == "Build pack" else first[heading]
    ends = [at for at in first.values() if at > begin]
    return text[begin : min(ends, default=len(text))]


def page_of(pages: tuple[str, ...], heading: str) -> int | None:
    """Number of the page that a heading is on, if it is there."""
    # The cover has a line on structural checks of its own.
    after = 0 if heading == HEADINGS[0] else 1
    found = (n for n, page in enumerate(pages, 1) if n > after and heading in page.splitlines())
    return next(found, None)


def has_sticks(sample: str) -> bool:
    """Whether a pack cuts strips or rods; without either it has no section of them."""
    plan = delivery_of(sample).plan
    return plan.strips is not None or plan.rods is not None


def shown(text: str) -> str:
    """What of a text Helvetica shows."""
    return flat("".join(piece for font, piece in runs(printable(text)) if "Helvetica" in font))


@pytest.mark.parametrize("sample", READABLE)
def test_every_part_is_in_the_cut_list(sample: str) -> None:
    """Ids of all parts stand in the section of the cut list."""
    text = flat(section_pages(pages_of(sample), "Cut list"))
    parts = delivery_of(sample).pack.parts
    assert [part.id for part in parts if flat(part.id) not in text] == []


@pytest.mark.parametrize("sample", READABLE)
def test_every_part_is_on_a_drawing(sample: str) -> None:
    """Ids of all parts stand on elevations, and again on sheets and sticks."""
    delivery = delivery_of(sample)
    pages = [flat(page) for page in pages_of(sample)]
    elevations = "".join(p for p in pages if "elevation" in p and "SCALE" in p)
    cutting = "".join(p for p in pages if "becomesparts" in p)
    if has_sticks(sample):
        cutting += flat(section_pages(pages_of(sample), "Strips and rods"))
    for part in delivery.pack.parts:
        assert flat(part.id) in elevations
        assert flat(part.id) in cutting


def test_every_caution_is_beside_its_work(name: str) -> None:
    """Text, topic and source of each caution are in the section that it concerns."""
    pages = pages_of(name)
    for caution in delivery_of(name).pack.cautions:
        if caution.where in SECTION_OF:
            assert_caution(caution, section_pages(pages, SECTION_OF[caution.where]))


def assert_caution(caution: Caution, text: str) -> None:
    """The caution is in the text."""
    found = flat(text)
    assert flat(f"CAUTION: {caution.topic}.") in found
    assert shown(caution.text) in found
    assert shown(caution.source) in found


def test_the_cautions_that_hands_need_are_there() -> None:
    """Saw, dust, sheet weight, fumes, drilling, electric boxes, lights, old paint, codes."""
    everything = flat(" ".join(pages_of("walk_in"))).lower()
    for word in ("pushstick", "dust", "twopeople", "fumes", "drilling", "electricboxes", "lights"):
        assert word in everything
    assert "1978" in everything
    assert "localcodes" in everything
    assert "licensed" in everything


@pytest.mark.parametrize("sample", READABLE)
def test_cautions_stand_beside_the_drawings_too(sample: str) -> None:
    """Those for work on walls on every elevation, those for the saw on every sheet."""
    pages = [flat(page) for page in pages_of(sample)]
    elevations = [p for p in pages if ",elevation" in p and "SCALE" in p]
    sheets = [p for p in pages if "becomesparts" in p and "SCALE" in p]
    for caution in delivery_of(sample).pack.cautions:
        if caution.where == "markout":
            assert all(flat(caution.text) in page for page in elevations)
        if caution.where in ("cut_list", "sheets"):
            assert all(flat(caution.text) in page for page in sheets)


def test_pages_are_counted_and_stay_few(name: str) -> None:
    """'page n of N' on every page; at most 10 for one wall, 16 for a room."""
    pages = pages_of(name)
    for number, page in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in page
    walls = {bay.wall for bay in delivery_of(name).layout.bays}
    assert len(pages) <= (10 if len(walls) == 1 else 16)


def test_every_page_prints_on_paper_that_every_printer_has(name: str) -> None:
    """Letter in inch packs and A4 in metric ones, drawings and text alike; each drawing once."""
    delivery, pages = delivery_of(name), pages_of(name)
    reader = PdfReader(io.BytesIO(document_of(name)))
    sizes = {(round(p.mediabox.width), round(p.mediabox.height)) for p in reader.pages}
    # ANSI/ASME Y14.1 A size and ISO 216 A4, in points.
    assert sizes == {(792, 612) if delivery.brief.units.value == "in" else (842, 595)}
    drawn = (*delivery.room_drawings[:-1], *delivery.sheet_pairs)
    assert len([p for p in pages if "SCALE" in p and "PAPER" in p]) == len(drawn)


def test_sheets_share_pages_in_order() -> None:
    """Two whole sheets to a page, three of half the width; every sheet once."""
    delivery = delivery_of("walk_in")
    assert delivery.plan.sheets is not None
    titles = " ".join(drawing.title for drawing in delivery.sheet_pairs)
    count = len(delivery.plan.sheets.sheets)
    told = [int(n) for n in re.findall(r"(\d+)(?! of)\b", re.sub(r"of \d+", "", titles))]
    assert told == list(range(1, count + 1))
    assert len(delivery.sheet_pairs) >= math.ceil(count / 2)


def test_sections_come_in_order_and_on_the_pages_that_the_contents_give(name: str) -> None:
    """The cover's contents are true."""
    pages = pages_of(name)
    headings = [h for h in HEADINGS if h != "Strips and rods" or has_sticks(name)]
    first = [page_of(pages, heading) for heading in headings]
    assert None not in first
    later = first[1:]
    assert later == sorted(later, key=lambda page: page or 0)
    contents = "".join(pages[:2]).partition("Contents:")[2]
    for heading, page in zip(headings, first, strict=True):
        words = r"\s+".join(heading.split())
        listed = re.search(rf"{words}\s+p\.\s+(\d+)\b", contents)
        assert listed is not None
        assert int(listed.group(1)) == page


def test_the_quote_is_beside_the_shopping_list() -> None:
    """Materials, labour and total as in the pack."""
    quote = delivery_of("reach_in").pack.quote
    text = section_pages(pages_of("reach_in"), "Shopping and quote")
    for figure in (quote.materials, quote.labour, quote.total):
        assert f"{figure:.2f}" in text


def test_the_cover_sums_up_what_is_built() -> None:
    """Bays, hang and shelf lengths, items, parts, sheets, verdicts, date."""
    cover = pages_of("reach_in")[0]
    delivery = delivery_of("reach_in")
    assert "1 wall, 2 bays" in cover
    # Two short rods of 34-1/2 in; one shelf of 34-1/2 in and five of 35 in.
    assert "5' 9\"" in cover
    assert "17' 5-1/2\"" in cover
    assert "hamper, 2 x shoe box" in cover
    assert str(len(delivery.pack.parts)) in cover
    assert delivery.plan.sheets is not None
    assert delivery.plan.sheets.statement in " ".join(cover.split())
    assert "2026-03-14" in cover


def test_the_mark_out_says_where_to_measure_from() -> None:
    """The datum, each wall's schedule, studs caught."""
    text = section_pages(pages_of("reach_in"), "Mark-out")
    assert 'level line 48" above' in text
    assert "Wall B: schedule" in text
    assert '41", 57"' in text


def test_checks_come_with_formula_and_source() -> None:
    """Every formula and every source of the checks stands in their section."""
    text = flat(section_pages(pages_of("reach_in"), "Structural checks"))
    for check in delivery_of("reach_in").pack.checks:
        assert shown(check.formula) in text
        assert shown(check.source) in text


def test_the_same_delivery_gives_the_same_bytes() -> None:
    """Nothing in the document depends on when or how often it is made."""
    delivery = delivery_of("metric")
    again = Delivery(delivery.brief, delivery.layout, delivery.pack, delivery.plan, delivery.date)
    assert pack_document(again) == document_of("metric")


def test_hostile_names_are_printed_not_obeyed() -> None:
    """Markup in the project's name stands as it was written."""
    cover = flat(pages_of("long_names")[0])
    assert "<script>alert('x')</script>&\"quotes\"%%u^J" in cover


def test_a_pack_with_a_great_many_parts_in_one_cell_still_prints() -> None:
    """A check of hundreds of equal parts breaks its row over pages instead of failing."""
    delivery = delivery_of("reach_in")
    part = delivery.pack.parts[0]
    many = tuple(part.model_copy(update={"id": f"{part.id}-{n:04d}"}) for n in range(3000))
    row = delivery.pack.cut_list[0].model_copy(update={"parts": tuple(p.id for p in many)})
    pack = delivery.pack.model_copy(update={"cut_list": (row,)})
    crowded = Delivery(delivery.brief, delivery.layout, pack, delivery.plan, delivery.date)
    reader = PdfReader(io.BytesIO(pack_document(crowded)))
    text = flat("".join(page.extract_text() for page in reader.pages))
    assert f"{part.id}-2999" in text

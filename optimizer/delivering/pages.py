"""Pages of the document: text pages with a footer, and one page for each drawing."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from reportlab.lib.pagesizes import A4, LETTER, landscape
from reportlab.lib.units import mm
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    NextPageTemplate,
    PageBreak,
    PageTemplate,
    Spacer,
)

from optimizer.drawing import Drawing
from optimizer.drawing.formats.pdf import draw_words, paint
from optimizer.drawing.ink.lettering import FONT
from optimizer.units import Units

MARGIN = 12 * mm
TEXT_PAGE = "text"


def text_size(units: Units) -> tuple[float, float]:
    """Text pages: Letter in inch packs, A4 in metric ones, lying [points]."""
    size: tuple[float, float] = landscape(LETTER if units is Units.INCH else A4)
    return size


def text_width(units: Units) -> float:
    """Width between the margins of a text page [points]."""
    return text_size(units)[0] - 2 * float(MARGIN)


def text_height(units: Units) -> float:
    """Height between the margins of a text page, a hair less against rounding [points]."""
    return text_size(units)[1] - 2 * float(MARGIN) - 6.0


@dataclass
class Places:
    """Where sections begin, and how many pages there are: found by a first run."""

    sections: dict[str, int] = field(default_factory=dict)
    pages: int = 0


class _Sheet(Flowable):  # type: ignore[misc]
    """A drawing that fills its page."""

    def __init__(self, drawing: Drawing) -> None:
        super().__init__()
        self.drawing = drawing
        self.section = drawing.title
        paper = drawing.page.paper
        self.width, self.height = paper.width * mm, paper.height * mm

    def wrap(self, *_: float) -> tuple[float, float]:
        """All of the page; a hair less, against rounding."""
        return self.width - 0.01, self.height - 0.01

    def draw(self) -> None:
        """Paint the drawing."""
        if not self.canv._doctemplate.dry:
            paint(self.drawing, self.canv)


class Picture(Flowable):  # type: ignore[misc]
    """A drawing without frame among text, in its own size."""

    def __init__(self, drawing: Drawing) -> None:
        super().__init__()
        self.drawing = drawing
        paper = drawing.page.paper
        self.width, self.height = paper.width * mm, paper.height * mm
        self.hAlign = "LEFT"

    def wrap(self, *_: float) -> tuple[float, float]:
        """Its paper."""
        return self.width, self.height

    def draw(self) -> None:
        """Paint the drawing."""
        if not self.canv._doctemplate.dry:
            paint(self.drawing, self.canv)


def drawing_pages(drawings: Sequence[Drawing]) -> list[Any]:
    """Flowables that put each drawing on a page of its own size."""
    story: list[Any] = []
    for drawing in drawings:
        story += [NextPageTemplate(_template_id(drawing)), PageBreak(), _Sheet(drawing)]
    return story


def text_page() -> list[Any]:
    """Flowables that begin a new text page."""
    return [NextPageTemplate(TEXT_PAGE), PageBreak()]


def further_down() -> list[Any]:
    """Flowables that go on under what is there, or on a new page where that leaves little."""
    return [CondPageBreak(_LEAST_LEFT), Spacer(1, 8)]


_LEAST_LEFT = 55 * mm
"""Paper that a section wants to begin on: its heading, its cautions, some lines of a table."""


def _template_id(drawing: Drawing) -> str:
    paper = drawing.page.paper
    return f"{paper.width:g}x{paper.height:g}"


class _Document(BaseDocTemplate):  # type: ignore[misc]
    """Keeps the page on which each section begins."""

    def __init__(self, target: io.BytesIO, footer: str, places: Places, **options: Any) -> None:
        super().__init__(target, **options)
        self.footer = footer
        self.places = places
        self.found = Places()
        # A first run finds the places of sections alone: its drawings would be thrown away.
        self.dry = not places.pages

    def afterFlowable(self, flowable: Flowable) -> None:  # noqa: N802  (reportlab's name)
        """Note where a section begins, and make a bookmark of it."""
        section = getattr(flowable, "section", None)
        if section is not None and section not in self.found.sections:
            self.found.sections[section] = self.page
            self.canv.bookmarkPage(f"section-{len(self.found.sections)}")
            self.canv.addOutlineEntry(section, f"section-{len(self.found.sections)}", 0, False)
        self.found.pages = self.page

    def foot(self, canvas: Any, _: Any) -> None:
        """Project and page number at the foot of every page."""
        width, _height = canvas._pagesize
        canvas.setFont(FONT, 7)
        number = f"page {self.page}"
        if self.places.pages:
            number = f"{number} of {self.places.pages}"
        draw_words(canvas, self.footer, (10 * mm, 3 * mm), size=7, room=width - 60 * mm)
        canvas.setFont(FONT, 7)
        canvas.drawRightString(width - 10 * mm, 3 * mm, number)


def render(
    story: Sequence[Any],
    drawings: Sequence[Drawing],
    *,
    units: Units,
    title: str,
    places: Places,
) -> tuple[bytes, Places]:
    """The PDF of a story, and where its sections came to lie."""
    target = io.BytesIO()
    document = _Document(
        target,
        title,
        places,
        pagesize=text_size(units),
        title=title,
        author="",
        creator="closet layout optimizer",
        invariant=1,
        pageCompression=1,
    )
    document.addPageTemplates([_text_template(document, units), *_templates(document, drawings)])
    document.build(list(story))
    return target.getvalue(), document.found


def _text_template(document: _Document, units: Units) -> PageTemplate:
    width, height = text_size(units)
    frame = Frame(
        MARGIN, MARGIN, width - 2 * MARGIN, height - 2 * MARGIN,
        leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0, id="body",
    )  # fmt: skip
    return PageTemplate(TEXT_PAGE, [frame], pagesize=(width, height), onPageEnd=document.foot)


def _templates(document: _Document, drawings: Sequence[Drawing]) -> list[PageTemplate]:
    """A page template for every size of paper that the drawings use."""
    sizes = {_template_id(drawing): drawing.page.paper for drawing in drawings}
    made = []
    for name, paper in sizes.items():
        size = (paper.width * mm, paper.height * mm)
        frame = Frame(0, 0, *size, leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0)
        made.append(PageTemplate(name, [frame], pagesize=size, onPageEnd=document.foot))
    return made

"""Pages of the document: text pages with a footer, and one page for each drawing."""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.pagesizes import A4, LETTER, landscape
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    NextPageTemplate,
    PageBreak,
    PageTemplate,
    Paragraph,
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


def _size(drawing: Drawing) -> tuple[float, float]:
    """Width and height of a drawing's paper [points]."""
    return drawing.page.paper.width * mm, drawing.page.paper.height * mm


class _Sheet(Flowable):  # type: ignore[misc]
    """A drawing that fills its page."""

    def __init__(self, drawing: Drawing) -> None:
        """The page it stands on has to be of the drawing's own size: `drawing_pages` sees to
        that."""
        super().__init__()
        self.drawing = drawing
        # Read by `_Document.afterFlowable`, as of a heading.
        self.sections = [drawing.title]
        self.width, self.height = _size(drawing)

    def wrap(self, *_: float) -> tuple[float, float]:
        """All of the page; a hair less, against rounding."""
        return self.width - 0.01, self.height - 0.01

    def draw(self) -> None:
        """Paint the drawing."""
        self.canv.saveState()
        paint(self.drawing, self.canv)
        self.canv.restoreState()


class Picture(Flowable):  # type: ignore[misc]
    """A drawing without frame among text, in its own size or a share of it."""

    def __init__(self, drawing: Drawing, share: float = 1.0) -> None:
        """`share` scales all of it, lettering too."""
        super().__init__()
        self.drawing = drawing
        self.share = share
        paper = drawing.page.paper
        self.width, self.height = paper.width * mm * share, paper.height * mm * share
        self.hAlign = "LEFT"

    def wrap(self, *_: float) -> tuple[float, float]:
        """Its paper."""
        return self.width, self.height

    def draw(self) -> None:
        """Paint the drawing."""
        self.canv.saveState()
        self.canv.scale(self.share, self.share)
        paint(self.drawing, self.canv)
        self.canv.restoreState()


def drawing_pages(drawings: Sequence[Drawing]) -> list[Any]:
    """Flowables that put each drawing on a page of its own size."""
    story: list[Any] = []
    for drawing in drawings:
        # reportlab takes up a template with the page after it is named: so it comes before the
        # break.
        story += [NextPageTemplate(_template_id(drawing)), PageBreak(), _Sheet(drawing)]
    return story


def text_page() -> list[Any]:
    """Flowables that begin a new text page."""
    return [NextPageTemplate(TEXT_PAGE), PageBreak()]


def further_down() -> list[Any]:
    """Flowables that go on under what is there, or on a new page where that leaves little."""
    return [CondPageBreak(_LEAST_LEFT), Spacer(1, 8)]


_LEAST_LEFT = 45 * mm
"""Paper that a section wants to begin on: its heading, its cautions, some lines of a table."""


def _template_id(drawing: Drawing) -> str:
    """The name of the page template of that size."""
    width, height = _size(drawing)
    return f"{width / mm:.1f}x{height / mm:.1f}"


class _Document(BaseDocTemplate):  # type: ignore[misc]
    """Keeps the page on which each section begins, and writes afterwards what needs them all."""

    def __init__(self, target: io.BytesIO, footer: str, **options: Any) -> None:
        """`footer` is printed at the foot of every page; `options` are those of reportlab's
        template."""
        super().__init__(target, **options)
        self.footer = footer
        self.sections: dict[str, int] = {}
        # Of the pages so far, in order: forms for their numbers are as wide as the page.
        self.widths: list[float] = []
        self.contents: list[Contents] = []

    def afterFlowable(self, flowable: Flowable) -> None:  # noqa: N802  (reportlab's name)
        """Note where a section begins, and make a bookmark of it."""
        if isinstance(flowable, Contents):
            self.contents.append(flowable)
        for section in getattr(flowable, "sections", ()):
            if section not in self.sections:
                self.sections[section] = self.page
                self.canv.bookmarkPage(f"section-{len(self.sections)}")
                self.canv.addOutlineEntry(section, f"section-{len(self.sections)}", 0, False)

    def foot(self, canvas: Any, _: Any) -> None:
        """Project and page number at the foot of every page."""
        width, _height = canvas._pagesize
        draw_words(canvas, self.footer, (10 * mm, 3 * mm), size=7, room=width - 60 * mm)
        self.widths.append(width)
        # How many pages there are is not known yet: the words are filled in at the end.
        canvas.doForm(_number(len(self.widths)))

    def finish(self, canvas: Any) -> None:
        """What pages refer to and only their number tells: page numbers and contents."""
        for page, width in enumerate(self.widths, 1):
            canvas.beginForm(_number(page), 0, 0, width, 8 * mm)
            canvas.setFont(FONT, 7)
            words = f"page {page} of {len(self.widths)}"
            canvas.drawRightString(width - 10 * mm, 3 * mm, words)
            canvas.endForm()
        for flowable in self.contents:
            canvas.beginForm(Contents.FORM, 0, 0, flowable.width, flowable.height)
            flowable.fill(canvas, self.sections)
            canvas.endForm()


def _number(page: int) -> str:
    """The bookmark of a page."""
    return f"number-{page}"


class Contents(Flowable):  # type: ignore[misc]
    """The sections with their pages, one after the other: room for them, filled at the end."""

    FORM = "contents"

    def __init__(self, sections: Sequence[str], style: ParagraphStyle) -> None:
        """`sections` as they will be called, so that room can be kept before any page is known."""
        super().__init__()
        self.style = style
        # No page number of two figures is wider.
        self.expected = dict.fromkeys(sections, 88)

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """As large as with pages of two figures."""
        _, high = self._words(self.expected).wrap(width, height)
        self.width, self.height = width, high
        return width, high

    def draw(self) -> None:
        """A mark where the words come in the end."""
        self.canv.doForm(self.FORM)

    def fill(self, canvas: Any, sections: Mapping[str, int]) -> None:
        """The words, in the mark's own coordinates."""
        words = self._words(sections)
        _, high = words.wrap(self.width, self.height)
        words.drawOn(canvas, 0, self.height - high)

    def _words(self, sections: Mapping[str, int]) -> Paragraph:
        """The line of contents with these page numbers."""
        told = "; ".join(f"{name} p. {page}" for name, page in sections.items())
        return Paragraph(escape(f"Contents: {told}."), self.style)


def render(story: Sequence[Any], drawings: Sequence[Drawing], *, units: Units, title: str) -> bytes:
    """The PDF of a story; `drawings` are those with pages in it."""
    target = io.BytesIO()
    document = _Document(
        target,
        title,
        pagesize=text_size(units),
        title=title,
        author="",
        creator="closet layout optimizer",
        invariant=1,
        pageCompression=1,
    )
    document.addPageTemplates([_text_template(document, units), *_templates(document, drawings)])

    class Pages(Canvas):  # type: ignore[misc]
        """Writes what is known at the end before it is closed."""

        def save(self) -> None:
            """Finish the document before it is written."""
            # The last moment at which forms can be defined: reportlab writes the file in `save`.
            document.finish(self)
            super().save()

    document.build(list(story), canvasmaker=Pages)
    return target.getvalue()


def _text_template(document: _Document, units: Units) -> PageTemplate:
    """The template of pages of text, with their foot."""
    width, height = text_size(units)
    frame = Frame(
        MARGIN, MARGIN, width - 2 * MARGIN, height - 2 * MARGIN,
        leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0, id="body",
    )  # fmt: skip
    return PageTemplate(TEXT_PAGE, [frame], pagesize=(width, height), onPageEnd=document.foot)


def _templates(document: _Document, drawings: Sequence[Drawing]) -> list[PageTemplate]:
    """A page template for every size of paper that the drawings use."""
    made = []
    for name, size in {_template_id(one): _size(one) for one in drawings}.items():
        frame = Frame(0, 0, *size, leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0)
        made.append(PageTemplate(name, [frame], pagesize=size, onPageEnd=document.foot))
    return made

"""How the document looks: black on white, ruled tables, cautions in a heavy box."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import chain, compress
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib import colors
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.lib.utils import simpleSplit
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import KeepTogether, Paragraph, Spacer, Table, TableStyle

from optimizer.buildpack.tables import Table as PackTable
from optimizer.domain.pack import Caution
from optimizer.drawing.formats.typeface import runs
from optimizer.drawing.ink.lettering import BOLD, FONT, in_font, printable

BODY = ParagraphStyle("body", fontName=FONT, fontSize=9.5, leading=12.5)
SMALL = ParagraphStyle("small", parent=BODY, fontSize=8, leading=10)
HEADING = ParagraphStyle("heading", parent=BODY, fontName=BOLD, fontSize=15, leading=19)
SUBHEADING = ParagraphStyle(
    "subheading", parent=BODY, fontName=BOLD, fontSize=11, leading=14, spaceBefore=6, spaceAfter=3
)
TITLE = ParagraphStyle("title", parent=HEADING, fontSize=24, leading=29)
CELL = ParagraphStyle("cell", parent=SMALL, fontSize=7.5, leading=9.2)
FINE = ParagraphStyle("fine", parent=SMALL, fontSize=6.5, leading=7.8)
HEAD_CELL = ParagraphStyle("head", parent=CELL, fontName=BOLD)
BOXED = ParagraphStyle("boxed", parent=BODY, fontSize=9, leading=11.5)

_PADDING = 3.0
"""Paper between a cell's text and its lines [points]."""

TO_FILL = "Found"
"""Head of a column that is filled in by hand: wide enough to write in."""

_WRITTEN = 26 * mm

_LONGEST_WORD = 42 * mm
"""Widest column that a single word may ask for; longer words are cut."""


def markup(text: str, bold: bool = False) -> str:
    """`text` for a paragraph: escaped, with a font for letters that the usual one lacks."""
    usual = BOLD if bold else FONT
    pieces = []
    for font, piece in runs(printable(text), bold):
        safe = escape(piece)
        pieces.append(safe if font == usual else f'<font name="{font}">{safe}</font>')
    return "".join(pieces)


def paragraph(text: str, style: ParagraphStyle = BODY) -> Paragraph:
    """A paragraph of plain text."""
    return Paragraph(markup(text, style.fontName == BOLD), style)


def heading(text: str) -> Paragraph:
    """A section's heading; the document finds its page by it."""
    made = paragraph(text, HEADING)
    # As `printable`, for that is what the contents are written in.
    made.sections = [printable(text)]
    return made


def bullets(texts: Sequence[str], base: ParagraphStyle = BODY) -> list[Any]:
    """Short remarks in a list."""
    style = ParagraphStyle("bullet", parent=base, leftIndent=10, bulletIndent=0)
    return [Paragraph(markup(text), style, bulletText="-") for text in texts]


def caution_boxes(cautions: Sequence[Caution]) -> list[Any]:
    """Cautions in heavy boxes, each with what it rests on."""
    made: list[Any] = []
    for caution in cautions:
        words = (
            f"<b>CAUTION: {markup(caution.topic, bold=True)}.</b> {markup(caution.text)} "
            f'<font size="7">[{markup(caution.source)}]</font>'
        )
        box = Table([[Paragraph(words, BOXED)]], colWidths=["100%"])
        box.setStyle(
            TableStyle(
                [
                    ("BOX", (0, 0), (-1, -1), 1.4, colors.black),
                    ("LEFTPADDING", (0, 0), (-1, -1), 6),
                    ("TOPPADDING", (0, 0), (-1, -1), 3),
                    ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
                ]
            )
        )
        made += [box, Spacer(1, 3)]
    return made


def table(
    columns: Sequence[str],
    rows: Sequence[Sequence[str]],
    width: float,
    *,
    full: bool = True,
    style: ParagraphStyle = CELL,
) -> Table:
    """A ruled table that fits `width` [points]; its head comes again on every page.

    Unless `full`, it is only as wide as its contents ask for.
    """
    return _ruled(columns, rows, column_widths(columns, rows, width, full=full), style)


def _ruled(
    columns: Sequence[str],
    rows: Sequence[Sequence[str]],
    widths: Sequence[float],
    style: ParagraphStyle,
    gaps: Sequence[int] = (),
) -> Table:
    """A table of such column widths [points]; columns at `gaps` are paper between blocks."""
    head = ParagraphStyle("head", parent=style, fontName=BOLD) if style is not CELL else HEAD_CELL
    cells = [_cells(columns, widths, head)]
    cells += [_cells(row, widths, style) for row in rows]
    made = Table(cells, colWidths=widths, repeatRows=1, splitInRow=1, hAlign="LEFT")
    # Each block has a grid of its own, so that the gaps between them stay blank.
    borders = [0, *(at + 1 for at in gaps)], [*(at - 1 for at in gaps), -1]
    ruled = [((first, 0), (last, -1)) for first, last in zip(*borders, strict=True)]
    made.setStyle(
        TableStyle(
            [
                *(("GRID", *block, 0.4, colors.black) for block in ruled),
                *(("LINEBELOW", block[0], (block[1][0], 0), 1.2, colors.black) for block in ruled),
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), _PADDING),
                ("RIGHTPADDING", (0, 0), (-1, -1), _PADDING),
                ("TOPPADDING", (0, 0), (-1, -1), 0.8),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 1.8),
                ("FONT", (0, 0), (-1, 0), head.fontName, head.fontSize, head.leading),
                ("FONT", (0, 1), (-1, -1), style.fontName, style.fontSize, style.leading),
            ]
        )
    )
    return made


def _cells(
    texts: Sequence[str], widths: Sequence[float], style: ParagraphStyle
) -> list[str | Paragraph]:
    """The cells of a row, each broken to its width."""
    return [_cell(text, width, style) for text, width in zip(texts, widths, strict=True)]


def _cell(text: str, width: float, style: ParagraphStyle) -> str | Paragraph:
    """A cell's text in lines; a paragraph, which costs ten times as much, only for other fonts
    and for words longer than a line."""
    words = printable(text)
    room = width - 2 * _PADDING
    if not (words.isascii() or all(in_font(character) for character in words)):
        return paragraph(text, style)
    lines = simpleSplit(words, style.fontName, style.fontSize, room)
    if any(stringWidth(line, style.fontName, style.fontSize) > room + 0.01 for line in lines):
        return paragraph(text, style)
    return "\n".join(lines)


def beside(left: list[Any], right: list[Any], widths: tuple[float, float]) -> Table:
    """Two columns of these widths [points] side by side; they may run over a page's end."""
    made = Table([[left, right]], colWidths=widths, hAlign="LEFT", splitInRow=1)
    made.setStyle(
        TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (-1, -1), 0),
                ("TOPPADDING", (0, 0), (-1, -1), 0),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
            ]
        )
    )
    return made


def tall(story: Sequence[Any], width: float) -> float:
    """Height of a story of such a width [points], with the space between its flowables."""
    total, before = 0.0, 0.0
    for flowable in story:
        _, height = flowable.wrap(width, _ENDLESS)
        # Of two spaces that meet reportlab keeps the larger.
        total += max(before, flowable.getSpaceBefore()) + height
        before = flowable.getSpaceAfter()
    return total + before


_ENDLESS = 1e6


def in_columns(blocks: Sequence[Sequence[Any]], width: float, gutter: float) -> tuple[Table, float]:
    """Blocks one after the other in two columns, parted where that is lowest; and its height."""
    half = (width - gutter) / 2
    heights = [tall(block, half) for block in blocks]
    # After which block the right column begins: the higher of the two columns counts.
    cut = min(range(1, len(blocks) + 1), key=lambda n: max(sum(heights[:n]), sum(heights[n:], 0.0)))
    left = [one for block in blocks[:cut] for one in block]
    right = [one for block in blocks[cut:] for one in block]
    high = max(sum(heights[:cut]), sum(heights[cut:], 0.0))
    return beside(left, right or [Spacer(1, 1)], (half + gutter, half)), high


def folded(
    made: PackTable, width: float, columns: int = 2, style: ParagraphStyle = CELL
) -> list[Any]:
    """A table with its rows in so many columns, read one column after the other."""
    told = [n for n in range(len(made.columns)) if _tells(made, n)]
    # Rows of a column, rounded up: the last column may be shorter, and blank cells fill it.
    high = -(-len(made.rows) // columns)
    blocks = [made.rows[at : at + high] for at in range(0, len(made.rows), high)]
    own = (width - 2 * _PARTED * (len(blocks) - 1)) / max(1, len(blocks))
    head = tuple(made.columns[n] for n in told)
    cut = [[tuple(row[n] for n in told) for row in block] for block in blocks]
    widths: list[float] = []
    for block in cut:
        widths += ([2 * _PARTED] if widths else []) + column_widths(head, block, own)
    blank = ("",) * len(head)
    rows = [
        tuple(chain.from_iterable(_between(block[n] if n < len(block) else blank for block in cut)))
        for n in range(high)
    ]
    heads = tuple(chain.from_iterable(_between(head for _ in cut)))
    gaps = [(len(head) + 1) * n - 1 for n in range(1, len(cut))]
    grid = _ruled(heads, rows, widths, style, gaps)
    return [paragraph(made.title, SUBHEADING), grid] if made.title.strip() else [grid]


_PARTED = 6.0
"""Half of the paper between two columns of rows [points]."""


def _between(blocks: Iterable[tuple[str, ...]]) -> Iterator[tuple[str, ...]]:
    """Blocks of cells with an empty one between each two."""
    for number, block in enumerate(blocks):
        yield (*(("",) if number else ()), *block)


def _tells(made: PackTable, column: int) -> bool:
    """Whether a column holds anything, or is there to be filled in."""
    return made.columns[column] == TO_FILL or any(row[column] for row in made.rows)


def pack_table(
    made: PackTable, width: float, *, style: ParagraphStyle = CELL, loose: bool = False
) -> list[Any]:
    """One of the pack's tables under its title, without columns that hold nothing.

    A `loose` one may be parted from its title: inside other tables nothing can be kept together.
    """
    if not made.rows:
        return []
    told = [_tells(made, n) for n in range(len(made.columns))]
    columns = list(compress(made.columns, told))
    grid = table(columns, [list(compress(row, told)) for row in made.rows], width, style=style)
    title = paragraph(made.title, SUBHEADING)
    if len(made.rows) <= _KEPT_WHOLE and not loose:
        return [KeepTogether([title, grid])]
    return [title, grid]


_KEPT_WHOLE = 6
"""Tables of so many rows are not broken over pages."""


def column_widths(
    columns: Sequence[str], rows: Sequence[Sequence[str]], width: float, *, full: bool = True
) -> list[float]:
    """Widths that give every column its longest word, and long texts what is left over."""
    least, most = [], []
    for number, name in enumerate(columns):
        if name == TO_FILL:
            least.append(_WRITTEN)
            most.append(_WRITTEN)
            continue
        texts = [name, *(row[number] for row in rows)]
        words = [word for text in texts for word in text.split()] or [""]
        longest = max(_width(word) for word in words)
        least.append(min(longest, _LONGEST_WORD) + 2 * _PADDING + 1)
        most.append(max(_width(text) for text in texts) + 2 * _PADDING + 1)
    total = sum(most)
    if total <= width:
        spare = (width - total) / len(columns) if full else 0.0
        return [each + spare for each in most]
    if sum(least) >= width:
        return [size * width / sum(least) for size in least]
    # What is left over goes to columns in proportion to what they lack, by its square root:
    # a note of ten lines should not starve a name of two.
    lacks = [max(each - size, 0.0) ** 0.5 for each, size in zip(most, least, strict=True)]
    rest = width - sum(least)
    return [size + rest * lack / sum(lacks) for size, lack in zip(least, lacks, strict=True)]


@lru_cache(maxsize=8192)
def _width(text: str) -> float:
    """Width of a heading on one line [points]."""
    # In bold, as a column's head is: other texts come out a little narrower.
    return float(stringWidth(text, BOLD, CELL.fontSize))

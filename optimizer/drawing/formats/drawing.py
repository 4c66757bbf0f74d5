"""A finished drawing: one document, written as DXF, SVG or PDF."""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from optimizer.drawing.formats.pdf import pdf_of
from optimizer.drawing.formats.strokes import Primitive, strokes_of
from optimizer.drawing.formats.svg import svg_of
from optimizer.drawing.ink.layers import fixed_dates
from optimizer.drawing.ink.paper import Paper


@dataclass(frozen=True, slots=True)
class Page:
    """The paper, and where it lies: `origin` is its lower left corner in drawing units."""

    paper: Paper
    origin: tuple[float, float]
    unit_per_mm: float

    def to_mm(self, x: float, y: float) -> tuple[float, float]:
        """Place on paper [mm from its lower left corner] of a point of the drawing."""
        return (x - self.origin[0]) / self.unit_per_mm, (y - self.origin[1]) / self.unit_per_mm


@dataclass(frozen=True)
class Drawing:
    """One sheet. `name` serves as file name; `doc` is the ezdxf document behind all outputs.

    `unplaced` labels found no room, not even for a number: only the notes tell of them.
    """

    name: str
    title: str
    page: Page
    doc: Any
    unplaced: int = 0

    @cached_property
    def strokes(self) -> tuple[Primitive, ...]:
        """The document taken apart into lines, areas and texts, in drawing units."""
        return strokes_of(self.doc)

    def to_svg(self) -> str:
        """The sheet as SVG, in mm of paper, with real text."""
        return svg_of(self)

    def to_pdf(self) -> bytes:
        """The sheet as a PDF of one page, with real text."""
        return pdf_of(self)

    def to_dxf(self) -> bytes:
        """The document as DXF R2010, the same bytes each time."""
        text = io.StringIO()
        # Listed here in order, where ezdxf would list them in the order of a set.
        for name in sorted(self.doc.entitydb.dxf_types_in_use()):
            self.doc.classes.add_class(name)
        with fixed_dates():
            self.doc.write(text)
        return text.getvalue().encode(self.doc.output_encoding, "dxfreplace")

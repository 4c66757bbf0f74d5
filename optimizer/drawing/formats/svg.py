"""A drawing as SVG: mm of paper, real text, the same bytes each time."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape, quoteattr

from optimizer.drawing.formats.strokes import Fill, Letters, Look, Primitive, Step, Stroke, settled
from optimizer.drawing.ink.layers import font_size
from optimizer.drawing.ink.lettering import text_width

if TYPE_CHECKING:
    from optimizer.drawing.formats.drawing import Drawing

_FAMILY = "Arial, Helvetica, 'Liberation Sans', 'DejaVu Sans Condensed', sans-serif"
_ANCHOR = {"left": "start", "centre": "middle", "right": "end"}


def svg_of(drawing: Drawing) -> str:
    """The drawing as an SVG document; colours and weights as on its layers."""
    paper = drawing.page.paper
    width, height = _number(paper.width), _number(paper.height)
    writer = _Writer(drawing)
    groups = [
        writer.group(look, primitives)
        # Neighbours only, without sorting: what is drawn later lies over what was drawn before.
        for look, primitives in groupby(drawing.strokes, key=lambda found: found.look)
    ]
    title = escape(drawing.title)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" {_scale(drawing)} '
        f'role="img" aria-label={quoteattr(drawing.title)}>'
    )
    paper_rect = f'<rect width="{width}" height="{height}" fill="#ffffff"/>'
    return "\n".join([head, f"<title>{title}</title>", paper_rect, *groups, "</svg>", ""])


def _number(value: float) -> str:
    """`value` to a thousandth, without idle zeros and never as -0."""
    text = f"{settled(value):.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _scale(drawing: Drawing) -> str:
    """What leads from the paper back to the thing: its units in 1 mm, and the place of the
    paper's lower left corner; viewers overlay and compare drawings by them.
    """
    page = drawing.page
    x, y = (_number(value) for value in page.origin)
    return f'data-unit-per-mm="{page.unit_per_mm:.6f}" data-origin="{x} {y}"'


class _Writer:
    """Writes the primitives of one drawing as elements of SVG."""

    def __init__(self, drawing: Drawing) -> None:
        """Writes in mm of the drawing's paper."""
        self.page = drawing.page

    def group(self, look: Look, primitives: Iterable[Primitive]) -> str:
        """Primitives of one look inside one element."""
        parts = [self._element(primitive) for primitive in primitives]
        body = "\n".join(parts)
        return (
            f'<g data-layer={quoteattr(look.layer)} stroke="{look.colour}" '
            f'stroke-width="{_number(look.weight)}" stroke-linecap="round" '
            f'stroke-linejoin="round" fill="none">\n{body}\n</g>'
        )

    def _element(self, primitive: Primitive) -> str:
        """One primitive as an element."""
        if isinstance(primitive, Letters):
            return self._text(primitive)
        data = self._path(primitive.path, closed=isinstance(primitive, Fill))
        if isinstance(primitive, Stroke):
            return f'<path d="{data}"/>'
        return (
            f'<path d="{data}" fill="{primitive.look.colour}" fill-rule="evenodd" stroke="none"/>'
        )

    def _at(self, x: float, y: float) -> tuple[str, str]:
        """A point of the drawing on paper [mm], down from the upper edge as SVG counts."""
        right, up = self.page.to_mm(x, y)
        return _number(right), _number(self.page.paper.height - up)

    def _path(self, path: tuple[Step, ...], *, closed: bool) -> str:
        """The `d` of a path; a filled one is closed after each of its parts."""
        pieces: list[str] = []
        for command, points in path:
            # An area with holes is one path: each part of it is closed before the next begins.
            if command == "M" and closed and pieces:
                pieces.append("Z")
            where = " ".join(",".join(self._at(*point)) for point in points)
            pieces.append(f"{command}{where}")
        return "".join([*pieces, "Z"] if closed else pieces)

    def _text(self, letters: Letters) -> str:
        """A line of text, set to the width that the drawing counts with in whatever font."""
        height = letters.height / self.page.unit_per_mm
        x, y = self._at(*letters.at)
        turn = (
            f' transform="rotate({_number(-letters.rotation)} {x} {y})"' if letters.rotation else ""
        )
        # The middle of the capitals lies on the point: the baseline half of them below it.
        weight = ' font-weight="bold"' if letters.bold else ""
        return (
            f'<text x="{x}" y="{y}" dy="{_number(height / 2)}" '
            f'font-family="{_FAMILY}" font-size="{_number(font_size(height))}"{weight} '
            f'text-anchor="{_ANCHOR[letters.align]}" '
            f'textLength="{_number(text_width(letters.text, height, letters.bold))}" '
            f'lengthAdjust="spacingAndGlyphs" fill="{letters.look.colour}" '
            f'stroke="none"{turn}>{escape(letters.text)}</text>'
        )

"""A drawing surface over a DXF document: true sizes for the thing, paper sizes for lettering.

Coordinates are in brief units; sizes called `mm` are on paper.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any, Literal

from ezdxf.enums import TextEntityAlignment

from optimizer.drawing.ink import layers
from optimizer.drawing.ink.layers import DIM_HEIGHT, DIMSTYLE, Layer, new_document
from optimizer.drawing.ink.lettering import Rect, printable, text_rect, text_width
from optimizer.units import Units

Point = tuple[float, float]
Align = Literal["left", "centre", "right"]

_ALIGN = {
    "left": TextEntityAlignment.MIDDLE_LEFT,
    "centre": TextEntityAlignment.MIDDLE_CENTER,
    "right": TextEntityAlignment.MIDDLE_RIGHT,
}
_SHIFT = {"left": 0.5, "centre": 0.0, "right": -0.5}


def dxf_escaped(text: str) -> str:
    """`text` so that a DXF reader shows it as it is: its control codes are spelled out."""
    # In a DXF text ^ begins a control character, and "^ " is the caret itself; %% begins a sign,
    # and %%% is the per cent sign.
    text = printable(text).replace("^", "^ ")
    return text.replace("%", "%%%") if "%%" in text else text


def dxf_plain(text: str) -> str:
    """The text that `dxf_escaped` was given.

    ezdxf's own reading drops a caret at the end, so its `plain_text` is not used for ours.
    """
    return text.replace("%%%", "%").replace("^ ", "^")


class Canvas:
    """Draws into one document and keeps the extents of all that it drew.

    A `dry` canvas has no document: it only keeps the extents, to try out a scale.
    """

    def __init__(self, units: Units, unit_per_mm: float, *, dry: bool = False) -> None:
        """`unit_per_mm` is what 1 mm of paper stands for [drawing units]: the scale."""
        self.units = units
        self.unit_per_mm = unit_per_mm
        self.doc: Any = None if dry else new_document(units, unit_per_mm)
        self.space: Any = self.doc.modelspace() if self.doc is not None else None
        self.extents: Rect | None = None

    def mm(self, length: float) -> float:
        """Drawing units of `length` mm on paper."""
        return length * self.unit_per_mm

    def include(self, rect: Rect) -> None:
        """Count `rect` as drawn."""
        self.extents = rect if self.extents is None else self.extents.joined(rect)

    def _reach(self, points: Iterable[Point]) -> None:
        """Count points as drawn."""
        xs, ys = zip(*points, strict=True)
        self.include(Rect(min(xs), min(ys), max(xs), max(ys)))

    def line(self, start: Point, end: Point, layer: Layer) -> None:
        """A straight line."""
        self._reach((start, end))
        if self.space is not None:
            self.space.add_line(start, end, dxfattribs={"layer": layer.name})

    def lines(self, points: Sequence[Point], layer: Layer, closed: bool = False) -> None:
        """A run of straight lines."""
        self._reach(points)
        if self.space is not None:
            self.space.add_lwpolyline(points, close=closed, dxfattribs={"layer": layer.name})

    def rect(self, rect: Rect, layer: Layer) -> None:
        """The outline of a rectangle."""
        self.lines(corners(rect), layer, closed=True)

    def circle(self, centre: Point, radius: float, layer: Layer) -> None:
        """A circle."""
        self.include(Rect(*centre, *centre).grown(radius))
        if self.space is not None:
            self.space.add_circle(centre, radius, dxfattribs={"layer": layer.name})

    def arc(self, centre: Point, radius: float, start: float, end: float, layer: Layer) -> None:
        """An arc counter-clockwise from `start` to `end` [degrees]."""
        # An arc reaches furthest at its ends or where it crosses an axis.
        quarters = range(math.ceil(start / 90) * 90, math.floor(end / 90) * 90 + 1, 90)
        for angle in (start, end, *quarters):
            turn = math.radians(angle)
            x, y = centre[0] + radius * math.cos(turn), centre[1] + radius * math.sin(turn)
            self._reach([(x, y)])
        if self.space is not None:
            self.space.add_arc(centre, radius, start, end, dxfattribs={"layer": layer.name})

    def hatch(
        self,
        outlines: Sequence[Sequence[Point]],
        layer: Layer = layers.HATCH,
        spacing_mm: float = 1.4,
        angle: float = 0.0,
    ) -> None:
        """Slanting hatch inside the first outline, less the others."""
        self._reach(point for outline in outlines for point in outline)
        if self.space is None:
            return
        fill = self.space.add_hatch(color=layers.GREY, dxfattribs={"layer": layer.name})
        across = self.mm(spacing_mm) * math.sqrt(0.5)
        # Off the corners of what is drawn in round sizes: through one a line's end is in doubt.
        origin = (0.0137 * across, 0.0071 * across)
        lines = [[45.0, origin, (-across, across), []]]
        fill.set_pattern_fill("ANSI31", angle=angle, definition=lines)
        _bound(fill, outlines)

    def fill(self, outline: Sequence[Point], layer: Layer) -> None:
        """A solid area."""
        self._reach(outline)
        if self.space is not None:
            area = self.space.add_hatch(color=layers.BLACK, dxfattribs={"layer": layer.name})
            _bound(area, [outline])

    def mask(self, rect: Rect) -> None:
        """Blank paper over what was drawn before, for lettering to stand on."""
        if self.space is not None:
            self.space.add_wipeout(corners(rect)).dxf.layer = layers.MASK.name

    def text(
        self,
        text: str,
        at: Point,
        height_mm: float,
        *,
        align: Align = "centre",
        rotation: int = 0,
        bold: bool = False,
        layer: Layer = layers.TEXT,
        masked: bool = False,
    ) -> Rect:
        """One line of lettering, its capitals' middle at the height of `at`; its extents.

        `rotation` is 0 or 90 (reading upwards).
        """
        text = printable(text)
        if not text:
            return Rect(*at, *at)
        rect = self.measure(text, at, height_mm, align=align, rotation=rotation, bold=bold)
        # Before the text: a wipeout hides whatever was drawn earlier.
        if masked:
            self.mask(rect.grown(self.mm(0.4)))
        self.include(rect)
        if self.space is not None:
            style = layers.LETTERING_BOLD if bold else layers.LETTERING
            entity = self.space.add_text(
                dxf_escaped(text),
                height=self.mm(height_mm),
                rotation=rotation,
                dxfattribs={"layer": layer.name, "style": style},
            )
            entity.set_placement(at, align=_ALIGN[align])
        return rect

    def measure(
        self,
        text: str,
        at: Point,
        height_mm: float,
        *,
        align: Align = "centre",
        rotation: int = 0,
        bold: bool = False,
    ) -> Rect:
        """Extents that `text` would take [drawing units]."""
        height = self.mm(height_mm)
        shift = _SHIFT[align] * text_width(text, height, bold)
        x, y = (at[0], at[1] + shift) if rotation else (at[0] + shift, at[1])
        return text_rect(text, x, y, height, rotation)

    def dimension(
        self,
        start: Point,
        end: Point,
        base: Point,
        text: str,
        text_at: Point,
        *,
        upright: bool = False,
        text_upright: bool = False,
        height_mm: float = DIM_HEIGHT,
        first_line: bool = True,
    ) -> Rect:
        """A DIMENSION from `start` to `end`, its line through `base`; extents of its figure.

        `upright` measures along y. The figure stands centred on `text_at`, reading upwards
        where `text_upright`. Without `first_line` the extension line at `start` is left
        out, for a neighbour has drawn it.
        """
        rect = text_rect(text, *text_at, self.mm(height_mm), 90 if text_upright else 0)
        self.include(rect)
        self._reach(_on_line(start, end, base, upright, self.mm(1.0)))
        if self.space is None:
            return rect
        # `dimse1` suppresses the first extension line: two on one another would print heavier.
        override = {"dimtxt": height_mm, "dimse1": 0 if first_line else 1}
        style = self.space.add_linear_dim(
            base=base,
            p1=start,
            p2=end,
            angle=90 if upright else 0,
            text=text,
            text_rotation=90 if text_upright else 0,
            dimstyle=DIMSTYLE,
            override=override,
            dxfattribs={"layer": layers.DIMENSION.name},
        )
        style.set_location(text_at)
        style.render()
        return rect


def _bound(fill: Any, outlines: Sequence[Sequence[Point]]) -> None:
    """Give a hatch its boundaries."""
    for number, outline in enumerate(outlines):
        # Flags of a boundary path: 1 is the outer one, 16 lies within it.
        fill.paths.add_polyline_path(outline, is_closed=True, flags=1 if not number else 16)


def _on_line(start: Point, end: Point, base: Point, upright: bool, by: float) -> list[Point]:
    """Ends of a dimension line with the reach of its ticks and extension lines."""
    if upright:
        return [(base[0] - by, start[1]), (base[0] + by, end[1])]
    return [(start[0], base[1] - by), (end[0], base[1] + by)]


def corners(rect: Rect) -> list[Point]:
    """Corners of a rectangle, counter-clockwise from the lower left."""
    return [
        (rect.left, rect.bottom),
        (rect.right, rect.bottom),
        (rect.right, rect.top),
        (rect.left, rect.top),
    ]

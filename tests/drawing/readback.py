"""Reading drawings back: DXF by a library, SVG as XML, text extents worked out afresh."""

from __future__ import annotations

import io
from collections import defaultdict
from dataclasses import dataclass
from typing import Any
from xml.etree import ElementTree

import ezdxf
import shapely
from reportlab.pdfbase.pdfmetrics import getAscentDescent, stringWidth

from optimizer.drawing import Drawing, draw_elevation
from tests.drawing.samples import Sample

SVG = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class Box:
    """A rectangle with what stands in it."""

    left: float
    bottom: float
    right: float
    top: float
    text: str = ""

    @property
    def corners(self) -> tuple[float, float, float, float]:
        """Its sides, as for a shape."""
        return self.left, self.bottom, self.right, self.top

    def overlap(self, other: Box) -> float:
        """Smaller side of what two boxes share; negative when they are apart."""
        return min(
            min(self.right, other.right) - max(self.left, other.left),
            min(self.top, other.top) - max(self.bottom, other.bottom),
        )


@dataclass(frozen=True)
class Measured:
    """A DIMENSION: level or upright, from where to where on which line, and its figure."""

    upright: bool
    line: float
    start: float
    end: float
    text: str


def document(drawing: Drawing) -> Any:
    """The drawing's document as it will be written, found without faults.

    Not read back, which takes three times as long: `test_legible` and `test_writing` do that with
    every drawing of every sample and with what may go wrong on the way.
    """
    return _audited(drawing.doc)


def written(drawing: Drawing) -> Any:
    """The drawing's DXF read back, and found without faults."""
    return _audited(ezdxf.read(io.StringIO(drawing.to_dxf().decode())))


def _audited(doc: Any) -> Any:
    auditor = doc.audit()
    assert not auditor.has_errors, auditor.errors
    assert not auditor.has_fixes, auditor.fixes
    return doc


_ELEVATIONS: dict[tuple[int, int, str], tuple[Sample, Any]] = {}


def elevation(made: Sample, wall: str) -> Any:
    """A wall's elevation read back, to be looked at and not changed: drawn once for each layout."""
    brief, layout = made
    key = (id(brief), id(layout), wall)
    # They are kept beside it, or others might have their numbers.
    if key not in _ELEVATIONS:
        _ELEVATIONS[key] = made, document(draw_elevation(brief, layout, wall))
    return _ELEVATIONS[key][1]


def dimensions(doc: Any) -> list[Measured]:
    """Every DIMENSION of the model space."""
    found = []
    for entity in doc.modelspace().query("DIMENSION"):
        upright = round(entity.dxf.angle) == 90
        first, second = entity.dxf.defpoint2, entity.dxf.defpoint3
        start, end = (first.y, second.y) if upright else (first.x, second.x)
        line = entity.dxf.defpoint.x if upright else entity.dxf.defpoint.y
        assert abs(abs(end - start) - entity.get_measurement()) < 1e-6
        found.append(Measured(upright, line, start, end, entity.dxf.text))
    return found


def chains(doc: Any, *, upright: bool) -> dict[float, list[Measured]]:
    """Dimensions by the line they stand on, sorted along it."""
    lines: dict[float, list[Measured]] = defaultdict(list)
    for dimension in dimensions(doc):
        if dimension.upright == upright:
            lines[round(dimension.line, 6)].append(dimension)
    return {line: sorted(links, key=lambda link: link.start) for line, links in lines.items()}


def texts(doc: Any) -> list[str]:
    """Every text that shows: TEXT, and the figures inside dimension blocks."""
    return [box.text for box in text_boxes(doc)]


def text_boxes(doc: Any) -> list[Box]:
    """Extents of every text, from the metrics of Helvetica."""
    space = doc.modelspace()
    boxes = [_box_of_text(entity) for entity in space.query("TEXT")]
    for dimension in space.query("DIMENSION"):
        for entity in dimension.virtual_entities():
            if entity.dxftype() == "MTEXT":
                x, y, _ = entity.dxf.insert
                boxes.append(
                    _box(entity.plain_text(), x, y, entity.dxf.char_height, entity.get_rotation())
                )
    return boxes


def _box_of_text(entity: Any) -> Box:
    align, at, _ = entity.get_placement()
    bold = "BOLD" in entity.dxf.style
    width = _width(entity.plain_text(), entity.dxf.height, bold)
    shift = {"MIDDLE_LEFT": 0.5, "MIDDLE_CENTER": 0.0, "MIDDLE_RIGHT": -0.5}[align.name] * width
    rotation = entity.dxf.rotation
    x, y = (at.x, at.y + shift) if round(rotation) == 90 else (at.x + shift, at.y)
    return _box(entity.plain_text(), x, y, entity.dxf.height, rotation, bold)


def _width(text: str, height: float, bold: bool = False) -> float:
    font = "Helvetica-Bold" if bold else "Helvetica"
    ascent, _ = getAscentDescent(font, 1.0)
    size = height / ascent
    known = text.encode("cp1252", "ignore").decode("cp1252")
    return stringWidth(known, font, size) + (len(text) - len(known)) * size


def _box(text: str, x: float, y: float, height: float, rotation: float, bold: bool = False) -> Box:
    half = _width(text, height, bold) / 2
    if round(rotation) == 90:
        return Box(x - height / 2, y - half, x + height / 2, y + half, text)
    return Box(x - half, y - height / 2, x + half, y + height / 2, text)


def rectangles(doc: Any, layer: str) -> list[Box]:
    """Closed outlines of four corners on a layer."""
    found = []
    for entity in doc.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]'):
        points = [(x, y) for x, y, *_ in entity.get_points()]
        if entity.closed and len(points) == 4:
            xs, ys = zip(*points, strict=True)
            found.append(Box(min(xs), min(ys), max(xs), max(ys)))
    return found


def frame(doc: Any) -> Box:
    """The frame of the sheet: the largest rectangle of its layer."""
    return max(rectangles(doc, "FRAME"), key=lambda box: box.right - box.left)


def clashes(boxes: list[Box], slack: float) -> list[tuple[str, str]]:
    """Pairs of texts that share more than `slack` of paper both ways."""
    ordered = sorted(boxes, key=lambda box: box.left)
    found = []
    for number, box in enumerate(ordered):
        for other in ordered[number + 1 :]:
            if other.left > box.right:
                break
            if box.overlap(other) > slack:
                found.append((box.text, other.text))
    return found


def svg_root(drawing: Drawing) -> ElementTree.Element:
    """The drawing's SVG as a tree; it is well-formed."""
    return ElementTree.fromstring(drawing.to_svg())  # noqa: S314  (our own output)


def svg_texts(drawing: Drawing) -> list[str]:
    """Content of every text element."""
    return [element.text or "" for element in svg_root(drawing).iter(f"{SVG}text")]


def crossed(doc: Any) -> list[str]:
    """Texts that a leader runs through."""
    # Dimensions have lines of their own, inside their blocks.
    leaders = [
        shapely.LineString([line.dxf.start.vec2, line.dxf.end.vec2])
        for line in doc.modelspace().query('LINE[layer=="DIMENSION"]')
    ]
    return [
        box.text
        for box in text_boxes(doc)
        if any(line.intersects(shapely.box(*box.corners)) for line in leaders)
    ]

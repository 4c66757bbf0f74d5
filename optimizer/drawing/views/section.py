"""A section through a bay beside its wall's elevation: depths, and heights from the floor."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from optimizer.domain.layout import Bay
from optimizer.domain.pack import Part, PartKind
from optimizer.drawing.ink import layers
from optimizer.drawing.ink.canvas import Canvas
from optimizer.drawing.ink.chains import Line, draw_chain, links_of, spread
from optimizer.drawing.ink.layers import Layer
from optimizer.drawing.ink.lettering import Rect, text_width
from optimizer.drawing.views.frame import DrawingArea
from optimizer.drawing.views.scene import WallView, depth_of, rod_height
from optimizer.drawing.views.supports import rod_radius
from optimizer.units import format_short

_APART = 9.0
"""Paper between the elevation and the section [mm]."""

_CUT = 2.4
_LONGEST = 45.0
"""Longest title under a section; longer ones become keyed notes [mm]."""

_HEIGHT = 1.6
_PITCH = 1.6
"""Distance of neighbouring figures, in their heights."""

_LAYERS: dict[PartKind, Layer] = {
    PartKind.SHELF: layers.SECTION,
    PartKind.TOP_SHELF: layers.SECTION,
    PartKind.BACK_CLEAT: layers.SECTION,
    PartKind.STIFFENER: layers.SECTION,
    PartKind.SIDE_CLEAT: layers.CLEAT,
    PartKind.ROD_CLEAT: layers.CLEAT,
    PartKind.JOINT_CLEAT: layers.CLEAT,
}
"""Parts of a section: those cut through in full, those beyond dashed."""


_MARKED = (PartKind.SHELF, PartKind.TOP_SHELF, PartKind.BACK_CLEAT, PartKind.ROD_CLEAT)
"""Parts whose upper faces are marked."""


def draw_section(board: DrawingArea, view: WallView, parts: Sequence[Part]) -> None:
    """A section through the most varied bay, to the right of what is drawn."""
    groups = _alike(view)
    if groups:
        extents = board.canvas.extents
        left = (extents.right if extents else 0.0) + board.canvas.mm(_APART)
        names = ", ".join(bay.id for bay in groups[0])
        _Section(board, view, parts, groups[0][0], left).draw(names)


def _alike(view: WallView) -> list[list[Bay]]:
    """Bays that show the same section, the most varied first."""
    groups: dict[tuple[object, ...], list[Bay]] = {}
    for bay in view.bays:
        zones = tuple(
            (zone.kind, round(zone.bottom, 3), zone.rod_height, depth_of(zone, bay))
            for zone in bay.zones
        )
        groups.setdefault((zones, bay.stiffened, bool(bay.mid_supports)), []).append(bay)
    # The sort is stable: of equally varied ones the leftmost bay's.
    return sorted(groups.values(), key=lambda bays: -len(bays[0].zones))


@dataclass(frozen=True)
class _Section:
    """One section: the wall at its left, the room at its right."""

    board: DrawingArea
    view: WallView
    parts: Sequence[Part]
    bay: Bay
    left: float

    @property
    def canvas(self) -> Canvas:
        """What it is drawn on."""
        return self.board.canvas

    def draw(self, names: str) -> None:
        """Wall and floor, parts, rods, heights and depths."""
        self._shell()
        for part in self.parts:
            if self.bay.id in part.bays:
                self._part(part)
        for zone in self.view.rods(self.bay):
            centre = (self.left + self._setback(), rod_height(zone))
            self.canvas.circle(centre, rod_radius(self.view), layers.ROD)
        self._heights()
        self._depths(names)

    def _setback(self) -> float:
        """How far out from the wall rods hang."""
        return self.view.brief.construction.rod_setback

    def _shell(self) -> None:
        """Wall and floor, cut through, and the baseboard."""
        canvas, cut = self.canvas, self.canvas.mm(_CUT)
        middle = (self.bay.start + self.bay.end) / 2
        top, far = self.view.height_at(middle), self.left + self.bay.depth
        wall = Rect(self.left - cut, 0.0, self.left, top)
        floor = Rect(self.left - cut, -cut, far + cut, 0.0)
        for rect in (wall, floor):
            canvas.hatch([[
                (rect.left, rect.bottom), (rect.right, rect.bottom),
                (rect.right, rect.top), (rect.left, rect.top),
            ]])  # fmt: skip
        canvas.line((self.left, 0.0), (self.left, top), layers.SECTION)
        canvas.line((self.left - cut, 0.0), (far + cut, 0.0), layers.SECTION)
        canvas.line((self.left - cut, top), (far + cut, top), layers.SECTION)
        rules = self.view.brief.construction
        if rules.baseboard_height and rules.baseboard_thickness:
            front = self.left + rules.baseboard_thickness
            canvas.rect(Rect(self.left, 0.0, front, rules.baseboard_height), layers.SECTION)

    def _part(self, part: Part) -> None:
        """A part as it is cut or seen beyond the cut."""
        box = part.box
        near, far = self.left + box.out, self.left + box.front
        rect = Rect(near, box.bottom, far, box.top)
        if part.kind is PartKind.TRIANGLE:
            corners = [(near, box.top), (far, box.top), (near, box.bottom)]
            self.canvas.lines(corners, layers.BEYOND, closed=True)
        elif part.kind is PartKind.UPRIGHT:
            self.canvas.rect(rect, layers.BEYOND)
        elif part.kind in _LAYERS:
            self.canvas.rect(rect, _LAYERS[part.kind])
        # One diagonal is the usual sign of a strip that is cut across.
        if part.kind is PartKind.BACK_CLEAT:
            self.canvas.line((near, box.bottom), (far, box.top), layers.SECTION)

    def _heights(self) -> None:
        """Heights from the floor, one under the other at the front of the section."""
        canvas, units = self.canvas, self.canvas.units
        marks = sorted(self._marks().items())
        at = self.left + self.bay.depth + canvas.mm(_CUT + 2.0)
        canvas.line((at, 0.0), (at, max(height for height, _ in marks)), layers.DIMENSION)
        places = spread([height for height, _ in marks], canvas.mm(_HEIGHT * _PITCH))
        far = at + canvas.mm(2.6)
        for (height, words), place in zip(marks, places, strict=True):
            canvas.line((at - canvas.mm(0.8), height), (at, height), layers.DIMENSION)
            canvas.line((at, height), (far - canvas.mm(0.4), place), layers.DIMENSION)
            text = f"{format_short(height, units)} {' '.join(words)}"
            canvas.text(text, (far, place), _HEIGHT, align="left", layer=layers.DIMENSION)

    def _marks(self) -> dict[float, list[str]]:
        """What is marked at each height: tops of boards, of cleats, rod centres, the floor."""
        marks: dict[float, list[str]] = {0.0: ["floor"]}
        for part in self.parts:
            if self.bay.id not in part.bays:
                continue
            # Without the bay, which the title names.
            name = part.id.rpartition("-")[2]
            box = part.box
            if part.kind is PartKind.ROD:
                marks.setdefault(round(box.bottom + box.size_up / 2, 6), []).append(name)
            elif part.kind in _MARKED:
                marks.setdefault(round(box.top, 6), []).append(name)
        return marks

    def _depths(self, names: str) -> None:
        """The chain of depths under the section, and its title with the bays that it shows."""
        canvas = self.canvas
        depths = {depth_of(zone, self.bay) for zone in self.bay.zones} | {self.bay.depth}
        points = {0.0, *depths}
        if self.view.rods(self.bay):
            points.add(self._setback())
        shifted = [self.left + point for point in sorted(points)]
        at = -canvas.mm(_CUT + 4.0)
        reach = draw_chain(canvas, links_of(shifted, canvas.units), Line(at, -1), 0.0)
        below = at - reach - canvas.mm(2.6)
        middle = self.left + self.bay.depth / 2
        words = f"Section, {names}"
        # Too long for the foot of the section: the names go to the key.
        if text_width(words, 2.0, bold=True) > _LONGEST:
            words = f"Section ({self.board.notes.key(words)})"
        canvas.text(words, (middle, below), 2.0, bold=True)

"""A wall seen from inside the room, drawn to scale in characters."""

from __future__ import annotations

import textwrap
from string import ascii_lowercase

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Layout, Mount
from optimizer.domain.room import KeepClear, Obstruction, Slope, Wall
from optimizer.printing.bay_picture import BayPicture
from optimizer.printing.canvas import UNICODE, Canvas, Symbols
from optimizer.printing.console import DEFAULT_WIDTH
from optimizer.printing.details import bays_of, strips_of
from optimizer.printing.scale import Scale, scales
from optimizer.printing.surroundings import draw_ceiling, draw_opening, draw_thing, thing_words
from optimizer.printing.words import cut
from optimizer.units import Units, format_short

_RULER_END = 6
"""Columns right of a drawing for the last figure of its ruler."""

_MARGIN = 8
"""Columns left of a drawing for heights, and the wall's own two ends."""


def legend(symbols: Symbols = UNICODE) -> str:
    """What each character of an elevation stands for."""
    s = symbols
    return (
        f"{s.board} board (height of its top), {s.rod} rod (height of its centre), "
        f"{s.clothes} clothes, {s.upright} upright, {s.strip} strip, {s.obstruction} obstruction, "
        f"{s.opening_side} opening, {s.support} mid support, "
        f"{s.joint} boards that butt at a corner, {s.kept_clear} kept clear, hooks, mirror"
    )


def wall_height(wall: Wall, ceiling_height: float) -> float:
    """Greatest clear height of a wall."""
    if isinstance(wall.height, Slope):
        return max(wall.height.left, wall.height.right)
    return wall.height_at(0.0, ceiling_height)


def _tick_text(distance: float, units: Units) -> str:
    """What is written at a tick of the scale: feet or millimetres."""
    return f"{distance / 12:.0f}'" if units is Units.INCH else f"{distance:.0f}"


class WallPicture:
    """One drawing of a stretch of one wall."""

    def __init__(
        self, brief: Brief, layout: Layout, wall: Wall, scale: Scale, symbols: Symbols
    ) -> None:
        """`scale` says which stretch of the wall is drawn; bays outside of it are left out."""
        self.brief, self.wall, self.scale, self.symbols = brief, wall, scale, symbols
        self.layout = layout
        self.canvas = Canvas(scale.columns + 1, scale.rows + 1)
        self.bays = [
            BayPicture(self.canvas, scale, symbols, bay, brief.construction)
            for bay in bays_of(layout, wall)
            if self._shows(bay.start, bay.end)
        ]
        self.things: list[tuple[str, Obstruction | KeepClear | Mount]] = []

    def _shows(self, start: float, end: float) -> bool:
        """Whether a stretch of the wall is on the picture."""
        return start < self.scale.right and end > self.scale.left

    def lines(self) -> list[str]:
        """The drawing from its title to the widths of the bays."""
        self._draw()
        return [
            self._title(),
            *self._framed(),
            self._ruler(),
            *self._names(),
        ]

    def _names(self) -> list[str]:
        """Ids and widths of the bays, under them."""
        if not self.bays:
            return []
        return [
            self._under_bays([cut(p.bay.id, p.width, self.symbols.cut_mark) for p in self.bays]),
            self._under_bays([self._width_text(picture) for picture in self.bays]),
        ]

    def _draw(self) -> None:
        """Ceiling and openings first, then bays, then what lies over them."""
        draw_ceiling(self.canvas, self.scale, self.symbols, self.brief, self.wall)
        for opening in self.brief.room.openings:
            if opening.wall == self.wall.id and self._shows(
                opening.start, opening.start + opening.width
            ):
                draw_opening(self.canvas, self.scale, self.symbols, opening)
        for picture in self.bays:
            picture.draw()
        self._draw_strips()
        self._draw_things()

    def _draw_strips(self) -> None:
        """Draw strips as high as the bay next to them."""
        for strip in strips_of(self.layout, self.wall, self.brief.units):
            if not self.bays or not self._shows(strip.start, strip.start + strip.width):
                continue
            middle = strip.start + strip.width / 2
            # Distance from the strip's middle to the nearer end of a bay.
            nearest = min(
                (picture.bay for picture in self.bays),
                key=lambda bay: max(bay.start - middle, middle - bay.end),
            )
            left = self.scale.column(strip.start)
            right = self.scale.column(strip.start + strip.width)
            for row in range(1, self.scale.row(nearest.height) + 1):
                self.canvas.put(left, row, self.symbols.strip * (right - left + 1), " ")

    def _draw_things(self) -> None:
        """Obstructions, boxes kept clear, hooks and mirrors, each with a letter for the notes."""
        room = self.brief.room
        things: list[Obstruction | KeepClear | Mount] = [
            *room.obstructions,
            *room.keep_clear,
            *self.layout.mounts,
        ]
        here = [thing for thing in things if thing.wall == self.wall.id]
        for index, thing in enumerate(here):
            if self._shows(thing.start, thing.start + thing.width):
                mark = ascii_lowercase[index % len(ascii_lowercase)]
                self.things.append((mark, thing))
                draw_thing(self.canvas, self.scale, self.symbols, thing, mark)

    def _title(self) -> str:
        """The wall's id, and the scale of the picture."""
        units = self.brief.units
        across = format_short(self.scale.per_column, units)
        up = format_short(self.scale.per_row, units)
        unit = " mm" if units is Units.MILLIMETRE else ""
        return f"Wall {self.wall.id} from inside, one character is about {across} by {up}{unit}"

    def _framed(self) -> list[str]:
        """The canvas between the wall's ends, heights at its left, ticks on the floor."""
        scale, units = self.scale, self.brief.units
        labels = {
            scale.row(tick): _tick_text(tick, units)
            for tick in scale.ticks(scale.height, scale.per_row, 3)
        }
        left_end, right_end = self._end_height(scale.left), self._end_height(scale.right)
        drawn = []
        for number, line in enumerate(reversed(self.canvas.lines())):
            label = labels.get(number, "").rjust(_MARGIN - 2)
            left = self.symbols.wall if 0 < number <= left_end else " "
            right = self.symbols.wall if 0 < number <= right_end else " "
            text = self.symbols.floor * self.canvas.columns if number == 0 else line
            drawn.append(f"{label} {left}{text}{right}".rstrip())
        return drawn[::-1]

    def _end_height(self, position: float) -> int:
        """Rows of wall drawn at an end of the drawing; none where it is cut in two."""
        # Exactly so: `scales` gives the wall's ends themselves, and cuts lie between them.
        at_end = position in (0.0, self.wall.clear_length)
        height = self.wall.height_at(position, self.brief.room.ceiling_height)
        return self.scale.row(height) if at_end else 0

    def _ruler(self) -> str:
        """Distances from the wall's left end, each starting under the place it means."""
        scale = self.scale
        line = Canvas(self.canvas.columns + _MARGIN + _RULER_END, 1)
        for tick in scale.ticks(scale.right, scale.per_column, 7):
            # A piece that does not begin at the wall's left end counts from there all the same.
            if tick >= scale.left:
                text = _tick_text(tick, self.brief.units)
                line.put(_MARGIN + scale.column(tick), 0, f"|{text}")
        return line.lines()[0].rstrip()

    def _under_bays(self, texts: list[str]) -> str:
        """Texts in the middle under their bays."""
        line = Canvas(self.canvas.columns + _MARGIN + 1, 1)
        for picture, text in zip(self.bays, texts, strict=True):
            line.put(_MARGIN + picture.first + (picture.width - len(text)) // 2, 0, text)
        return line.lines()[0].rstrip()

    def _width_text(self, picture: BayPicture) -> str:
        """Clear width of a bay where it fits under it, else nothing."""
        text = format_short(picture.bay.width, self.brief.units)
        return text if len(text) <= picture.width else ""

    def notes(self) -> list[str]:
        """What the drawn lines have no room to say."""
        things = [f"{mark} = {thing_words(thing, self.brief.units)}" for mark, thing in self.things]
        crowded = [note for picture in self.bays for note in picture.notes]
        return [*things, *crowded]


def _cut_places(bays: list[Bay], thickness: float) -> list[float]:
    """Where a long wall is best cut: in the middle of an upright."""
    return [bay.start - thickness / 2 for bay in bays]


def _indented(note: str, width: int) -> list[str]:
    """A note under the drawing, in as many lines as it takes."""
    first, further = " " * _MARGIN, " " * (_MARGIN + 4)
    return textwrap.wrap(note, width, initial_indent=first, subsequent_indent=further)


def elevation(
    brief: Brief,
    layout: Layout,
    wall_id: str,
    *,
    width: int = DEFAULT_WIDTH,
    symbols: Symbols = UNICODE,
) -> list[str]:
    """Lines that show a wall's bays to scale, at most `width` characters each.

    A wall too long for that is drawn in several pieces. Raises KeyError for an unknown wall.
    """
    wall = brief.room.wall(wall_id)
    bays = bays_of(layout, wall)
    pieces = scales(
        wall.clear_length,
        wall_height(wall, brief.room.ceiling_height),
        brief.units,
        width - _MARGIN - _RULER_END,
        _cut_places(bays, brief.construction.panel_thickness),
    )
    lines: list[str] = []
    for scale in pieces:
        if lines:
            lines.append("")
        picture = WallPicture(brief, layout, wall, scale, symbols)
        lines += picture.lines()
        for note in picture.notes():
            lines += _indented(note, width)
    return lines

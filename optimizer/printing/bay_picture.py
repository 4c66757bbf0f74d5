"""A bay drawn in characters: what carries it, boards, rods, hung clothes and named pieces."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass

from optimizer.domain.construction import Construction
from optimizer.domain.layout import Bay, Carried, Zone, ZoneKind
from optimizer.printing.canvas import Canvas, Symbols
from optimizer.printing.scale import Scale
from optimizer.printing.words import count_words, cut, describe_zone, stored_words
from optimizer.tolerances import TOUCH
from optimizer.units import format_short


@dataclass(frozen=True, slots=True)
class Level:
    """A zone with the rows it takes: its own line (a board or a rod) and its clear rows."""

    zone: Zone
    line: int | None
    low: int
    high: int


def _board_rows(bay: Bay, scale: Scale) -> dict[int, int]:
    """Row of each shelf zone's board by zone number, each above the one below."""
    rows: dict[int, int] = {}
    lowest = 1
    for number, zone in enumerate(bay.zones):
        if zone.kind is ZoneKind.SHELF:
            rows[number] = max(scale.row(zone.bottom), lowest)
            # Two boards closer than a row would fall on one: the upper one moves up, so that each
            # is seen.
            lowest = rows[number] + 1
    return rows


def _line_rows(bay: Bay, scale: Scale) -> dict[int, int]:
    """Rows of boards and rods; a rod gives way to the board over it."""
    rows = _board_rows(bay, scale)
    below = 0
    for number, zone in enumerate(bay.zones):
        if zone.kind is ZoneKind.ROD:
            board = min((row for other, row in rows.items() if other > number), default=None)
            # On a row of its own above what is below, as long as the board over it leaves one.
            own = max(scale.row(zone.rod_height or zone.top), below + 1)
            rows[number] = own if board is None else min(own, board - 1)
        below = rows.get(number, below)
    return rows


def levels_of(bay: Bay, scale: Scale) -> list[Level]:
    """The bay's zones with the rows they take, from the floor up; no row is taken twice."""
    lines = _line_rows(bay, scale)
    levels: list[Level] = []
    free = 1
    for number, zone in enumerate(bay.zones):
        line = lines.get(number)
        if zone.kind is ZoneKind.ROD and line is not None:
            # Clothes hang below the line of their rod, down to their hem or to what is under it.
            low = min(max(scale.row(zone.bottom), free), line)
            levels.append(Level(zone, line, low, line - 1))
            free = line + 1
            continue
        low = free if line is None else line + 1
        levels.append(Level(zone, line, low, max(low, scale.row(zone.top)) - 1))
        free = low
    return [_stopped(level, levels[index + 1 :]) for index, level in enumerate(levels)]


def _stopped(level: Level, above: list[Level]) -> Level:
    """`level` with its clear rows ending below what comes next."""
    if not above:
        return level
    following = above[0]
    start = following.low
    if following.zone.kind is ZoneKind.SHELF and following.line is not None:
        start = following.line
    high = start - 1 if level.zone.kind is not ZoneKind.ROD else min(level.high, start - 1)
    return Level(level.zone, level.line, level.low, high)


def _inlaid(symbol: str, width: int, text: str) -> str:
    """A line of `symbol` with `text` set into it where it fits whole."""
    if len(text) + 2 > width:
        return symbol * width
    return f"{symbol}{text}".ljust(width, symbol)


def _packed(names: list[str], width: int, rows: int) -> list[str]:
    """Names separated by commas in lines of at most `width`; none when the rows do not do.

    Names stay whole where that fits, else they break between their words.
    """
    if width < 1:
        return []
    # A character that is no space keeps the words of a name on one line.
    joined = ", ".join(name.replace(" ", "\0") for name in names)
    for text in (joined, joined.replace("\0", " ")):
        lines = textwrap.wrap(text, width, break_long_words=False, break_on_hyphens=False)
        if len(lines) <= rows and max(map(len, lines)) <= width:
            return [line.replace("\0", " ") for line in lines]
    return []


class BayPicture:
    """Draws one bay on a canvas; `notes` says what found no room in it."""

    def __init__(
        self, canvas: Canvas, scale: Scale, symbols: Symbols, bay: Bay, rules: Construction
    ) -> None:
        """Nothing is drawn yet; `scale` and `canvas` are of the wall's picture, which draws
        several bays."""
        self.canvas, self.scale, self.symbols, self.bay = canvas, scale, symbols, bay
        half = rules.panel_thickness / 2
        # Columns just outside of the clear space: of the uprights, else next to it.
        upright = bay.left is Carried.UPRIGHT
        self.left = scale.column(bay.start - half) if upright else scale.column(bay.start) - 1
        upright = bay.right is Carried.UPRIGHT
        self.right = scale.column(bay.end + half) if upright else scale.column(bay.end) + 1
        # With a level line the top board lies on the uprights and runs over them; else it hangs
        # between.
        self.lies_on_uprights = rules.top_line == "level" and any(
            zone.kind is ZoneKind.SHELF and abs(zone.bottom - bay.height) <= TOUCH
            for zone in bay.zones
        )
        self.notes: list[str] = []

    @property
    def first(self) -> int:
        """Leftmost column of the clear space."""
        return self.left + 1

    @property
    def width(self) -> int:
        """Columns of the clear space."""
        return max(0, self.right - self.left - 1)

    def draw(self) -> None:
        """Draw the bay's levels from the floor up, then what carries its ends."""
        for level in levels_of(self.bay, self.scale):
            if level.zone.kind is ZoneKind.ROD:
                self._draw_rod(level)
            elif level.zone.kind is ZoneKind.SHELF:
                self._draw_shelf(level)
            else:
                self._write_pieces(level, ["open floor", "floor"])
            self._draw_supports(level.line)
        for carried, column in ((self.bay.left, self.left), (self.bay.right, self.right)):
            if carried is Carried.UPRIGHT:
                self._draw_upright(column)
            elif carried is Carried.CORNER:
                self._draw_joints(column)

    def _draw_upright(self, column: int) -> None:
        """A panel up to the bay's top, or to the top board that lies on it."""
        top = self.scale.row(self.bay.height)
        for row in range(1, top if self.lies_on_uprights else top + 1):
            self.canvas.put(column, row, self.symbols.upright)
        if self.lies_on_uprights:
            self.canvas.put(column, top, self.symbols.board, " ")

    def _draw_joints(self, column: int) -> None:
        """Where boards butt against those that run through from the next wall."""
        beyond = range(column) if column == self.left else range(column + 1, self.canvas.columns)
        for level in levels_of(self.bay, self.scale):
            if level.zone.kind is ZoneKind.SHELF and level.line is not None:
                self.canvas.put(column, level.line, self.symbols.joint)
                for other in beyond:
                    self.canvas.put(other, level.line, self.symbols.board, " ")

    def _draw_supports(self, row: int | None) -> None:
        """Mid supports in a board or rod, beside its height where that is in their place."""
        # Over the line of the board alone: the figure of its height stays readable.
        free = self.symbols.board + self.symbols.rod
        for place in self.bay.mid_supports if row is not None else ():
            start = self.scale.column(place)
            for column in range(start, self.right):
                if self.canvas.put(column, row or 0, self.symbols.support, free):
                    break

    def _draw_shelf(self, level: Level) -> None:
        """A board with its height, and what stands on it."""
        height = format_short(level.zone.bottom, self.scale.units)
        self._put(level.line, _inlaid(self.symbols.board, self.width, height))
        self._write_pieces(level, [])

    def _draw_rod(self, level: Level) -> None:
        """A rod with its height, the clothes under it and their class."""
        zone = level.zone
        height = format_short(zone.rod_height or zone.top, self.scale.units)
        self._put(level.line, _inlaid(self.symbols.rod, self.width, height))
        for row in range(level.low, level.high + 1):
            self._put(row, self.symbols.clothes * self.width)
        hang = zone.hang.value if zone.hang else "hang"
        if level.high >= level.low:
            self._centre((level.low + level.high) // 2, [f" {hang} hang ", f" {hang} ", hang])

    def _write_pieces(self, level: Level, when_empty: list[str]) -> None:
        """Name the pieces in the level's clear rows; cut or crowded out, they go to the notes."""
        names = count_words(level.zone.items).split(", ") if level.zone.items else []
        names += [words.replace(", ", " ") for words in stored_words(level.zone)]
        rows = level.high - level.low + 1
        if not names:
            if rows > 0:
                self._centre(level.low, when_empty)
            return
        lines = _packed(names, self.width, rows)
        if not lines:
            self.notes.append(f"{self.bay.id}: {describe_zone(level.zone, self.scale.units)}")
            # Not all of it fits: the picture has the beginning, the notes have it whole.
            lines = [cut(", ".join(names), self.width, self.symbols.cut_mark)]
        for row, line in enumerate(reversed(lines), level.low):
            if row <= level.high:
                self._centre(row, [line])

    def _put(self, row: int | None, text: str) -> None:
        """Write a row of the bay; nothing where the row is off the picture."""
        if row is not None:
            self.canvas.put(self.first, row, text)

    def _centre(self, row: int, choices: list[str]) -> None:
        """Write the first of `choices` that fits into the bay, in the middle."""
        for text in choices:
            if text and len(text) <= self.width:
                self.canvas.put(self.first + (self.width - len(text)) // 2, row, text)
                return

"""Placing labels: at the first spot with room, smaller if need be, else as a keyed note.

A keyed note is a number at the thing and the words in the notes beside the drawing.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from optimizer.drawing.ink import layers
from optimizer.drawing.ink.canvas import Align, Canvas, Point
from optimizer.drawing.ink.layers import Layer
from optimizer.drawing.ink.lettering import Rect, printable

HEIGHTS = (2.0, 1.8, 1.6)
"""Heights of labels tried, from the largest [mm]: 6.4 points at least."""

KEY_HEIGHTS = (1.6, 1.4)
"""Heights of the number of a keyed note [mm]."""

_CLEAR = 0.35
"""Paper kept free around a label [mm]."""

_SLACK = 1e-6

_FRAME = 0.5
"""Paper between the number of a keyed note and its box [mm]."""


@dataclass
class Notes:
    """What is said beside the drawing: keyed notes by number, remarks, cautions."""

    keyed: list[str] = field(default_factory=list)
    unplaced: list[str] = field(default_factory=list)
    general: list[str] = field(default_factory=list)
    cautions: list[str] = field(default_factory=list)

    def key(self, text: str) -> int:
        """Number of the keyed note that says `text`; the same words get the same number."""
        if text not in self.keyed:
            self.keyed.append(text)
        return self.keyed.index(text) + 1

    def remark(self, text: str) -> None:
        """Add a general remark once."""
        if text not in self.general:
            self.general.append(text)

    @property
    def told_apart(self) -> list[str]:
        """Labels without a place, equal ones once with their number."""
        counts = Counter(self.unplaced)
        return [text if n == 1 else f"{text} ({n} times)" for text, n in counts.items()]


@dataclass(frozen=True, slots=True)
class Spot:
    """A place to try: the point, how the text lies on it, and whether it reads upwards."""

    at: Point
    align: Align = "centre"
    rotation: int = 0


class Placer:
    """Places labels inside `bounds` so that none touches another or what is `taken`.

    `clear` is the paper kept free around each [mm], and `written` where the placed ones stand.
    """

    def __init__(
        self, canvas: Canvas, notes: Notes, bounds: Rect | None, taken: Iterable[Rect] = ()
    ) -> None:
        """Without `bounds` labels may stand anywhere; `taken` is copied, for what one placer
        puts down the caller has to pass on."""
        self.canvas = canvas
        self.notes = notes
        self.bounds = bounds
        self.taken: list[Rect] = list(taken)
        self.soft: list[Rect] = []
        self.written: list[Rect] = []
        self.clear = _CLEAR

    def free(self, rect: Rect, *, lenient: bool = False) -> bool:
        """Whether `rect` lies inside the bounds and touches nothing.

        What is `soft` (an item's outline, say) may be written over when `lenient`.
        """
        if self.bounds is not None and not self.bounds.holds(rect):
            return False
        if any(rect.overlaps(other) for other in self.taken):
            return False
        return lenient or not any(rect.overlaps(other) for other in self.soft)

    def block(self, rect: Rect) -> None:
        """Keep labels out of `rect`."""
        self.taken.append(rect)

    def try_text(
        self,
        text: str,
        spots: Sequence[Spot],
        *,
        heights: Sequence[float] = HEIGHTS,
        bold: bool = False,
        layer: Layer = layers.TEXT,
        masked: bool = False,
        suits: Callable[[Rect], bool] = lambda _: True,
    ) -> Rect | None:
        """Draw `text` at the first spot and size with room; None when there is none.

        `suits` tells whether it may stand there for what else the caller asks.
        """
        text = printable(text)
        # Soft places are overwritten only where no spot is free without.
        for lenient in (False, True) if self.soft else (True,):
            for height in heights:
                # Most spots are ruled out by size alone: measured once for each height, not once
                # for each spot.
                turns = self._turns_that_fit(text, height, bold)
                for spot in spots:
                    if spot.rotation not in turns:
                        continue
                    rect = self._extents(text, spot, height, bold)
                    if not self.free(rect, lenient=lenient) or not suits(rect):
                        continue
                    self.canvas.text(
                        text,
                        spot.at,
                        height,
                        align=spot.align,
                        rotation=spot.rotation,
                        bold=bold,
                        layer=layer,
                        masked=masked,
                    )
                    self._write(rect)
                    return rect
        return None

    def _write(self, rect: Rect) -> None:
        """Note that a label stands there."""
        self.taken.append(rect)
        self.written.append(rect)

    def _turns_that_fit(self, text: str, height: float, bold: bool) -> set[int]:
        """Ways to turn a text so that it is no longer and no higher than the bounds."""
        return {
            turn
            for turn in (0, 90)
            if self.as_large(self._extents(text, Spot((0.0, 0.0), rotation=turn), height, bold))
        }

    def as_large(self, rect: Rect) -> bool:
        """Whether the bounds are as large as `rect`, wherever it lies."""
        bounds = self.bounds
        if bounds is None:
            return True
        return rect.width <= bounds.width + _SLACK and rect.height <= bounds.height + _SLACK

    def _extents(self, text: str, spot: Spot, height: float, bold: bool) -> Rect:
        """The label's extents with the paper kept free around it."""
        rect = self.canvas.measure(
            text, spot.at, height, align=spot.align, rotation=spot.rotation, bold=bold
        )
        return rect.grown(self.canvas.mm(self.clear))

    def label(
        self,
        text: str,
        spots: Sequence[Spot],
        *,
        where: str,
        bold: bool = False,
        layer: Layer = layers.TEXT,
        heights: Sequence[float] = HEIGHTS,
        key_spots: Sequence[Spot] = (),
        masked: bool = False,
    ) -> Rect | None:
        """As `try_text`; without room the words go to the notes and a number to the spot.

        `where` tells in words which thing it is, for a note whose number has no room either.
        """
        placed = self.try_text(text, spots, bold=bold, layer=layer, heights=heights, masked=masked)
        if placed is not None:
            return placed
        return self.key(text, (*spots, *key_spots), where=where, masked=masked)

    def key(
        self, text: str, spots: Sequence[Spot], *, where: str, masked: bool = False
    ) -> Rect | None:
        """Only the number of a keyed note, in a box, at the first spot with room for it."""
        text = printable(text)
        fresh = text not in self.notes.keyed
        number = str(self.notes.key(text))
        for height in KEY_HEIGHTS:
            for spot in spots:
                rect = self.canvas.measure(number, spot.at, height, align=spot.align)
                box = rect.grown(self.canvas.mm(_FRAME))
                if self.free(box, lenient=True):
                    self.canvas.text(number, spot.at, height, align=spot.align, masked=masked)
                    self.canvas.rect(rect.grown(self.canvas.mm(_FRAME * 0.7)), layers.TEXT)
                    self._write(box)
                    return box
        # A number that stands nowhere on the drawing would be looked for in vain.
        if fresh:
            self.notes.keyed.pop()
        self.notes.unplaced.append(f"{printable(where)}: {text}")
        return None


def row_spots(bounds: Rect, y: float, steps: int = 5) -> list[Spot]:
    """Spots along a level line through `bounds`: the middle first, then outwards."""
    middle = bounds.centre[0]
    reach = bounds.width / 2
    spots = [Spot((middle, y))]
    for step in range(1, steps + 1):
        shift = reach * step / (steps + 1)
        spots += [Spot((middle - shift, y)), Spot((middle + shift, y))]
    return spots

"""A row of tags under or beside a drawing: ids at their places along a line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from optimizer.drawing.ink.canvas import Canvas
from optimizer.drawing.ink.chains import spread
from optimizer.drawing.ink.labels import Notes
from optimizer.drawing.ink.layers import TEXT
from optimizer.drawing.ink.lettering import printable, text_width

_HEIGHTS = (2.2, 2.0, 1.8, 1.6)
_LONGEST = 18.0
"""Longest tag set in a row [mm]; longer ones become keyed notes."""

_LEAD = 2.0
"""Paper above tags for the leaders of those that had to step aside [mm]."""


@dataclass(frozen=True, slots=True)
class Tag:
    """A text that belongs at `at` along the row."""

    at: float
    text: str
    bold: bool = False


def draw_row(canvas: Canvas, notes: Notes, tags: Sequence[Tag], top: float) -> float:
    """Draw `tags` below the level `top`, level if they fit side by side, else upright.

    Gives the level of the row's foot [drawing units].
    """
    if not tags:
        return top
    placed = [
        Tag(tag.at, _short(notes, printable(tag.text)), tag.bold)
        for tag in sorted(tags, key=lambda tag: (tag.at, tag.text))
    ]
    # All at one height, the largest at which they fit.
    for height in _HEIGHTS:
        if fit_level(canvas, placed, height):
            middle = top - canvas.mm(0.6 + height / 2)
            for tag in placed:
                canvas.text(tag.text, (tag.at, middle), height, bold=tag.bold)
            return middle - canvas.mm(height)
    return _draw_upright(canvas, placed, top)


def _short(notes: Notes, text: str) -> str:
    """The tag itself, or the number of the note that spells it out."""
    if text_width(text, _HEIGHTS[-1]) <= _LONGEST:
        return text
    return f"({notes.key(text)})"


def fit_level(canvas: Canvas, tags: Sequence[Tag], height: float = _HEIGHTS[-1]) -> bool:
    """Whether the tags stand side by side without touching."""
    air = canvas.mm(1.0)
    end = float("-inf")
    for tag in sorted(tags, key=lambda tag: tag.at):
        half = text_width(tag.text, canvas.mm(height), tag.bold) / 2
        # Only neighbours: the tags are in the order of their places.
        if tag.at - half < end + air:
            return False
        end = tag.at + half
    return True


def _draw_upright(canvas: Canvas, tags: Sequence[Tag], top: float) -> float:
    """The tags reading upwards, pushed apart where they would touch, with leaders."""
    height = _HEIGHTS[-1]
    places = spread([tag.at for tag in tags], canvas.mm(height * 1.5))
    start = top - canvas.mm(_LEAD)
    foot = start
    for tag, place in zip(tags, places, strict=True):
        half = text_width(tag.text, canvas.mm(height), tag.bold) / 2
        canvas.text(tag.text, (place, start - half), height, rotation=90, bold=tag.bold)
        canvas.line((tag.at, top - canvas.mm(0.3)), (place, start + canvas.mm(0.4)), TEXT)
        foot = min(foot, start - 2 * half)
    return foot - canvas.mm(0.6)

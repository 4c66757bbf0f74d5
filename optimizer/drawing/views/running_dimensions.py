"""Running dimensions: every place to mark along a wall, each measured from its left end.

A tape is hooked once and read all along, so that errors do not add up.
"""

from __future__ import annotations

from collections.abc import Sequence

from optimizer.domain.pack import Part, PartKind
from optimizer.drawing.ink.canvas import Canvas
from optimizer.drawing.ink.chains import spread
from optimizer.drawing.ink.layers import DIMENSION
from optimizer.drawing.ink.lettering import text_width
from optimizer.units import Units, format_short

_HEIGHT = 1.6
_PITCH = 1.5
"""Distance of neighbouring figures, in their heights."""

_LEAD = 2.4
"""From the line to the nearest end of the figures [mm]."""

_LETTERS = {
    PartKind.BACK_CLEAT: "K",
    PartKind.JOINT_CLEAT: "J",
    PartKind.ROD_CLEAT: "Q",
    PartKind.FILLER: "F",
    PartKind.SCRIBE: "F",
}
"""What is marked at its ends, by the letter of its part's id."""

KEY = (
    "Running sizes from the left end: U left face of an upright, K ends of cleats, R rod sockets, "
    "Q rod cleats, T middle of a triangle, J joint cleats, F fillers."
)


def draw_running(
    canvas: Canvas, parts: Sequence[Part], length: float, at: float, rod_allowance: float
) -> float:
    """Figures along a level line at `at`; the level of their feet [drawing units].

    Sockets sit half of `rod_allowance` beyond the ends of their rod.
    """
    marks = running_marks(canvas.units, _places(parts, rod_allowance / 2), length)
    if not marks:
        return at
    pitch = canvas.mm(_HEIGHT * _PITCH)
    # Where marks stand close, their figures are spread out and led to them by a line.
    places = spread([mark[0] for mark in marks], pitch)
    canvas.line((0.0, at), (length, at), DIMENSION)
    tick, start = canvas.mm(0.8), at - canvas.mm(_LEAD)
    foot = start
    for (along, text), place in zip(marks, places, strict=True):
        half = text_width(text, canvas.mm(_HEIGHT)) / 2
        canvas.line((along, at + tick), (along, at), DIMENSION)
        canvas.line((along, at), (place, start + canvas.mm(0.4)), DIMENSION)
        canvas.text(text, (place, start - half), _HEIGHT, rotation=90, layer=DIMENSION)
        foot = min(foot, start - 2 * half)
    return foot


def running_marks(
    units: Units, places: Sequence[tuple[float, str]], length: float
) -> list[tuple[float, str]]:
    """Places from the left to the right with their words: the figure, then what is marked."""
    grid = units.grid
    found: dict[int, tuple[float, dict[str, None]]] = {}
    for along, what in sorted(places):
        # A socket or a cleat may lie a hair beyond the wall's end; what is further off belongs to
        # the next wall.
        if -grid <= along <= length + grid:
            # Places that read the same on a tape share one figure; a dict for the letters, since a
            # set has no order.
            found.setdefault(round(along / grid), (along, {}))[1].setdefault(what)
    return [
        (along, f"{format_short(along, units)} {' '.join(words)}")
        for along, words in found.values()
    ]


def _places(parts: Sequence[Part], beyond: float) -> list[tuple[float, str]]:
    """Where each part is marked along the wall, and by which letter."""
    made: list[tuple[float, str]] = []
    for part in parts:
        box = part.box
        if part.kind is PartKind.UPRIGHT:
            made.append((box.along, part.id.rpartition("-")[2]))
        elif part.kind is PartKind.TRIANGLE:
            made.append((box.along + box.size_along / 2, "T"))
        elif part.kind is PartKind.ROD:
            made += [(box.along - beyond, "R"), (box.end + beyond, "R")]
        elif part.kind in _LETTERS:
            letter = _LETTERS[part.kind]
            made += [(box.along, letter), (box.end, letter)]
    return made

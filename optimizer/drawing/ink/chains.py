"""Dimension chains: lengths end to end along a line, whose figures add up to the whole.

A figure that has room stands over its line; one that has none stands beside the line,
at right angles to it, pushed along just so far that no two touch, with a thin leader.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from optimizer.drawing.ink.canvas import Canvas, Point
from optimizer.drawing.ink.layers import DIM_HEIGHT, DIMENSION
from optimizer.drawing.ink.lettering import text_width
from optimizer.units import Units, format_feet, format_short

HEIGHTS = (DIM_HEIGHT, 1.6)
"""Heights of figures tried, from the largest [mm]."""

_OVER = 0.8 + DIM_HEIGHT / 2
"""From a dimension line to the middle of its figures [mm]."""

_LEADER = 2.2
"""From a dimension line to the nearest end of a figure that found no room over it [mm];
past the figures that did, where those stand on the same side."""

_PITCH = 1.5
"""Distance of neighbouring crosswise figures, in their heights."""


@dataclass(frozen=True, slots=True)
class Line:
    """Where a chain lies: its fixed coordinate, and the side on which it has free paper.

    `upright` chains run along y at x = `at`; level ones along x at y = `at`. `away` is +1
    or -1: the direction across the line that leads away from what is measured.
    """

    at: float
    away: int
    upright: bool = False

    def point(self, along: float, across: float = 0.0) -> Point:
        """The point `along` the line, `across` away from it."""
        other = self.at + across * self.away
        return (other, along) if self.upright else (along, other)


@dataclass(frozen=True, slots=True)
class Link:
    """One length of a chain with its figure, half way unless it is to stand elsewhere."""

    start: float
    end: float
    text: str
    at: float | None = None

    @property
    def middle(self) -> float:
        """Where the figure stands along it."""
        return (self.start + self.end) / 2 if self.at is None else self.at


def links_of(points: Sequence[float], units: Units) -> tuple[Link, ...]:
    """Links between sorted `points`, rounded so that the figures add up to the whole.

    Points are rounded to the cutting grid before they are subtracted: the error of
    rounding never piles up.
    """
    grid = units.grid
    marks = sorted(set(points))
    kept: list[float] = []
    for mark in marks:
        # Points that round to one mark would make a link of no length, and a figure of 0.
        if not kept or round(mark / grid) > round(kept[-1] / grid):
            kept.append(mark)
    # The last point is the wall's end: it stays, its neighbour goes.
    if marks and kept[-1] != marks[-1]:
        kept[-1] = marks[-1]
    origin = kept[0] if kept else 0.0
    steps = [round((mark - origin) / grid) * grid for mark in kept]
    return tuple(
        Link(start, end, format_short(b - a, units))
        for start, end, a, b in zip(kept, kept[1:], steps, steps[1:], strict=False)
    )


def spread(wanted: Sequence[float], pitch: float) -> list[float]:
    """Places as near to `wanted` (sorted) as may be with at least `pitch` between them.

    Pools of neighbours that would touch are centred on where they want to be together.
    """
    pools: list[tuple[list[float], float]] = []
    # Pool adjacent violators: a pool that would touch the one before it is merged with it.
    for want in wanted:
        members = [want]
        first = want
        while pools:
            before, start = pools[-1]
            if start + len(before) * pitch <= first:
                break
            pools.pop()
            members = [*before, *members]
            first = sum(w - i * pitch for i, w in enumerate(members)) / len(members)
        pools.append((members, first))
    return [start + i * pitch for members, start in pools for i in range(len(members))]


def draw_chain(canvas: Canvas, links: Sequence[Link], line: Line, feature: float) -> float:
    """Draw `links` on `line`; the distance from it to the far side of its figures [units].

    `feature` is the coordinate across the line of what is measured.
    """
    crowded: list[Link] = []
    for number, link in enumerate(links):
        height = _height_over(canvas, link)
        if height is None:
            crowded.append(link)
            continue
        side = _over_side(line)
        at = line.point(link.middle, side * canvas.mm(_OVER))
        _dimension(
            canvas,
            link,
            line,
            feature,
            at,
            text_upright=line.upright,
            height=height,
            first=number == 0,
        )
    reach = canvas.mm(2 * _OVER if _over_side(line) > 0 else 1.0)
    return max(reach, _draw_crowded(canvas, links, crowded, line, feature))


def _over_side(line: Line) -> int:
    """Side of the line for figures with room: over a level line, left of an upright one."""
    reading_side = -1 if line.upright else 1
    return reading_side * line.away


def _height_over(canvas: Canvas, link: Link) -> float | None:
    """Height at which the figure fits over its line, if any does."""
    # Less the ticks at both ends.
    room = (link.end - link.start) - canvas.mm(0.8)
    for height in HEIGHTS:
        if text_width(link.text, canvas.mm(height)) <= room:
            return height
    return None


def _draw_crowded(
    canvas: Canvas, links: Sequence[Link], crowded: Sequence[Link], line: Line, feature: float
) -> float:
    """Figures beside the line, each at right angles to it with its leader; their reach."""
    if not crowded:
        return 0.0
    height = HEIGHTS[-1]
    pitch = canvas.mm(height * _PITCH)
    # Each as near to its link as the others let it.
    places = spread([link.middle for link in crowded], pitch)
    reach = 0.0
    for link, place in zip(crowded, places, strict=True):
        half = text_width(link.text, canvas.mm(height)) / 2
        near = canvas.mm(_LEADER if _over_side(line) < 0 else 2 * _OVER + 0.5)
        at = line.point(place, near + half)
        first = link is links[0]
        _dimension(
            canvas,
            link,
            line,
            feature,
            at,
            text_upright=not line.upright,
            height=height,
            first=first,
        )
        knee = line.point(place, near - canvas.mm(0.4))
        canvas.line(line.point(link.middle), knee, DIMENSION)
        reach = max(reach, near + 2 * half)
    return reach


def _dimension(
    canvas: Canvas,
    link: Link,
    line: Line,
    feature: float,
    text_at: Point,
    *,
    text_upright: bool,
    height: float,
    first: bool,
) -> None:
    """One link of a chain as a dimension, its figure at `text_at`."""
    across = (feature - line.at) * line.away
    canvas.dimension(
        line.point(link.start, across),
        line.point(link.end, across),
        line.point(link.start),
        link.text,
        text_at,
        upright=line.upright,
        text_upright=text_upright,
        height_mm=height,
        first_line=first,
    )


def whole_text(length: float, units: Units) -> str:
    """Figure of a whole wall: in inch drawings with feet as well, as it is bought and taped."""
    short = format_short(length, units)
    if units is Units.INCH and length >= 12.0:
        return f"{short} ({format_feet(length)})"
    return short


def draw_whole(canvas: Canvas, start: float, end: float, line: Line, feature: float) -> float:
    """One dimension over the whole of a wall; its reach from the line [units]."""
    text = whole_text(end - start, canvas.units)
    # The feet in brackets are dropped first: inches alone say it too.
    if text_width(text, canvas.mm(HEIGHTS[0])) > end - start:
        text = format_short(end - start, canvas.units)
    return draw_chain(canvas, (Link(start, end, text),), line, feature)

"""What the side wall at a wall's end offers to carry boards and rods."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimizer.domain.brief import Brief
from optimizer.domain.room import Wall
from optimizer.geometry.outline import Outline
from optimizer.tolerances import FINE


@dataclass(frozen=True, slots=True)
class BlockedPart:
    """A part of a side wall where nothing can be fastened.

    `near` and `far` from the corner along the side wall, `bottom` and `top` up.
    """

    near: float
    far: float
    bottom: float
    top: float


@dataclass(frozen=True, slots=True)
class SideWall:
    """The wall that meets another at an inside corner, seen from that corner.

    `height` is the ceiling's at the corner, `rise` how it goes on from there per unit of length.
    """

    length: float
    height: float
    rise: float
    taken: tuple[BlockedPart, ...]

    def sound(self, depth: float, bottom: float, top: float) -> bool:
        """Whether a cleat from the corner out to `depth`, `bottom` to `top` up, lies on wall."""
        if depth > self.length + FINE:
            return False
        # A ceiling that falls away from the corner is lowest at the cleat's far end.
        if top > self.height + min(0.0, self.rise * depth) + FINE:
            return False
        return not any(
            part.near < depth - FINE
            and part.far > FINE
            and part.bottom < top - FINE
            and bottom < part.top - FINE
            for part in self.taken
        )


def side_wall(brief: Brief, outline: Outline, wall: int, *, at_left: bool) -> SideWall | None:
    """The side wall at the left or right end of a wall; None where no inside corner is there."""
    count = len(outline.walls)
    for left, right in outline.inside_corners():
        if (right if at_left else left) == wall:
            other = left if at_left else right
            line = brief.room.walls[other % count]
            length = outline.walls[other].length
            ceiling = brief.room.ceiling_height
            near, far = line.height_at(0.0, ceiling), line.height_at(line.clear_length, ceiling)
            # The side wall at a left end meets it with its own right end.
            near, far = (far, near) if at_left else (near, far)
            taken = _taken(brief, line, length, from_right=at_left)
            return SideWall(length, near, (far - near) / line.clear_length, tuple(taken))
    return None


def _taken(brief: Brief, line: Wall, length: float, *, from_right: bool) -> Iterator[BlockedPart]:
    """Openings with their casing, and things that may not be covered, from the corner on."""

    def seen(start: float, end: float, bottom: float, top: float) -> BlockedPart:
        """A box on the side wall, as it lies seen from the corner."""
        near, far = (length - end, length - start) if from_right else (start, end)
        return BlockedPart(near, far, bottom, top)

    for opening in brief.room.openings:
        if opening.wall == line.id:
            low, high = opening.start - opening.casing, opening.start + opening.width
            yield seen(low, high + opening.casing, 0.0, opening.height + opening.casing)
    for thing in brief.room.obstructions:
        if thing.wall == line.id and not thing.may_cover:
            top = thing.bottom + thing.height
            yield seen(thing.start, thing.start + thing.width, thing.bottom, top)

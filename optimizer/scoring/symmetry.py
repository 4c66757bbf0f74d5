"""The ways in which a room maps onto itself: mirrored, or turned.

A person sees one idea in a layout and its mirror image where the room is as good as symmetric:
walls, corners and openings map onto walls, corners and openings of about the same size and place.
What is fastened to the walls is left out, since people do not think of it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimizer.domain.brief import Brief
from optimizer.domain.room import Opening
from optimizer.geometry.outline import examine

ALIKE_IN = 1.0
"""Walls whose lengths, and openings whose places, differ by no more count as alike (our own)."""

Map = tuple[int, ...]
"""Number of the wall that each wall falls on."""


@dataclass(frozen=True, slots=True)
class _RoomFeatures:
    """What of a room has to map onto something alike."""

    lengths: tuple[float, ...]
    inside: tuple[bool, ...]
    closed: bool
    openings: tuple[tuple[int, Opening], ...]
    slack: float

    def maps(self) -> Iterator[tuple[Map, bool]]:
        """Every renumbering of the walls, with whether it mirrors the room; the identity first."""
        count = len(self.lengths)
        for turn in range(count if self.closed else 1):
            yield tuple((wall + turn) % count for wall in range(count)), False
        # An open run has one mirror image: its walls in the opposite order.
        for turn in range(count) if self.closed else (count - 1,):
            yield tuple((turn - wall) % count for wall in range(count)), True

    def holds(self, walls: Map, *, mirrored: bool) -> bool:
        """Whether a renumbering maps everything onto something alike."""
        return (
            all(self._near(self.lengths[a], self.lengths[b]) for a, b in enumerate(walls))
            and self._corners(walls, mirrored=mirrored)
            and all(self._opening(o, wall, walls[wall], mirrored) for wall, o in self.openings)
        )

    def _near(self, one: float, other: float) -> bool:
        """Whether two lengths are the same within an inch."""
        return abs(one - other) <= self.slack

    def _corners(self, walls: Map, *, mirrored: bool) -> bool:
        """Whether inside corners come onto inside corners."""
        count = len(walls)
        for wall in range(count if self.closed else count - 1):
            # `inside[i]` is the corner after wall i; a mirror turns "after" into "before".
            before = walls[(wall + 1) % count] if mirrored else walls[wall]
            if self.inside[wall] != self.inside[before]:
                return False
        return True

    def _opening(self, opening: Opening, wall: int, onto: int, mirrored: bool) -> bool:
        """Whether an opening comes onto one of the same size."""
        start = opening.start
        if mirrored:
            # Seen in a mirror it starts as far from the other end.
            start = self.lengths[wall] - start - opening.width
        return any(
            other_wall == onto
            and self._near(other.start, start)
            and self._near(other.width, opening.width)
            for other_wall, other in self.openings
        )


def symmetries_of(brief: Brief) -> tuple[Map, ...]:
    """The maps of a brief's walls onto walls under which a person would not notice a difference.

    Each is a tuple of wall numbers by wall; the identity comes first.
    """
    room, units = brief.room, brief.units
    outline, _ = examine(room, units)
    index = {wall.id: number for number, wall in enumerate(room.walls)}
    seen = _RoomFeatures(
        lengths=tuple(wall.clear_length for wall in room.walls),
        inside=outline.inside,
        closed=outline.closed,
        openings=tuple((index[opening.wall], opening) for opening in room.openings),
        slack=units.from_inch(ALIKE_IN),
    )
    found = (walls for walls, mirrored in seen.maps() if seen.holds(walls, mirrored=mirrored))
    # Turned and mirrored maps may coincide in small rooms; a dict keeps the order.
    return tuple(dict.fromkeys(found))

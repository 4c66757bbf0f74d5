"""What every rule of the brief reads: the brief, with its room worked out once."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from optimizer.domain.brief import Brief
from optimizer.domain.room import Opening, Slope, Wall
from optimizer.domain.study import Warned
from optimizer.errors import Fault
from optimizer.geometry.access import front_distance, is_reach_in, wall_in_frame
from optimizer.geometry.outline import Outline, examine
from optimizer.reference.reach import Reach, reach_of
from optimizer.tolerances import RULE_IN
from optimizer.units import Units, state_length


@dataclass(frozen=True)
class BriefView:
    """A brief whose fields are each sound, and what several rules ask about it."""

    brief: Brief

    @property
    def units(self) -> Units:
        """Units of the brief."""
        return self.brief.units

    @cached_property
    def tolerance(self) -> float:
        """Float noise [brief units]."""
        return self.units.from_inch(RULE_IN)

    def say(self, length: float) -> str:
        """A length for a message, with its unit."""
        return state_length(length, self.units)

    @cached_property
    def _examined(self) -> tuple[Outline, tuple[Fault, ...]]:
        """The outline of the walls and what is wrong with it, worked out once."""
        return examine(self.brief.room, self.units)

    @property
    def outline(self) -> Outline:
        """Walls in plan, as far as they go."""
        return self._examined[0]

    @property
    def outline_faults(self) -> tuple[Fault, ...]:
        """What is wrong with the walls in plan."""
        return self._examined[1]

    @cached_property
    def wall_index(self) -> dict[str, int]:
        """Number of each wall by id; of walls with one id, the first."""
        index: dict[str, int] = {}
        for number, wall in enumerate(self.brief.room.walls):
            index.setdefault(wall.id, number)
        return index

    def wall(self, wall_id: str) -> Wall | None:
        """The wall of that id, if there is one."""
        number = self.wall_index.get(wall_id)
        return None if number is None else self.brief.room.walls[number]

    def ends_carried(self, number: int) -> tuple[bool, bool]:
        """Whether a wall meets another one at its left and right end that may carry boards."""
        if self.brief.construction.wall_ends == "uprights":
            return False, False
        # A wall's left end is the second wall's side of a corner, its right end the first one's.
        corners = self.outline.inside_corners()
        return (
            any(right == number for _, right in corners),
            any(left == number for left, _ in corners),
        )

    @cached_property
    def openings(self) -> tuple[tuple[int, Opening, Wall], ...]:
        """(number, opening, its wall) of the openings whose wall exists."""
        found = ((i, o, self.wall(o.wall)) for i, o in enumerate(self.brief.room.openings))
        return tuple((i, o, wall) for i, o, wall in found if wall is not None)

    def heights(self, wall: Wall, start: float = 0.0, end: float = math.inf) -> tuple[float, float]:
        """Least and greatest clear height of a wall from `start` to `end`."""
        ceiling = self.brief.room.ceiling_height
        # Heights run straight from end to end, so the least and the greatest are at the ends.
        ends = (min(max(start, 0.0), wall.clear_length), min(max(end, 0.0), wall.clear_length))
        found = [wall.height_at(position, ceiling) for position in ends]
        return min(found), max(found)

    @cached_property
    def top(self) -> float:
        """Greatest clear height over any wall."""
        return max(self.heights(wall)[1] for wall in self.brief.room.walls)

    @cached_property
    def longest(self) -> Wall:
        """The longest wall."""
        return max(self.brief.room.walls, key=lambda wall: wall.clear_length)

    @cached_property
    def is_reach_in(self) -> bool:
        """Whether the storage is served from outside; needs openings on walls that exist."""
        if len(self.openings) < len(self.brief.room.openings):
            return False
        return is_reach_in(self.brief, self.outline)

    @cached_property
    def depth(self) -> float:
        """Greatest distance from a wall that may carry storage to what faces it."""
        if not self.outline.closed:
            return math.inf
        if self.is_reach_in:
            return max(
                front_distance(self.outline, self.wall_index[o.wall], o.start + o.width / 2)
                for _, o, _ in self.openings
            )
        return max(self._depth_before(wall) for wall in range(len(self.outline.walls)))

    def _depth_before(self, wall: int) -> float:
        """Greatest clear distance straight ahead of a wall of a closed room."""
        length = self.outline.walls[wall].length
        ends = [
            along
            for other in range(len(self.outline.walls))
            for along, _ in wall_in_frame(self.outline, wall, other)
        ]
        # What faces a wall changes only where some wall's end is passed: between two such places
        # one look, from the middle, does.
        cuts = sorted({0.0, length, *(along for along in ends if 0.0 < along < length)})
        middles = [(low + high) / 2 for low, high in pairwise(cuts)]
        return max(front_distance(self.outline, wall, middle) for middle in middles)

    @cached_property
    def reach(self) -> Reach:
        """What the users reach."""
        return reach_of(self.brief.needs, self.brief.construction, self.units)


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule over several fields; `reads` names the parts of the brief that it looks at.

    A rule is left out when one of these parts is unsound. A part is `section` or
    `section.key`, such as `room.walls`.
    """

    check: Callable[[BriefView], Iterable[Fault]]
    reads: tuple[str, ...]

    def can_run(self, unsound: Iterable[str]) -> bool:
        """Whether none of the unsound parts is among those it reads."""
        return not any(_within(part, read) for part in unsound for read in self.reads)


@dataclass(frozen=True, slots=True)
class Notice:
    """A rule that warns instead of refusing; run on sound briefs only."""

    check: Callable[[BriefView], Iterable[Warned]]


def _within(part: str, read: str) -> bool:
    """Whether one of two parts holds the other."""
    return part == read or part.startswith(read + ".") or read.startswith(part + ".")


def height_pointer(wall_number: int, wall: Wall) -> str:
    """JSON Pointer of a wall's height, or of its higher end."""
    pointer = f"/room/walls/{wall_number}/height"
    if isinstance(wall.height, Slope):
        return f"{pointer}/{'left' if wall.height.left >= wall.height.right else 'right'}"
    return pointer

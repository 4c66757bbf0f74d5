"""Rules of where walls meet: one height for both at a corner, but for a soffit over one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimizer.briefs.rules.brief_view import BriefView, Notice, Rule
from optimizer.domain.room import Slope, Wall
from optimizer.domain.study import Warned
from optimizer.errors import Fault
from optimizer.units import Units

CORNER_STEP = {Units.INCH: 0.5, Units.MILLIMETRE: 12.0}
"""Heights of two walls at their corner may differ this much: common practice for what is taped."""

SOFFIT_DROP = {Units.INCH: 6.0, Units.MILLIMETRE: 150.0}
"""A level wall this much lower than a level neighbour has a soffit or a beam over it; more is
taken for a slip (our own choice)."""


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two walls at a corner: their numbers and what height each has there."""

    left: int
    right: int
    left_height: float
    right_height: float

    @property
    def step(self) -> float:
        """By how much the heights differ."""
        return abs(self.left_height - self.right_height)


def meetings(view: BriefView) -> Iterator[Meeting]:
    """Every corner where a wall follows on another one."""
    walls, ceiling = view.brief.room.walls, view.brief.room.ceiling_height
    # The last wall of an open room meets no other.
    corners = len(walls) if view.outline.closed else len(walls) - 1
    for left in range(corners):
        right = (left + 1) % len(walls)
        yield Meeting(
            left,
            right,
            walls[left].height_at(walls[left].clear_length, ceiling),
            walls[right].height_at(0.0, ceiling),
        )


def _is_soffit(view: BriefView, met: Meeting) -> bool:
    """Whether both walls are level and little enough apart for a soffit over one of them."""
    pair = (view.brief.room.walls[met.left], view.brief.room.walls[met.right])
    level = not any(isinstance(wall.height, Slope) for wall in pair)
    return level and met.step <= SOFFIT_DROP[view.units] + view.tolerance


def _pointer(view: BriefView, met: Meeting) -> str:
    """The height that was given, the later wall's before the earlier one's."""
    for number, end in ((met.right, "left"), (met.left, "right")):
        height = view.brief.room.walls[number].height
        if height is not None:
            pointer = f"/room/walls/{number}/height"
            return f"{pointer}/{end}" if isinstance(height, Slope) else pointer
    return "/room/ceiling_height"


def _say(view: BriefView, wall: Wall, height: float) -> str:
    """How high a wall is at a corner, and where that is said."""
    given = "the ceiling's height" if wall.height is None else "as given"
    return f"wall {wall.id} is {view.say(height)} high there ({given})"


def _heights(view: BriefView) -> Iterator[Fault]:
    """Two walls are as high as each other where they meet."""
    walls = view.brief.room.walls
    for met in meetings(view):
        if met.step <= CORNER_STEP[view.units] + view.tolerance or _is_soffit(view, met):
            continue
        left, right = walls[met.left], walls[met.right]
        yield Fault(
            _pointer(view, met),
            f"walls {left.id} and {right.id} meet at a corner: "
            f"{_say(view, left, met.left_height)}, {_say(view, right, met.right_height)}; give "
            "both the height of the corner, at their left and right ends where they slope",
            "corner_heights",
        )


def _soffits(view: BriefView) -> Iterator[Warned]:
    """A level wall somewhat lower than its neighbour, neither of them above the ceiling."""
    walls, ceiling = view.brief.room.walls, view.brief.room.ceiling_height
    steps: dict[int, float] = {}
    for met in meetings(view):
        above = max(met.left_height, met.right_height) > ceiling + view.tolerance
        if met.step <= CORNER_STEP[view.units] + view.tolerance or above:
            continue
        # The lower one of the two, once for both of its corners.
        low = met.left if met.left_height < met.right_height else met.right
        steps[low] = max(steps.get(low, 0.0), met.step)
    for low, step in sorted(steps.items()):
        yield Warned(
            code="lower_wall",
            pointer=f"/room/walls/{low}/height",
            detail=f"wall {walls[low].id} is {view.say(step)} lower than its neighbour at the "
            "corner: taken for a soffit over the storage on that wall and none over the other's",
        )


RULES = (Rule(_heights, ("room.walls", "room.ceiling_height")),)
NOTICES = (Notice(_soffits),)

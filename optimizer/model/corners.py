"""Inside corners: one explicit state each, of which exactly one holds.

States at a corner between a wall and the next one clockwise:

* *open*: neither wall's bays come into the depth of the other's;
* *through, tight*: one wall's end bay of a depth class runs into the corner, wide enough
  to be reached beside the other wall's bays, which start at that depth plus the corner
  clearance;
* *through, free*: one wall's bays, of at most a depth class there, run as they like, and
  the other wall's start an aisle beyond that depth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from optimizer.geometry.stretches import Stretch, Surveyed
from optimizer.patterns.rules import Rules

_FINE = 1e-6


@dataclass(frozen=True, slots=True)
class Side:
    """One wall's stretches near a corner, as (stretch index, near, far) from the corner."""

    wall: int
    reaches: tuple[tuple[int, float, float], ...]
    deepest: float
    at_left: bool

    @property
    def end(self) -> int | None:
        """Stretch that touches the corner, if one does."""
        return next((index for index, near, _ in self.reaches if near < _FINE), None)


@dataclass(frozen=True, slots=True)
class CornerState:
    """One way to use a corner. `losses` are lengths lost from the corner by each side.

    `through` is the side (0 or 1) that runs into the corner, with bays no deeper than
    `depth` and, where tight, deeper than `above`.
    """

    name: str
    losses: tuple[float, float]
    through: int | None = None
    depth: float = 0.0
    above: float = 0.0
    manner: Literal["open", "tight", "free"] = "open"


@dataclass(frozen=True, slots=True)
class Corner:
    """An inside corner where both walls may carry bays."""

    sides: tuple[Side, Side]
    states: tuple[CornerState, ...]


def _side(
    surveyed: Surveyed, wall: int, depths: Sequence[float], reach: float, *, at_left: bool
) -> Side:
    """Stretches of `wall` within `reach` of its left or right end."""
    length = surveyed.outline.walls[wall].length
    reaches = []
    deepest = 0.0
    for index, stretch in enumerate(surveyed.stretches):
        if stretch.wall != wall:
            continue
        near, far = _from_corner(stretch, length, at_left=at_left)
        if near < reach - _FINE:
            reaches.append((index, near, far))
            deepest = max(deepest, depths[index])
    return Side(wall, tuple(reaches), deepest, at_left)


def _from_corner(stretch: Stretch, length: float, *, at_left: bool) -> tuple[float, float]:
    if at_left:
        return stretch.start, stretch.end
    return length - stretch.end, length - stretch.start


def corners_of(
    surveyed: Surveyed, classes: Sequence[Sequence[float]], rules: Rules
) -> tuple[Corner, ...]:
    """Corners with their states; `classes` are the depths usable on each stretch."""
    construction = rules.brief.construction
    depths = [max(own, default=0.0) for own in classes]
    apart = max(construction.corner_clearance, rules.brief.needs.aisle)
    reach = max(depths, default=0.0) + apart
    corners = []
    for left, right in surveyed.outline.inside_corners():
        sides = (
            _side(surveyed, left, depths, reach, at_left=False),
            _side(surveyed, right, depths, reach, at_left=True),
        )
        if all(side.deepest > 0 for side in sides):
            corners.append(Corner(sides, _states(sides, classes, rules)))
    return tuple(corners)


def _states(
    sides: tuple[Side, Side], classes: Sequence[Sequence[float]], rules: Rules
) -> tuple[CornerState, ...]:
    construction = rules.brief.construction
    apart = max(construction.corner_clearance, rules.brief.needs.aisle)
    states = [CornerState("open", (sides[1].deepest, sides[0].deepest))]
    for through, side in enumerate(sides):
        near = {d for index, _, _ in side.reaches for d in classes[index]}
        touching = set(classes[side.end]) if side.end is not None else set()
        above = 0.0
        # Two classes do: the least deep, and everything else as deep as the deepest.
        for depth in sorted({min(near), max(near)}):
            if any(above < own <= depth + _FINE for own in touching):
                loss = depth + construction.corner_clearance
                states.append(_through(through, (above, depth), loss, "tight"))
            states.append(_through(through, (above, depth), depth + apart, "free"))
            above = depth
    return tuple(states)


def _through(
    through: int, depths: tuple[float, float], loss: float, manner: Literal["tight", "free"]
) -> CornerState:
    losses = (0.0, loss) if through == 0 else (loss, 0.0)
    above, depth = depths
    return CornerState(f"{manner}_{through}_{depth:g}", losses, through, depth, above, manner)


def overlap(near: float, far: float, loss: float) -> float:
    """Part of the reach [near, far] from a corner that a loss takes."""
    return max(0.0, min(far, loss) - near)

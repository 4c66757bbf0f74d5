"""Inside corners: one explicit state each, of which exactly one holds.

At a corner between a wall and the next one clockwise, in two depth classes a wall (the
least deep pattern there, and everything else as deep as the deepest):

* *tight*: one wall's end bay runs into the corner, wide enough to be reached beside the
  other wall's bays, which start at its depth plus the corner clearance. Deeper bays
  further along the through wall are either kept out or (*mixed*) allowed, a corner
  clearance beyond the other wall's, whose nearest bay is then wide enough to be reached
  beside them. A clearance as wide as the aisle hides no front;
* *wrap*: one wall's shelves run through to the corner, carried by the side wall; the other
  wall's shelves of the same heights butt against their front, no upright between. Deeper bays
  near the corner are kept out, or (*mixed*) allowed beyond end bays wide enough to be reached;
* *free*: one wall's bays, of at most a depth class there, run as they like, and the other
  wall's start an aisle beyond that depth.

There is no state in which both walls' bays stop short of the corner: what lies behind them
would be a shaft that nobody reaches. A state takes lengths from both walls and may limit how
deep bays near the corner are.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from optimizer.geometry.stretches import Stretch, Surveyed
from optimizer.patterns.bay_rules import BayRules
from optimizer.tolerances import FINE

SCRIBE_IN = 1.0
"""Free wall [in] behind an end bay that hides in a corner; more is a pocket. Common practice."""


@dataclass(frozen=True, slots=True)
class Side:
    """One wall at a corner: its stretches, as (index, near, far) by distance from the corner.

    `classes` are the least and the greatest depth of what the stretches may carry, and where bays
    or mounts are kept every one: they come from a layout in which the least was another;
    `end_depths` the depths that may stand against the corner, `shelf_depths` those of bays of
    shelves alone; `pinned` the start and width of each stretch's pinned bay, width 0 where there is
    none [brief units]; `kept` whether there is one, or a mount that is kept.
    """

    wall: int
    reaches: tuple[tuple[int, float, float], ...]
    classes: tuple[float, ...]
    end_depths: tuple[float, ...]
    shelf_depths: tuple[float, ...]
    at_left: bool
    pinned: tuple[tuple[float, float], ...] = ()
    kept: bool = False

    def pinned_from(self, position: float, scribe: float) -> float | None:
        """How far the pinned bay reaches whose stretch begins there, or a `scribe` beyond at most.

        `position` is a distance from the corner, and what is told is counted from it; None where no
        bay is pinned so.
        """
        for (_, near, far), (start, width) in zip(self.reaches, self.pinned, strict=True):
            if width and near <= position + scribe + FINE < far and abs(start - near) < FINE:
                return width + max(0.0, near - position)
        return None

    @property
    def deepest(self) -> float:
        """Greatest depth of what may stand there; 0 for nothing."""
        return self.classes[-1] if self.classes else 0.0

    @property
    def end_length(self) -> float:
        """How far the stretch that touches the corner goes; 0 where none does."""
        return next((far for _, near, far in self.reaches if near < FINE), 0.0)

    @property
    def end(self) -> int | None:
        """Stretch that touches the corner, if one does."""
        return next((index for index, near, _ in self.reaches if near < FINE), None)


@dataclass(frozen=True, slots=True)
class Limit:
    """On one side, bays in stretches that start within `reach` are no deeper than `depth`."""

    side: int
    depth: float
    reach: float


@dataclass(frozen=True, slots=True)
class CornerState:
    """One way to use a corner; the model chooses exactly one (see the module).

    `losses` are the lengths that either side loses, counted from the corner. In a tight state, side
    `through` has an end bay deeper than `above` and no deeper than `depth`, whose clear width ends
    at least `reach` from the corner; `reach_beside`, where given, asks the same of the other side's
    nearest bay, beyond what that side loses. In a wrapped state both end bays hold shelves alone,
    `depth` and `beside` deep.
    """

    name: str
    losses: tuple[float, float]
    limits: tuple[Limit, ...] = ()
    through: int | None = None
    above: float = 0.0
    depth: float = 0.0
    reach: float = 0.0
    reach_beside: float | None = None
    wraps: bool = False
    beside: float = 0.0

    def reach_of(self, side: int) -> float | None:
        """How far the end bay that the state asks of a side reaches at least, if it asks."""
        if self.through is None:
            return None
        return self.reach if side == self.through else self.reach_beside


@dataclass(frozen=True, slots=True)
class Corner:
    """An inside corner at which both walls may carry bays, with its states."""

    sides: tuple[Side, Side]
    states: tuple[CornerState, ...]


def corners_of(
    surveyed: Surveyed,
    depths: Sequence[Sequence[float]],
    shelves: Sequence[Sequence[float]],
    rules: BayRules,
) -> tuple[Corner, ...]:
    """The inside corners of a room with their states.

    `depths` are the depths of all that may stand on each stretch, `shelves` those of bays of
    shelves alone [brief units].
    """
    construction = rules.brief.construction
    # Nothing further from the corner than the deepest bay and what it asks for before it can meet
    # what stands on the other wall.
    apart = max(construction.corner_clearance, rules.brief.needs.aisle)
    reach = max((max(own, default=0.0) for own in depths), default=0.0) + apart
    corners = []
    for left, right in surveyed.outline.inside_corners():
        sides = (
            _side(surveyed, left, (depths, shelves), reach, at_left=False),
            _side(surveyed, right, (depths, shelves), reach, at_left=True),
        )
        if all(side.classes for side in sides):
            states = _States(
                sides,
                construction.corner_clearance,
                rules.brief.needs.aisle,
                construction.corner_opening,
                rules.panel,
                rules.brief.units.from_inch(SCRIBE_IN),
                rules.walls_carry and rules.level,
            )
            corners.append(Corner(sides, tuple(states.all())))
    return tuple(corners)


def _side(
    surveyed: Surveyed,
    wall: int,
    known: tuple[Sequence[Sequence[float]], Sequence[Sequence[float]]],
    reach: float,
    *,
    at_left: bool,
) -> Side:
    """Stretches of `wall` within `reach` of its left or right end."""
    length = surveyed.outline.walls[wall].length
    reaches = []
    pinned = []
    kept = False
    found: set[float] = set()
    touching: set[float] = set()
    shelved: set[float] = set()
    depths, shelves = known
    for index, stretch in enumerate(surveyed.stretches):
        if stretch.wall != wall:
            continue
        near, far = _from_corner(stretch, length, at_left=at_left)
        if near < reach - FINE:
            reaches.append((index, near, far))
            pinned.append((near, stretch.pin.width if stretch.pin else 0.0))
            found |= set(depths[index])
            kept = kept or stretch.kept
        if near < FINE:
            touching |= set(depths[index])
            shelved |= set(shelves[index])
    classes = sorted(found)
    return Side(
        wall=wall,
        reaches=tuple(reaches),
        classes=tuple(classes if kept else sorted({*classes[:1], *classes[-1:]})),
        end_depths=tuple(sorted(touching)),
        shelf_depths=tuple(sorted(shelved)),
        at_left=at_left,
        pinned=tuple(pinned),
        kept=kept,
    )


def _from_corner(stretch: Stretch, length: float, *, at_left: bool) -> tuple[float, float]:
    """A stretch as distances (near, far) from the corner at its wall's left or right end."""
    if at_left:
        return stretch.start, stretch.end
    return length - stretch.end, length - stretch.start


@dataclass(frozen=True, slots=True)
class _States:
    """Lists the states of one corner."""

    sides: tuple[Side, Side]
    clearance: float
    aisle: float
    opening: float
    panel: float
    scribe: float
    wrapping: bool

    @property
    def _hides(self) -> bool:
        """Whether bays a clearance apart stand before one another's fronts."""
        return self.clearance < self.aisle - FINE

    def all(self) -> Iterator[CornerState]:
        """Every state."""
        # Ranges of depth that exclude one another: each end bay falls in one state, not in several.
        for through in (0, 1):
            if self.wrapping:
                yield from self._wraps(through)
            above = 0.0
            for depth in self.sides[through].classes:
                if any(above < own <= depth + FINE for own in self.sides[through].end_depths):
                    yield from self._tight(through, above, depth)
                yield self._free(through, depth)
                # A pinned bay may come from a layout in which it counted as deeper than it is.
                above = 0.0 if self.sides[through].kept else depth

    def _limit(self, side: int, depth: float, reach: float) -> tuple[Limit, ...]:
        """A limit, unless everything that may stand there keeps it anyway."""
        # A limit costs rows and binaries in the model, where it limits something.
        return () if depth >= self.sides[side].deepest else (Limit(side, depth, reach),)

    def _losses(self, through: int, loss: float) -> tuple[float, float]:
        """Lengths lost at the corner: nothing on the `through` side, `loss` on the other."""
        return (0.0, loss) if through == 0 else (loss, 0.0)

    def _wraps(self, through: int) -> Iterator[CornerState]:
        """Shelves through on one wall, the other's butting against them."""
        side, other = self.sides[through], self.sides[1 - through]
        for depth in side.shelf_depths:
            if other.end_length <= depth + FINE:
                # What butts would stand in another stretch, free of what is in this one's way.
                continue
            for beside in other.shelf_depths:
                state = CornerState(
                    name=f"wrap_{through}_{depth:g}_{beside:g}",
                    losses=self._losses(through, depth),
                    through=through,
                    # The range (above, depth] holds this one depth: boards that butt meet boards of
                    # one depth.
                    above=depth - 2 * FINE,
                    depth=depth,
                    reach=beside + self.opening,
                    # What butts is open from the through boards' front on, as wide as a front has
                    # to be.
                    reach_beside=max(self.opening, self.clearance),
                    wraps=True,
                    beside=beside,
                )
                yield from self._wrapped(state, 1 - through)

    def _wrapped(self, state: CornerState, other: int) -> Iterator[CornerState]:
        """A wrapped state with deeper bays kept out, or further along either wall, or both."""
        through, opening = 1 - other, self.opening
        own = self._limit(through, state.depth, state.beside + self.aisle)
        others = self._limit(other, state.beside, state.depth + self.aisle)
        yield replace(state, limits=(*own, *others))
        # Deeper bays of the through wall start a clearance beyond the butting one, which is wide
        # enough to be reached beside them; those of the other wall stand before the through one.
        before, behind = self.sides[other].deepest, self.sides[through].deepest
        deeper = replace(
            state,
            name=f"{state.name}_deeper",
            limits=self._limit(other, state.beside, behind + self.aisle),
            reach=max(state.reach, state.beside + self.clearance),
            reach_beside=max(state.reach_beside or 0.0, behind - state.depth + opening),
        )
        reach = max(state.reach, before + opening)
        if own:
            yield deeper
        if others:
            kept = self._limit(through, state.depth, before + self.aisle)
            yield replace(state, name=f"{state.name}_before", limits=kept, reach=reach)
        if own and others:
            both = max(deeper.reach, reach)
            yield replace(deeper, name=f"{state.name}_mixed", limits=(), reach=both)

    def _tight(self, through: int, above: float, depth: float) -> Iterator[CornerState]:
        """States in which the end bay of `through` runs into the corner, one for each depth
        class of the other wall's bays beside it, each with its mixed variant where there is one."""
        other = 1 - through
        for beside in self.sides[other].classes:
            near_other = self._limit(other, beside, depth + self.aisle)
            name = f"tight_{through}_{depth:g}_{beside:g}"
            loss = depth + self.clearance
            kept = self._limit(through, depth, beside + self.aisle)
            # With a clearance of an aisle nothing stands before the front: it is open as it is.
            open_front = self.opening if self._hides else 0.0
            state = CornerState(
                name=name,
                losses=self._losses(through, loss),
                limits=(*near_other, *kept),
                through=through,
                above=above,
                depth=depth,
                reach=beside + open_front,
            )
            yield state
            if kept:
                deepest = self.sides[through].deepest
                further_other = self._limit(other, beside, deepest + self.aisle)
                yield from self._mixed(replace(state, limits=further_other), beside, loss)

    def _mixed(self, state: CornerState, beside: float, loss: float) -> Iterator[CornerState]:
        """The state with deeper bays further along the through wall, if they can be."""
        through = state.through or 0
        other = 1 - through
        # The deeper bays start beyond the end bay: a clearance beyond the other wall's, unless
        # that wall loses their whole depth anyway.
        further = max(0.0, self.sides[through].deepest - loss)
        reach = max(state.reach, beside + (self.clearance if further else 0.0))
        mixed = replace(state, name=f"{state.name}_mixed", reach=reach)
        hidden = further if self._hides else 0.0
        if not hidden or self._pinned_open(other, loss, hidden):
            yield mixed
        elif self.sides[other].end_length > loss:
            yield replace(mixed, reach_beside=hidden + self.opening)

    def _pinned_open(self, other: int, loss: float, hidden: float) -> bool:
        """Whether the bay next to the corner is a pinned one, open enough beside what hides it."""
        reached = self.sides[other].pinned_from(loss, self.scribe)
        return reached is not None and reached >= hidden + self.opening - self.panel - FINE

    def _free(self, through: int, depth: float) -> CornerState:
        # Without an end bay it is not known how far from the corner fronts begin: the whole aisle
        # before them is kept, which hides none.
        """The state in which `through` has bays at most `depth` deep and asks for nothing at its
        end."""
        loss = depth + max(self.clearance, self.aisle)
        limits = self._limit(through, depth, self.sides[1 - through].deepest + self.aisle)
        return CornerState(f"free_{through}_{depth:g}", self._losses(through, loss), limits)


def overlap(near: float, far: float, loss: float) -> float:
    """Length of [near, far], distances from a corner, that a loss of `loss` there takes away."""
    return max(0.0, min(far, loss) - near)

"""Walls cut into stretches: pieces along which everything that matters is uniform."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from optimizer.domain.brief import Brief, Pin
from optimizer.domain.layout import Carried
from optimizer.domain.room import Slope, Wall
from optimizer.geometry.access import (
    clear_floors,
    front_distance,
    is_reach_in,
    opened_ranges,
    wall_in_frame,
)
from optimizer.geometry.obstacles import Block, boxes_of, seen_from
from optimizer.geometry.outline import Outline
from optimizer.reference.mounted import mounted_of
from optimizer.reference.stored import things_of
from optimizer.tolerances import FINE
from optimizer.units import ceil_to, floor_to

_SAME_CUT = 1e-4
"""Cuts closer than this are one cut: far below the checker's tolerance."""
_SHARED = 1e-3
"""Pinned bays whose uprights are this near share one."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A uniform piece of wall, from `start` to `end` along it.

    `height` is its least clear height; `depth` how far a bay may reach out at any height;
    `blocks` the heights with less depth than that; `opened` whether a reach-in's opening
    lies straight in front (true everywhere in rooms one walks into). A pinned bay's stretch has
    the clear height over the bay and both its uprights; `beside` is what stands where they do.
    `mount` is the id of the hooks or the mirror that the brief keeps there.
    """

    wall: int
    start: float
    end: float
    height: float
    depth: float
    blocks: tuple[Block, ...]
    opened: bool
    pin: Pin | None = None
    beside: tuple[Block, ...] = ()
    mount: str | None = None

    @property
    def kept(self) -> bool:
        """Whether the brief keeps something here: only that may be."""
        return self.pin is not None or self.mount is not None

    @property
    def length(self) -> float:
        """Length along the wall."""
        return self.end - self.start


def pin_ends(pin: Pin, length: float, panel: float) -> tuple[Carried, Carried]:
    """What carries the ends of a pinned bay on a wall of `length`: the wall, whatever the pin
    says, where no upright has room."""
    free = pin.start, length - pin.start - pin.width
    left, right = (
        Carried.WALL if own is Carried.UPRIGHT and room < panel - _SHARED else own
        for own, room in zip((pin.left, pin.right), free, strict=True)
    )
    return left, right


def deepest_bay(brief: Brief) -> float:
    """Depth beyond which no bay of this brief ever reaches, nor hooks nor a mirror."""
    items = [item.depth for item in brief.needs.items]
    things = things_of(brief.needs, brief.construction.panel_thickness, brief.units)
    stored = [thing.depth for thing in things]
    mounted = [mount.depth for mount in mounted_of(brief)]
    usual = brief.construction.hang_depth, brief.needs.shelf_depth
    return max([*usual, *items, *stored, *mounted])


@dataclass(frozen=True, slots=True)
class Surveyed:
    """A room cut into stretches, wall by wall from left to right; `cut` are those first made,
    before any are joined."""

    brief: Brief
    outline: Outline
    reach_in: bool
    stretches: tuple[Stretch, ...]
    cut: tuple[Stretch, ...]

    def opened_width(self, wall: str, start: float, end: float) -> float:
        """Part of [start, end] on a wall that is reached with ease: see `Stretch.opened`."""
        if not self.reach_in:
            return end - start
        index = [w.id for w in self.brief.room.walls].index(wall)
        return sum(
            max(0.0, min(end, high) - max(start, low))
            for low, high in opened_ranges(self.brief, self.outline, index)
        )


def survey(brief: Brief, outline: Outline, thresholds: Sequence[float] = ()) -> Surveyed:
    """Every stretch of every wall that may carry storage.

    `thresholds` are heights at which a sloped ceiling starts or stops to allow something.
    """
    reach_in = is_reach_in(brief, outline)
    stretches: list[Stretch] = []
    for index in range(len(brief.room.walls)):
        if reach_in and not opened_ranges(brief, outline, index):
            continue
        stretches.extend(_WallSurvey(brief, outline, index, reach_in).stretches(thresholds))
    return Surveyed(brief, outline, reach_in, tuple(stretches), tuple(stretches))


class _WallSurvey:
    """Cuts one wall into stretches over which nothing changes that matters to a bay."""

    def __init__(self, brief: Brief, outline: Outline, index: int, reach_in: bool) -> None:
        """Looks up once what of the room lies before, on and over wall `index`."""
        self.brief = brief
        self.outline = outline
        self.index = index
        self.reach_in = reach_in
        self.wall: Wall = brief.room.walls[index]
        self.length = outline.walls[index].length
        self.dead = self._openings()
        self.floors = [] if reach_in else self._clear_floors()
        self.deepest = deepest_bay(brief)
        self.boxes = [
            (*seen_from(outline, box, index), box.up)
            for box in boxes_of(brief)
            if self._relevant(*seen_from(outline, box, index))
        ]
        self.opened = opened_ranges(brief, outline, index) if reach_in else []
        self.pins = sorted(
            (pin for pin in brief.pins if pin.wall == self.wall.id), key=lambda pin: pin.start
        )
        widths = {mount.id: mount.width for mount in mounted_of(brief)}
        self.mounts = [
            (pin.mount, (pin.start, pin.start + widths[pin.mount]))
            for pin in brief.mount_pins
            if pin.wall == self.wall.id
        ]

    def _relevant(self, along: tuple[float, float], out: tuple[float, float]) -> bool:
        """Whether a box stands where a bay of this wall might reach."""
        in_front = out[1] > FINE and out[0] < self.deepest - FINE
        return along[1] > 0 and along[0] < self.length and in_front

    def _openings(self) -> list[tuple[float, float]]:
        """Ranges of this wall taken by openings and their casing."""
        return [
            (o.start - o.casing, o.start + o.width + o.casing)
            for o in self.brief.room.openings
            if o.wall == self.wall.id
        ]

    def _clear_floors(self) -> list[tuple[tuple[float, float], float]]:
        """Floor to keep clear as seen from this wall: (along range, depth left to bays)."""
        found = []
        for floor in clear_floors(self.brief):
            # On its own wall an opening takes the whole stretch (`_openings`).
            if floor.wall == self.index:
                continue
            corners = [
                self.outline.to_wall(self.index, *self.outline.to_plan(floor.wall, a, d))
                for a in floor.along
                for d in (0.0, floor.out)
            ]
            outs = [corner[1] for corner in corners]
            alongs = [corner[0] for corner in corners]
            # Not behind this wall.
            if max(outs) > FINE:
                found.append(((min(alongs), max(alongs)), max(0.0, min(outs))))
        return found

    def _slope_cuts(self, thresholds: Sequence[float]) -> list[float]:
        """Positions on the grid just where a sloped ceiling has passed one of the thresholds."""
        height = self.wall.height
        if not isinstance(height, Slope) or height.left == height.right:
            return []
        rise = (height.right - height.left) / self.length
        # Onto the grid, on the side where the ceiling is high enough.
        to_grid = ceil_to if rise > 0 else floor_to
        grid = self.brief.units.grid
        return [to_grid((threshold - height.left) / rise, grid) for threshold in thresholds]

    def _cuts(self, thresholds: Sequence[float]) -> list[float]:
        """Sorted positions at which something changes."""
        cuts = [0.0, self.length, *self._slope_cuts(thresholds)]
        for low, high in [*self.dead, *self.opened, *(along for along, _ in self.floors)]:
            cuts += [low, high]
        for along, _, _ in self.boxes:
            cuts += list(along)
        for pin in self.pins:
            cuts += [*self._taken(pin), *self._whole(pin), pin.start, pin.start + pin.width]
        for _, along in self.mounts:
            cuts += list(along)
        # Where a facing wall begins or ends, the depth of the room changes.
        for other in range(len(self.outline.walls)):
            if other != self.index:
                cuts += [
                    along
                    for along, out in wall_in_frame(self.outline, self.index, other)
                    if out > FINE
                ]
        inside = sorted(cut for cut in cuts if -FINE <= cut <= self.length + FINE)
        # Cuts from different measures of one place would leave slivers that carry nothing.
        merged = [inside[0]]
        for cut in inside[1:]:
            if cut - merged[-1] > _SAME_CUT:
                merged.append(cut)
        return merged

    def _taken(self, pin: Pin) -> tuple[float, float]:
        """Wall that a pinned bay takes with its uprights.

        An upright shared with the pinned bay before it is that one's; what would be scribed
        at a wall's end goes with the bay, as does what the next wall's boards take of a corner.
        """
        scribe = self.brief.construction.scribe_limit
        low, high = self._whole(pin)
        left, right = self._ends(pin)
        if any(abs(p.start + p.width - low) < _SHARED for p in self.pins if p is not pin):
            low = pin.start
        low = 0.0 if low <= scribe or left is not Carried.UPRIGHT else low
        at_end = self.length - high <= scribe or right is not Carried.UPRIGHT
        return low, self.length if at_end else high

    def _ends(self, pin: Pin) -> tuple[Carried, Carried]:
        """What carries the two ends of a pinned bay."""
        return pin_ends(pin, self.length, self.brief.construction.panel_thickness)

    def _piece(self, start: float, end: float) -> Stretch | None:
        """The stretch from `start` to `end`, or None where nothing may stand."""
        # All that matters changes only at the cuts: the middle speaks for the whole stretch.
        middle = (start + end) / 2
        if any(low < middle < high for low, high in self.dead):
            return None
        ahead = front_distance(self.outline, self.index, middle)
        depth = ahead if self.reach_in else ahead - self.brief.needs.aisle
        for (low, high), left in self.floors:
            if low < middle < high:
                depth = min(depth, left)
        pin = next((p for p in self.pins if _within(middle, self._taken(p))), None)
        blocks = self._blocks(lambda along: along[0] < middle < along[1])
        if pin is not None and not _within(middle, (pin.start, pin.start + pin.width)):
            # What stands where its uprights do is in their way alone (`beside`).
            blocks = ()
            if not _within(middle, self._whole(pin)):
                # The scribe beside it belongs to it, what is in front of the scribe does not.
                depth = self.deepest
        return Stretch(
            wall=self.index,
            start=start,
            end=end,
            height=self._clear_height(*((start, end) if pin is None else self._whole(pin))),
            depth=min(depth, self.deepest),
            blocks=blocks,
            opened=not self.reach_in or any(low < middle < high for low, high in self.opened),
            pin=pin,
            beside=() if pin is None else self._beside(pin),
            mount=next((own for own, along in self.mounts if _within(middle, along)), None),
        )

    def _whole(self, pin: Pin) -> tuple[float, float]:
        """A pinned bay with its uprights, a shared one included."""
        panel = self.brief.construction.panel_thickness
        left, right = (panel if end is Carried.UPRIGHT else 0.0 for end in self._ends(pin))
        return max(0.0, pin.start - left), min(self.length, pin.start + pin.width + right)

    def _clear_height(self, low: float, high: float) -> float:
        """Least clear height of the wall between two places."""
        ceiling = self.brief.room.ceiling_height
        return min(self.wall.height_at(low, ceiling), self.wall.height_at(high, ceiling))

    def _beside(self, pin: Pin) -> tuple[Block, ...]:
        """What is in the way where a pinned bay's uprights stand."""
        low, high = self._whole(pin)
        ends = ((low, pin.start), (pin.start + pin.width, high))
        uprights = [(start, end) for start, end in ends if end - start > FINE]
        return self._blocks(
            lambda along: any(
                along[0] < end - FINE and along[1] > start + FINE for start, end in uprights
            )
        )

    def _blocks(self, meets: Callable[[tuple[float, float]], bool]) -> tuple[Block, ...]:
        """What the boxes that meet a place keep out, from the lowest up."""
        found = {
            Block(up[0], up[1], max(0.0, out[0])) for along, out, up in self.boxes if meets(along)
        }
        return tuple(sorted(found, key=lambda b: (b.bottom, b.top, b.depth)))

    def stretches(self, thresholds: Sequence[float]) -> list[Stretch]:
        """Stretches of this wall, equal neighbours joined."""
        cuts = self._cuts(thresholds)
        pieces = [self._piece(low, high) for low, high in itertools.pairwise(cuts)]
        kept: list[Stretch] = []
        for piece in pieces:
            if piece is None or piece.depth <= 0:
                continue
            if kept and _joinable(kept[-1], piece):
                kept[-1] = _joined(kept[-1], piece)
            else:
                kept.append(piece)
        return kept


def _within(position: float, limits: tuple[float, float]) -> bool:
    """Whether a position lies between two others, at neither of them."""
    return limits[0] < position < limits[1]


def _joinable(left: Stretch, right: Stretch) -> bool:
    """Whether two pieces touch and are alike, or belong to one pinned bay or mount."""
    if abs(left.end - right.start) > FINE:
        return False
    if left.pin is not None and left.pin is right.pin:
        return True
    if left.mount is not None and left.mount == right.mount:
        return True
    # Alike in everything but where they are.
    return replace(left, start=0.0, end=0.0) == replace(right, start=0.0, end=0.0)


def _joined(left: Stretch, right: Stretch) -> Stretch:
    """One stretch over both, as restricted as the more restricted of them everywhere."""
    blocks = {*left.blocks, *right.blocks}
    return replace(
        left,
        end=right.end,
        height=min(left.height, right.height),
        depth=min(left.depth, right.depth),
        blocks=tuple(sorted(blocks, key=lambda b: (b.bottom, b.top, b.depth))),
        opened=left.opened and right.opened,
    )

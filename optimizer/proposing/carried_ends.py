"""Ends of bays from uprights of their own onto what is beside them and carries as well.

That is a side wall, the next bay's upright, or the boards of the next wall that run through the
corner. A search that stops at its gap may leave such an upright, which a builder would not put up.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from optimizer.checking import passes
from optimizer.domain.layout import Bay, Carried, Layout, ZoneKind
from optimizer.domain.studs import stud_centres
from optimizer.model.search.alternatives import Search
from optimizer.proposing.assembly import assembled, leaves_no_need_shorter, scored
from optimizer.structure.bay_surroundings import neighbours
from optimizer.tolerances import FINE, TOUCH

AT_WALL_IN = 1.0
"""An upright this near to the side wall stands at it: no more than a scribed strip is between."""

APART_IN = 9.0
"""Two uprights, or an upright and the next wall's boards, further apart than this are left so."""

MOST_MADE = 3
MOST_CHECKED = 12
"""Changes of a layout that are made, one after the other, and checked for each."""


def onto_neighbours(search: Search, layout: Layout) -> Layout:
    """The layout with such ends on what is beside them; itself where none can be.

    It has passed the checker, scores more, leaves no need shorter and takes no more parts.
    """
    for _ in range(MOST_MADE):
        better = next(_better(search, layout), None)
        if better is None:
            return layout
        layout = better
    return layout


def _better(search: Search, layout: Layout) -> Iterator[Layout]:
    """Layouts with one end carried otherwise that are worth more."""
    checked = 0
    for number, changed in _Ends(search, layout).choices():
        bays = (*layout.bays[:number], changed, *layout.bays[number + 1 :])
        bare = layout.model_copy(update={"bays": bays})
        score = scored(search, bare, search.yardstick, layout.bound).score
        if score <= layout.score + FINE:
            continue
        checked += 1
        if checked > MOST_CHECKED:
            return
        if not passes(search.brief, Layout(bays=bays, mounts=layout.mounts)):
            continue
        made = assembled(search, bays, layout.bound, layout.status, layout.mounts)
        if _as_good(layout, made) and passes(search.brief, made):
            yield made


def _as_good(before: Layout, now: Layout) -> bool:
    """Whether a layout scores no less, leaves no need shorter and takes no more parts."""
    assert before.metrics is not None  # noqa: S101 - assembled ones have them
    assert now.metrics is not None  # noqa: S101
    worth = now.score >= before.score - FINE and now.metrics.parts <= before.metrics.parts
    return worth and leaves_no_need_shorter(before, now)


@dataclass(frozen=True)
class _Ends:
    """Ends of a layout's bays that stand on uprights of their own."""

    search: Search
    layout: Layout

    def choices(self) -> Iterator[tuple[int, Bay]]:
        """Places of bays in the layout, each with the bay as it might stand instead."""
        pins = {(pin.wall, pin.start, pin.width) for pin in self.search.brief.pins}
        walls = self.search.brief.construction.wall_ends == "cleats"
        for number, bay in enumerate(self.layout.bays):
            if (bay.wall, bay.start, bay.width) in pins:
                continue
            for left in (True, False):
                if (bay.left if left else bay.right) is Carried.UPRIGHT:
                    ends = [*self._beside(bay, left=left)]
                    ends += [*self._at_end(bay, left=left)] if walls else []
                    for at, carried in ends:
                        yield from ((number, one) for one in self._reaching(bay, at, carried, left))

    def _inch(self, inches: float) -> float:
        """Inches in the units of the brief."""
        return self.search.brief.units.from_inch(inches)

    def _length(self, wall: str) -> float:
        """Length of a wall in the room as it closes."""
        lines = self.search.surveyed.outline.walls
        return next(line.length for line in lines if line.id == wall)

    def _beside(self, bay: Bay, *, left: bool) -> Iterator[tuple[float, Carried]]:
        """Where the next bay's upright is that would serve this one as well."""
        panel, others = self.search.rules.panel, [b for b in self.layout.bays if b is not bay]
        for other in others:
            if other.wall != bay.wall:
                continue
            apart = bay.start - other.end if left else other.start - bay.end
            facing = other.right if left else other.left
            near = panel + TOUCH < apart <= 2.0 * panel + self._inch(APART_IN)
            if facing is Carried.UPRIGHT and near:
                yield (other.end + panel if left else other.start - panel), Carried.UPRIGHT

    def _at_end(self, bay: Bay, *, left: bool) -> Iterator[tuple[float, Carried]]:
        """The wall's end, and the front of the next wall's boards that run through to it."""
        length = self._length(bay.wall)
        away = bay.start if left else length - bay.end
        if away <= self.search.rules.panel + self._inch(AT_WALL_IN) + FINE:
            yield (0.0 if left else length), Carried.WALL
        for depth in self._through(bay, left=left):
            if depth < away <= depth + self._inch(APART_IN):
                yield (depth if left else length - depth), Carried.CORNER

    def _through(self, bay: Bay, *, left: bool) -> Iterator[float]:
        """Depth of the boards of the next wall that run through to that corner."""
        room, units = self.search.brief.room, self.search.brief.units
        wall = neighbours(bay.wall, room, units)[0 if left else 1]
        if wall is None or any(zone.kind is ZoneKind.ROD for zone in bay.zones):
            return
        for other in self.layout.bays:
            end = other.right if left else other.left
            at = self._length(wall.id) - other.end if left else other.start
            if other.wall == wall.id and end is Carried.WALL and at <= TOUCH:
                yield other.depth

    def _reaching(self, bay: Bay, at: float, carried: Carried, left: bool) -> Iterator[Bay]:
        """The bay up to `at`, as it is supported and with one support more on a stud."""
        if left:
            moved = bay.model_copy(update={"start": at, "width": bay.end - at, "left": carried})
        else:
            moved = bay.model_copy(update={"width": at - bay.start, "right": carried})
        yield moved
        places = (moved.start, *moved.mid_supports, moved.end)
        low, high = max(pairwise(places), key=lambda piece: piece[1] - piece[0])
        wall = self.search.brief.room.wall(bay.wall)
        studs = [s for s in stud_centres(wall, self.search.brief.units) if low < s < high]
        if studs and not moved.stiffened and self.search.brief.construction.mid_support != "none":
            middle = min(studs, key=lambda stud: abs(stud - (low + high) / 2.0))
            supports = tuple(sorted((*moved.mid_supports, middle)))
            yield moved.model_copy(update={"mid_supports": supports})

"""Uprights onto studs, and studs behind the cleats of narrow bays, where that loses nothing.

The optimum pins most widths: an upright moves only where what one bay loses another gains. Bays
of one row get no more different widths than they have, since each is a setting of the saw and is
seen; so equal bays stay equal.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import islice, product

from optimizer.checking import passes
from optimizer.domain.layout import Bay, Carried, Layout, ZoneKind
from optimizer.domain.studs import STUD_WIDTH_IN, stud_centres
from optimizer.model.positions import COARSE_STEPS
from optimizer.model.search.alternatives import Search
from optimizer.proposing.assembly import assembled, leaves_no_need_shorter, scored
from optimizer.structure.fixings import STUD_EDGE_IN
from optimizer.tolerances import FINE, TOUCH

NO_LOSS = 0.05
"""Points of score that are no loss: less than scores are told in."""

REACH_IN = 9.0
"""An upright is moved no further than this [in]: half the usual distance of studs, and a little."""

MOST_PLACES = 5
MOST_MOVES = 200
MOST_SCORED = 40
MOST_CHECKED = 2
"""Places of an upright, moves of a row, moves of a layout that are scored, and checked."""


def on_studs(search: Search, layout: Layout) -> Layout:
    """The layout with as many uprights on studs, and as few cleats off them, as moving uprights
    gives; itself where that gives nothing.

    What comes back has passed the checker, leaves no need shorter and scores no less but for
    `NO_LOSS`.
    """
    moves = [
        (caught, bays)
        for wall in dict.fromkeys(bay.wall for bay in layout.bays)
        for row in _rows(search, layout, wall)
        for caught, bays in _Row(search, layout, wall, row).moves()
    ]
    # By what is caught alone: scoring and checking are dear, and come for the best few.
    moves.sort(key=lambda move: move[0], reverse=True)
    tried = 0
    for _, bays in moves[:MOST_SCORED]:
        moved = layout.model_copy(update={"bays": bays})
        score = scored(search, moved, search.yardstick, layout.bound).score
        if score < layout.score - NO_LOSS:
            continue
        tried += 1
        if passes(search.brief, Layout(bays=bays, mounts=layout.mounts)):
            made = assembled(search, bays, layout.bound, layout.status, layout.mounts)
            if _keeps(layout, made) and passes(search.brief, made):
                return made
        if tried == MOST_CHECKED:
            break
    return layout


def _keeps(before: Layout, now: Layout) -> bool:
    """Whether a moved layout is worth as much, and leaves no need shorter."""
    return now.score >= before.score - NO_LOSS and leaves_no_need_shorter(before, now)


def _rows(search: Search, layout: Layout, wall: str) -> Iterator[list[int]]:
    """Places in the layout of bays that share uprights, row by row."""
    bays, row = layout.bays, list[int]()
    own = sorted((n for n, bay in enumerate(bays) if bay.wall == wall), key=lambda n: bays[n].start)
    for number in own:
        after = bays[row[-1]].end + search.rules.panel if row else 0.0
        if row and abs(after - bays[number].start) > TOUCH:
            yield row
            row = []
        row.append(number)
    if row:
        yield row


Spot = tuple[float, float]
"""Start and width of a bay."""

Caught = tuple[int, int]
"""Cleats that no longer miss every stud, and uprights that now stand on one."""


@dataclass(frozen=True)
class _Row:
    """One row of bays, by their places in the layout."""

    search: Search
    layout: Layout
    wall: str
    row: Sequence[int]

    def moves(self) -> Iterator[tuple[Caught, tuple[Bay, ...]]]:
        """Moves of its uprights that catch more, with what they catch."""
        bays = [self.layout.bays[n] for n in self.row]
        pins = {(p.wall, p.start, p.width) for p in self.search.brief.pins}
        if any((bay.wall, bay.start, bay.width) in pins for bay in bays):
            return
        # Where a row ends is a matter of corners and gaps, which the search has settled.
        free = list(range(1, len(bays)))
        choices = [self._shifts(n) for n in free]
        every = sorted({shift for own in choices for shift in own}, key=abs)[:MOST_PLACES]
        spread = [sorted({*own, *every}, key=abs)[:MOST_PLACES] for own in choices]
        spots = [(bay.start, bay.width) for bay in bays]
        before = self._caught(spots)
        # The first is none moved at all: each list begins with 0.
        for shifts in islice(product(*spread), 1, MOST_MOVES):
            moved = self._moved(spots, dict(zip(free, shifts, strict=True)))
            if moved is None:
                continue
            now = self._caught(moved)
            gain = (now[0] - before[0], now[1] - before[1])
            if gain > (0, 0):
                yield gain, self._placed(moved)

    def _placed(self, spots: Sequence[Spot]) -> tuple[Bay, ...]:
        """The bays of the whole layout with those of the row at these places."""
        placed = list(self.layout.bays)
        for number, (start, width) in zip(self.row, spots, strict=True):
            placed[number] = placed[number].model_copy(update={"start": start, "width": width})
        return tuple(placed)

    @cached_property
    def _studs(self) -> tuple[float, ...]:
        """Middles of the wall's studs [brief units]."""
        brief = self.search.brief
        return stud_centres(brief.room.wall(self.wall), brief.units)

    def _inch(self, inches: float) -> float:
        """Inches in the units of the brief."""
        return self.search.brief.units.from_inch(inches)

    def _stands(self, number: int) -> bool:
        """Whether upright `number` of the row, from its left end, stands away from side walls."""
        bays = [self.layout.bays[n] for n in self.row]
        if number == 0:
            return bays[0].left is Carried.UPRIGHT and bays[0].start > 2 * self.search.rules.panel
        if number < len(bays):
            return True
        length = self.search.brief.room.wall(self.wall).clear_length
        beside = length - bays[-1].end <= 2 * self.search.rules.panel
        return bays[-1].right is Carried.UPRIGHT and not beside

    def _middle(self, number: int) -> float:
        """The middle of an upright, from the left of the wall."""
        half = self.search.rules.panel / 2
        if number == 0:
            return self.layout.bays[self.row[0]].start - half
        return self.layout.bays[self.row[number - 1]].end + half

    @cached_property
    def _past(self) -> float:
        """From a bay's end to where the cleat in it catches a stud."""
        return self._inch(STUD_EDGE_IN) + self.search.brief.construction.shelf_clearance / 2

    @cached_property
    def _face(self) -> float:
        """From an upright's middle to that of a stud which a bracket beside it catches."""
        return self._inch(STUD_WIDTH_IN) / 2 + self.search.rules.panel / 2

    def _shifts(self, number: int) -> list[float]:
        """How far an upright may move: not at all, onto a stud, or past one so that the cleat
        beside it catches that; the nearest first."""
        middle, units = self._middle(number), self.search.brief.units
        step = COARSE_STEPS[units] * units.grid
        past = self.search.rules.panel / 2 + self._past
        found = {0.0}
        for away in (stud - middle for stud in self._studs):
            for side in (-1.0, 1.0):
                onto, over = away + side * self._face, away + side * past
                found.add(_whole(onto, step, up=away * onto < 0 or abs(onto) < abs(away)))
                found.add(_whole(over, step, up=abs(over) > abs(away)))
        near = (shift for shift in found if abs(shift) <= self._inch(REACH_IN))
        return sorted(near, key=abs)[:MOST_PLACES]

    def _least(self, number: int) -> float:
        """Least width of a bay of the layout [brief units].

        A heavy row on a shelf asks for more than it takes, so that the shelf carries what it is
        meant to: the model houses it in such a bay alone, and would not keep a narrower one.
        """
        rules, bay = self.search.rules, self.layout.bays[number]
        weights = {piece.id: piece.weight for piece in rules.pieces}
        rows = [zone.items for zone in bay.zones if zone.kind is ZoneKind.SHELF]
        carried = [sum(weights[item] for item in row) / rules.shelf_line_load for row in rows]
        return max([rules.min_width, *(width for width in carried if width <= bay.width)])

    def _moved(self, spots: Sequence[Spot], shifts: dict[int, float]) -> list[Spot] | None:
        """The bays between moved uprights; None where one gets too narrow, or widths that were
        equal differ."""
        moved = []
        for number, (start, width) in enumerate(spots):
            left, right = shifts.get(number, 0.0), shifts.get(number + 1, 0.0)
            moved.append((start + left, width - left + right))
        least = (self._least(number) for number in self.row)
        if any(width < own - FINE for (_, width), own in zip(moved, least, strict=True)):
            return None
        widths, before = ({round(width, 3) for _, width in some} for some in (moved, spots))
        return None if len(widths) > len(before) else moved

    def _caught(self, spots: Sequence[Spot]) -> Caught:
        """Cleats that catch a stud, and uprights that stand on one."""
        half, studs = self.search.rules.panel / 2, self._studs
        middles = [spots[0][0] - half, *(start + width + half for start, width in spots)]
        standing = [at for number, at in enumerate(middles) if self._stands(number)]
        cleats = sum(
            len(self.layout.bays[n].zones)
            for n, (start, width) in zip(self.row, spots, strict=True)
            if any(
                start + self._past - TOUCH <= at <= start + width - self._past + TOUCH
                for at in studs
            )
        )
        reach = self._face + TOUCH
        return cleats, sum(any(abs(at - stud) <= reach for stud in studs) for at in standing)


def _whole(shift: float, step: float, *, up: bool) -> float:
    """A shift in whole steps, the next further or the next nearer one."""
    steps = abs(shift) / step
    return math.copysign(
        (math.ceil(steps - FINE) if up else math.floor(steps + FINE)) * step, shift
    )

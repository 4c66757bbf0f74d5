"""The line of a room (the height of its top boards) and the levels of the shelves under it.

With `top_line` level the top boards of all bays lie at one height, the line. Shelves are counted
down from it at the wished spacing, so that they agree between neighbours and around corners. Where
something is in the way of the line, a bay takes the highest level below it that is free.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from optimizer.domain.needs import Hang
from optimizer.domain.room import Slope
from optimizer.geometry.stretches import Stretch, Surveyed
from optimizer.patterns.bay_rules import BayRules, rod_sequences
from optimizer.patterns.column import Column
from optimizer.tolerances import FINE
from optimizer.units import ceil_to, floor_to

ROUND_STEPS = 4
"""A height taken from a ceiling is rounded down to this many grid steps: 1/4 in or 4 mm."""
LEAST_DROP_IN = 3.0
"""A lower line is lower by at least this [in]; less looks like a mistake (common practice)."""
ROD_WORTH = 2.0
"""A way to hang what is wanted against a board, where a line is chosen (our own choice)."""


@dataclass(frozen=True, slots=True)
class Spacing:
    """How far apart shelves are for things stored by count, and the clear height that they ask
    for over each."""

    pitch: float
    clear: float


@dataclass(frozen=True, slots=True)
class Ladder:
    """Heights of board tops: `line`, and down from it every `pitch` as far as `lowest` [brief
    units]."""

    line: float
    pitch: float
    lowest: float

    @property
    def levels(self) -> tuple[float, ...]:
        """Heights of board tops, highest first."""
        return tuple(self._down())

    def _down(self) -> Iterator[float]:
        """The line, and every whole spacing below it."""
        level = self.line
        while level >= self.lowest - FINE:
            yield round(level, 6)
            level -= self.pitch

    def under(self, dropped: float) -> tuple[float, ...]:
        """Levels at which the top board of a bay may lie: the line, and those at least `dropped`
        below it."""
        return tuple(h for h in self.levels if h == self.levels[0] or self.line - h >= dropped)


def ladders_of(rules: BayRules, surveyed: Surveyed) -> list[Ladder]:
    """The candidate ladders of a room, best first.

    Candidates are the highest line that each stretch of wall allows, and lines with a level just
    high enough to hang something under. They are ordered by the length of board and rod that could
    be had under them. A stretch on which the top board would be lower than the line counts one
    board less, so that a line is level where that costs little.
    """
    columns = [piece for s in surveyed.stretches for piece in _pieces(surveyed, s, rules)]
    lines = {_highest(column, rules) for column, _ in columns}
    # A line an inch lower may leave rods just enough where the highest one wastes most of a level.
    lines |= set(_for_rods(max(lines, default=0.0), rules))
    ladders = [_ladder(line, rules) for line in sorted(lines, reverse=True)]
    ladders = [ladder for ladder in ladders if ladder.levels]
    if not ladders:
        return [_ladder(rules.brief.construction.max_shelf_height, rules)]
    # Of equal worth the higher line comes first: sorting is stable.
    return sorted(ladders, key=lambda ladder: -_worth(ladder, columns, rules))


def _ladder(line: float, rules: BayRules) -> Ladder:
    """The ladder under a line."""
    construction, needs = rules.brief.construction, rules.brief.needs
    return Ladder(
        line=floor_to(line, ROUND_STEPS * rules.grid),
        pitch=needs.shelf_spacing,
        lowest=max(construction.base_height, rules.panel),
    )


def _for_rods(highest: float, rules: BayRules) -> Iterator[float]:
    """Lines up to `highest` of which some level leaves rods just the height that they need."""
    step = ROUND_STEPS * rules.grid
    for hangs in rod_sequences(rules):
        line = ceil_to(_needed(hangs, rules) + rules.panel, step)
        while line <= highest + FINE:
            yield line
            line += rules.brief.needs.shelf_spacing


def _needed(hangs: Sequence[Hang], rules: BayRules) -> float:
    """Height from the floor up to the board over these rods."""
    construction, drop = rules.brief.construction, rules.brief.needs.hang_drop
    rods = sum(drop.of(hang) + construction.rod_clearance for hang in hangs)
    return construction.floor_clearance + rods


def _worth(ladder: Ladder, columns: Sequence[tuple[Column, float]], rules: BayRules) -> float:
    """Length of board and of rod that a ladder allows, less for stretches below the line."""
    total = 0.0
    for column, length in columns:
        levels = levels_in(column, ladder, rules.brief.needs.shelf_depth, rules)
        if levels:
            dropped = levels[0] < ladder.line - FINE
            total += length * (len(levels) + _hangs(levels[0], rules) - dropped)
    return total


def _hangs(line: float, rules: BayRules) -> float:
    """Worth of what can hang under a line, as a number of boards of the same length."""
    highest = rules.reach.highest_rod + rules.brief.construction.rod_clearance
    under = min(line - rules.panel, highest)
    fitting = sum(_needed(hangs, rules) <= under + FINE for hangs in rod_sequences(rules))
    return ROD_WORTH * fitting


def levels_in(column: Column, ladder: Ladder, depth: float, rules: BayRules) -> tuple[float, ...]:
    """Levels at which a board of `depth` may lie in a column, the column's own top board first."""
    free = [level for level in ladder.levels if _lies(level, column, depth, rules)]
    lines = ladder.under(least_drop(rules))
    line = next((level for level in lines if level in free), None)
    return () if line is None else tuple(level for level in free if level <= line + FINE)


def levels_between(
    column: Column, depth: float, spacing: Spacing, span: tuple[float, float], rules: BayRules
) -> tuple[float, ...]:
    """Levels at another spacing, within `span` (low, high), at which boards of `depth` may lie.

    The highest first; they are counted down from the upper end of `span`, which is one of them.
    """
    low, high = span
    ladder = Ladder(high, spacing.pitch, low)
    clear = spacing.clear
    return tuple(h for h in ladder.levels if column.free(h - rules.panel, h + clear, depth))


def _lies(level: float, column: Column, depth: float, rules: BayRules) -> bool:
    """Whether a board at this level, and the least clear height above it, are free."""
    return column.free(level - rules.panel, level + rules.shelf_clear, depth)


def _highest(column: Column, rules: BayRules) -> float:
    """The highest top board that a column allows: under its ceiling, clear of blocks."""
    construction, depth = rules.brief.construction, rules.brief.needs.shelf_depth
    top = min(construction.max_shelf_height, column.height - rules.shelf_clear)
    for block in sorted(column.blocks, key=lambda b: -b.bottom):
        if not _lies(top, column, depth, rules):
            top = min(top, block.bottom - rules.shelf_clear)
    return max(top, 0.0)


def _pieces(
    surveyed: Surveyed, stretch: Stretch, rules: BayRules
) -> Iterator[tuple[Column, float]]:
    """Columns of a stretch with their lengths; under a slope, one for each narrow bay."""
    wall = surveyed.brief.room.walls[stretch.wall]
    ceiling = surveyed.brief.room.ceiling_height
    number = 1
    if isinstance(wall.height, Slope):
        # Under a slope each place allows another height: a bay's width is as fine as it matters.
        number = max(1, round(stretch.length / rules.min_hang_width))
    length = stretch.length / number
    for place in range(number):
        ends = (stretch.start + place * length, stretch.start + (place + 1) * length)
        height = min(wall.height_at(end, ceiling) for end in ends)
        yield Column(height, stretch.depth, stretch.blocks), length


def least_drop(rules: BayRules) -> float:
    """How much lower a lower line is at least [brief units]."""
    return rules.brief.units.from_inch(LEAST_DROP_IN)

"""Stacks of zones in a room with a level line: boards on the ladder's levels, rods under them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from optimizer.domain.layout import Zone, ZoneKind
from optimizer.domain.needs import Hang
from optimizer.patterns.bay_rules import BayRules
from optimizer.patterns.column import Column
from optimizer.patterns.ladder import Ladder, Spacing, levels_between, levels_in
from optimizer.patterns.spacings import finer_spacings, wider_spacings
from optimizer.patterns.stacks import OPEN_PITCHES, Stack
from optimizer.tolerances import FINE

Made = tuple[Stack, bool]
"""A stack, and whether its floor zone is made for items."""


@dataclass(frozen=True)
class LevelStacker:
    """Builds the stacks of one column, with boards of one depth."""

    rules: BayRules
    ladder: Ladder
    column: Column
    board_depth: float

    @cached_property
    def levels(self) -> tuple[float, ...]:
        """Levels of the column that a board may lie at, the column's line first."""
        return levels_in(self.column, self.ladder, self.board_depth, self.rules)

    def shelves(self, tops: Sequence[float], roof: float) -> Stack:
        """Shelf zones with boards at `tops` (highest first); the top one is clear up to `roof`."""
        zones: list[Zone] = []
        above = roof
        for top in tops:
            clear = self.column.ceiling_over(top, above, self.board_depth)
            zone = Zone(kind=ZoneKind.SHELF, bottom=top, top=clear, depth=self.board_depth)
            zones.append(zone)
            above = top - self.rules.panel
        return tuple(reversed(zones))

    def shelf_stacks(
        self, floors: Sequence[float], floor_depth: float, talls: Sequence[float]
    ) -> Iterator[Made]:
        """Stacks of shelves without rods.

        Shelves all the way, with taller zones for items, at the spacings of things stored by count,
        over open floor, and over items on the floor.
        """
        rules, levels = self.rules, self.levels
        if not levels:
            return
        yield self.shelves(levels, self.column.height), False
        for tall in talls:
            yield from self._with_tall(tall)
        yield from self._at_spacings()
        open_height = OPEN_PITCHES * rules.brief.needs.shelf_spacing
        yield from self._over_floor(open_height, self.board_depth, hosting=False)
        # As deep as what stands there, and the cleat behind it where the boards are.
        cleat = rules.brief.construction.cleat_thickness
        floor_depth = max(floor_depth, min(self.board_depth, floor_depth + cleat))
        for height in floors:
            # Clear of what hangs under the board, or in front of its cleat.
            for hangs in (rules.overhead, 0.0):
                needed = height + hangs + rules.panel
                yield from self._over_floor(needed, floor_depth, hosting=True)

    def _with_tall(self, tall: float) -> Iterator[Made]:
        """Shelves with boards left out for items `tall`: over the lowest board, or over every
        board."""
        rules, levels, roof = self.rules, self.levels, self.column.height
        # With room for the cleats or the stiffener under the board over them, and without.
        for hangs in (rules.overhead, 0.0):
            opening = tall + hangs + rules.panel
            above = [level for level in levels if level >= levels[-1] + opening - FINE]
            if above:
                # The lowest board stays where it is, and the boards in the way of what stands on it
                # go.
                yield self.shelves([*above, levels[-1]], roof), False
            steps = math.ceil((opening - FINE) / self.ladder.pitch)
            if steps > 1 and len(levels) > steps:
                yield self.shelves(levels[::steps], roof), False

    def _at_spacings(self) -> Iterator[Made]:
        """Shelves at the spacings that things stored by count ask for.

        Wider ones all the way down, or one wider at the bottom; closer ones below some at the
        wished spacing, with and without a wider one at the bottom.
        """
        levels, roof = self.levels, self.column.height
        wider = wider_spacings(self.rules)
        for wide in wider:
            yield self.shelves(self._spaced(wide, levels[0]), roof), False
            yield from self._under_wide(levels, wide)
        for fine in finer_spacings(self.rules):
            # Three places to begin the closer shelves: every level would multiply the patterns.
            for start in sorted({0, len(levels) // 3, 2 * len(levels) // 3}):
                tops = (*levels[:start], *self._spaced(fine, levels[start]))
                yield self.shelves(tops, roof), False
                for wide in wider:
                    yield from self._under_wide(tops, wide)

    def _under_wide(self, tops: Sequence[float], wide: Spacing) -> Iterator[Made]:
        """The boards at `tops` that leave room for a wider space at the bottom, and a board under
        that."""
        lowest, depth = self.ladder.lowest, self.board_depth
        kept = [top for top in tops if top - wide.pitch >= lowest - FINE]
        while kept:
            board = kept[-1] - wide.pitch
            if self.column.free(board - self.rules.panel, board + wide.clear, depth):
                yield self.shelves((*kept, board), self.column.height), False
                return
            kept.pop()

    def _spaced(self, spacing: Spacing, top: float) -> tuple[float, ...]:
        """Levels at a spacing from `top` down, which is the first of them."""
        span = self.ladder.lowest, top
        found = levels_between(self.column, self.board_depth, spacing, span, self.rules)
        return found if found and found[0] == top else (top, *found)

    def _over_floor(self, least: float, depth: float, *, hosting: bool) -> Iterator[Made]:
        """Shelves from the first level at or above `least`, a floor zone under them."""
        above = [level for level in self.levels if level >= least - FINE]
        if not above:
            return
        # Nothing stands on an open floor, so an outlet behind it is no hindrance.
        top = above[-1] - self.rules.panel
        if hosting:
            top = self.column.ceiling_over(0.0, top, depth)
        # A block may keep the floor zone lower than asked: then it is of no use to the items.
        if top >= least - self.rules.panel - self.rules.overhead - FINE:
            floor = Zone(kind=ZoneKind.FLOOR, bottom=0.0, top=top, depth=depth)
            yield (floor, *self.shelves(above, self.column.height)), hosting

    def hanging_stacks(
        self, hangs: Sequence[Hang], floors: Sequence[float], floor_depth: float
    ) -> Iterator[Made]:
        """Stacks with these rods (the lowest first), under each level that leaves them room."""
        # Rods hang under the lowest of so many boards: two boards over them, three, ...
        for count in range(1, len(self.levels) + 1):
            boards = self.levels[:count]
            rods = self._rods(hangs, boards[-1])
            if rods:
                above = self.shelves(boards, self.column.height)
                yield from self._under((*rods, *above), floors, floor_depth)

    def _rods(self, hangs: Sequence[Hang], under: float) -> Stack | None:
        """Rods one below the other under a board; None where something is in the way of the
        clothes."""
        rules = self.rules
        construction, depth = rules.brief.construction, rules.brief.construction.hang_depth
        top = under - rules.panel
        highest = rules.reach.highest_rod
        zones: list[Zone] = []
        for hang in reversed(hangs):
            rod = min(top - construction.rod_clearance, highest)
            bottom = rod - rules.brief.needs.hang_drop.of(hang)
            if bottom < construction.floor_clearance - FINE:
                return None
            if not self.column.free(bottom, top, depth):
                return None
            zone = Zone(
                kind=ZoneKind.ROD, bottom=bottom, top=top, depth=depth, hang=hang, rod_height=rod
            )
            zones.append(zone)
            top = bottom
        return tuple(reversed(zones))

    def _under(self, stack: Stack, floors: Sequence[float], floor_depth: float) -> Iterator[Made]:
        """The stack with what may be under it: nothing, open floor, low shelves, or items."""
        rules, bottom = self.rules, stack[0].bottom
        needs, hang_depth = rules.brief.needs, rules.brief.construction.hang_depth
        if bottom >= needs.shelf_spacing - FINE:
            floor = Zone(kind=ZoneKind.FLOOR, bottom=0.0, top=bottom, depth=hang_depth)
            yield (floor, *stack), False
        else:
            yield stack, False
        low = [level for level in self.levels if level + rules.shelf_clear <= bottom + FINE]
        if low:
            yield (*self.shelves(low, bottom), *stack), False
        for spacing in finer_spacings(rules) if self.levels else ():
            near = [h for h in self._spaced(spacing, self.levels[0]) if h + spacing.clear <= bottom]
            # Closer boards are worth a stack of their own only where they are more.
            if len(near) > max(1, len(low)):
                yield (*self.shelves(near, bottom), *stack), False
        top = self.column.ceiling_over(0.0, bottom, floor_depth)
        if any(height <= top + FINE for height in floors):
            floor = Zone(kind=ZoneKind.FLOOR, bottom=0.0, top=top, depth=floor_depth)
            yield (floor, *stack), True

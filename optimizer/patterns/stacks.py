"""Stacks of zones without a common line (`top_line` free), built from the bottom to the top."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from optimizer.domain.layout import Zone, ZoneKind
from optimizer.domain.needs import Hang
from optimizer.patterns.bay_rules import BayRules
from optimizer.patterns.column import Column
from optimizer.patterns.ladder import ROUND_STEPS, Spacing
from optimizer.patterns.spacings import finer_spacings, wider_spacings
from optimizer.tolerances import FINE
from optimizer.units import floor_to

OPEN_PITCHES = 2
"""An open floor zone is this many shelf spacings high (common practice: room to stand in)."""

Stack = tuple[Zone, ...]


@dataclass(frozen=True, slots=True)
class Stacker:
    """Builds the stacks of one column, with boards of one depth."""

    rules: BayRules
    column: Column
    board_depth: float

    @property
    def _rod_depth(self) -> float:
        """How deep hung clothes are."""
        return self.rules.brief.construction.hang_depth

    def shelves(
        self,
        first_top: float,
        limit: float,
        most: int = 99,
        first_clear: float = 0.0,
        spacing: Spacing | None = None,
    ) -> Stack:
        """Boards at the wished spacing from `first_top` up, the last zone open up to `limit`.

        `first_clear` asks for a taller zone on the first board; `spacing` is another one.
        """
        rules, column, depth = self.rules, self.column, self.board_depth
        panel = rules.panel
        spacing = spacing or Spacing(rules.brief.needs.shelf_spacing, rules.shelf_clear)
        highest = rules.brief.construction.max_shelf_height
        tops: list[float] = []
        wanted = first_top
        while len(tops) < most:
            clear = max(spacing.clear, 0.0 if tops else first_clear)
            # As high as asked, or higher where something in the wall is in the way of the board or
            # of the space that it needs over it.
            start = column.lifted(wanted - panel, panel + clear, depth)
            top = None if start is None else start + panel
            if top is None or top > highest + FINE or top + clear > limit + FINE:
                break
            tops.append(top)
            # After the first board only, which is the one with the taller space over it.
            wanted = top + max(spacing.pitch, first_clear + panel if len(tops) == 1 else 0.0)
        zones = []
        for index, top in enumerate(tops):
            above = tops[index + 1] - panel if index + 1 < len(tops) else limit
            roof = column.ceiling_over(top, above, depth)
            zones.append(Zone(kind=ZoneKind.SHELF, bottom=top, top=roof, depth=depth))
        return tuple(zones)

    def rods(self, hangs: Sequence[Hang], lowest: float) -> Stack | None:
        """Rods one above the other, the clothes of the lowest not below `lowest`; None if they do
        not fit."""
        rules = self.rules
        clearance = rules.brief.construction.rod_clearance
        zones: list[Zone] = []
        cursor = lowest
        for hang in hangs:
            drop = rules.brief.needs.hang_drop.of(hang)
            bottom = self.column.lifted(cursor, drop + clearance, self._rod_depth)
            if bottom is None or bottom + drop > rules.reach.highest_rod + FINE:
                return None
            top = bottom + drop + clearance
            zones.append(
                Zone(
                    kind=ZoneKind.ROD,
                    bottom=bottom,
                    top=top,
                    depth=self._rod_depth,
                    hang=hang,
                    rod_height=bottom + drop,
                )
            )
            # Lifted over something in the wall: the space under it is the lower rod's.
            if len(zones) > 1 and zones[-2].top < bottom:
                zones[-2] = zones[-2].model_copy(
                    update={"top": self.column.ceiling_over(zones[-2].top, bottom, self._rod_depth)}
                )
            cursor = top
        return tuple(zones)

    def topped(self, rods: Stack, most: int) -> Stack | None:
        """`rods` with one to `most` boards above them; None where not even one fits."""
        last = rods[-1]
        boards = self.shelves(last.top + self.rules.panel, self.column.height, most)
        if not boards:
            return None
        under = self.column.ceiling_over(
            last.top, boards[0].bottom - self.rules.panel, self._rod_depth
        )
        return (*rods[:-1], last.model_copy(update={"top": max(last.top, under)}), *boards)

    def highest_rod(self, hang: Hang) -> Stack | None:
        """One rod as high as it may be, with a single board above it."""
        rules, construction = self.rules, self.rules.brief.construction
        over = construction.rod_clearance + rules.panel
        drop = rules.brief.needs.hang_drop.of(hang)
        height = min(
            rules.reach.highest_rod,
            construction.max_shelf_height - over,
            self.column.height - rules.shelf_clear - over,
        )
        bottom = floor_to(height - drop, rules.grid * ROUND_STEPS)
        return self.rods([hang], bottom) if bottom > 0 else None

    def floor(self, height: float, depth: float) -> Zone | None:
        """A floor zone of this clear height; None where something is in its way."""
        if not self.column.free(0.0, height, depth):
            return None
        return Zone(kind=ZoneKind.FLOOR, bottom=0.0, top=height, depth=depth)


def hanging_stacks(
    stacker: Stacker, hangs: Sequence[Hang], floors: Sequence[float], floor_depth: float
) -> list[tuple[Stack, bool]]:
    """Stacks with these rods, as (zones, whether the floor zone is made for items)."""
    rules = stacker.rules
    air = rules.brief.construction.floor_clearance
    found: list[tuple[Stack | None, bool]] = []
    # Rods from the floor up, with as many boards over them as go, or with one.
    low = stacker.rods(hangs, air)
    if low:
        found += [(stacker.topped(low, 99), False), (stacker.topped(low, 1), False)]
    if len(hangs) == 1:
        found += [(stack, False) for stack in _raised(stacker, hangs[0])]
    # Rods over items on the floor.
    for height in floors:
        zone = stacker.floor(height, floor_depth)
        raised = stacker.rods(hangs, max(height, air)) if zone else None
        topped = stacker.topped(raised, 99) if raised else None
        if zone and topped:
            found.append(((zone, *topped), True))
    return [(stack, hosting) for stack, hosting in found if stack]


def _raised(stacker: Stacker, hang: Hang) -> list[Stack]:
    """A rod as high as it may be, over open floor and over low shelves."""
    high = stacker.highest_rod(hang)
    topped = stacker.topped(high, 1) if high else None
    if not topped:
        return []
    rules, under = stacker.rules, topped[0].bottom
    found: list[Stack] = []
    if under >= rules.brief.needs.shelf_spacing:
        depth = rules.brief.construction.hang_depth
        # Nothing stands on an open floor, so an outlet behind it is no hindrance.
        found.append((Zone(kind=ZoneKind.FLOOR, bottom=0.0, top=under, depth=depth), *topped))
    base = rules.brief.construction.base_height
    lows = [stacker.shelves(base, under)]
    lows += [stacker.shelves(base, under, spacing=own) for own in finer_spacings(rules)]
    found += [(*boards, *topped) for boards in lows if boards]
    return found


def shelf_stacks(
    stacker: Stacker, floors: Sequence[float], floor_depth: float, talls: Sequence[float]
) -> list[tuple[Stack, bool]]:
    """Stacks of shelves without rods: all the way, over open floor, over items, with one tall
    zone."""
    rules, column = stacker.rules, stacker.column
    base, pitch = rules.brief.construction.base_height, rules.brief.needs.shelf_spacing
    found: list[tuple[Stack, bool]] = [(stacker.shelves(base, column.height), False)]
    for tall in talls:
        clear = tall + rules.overhead
        found.append((stacker.shelves(base, column.height, first_clear=clear), False))
    for spacing in (*finer_spacings(rules), *wider_spacings(rules)):
        found.append((stacker.shelves(base, column.height, spacing=spacing), False))
    # Boards over open floor.
    raised = base + OPEN_PITCHES * pitch
    boards = stacker.shelves(raised, column.height)
    if boards:
        roof = boards[0].bottom - rules.panel
        zone = Zone(kind=ZoneKind.FLOOR, bottom=0.0, top=roof, depth=stacker.board_depth)
        found.append(((zone, *boards), False))
    # Boards over items on the floor: the lowest may have to lie higher than they ask.
    for height in floors:
        roof = height + rules.overhead
        hosted = stacker.floor(roof, floor_depth)
        boards = stacker.shelves(roof + rules.panel, column.height)
        if boards and hosted:
            under = column.ceiling_over(roof, boards[0].bottom - rules.panel, floor_depth)
            hosted = hosted.model_copy(update={"top": under})
        if hosted and boards:
            found.append(((hosted, *boards), True))
    return [(stack, hosting) for stack, hosting in found if stack]

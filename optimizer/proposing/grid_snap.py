"""A layout drawn by hand, put in order: on the grid, uprights shared, ends at their walls.

What is off by less than a hand can see to is put right, and nothing else: a layout that is in
order comes back as it is. Ids, order, what stands on what and which wall carries are never changed.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Carried, Layout, Zone, ZoneKind
from optimizer.geometry.outline import outline_of
from optimizer.patterns.bay_rules import BayRules
from optimizer.tolerances import TOUCH

NEAR_IN = 1.0
"""Ends nearer to where they belong than this are drawn there (our own choice)."""


def snapped(brief: Brief, layout: Layout) -> Layout:
    """The layout in order; bays that the brief pins are left where they are."""
    outline = outline_of(brief.room, brief.units)
    snap = _Snap(brief)
    bays = list(layout.bays)
    for wall in outline.walls:
        places = [place for place, bay in enumerate(layout.bays) if bay.wall == wall.id]
        places.sort(key=lambda place: layout.bays[place].start)
        row = snap.row([layout.bays[place] for place in places], wall.length)
        for place, bay in zip(places, row, strict=True):
            bays[place] = bay
    return layout.model_copy(update={"bays": tuple(bays)})


class _Snap:
    """Moves drawn bays of one brief onto the rounding grid, wall by wall."""

    def __init__(self, brief: Brief) -> None:
        """Reads what the rules of `brief` say about grid, lines and pins."""
        self.rules = BayRules(brief)
        self.panel = self.rules.panel
        self.near = brief.units.from_inch(NEAR_IN)
        self.level = brief.construction.top_line == "level"
        self.pins = {(pin.wall, pin.start, pin.width) for pin in brief.pins}

    def row(self, own: Sequence[Bay], length: float) -> list[Bay]:
        """The bays of a wall of that length, from left to right."""
        done: list[Bay] = []
        for bay in own:
            # A pin is where somebody measured it, off the grid or not.
            if (bay.wall, bay.start, bay.width) in self.pins:
                done.append(bay)
                continue
            start = self._start(bay, done[-1] if done else None)
            last = bay is own[-1]
            end = self._end(bay, start, length if last else None)
            done.append(self._placed(bay, start, end))
        return done

    def _start(self, bay: Bay, before: Bay | None) -> float:
        """Left end of the clear space."""
        if before is None:
            if bay.left is Carried.WALL and bay.start <= self.near:
                return 0.0
            return max(bay.start, self.panel) if bay.left is Carried.UPRIGHT else bay.start
        if Carried.UPRIGHT not in {bay.left, before.right}:
            return bay.start
        shared = before.end + self.panel
        apart = bay.start - shared
        # Two uprights side by side need a panel's thickness more than one that is shared.
        return shared if apart < max(self.near, self.panel) - TOUCH else bay.start

    def _end(self, bay: Bay, start: float, length: float | None) -> float:
        """Right end of the clear space, a whole number of steps from `start` between uprights."""
        width = bay.end - start
        if length is not None:
            # A side wall that carries the bay decides its end, whatever the grid.
            if bay.right is Carried.WALL and abs(length - bay.end) <= self.near:
                return length
            if bay.right is Carried.UPRIGHT:
                width = min(width, length - self.panel - start)
        if bay.left != Carried.UPRIGHT or bay.right != Carried.UPRIGHT:
            return start + width
        steps = width / self.rules.grid
        whole = round(steps)
        # Rounded up it may leave no room for its upright.
        if length is not None and start + whole * self.rules.grid > length - self.panel + TOUCH:
            whole -= 1
        return bay.end if abs(steps - whole) < TOUCH else start + whole * self.rules.grid

    def _placed(self, bay: Bay, start: float, end: float) -> Bay:
        """The bay there, with its zones in order; one without any width is left as drawn."""
        zones = self._zones(bay.zones)
        update: dict[str, Any] = {"zones": zones}
        # Narrower than a panel is a slip of the hand: the checker tells of it as it was drawn.
        if end - start > self.panel and (start, end) != (bay.start, bay.end):
            update |= {"start": start, "width": end - start}
        boards = [zone.bottom for zone in zones if zone.kind is ZoneKind.SHELF]
        if boards and self.level and abs(max(boards) - bay.height) > TOUCH:
            update["height"] = max(boards)
        depths = [zone.depth for zone in zones if zone.depth is not None]
        if depths and len(depths) == len(zones) and abs(max(depths) - bay.depth) > TOUCH:
            update["depth"] = max(depths)
        return bay.model_copy(update=update)

    def _zones(self, zones: Sequence[Zone]) -> tuple[Zone, ...]:
        """Zones whose tops meet the board above them, rods as high as their clothes are long."""
        done: list[Zone] = []
        for above, zone in zip([*zones[1:], None], zones, strict=True):
            update: dict[str, float] = {}
            # The board above may have been moved to the grid: the zone under it follows.
            if above is not None and above.kind is ZoneKind.SHELF:
                # One that ends well below it does so under something on the wall, and stays.
                under = above.bottom - self.panel
                apart = under - zone.top
                if abs(apart) > TOUCH and apart <= self.near and under > zone.bottom:
                    update["top"] = under
            if zone.kind is ZoneKind.ROD and zone.rod_height is not None and zone.hang is not None:
                lowest = zone.rod_height - self.rules.brief.needs.hang_drop.of(zone.hang)
                if abs(lowest - zone.bottom) > TOUCH and lowest >= 0:
                    update["bottom"] = lowest
            done.append(zone.model_copy(update=update) if update else zone)
        return tuple(done)

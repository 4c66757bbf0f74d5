"""What every rule of the checker reads: the brief, the layout, the room in plan, and its bays."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimizer.checking.floor_plan import FloorPlan, WallLine, plan_of
from optimizer.checking.shapes import Interval, Rect
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Carried, Layout, Zone, ZoneKind
from optimizer.domain.room import Access, Opening
from optimizer.reference.reach import Reach, reach_of
from optimizer.tolerances import RULE_IN
from optimizer.units import Units, state_length


@dataclass(frozen=True, slots=True)
class Placed:
    """A bay together with where it stands in plan.

    `index` is its place in the layout; `along` its extent along the wall, its uprights included;
    `footprint` the floor that it takes, from the wall out to its depth [brief units].
    """

    index: int
    bay: Bay
    wall: WallLine
    along: Interval
    footprint: Rect

    @property
    def pointer(self) -> str:
        """JSON Pointer of the bay within its layout."""
        return f"/bays/{self.index}"

    @property
    def clear(self) -> Interval:
        """The bay's clear space along the wall: between uprights, or up to the wall or the
        corner."""
        return (self.bay.start, self.bay.end)

    @property
    def uprights(self) -> dict[str, Interval]:
        """Extents of its uprights along the wall, by side; a side carried otherwise has none."""
        sides = {
            "left": (self.bay.left, (self.along[0], self.bay.start)),
            "right": (self.bay.right, (self.bay.end, self.along[1])),
        }
        return {name: span for name, (end, span) in sides.items() if end is Carried.UPRIGHT}

    @property
    def has_rod(self) -> bool:
        """Whether clothes hang in it."""
        return any(zone.kind is ZoneKind.ROD for zone in self.bay.zones)

    def boards(self) -> Iterator[tuple[float, float]]:
        """Top and depth of each board, from bottom to top."""
        for zone in self.bay.zones:
            if zone.kind is ZoneKind.SHELF:
                yield zone.bottom, zone_depth(self.bay, zone)


def zone_depth(bay: Bay, zone: Zone) -> float:
    """Depth of a zone, out from the wall; that of its bay unless it has one of its own."""
    return bay.depth if zone.depth is None else zone.depth


@dataclass(frozen=True, slots=True)
class Case:
    """One layout to be checked against one brief: what every rule is given.

    `plan` is the room's walls in plan; `reach_in` whether the closet is used from outside. `bays`
    leaves out those on walls that the room does not have, which a rule of their own reports.
    """

    brief: Brief
    layout: Layout
    plan: FloorPlan
    reach_in: bool
    bays: tuple[Placed, ...]

    @property
    def units(self) -> Units:
        """Units of every length."""
        return self.brief.units

    @property
    def tolerance(self) -> float:
        """What a length may be off and keep the rules [brief units]."""
        return self.units.from_inch(RULE_IN)

    @property
    def thickness(self) -> float:
        """Panel thickness [brief units]."""
        return self.brief.construction.panel_thickness

    @property
    def level(self) -> bool:
        """Whether the room's top boards are to lie at one height."""
        return self.brief.construction.top_line == "level"

    @property
    def reach(self) -> Reach:
        """What the users reach [brief units]."""
        return reach_of(self.brief.needs, self.brief.construction, self.units)

    def say(self, length: float) -> str:
        """A length for a message, with its unit."""
        return state_length(length, self.units)

    def zones(self) -> Iterator[tuple[str, Bay, Zone]]:
        """Every zone of every bay with its JSON Pointer, unknown walls included."""
        for index, bay in enumerate(self.layout.bays):
            for place, zone in enumerate(bay.zones):
                yield f"/bays/{index}/zones/{place}", bay, zone

    def row(self, line: WallLine) -> list[Placed]:
        """The bays of a wall from left to right."""
        on_wall = (placed for placed in self.bays if placed.wall is line)
        return sorted(on_wall, key=lambda placed: placed.bay.start)

    def openings(self) -> Iterator[tuple[Opening, WallLine]]:
        """Every opening with its wall."""
        for opening in self.brief.room.openings:
            line = self.plan.find(opening.wall)
            if line is not None:
                yield opening, line


def _is_reach_in(brief: Brief, plan: FloorPlan) -> bool:
    """Whether the closet is served from outside, through its openings.

    Unless the brief says so, it is where the room is closed and so shallow behind every opening
    that hung clothes and an aisle do not both fit. The depth is measured at the middle of each
    opening.
    """
    room = brief.room
    if room.access is not Access.AUTO:
        return room.access is Access.REACH_IN
    # An open run is walked up to, and a closed room without an opening is entered by none.
    if not plan.closed or not room.openings:
        return False
    enough = brief.construction.hang_depth + brief.needs.aisle
    for opening in room.openings:
        line = plan.find(opening.wall)
        hit = line and plan.across(line, opening.start + opening.width / 2.0)
        # One opening with room to step in, or with no wall across from it, makes it a walk-in.
        if not hit or hit[0] >= enough - brief.units.from_inch(RULE_IN):
            return False
    return True


def case_of(brief: Brief, layout: Layout) -> Case:
    """The layout with the plan of its brief's room, ready to be checked."""
    plan = plan_of(brief.room, brief.units)
    thickness = brief.construction.panel_thickness
    placed = []
    for index, bay in enumerate(layout.bays):
        line = plan.find(bay.wall)
        if line is not None:
            along = (
                bay.start - (thickness if bay.left is Carried.UPRIGHT else 0.0),
                bay.end + (thickness if bay.right is Carried.UPRIGHT else 0.0),
            )
            footprint = line.rect(along, (0.0, bay.depth))
            placed.append(Placed(index, bay, line, along, footprint))
    return Case(brief, layout, plan, _is_reach_in(brief, plan), tuple(placed))

"""One layout of one brief, refused where no parts could be derived from it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from optimizer.domain.brief import Brief
from optimizer.domain.construction import Construction
from optimizer.domain.layout import Bay, Carried, Layout, Zone, ZoneKind
from optimizer.domain.room import Wall
from optimizer.errors import BuildError
from optimizer.structure.bay_surroundings import BaySurroundings
from optimizer.structure.toplines import share_upright
from optimizer.tolerances import RULE_IN
from optimizer.units import Units, ceil_to, floor_to, format_short

if TYPE_CHECKING:
    from optimizer.parts.strips import Strip
    from optimizer.parts.uprights import Upright


@dataclass(frozen=True)
class Job:
    """A brief and a layout, with the look-ups that deriving parts needs [brief units].

    What strength looks up as well is in `standing`; here a layout that cannot be built is refused.
    """

    brief: Brief
    layout: Layout

    @property
    def units(self) -> Units:
        """Units of every length."""
        return self.brief.units

    @property
    def construction(self) -> Construction:
        """Named rules of construction."""
        return self.brief.construction

    @cached_property
    def panel(self) -> float:
        """Panel thickness."""
        return self.brief.construction.panel_thickness

    @cached_property
    def tolerance(self) -> float:
        """Float noise taken at borders."""
        return self.brief.units.from_inch(RULE_IN)

    @cached_property
    def standing(self) -> BaySurroundings:
        """What strength knows of the layout: boards, what carries them, runs of top boards."""
        return BaySurroundings(self.brief, self.layout)

    @property
    def walls(self) -> dict[str, Wall]:
        """Walls by id, in the order of the room."""
        return self.standing.walls

    @cached_property
    def bays_by_wall(self) -> dict[str, tuple[Bay, ...]]:
        """Bays of each wall from left to right; walls without bays are left out.

        Raises BuildError where a bay stands on no wall, past its end or in another bay.
        """
        seen: set[str] = set()
        for bay in self.layout.bays:
            if bay.wall not in self.walls:
                raise BuildError(f"bay {bay.id} stands on wall {bay.wall}, which is not there")
            # Parts are named by their bay: two of one name would be one line of the cut list.
            if bay.id in seen:
                raise BuildError(f"two bays have the id {bay.id}")
            seen.add(bay.id)
            self._refuse_overrun(bay)
        for bays in self.standing.bays_by_wall.values():
            self._refuse_overlap(bays)
        return self.standing.bays_by_wall

    def _refuse_overrun(self, bay: Bay) -> None:
        """An upright stands on the wall; a side wall or a corner carries at the wall's end."""
        length = self.walls[bay.wall].clear_length
        left = bay.start - (self.panel if bay.left is Carried.UPRIGHT else 0.0)
        right = bay.end + (self.panel if bay.right is Carried.UPRIGHT else 0.0)
        if left < -self.tolerance or right > length + self.tolerance:
            raise BuildError(
                f"bay {bay.id} with its uprights takes {self.short(left)} to {self.short(right)} "
                f"of wall {bay.wall}, which is {self.short(length)} long"
            )
        for carried, gap, side in (
            (bay.left, bay.start, "left"),
            (bay.right, length - bay.end, "right"),
        ):
            if carried is Carried.WALL and gap > self.tolerance:
                raise BuildError(
                    f"bay {bay.id} is carried by the wall at its {side}, which is "
                    f"{self.short(gap)} away"
                )

    def _refuse_overlap(self, bays: tuple[Bay, ...]) -> None:
        """BuildError for neighbours that neither share an upright nor have room for two."""
        for left, right in pairwise(bays):
            gap = right.start - left.end
            if left.right is not Carried.UPRIGHT or right.left is not Carried.UPRIGHT:
                raise BuildError(
                    f"bays {left.id} and {right.id} are neighbours: an upright carries both there"
                )
            # One upright takes exactly a panel's thickness, two of their own at least twice that.
            shared = share_upright(left, right, self.panel, self.tolerance)
            if (not shared and gap < 2 * self.panel - self.tolerance) or (
                gap < self.panel - self.tolerance
            ):
                raise BuildError(
                    f"bays {left.id} and {right.id} are {self.short(gap)} apart: one upright "
                    f"takes {self.short(self.panel)}, two take {self.short(2 * self.panel)}"
                )

    @cached_property
    def uprights(self) -> dict[str, tuple[Upright, ...]]:
        """Uprights by wall, filled in as they are asked for."""
        return {}

    @cached_property
    def strips(self) -> dict[str, tuple[Strip, ...]]:
        """Left-overs by wall, filled in as they are asked for."""
        return {}

    def side_wall_of(self, bay: Bay, *, left: bool) -> str:
        """Id of the wall that meets a bay's wall at an inside corner; BuildError without one."""
        wall = self.standing.beside[bay.wall][0 if left else 1]
        if wall is None:
            raise BuildError(f"bay {bay.id} has no wall at its {'left' if left else 'right'}")
        return wall.id

    def measured_on_site(self, bay: Bay) -> float:
        """Spread of the readings that the boards of a bay depend on, 0 where they may be cut.

        A bay carried by a side wall reaches to it, and readings that differ by more than
        `caulk_limit` make its boards differ as well.
        """
        if Carried.WALL not in (bay.left, bay.right):
            return 0.0
        # Readings that differ by less are filled with caulk.
        spread = self.walls[bay.wall].reading_spread
        return spread if spread > self.construction.caulk_limit + self.tolerance else 0.0

    def clear_height(self, wall_id: str, start: float, end: float) -> float:
        """Least clear height over a piece of wall, level or sloped."""
        wall, ceiling = self.walls[wall_id], self.brief.room.ceiling_height
        return min(wall.height_at(start, ceiling), wall.height_at(end, ceiling))

    def cut(self, length: float) -> float:
        """`length` rounded down to the cutting grid, so that it never overfills."""
        return round(floor_to(length, self.units.grid), 6)

    def cut_up(self, length: float) -> float:
        """`length` rounded up to the cutting grid: for notches and what is planed to fit."""
        return round(ceil_to(length, self.units.grid), 6)

    @property
    def weight_unit(self) -> Literal["lb", "kg"]:
        """Unit of weights: lb in inch briefs, kg in millimetre ones."""
        return "lb" if self.units is Units.INCH else "kg"

    def fine(self, length: float) -> str:
        """A small `length` such as a sag, with its unit."""
        return f"{length:.3f} in" if self.units is Units.INCH else f"{length:.1f} mm"

    def short(self, length: float) -> str:
        """`length` as a cut list shows it, with its unit."""
        text = format_short(length, self.units)
        return text if self.units is Units.INCH else f"{text} mm"


def depth_of(zone: Zone, bay: Bay) -> float:
    """How far a zone reaches out from the wall."""
    return bay.depth if zone.depth is None else zone.depth


def boards_of(bay: Bay) -> tuple[Zone, ...]:
    """Shelf zones from the floor up; each stands on one board."""
    shelves = (zone for zone in bay.zones if zone.kind is ZoneKind.SHELF)
    return tuple(sorted(shelves, key=lambda zone: zone.bottom))


def rods_of(bay: Bay) -> tuple[Zone, ...]:
    """Rod zones from the floor up."""
    rods = (zone for zone in bay.zones if zone.kind is ZoneKind.ROD)
    return tuple(sorted(rods, key=lambda zone: rod_height_of(zone, bay)))


def rod_height_of(zone: Zone, bay: Bay) -> float:
    """Height of a rod's centre; BuildError when the layout does not say."""
    if zone.rod_height is None:
        raise BuildError(f"bay {bay.id} has a rod zone without a rod height")
    return zone.rod_height

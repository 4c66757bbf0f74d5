"""The rules of the brief for a single bay, worked out once in the form that the enumeration
needs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Zone, ZoneKind
from optimizer.domain.needs import Hang, Item, Place, Use
from optimizer.domain.studs import stud_centres
from optimizer.patterns.rates import Rates, rates_of
from optimizer.patterns.rips import ripped_depth
from optimizer.reference.garments import required_hang
from optimizer.reference.mounted import Mounted, mounted_of
from optimizer.reference.reach import Reach, reach_of
from optimizer.reference.stored import Thing, things_of
from optimizer.reference.weights import heavy_limit, item_weight
from optimizer.structure.spans import rod_span_limit, shelf_span_limit
from optimizer.tolerances import TOUCH
from optimizer.units import Units, ceil_to, floor_to, plain_number

_FINE = 1e-9


@dataclass(frozen=True, slots=True)
class ItemKind:
    """One kind of bulky item, with what limits where it may stand; `weight` in lb or kg, 0
    where the brief gives none. A bought unit has a bay `between` two widths to itself."""

    id: str
    width: float
    depth: float
    height: float
    count: int
    on_floor: bool
    on_shelf: bool
    heavy: bool
    daily: bool
    weight: float
    between: tuple[float, float] | None = None


@dataclass(frozen=True)
class BayRules:
    """Sizes and limits for the bays of one brief, all lengths in brief units."""

    brief: Brief

    @cached_property
    def panel(self) -> float:
        """Panel thickness."""
        return self.brief.construction.panel_thickness

    @cached_property
    def rates(self) -> Rates:
        """What stock and fittings cost."""
        return rates_of(self.brief)

    @cached_property
    def ripped(self) -> float | None:
        """Depth of boards of the wished depth out of equal strips, where that is as good as it."""
        return ripped_depth(self.brief)

    @cached_property
    def keeps_ripped(self) -> bool:
        """Whether a pin names boards that were ripped so."""
        told = None if self.ripped is None else f"x{plain_number(self.ripped)}@"
        return told is not None and any(told in pin.pattern for pin in self.brief.pins)

    def asked_depth(self, depth: float) -> float:
        """The depth that a board of `depth` was asked for: the wished one of a ripped board."""
        ripped = self.ripped is not None and abs(depth - self.ripped) <= TOUCH
        return self.brief.needs.shelf_depth if ripped else depth

    @cached_property
    def grid(self) -> float:
        """Step that widths are multiples of [brief units]."""
        return self.brief.units.grid

    @cached_property
    def reach(self) -> Reach:
        """The band of heights that all users reach with ease, and the highest rod."""
        return reach_of(self.brief.needs, self.brief.construction, self.brief.units)

    @cached_property
    def required(self) -> dict[Hang, float]:
        """Rod length asked for by class, garments by count among it [brief units]."""
        return required_hang(self.brief.needs, self.brief.units)

    @cached_property
    def shelf_clear(self) -> float:
        """Least clear height on a shelf."""
        needs = self.brief.needs
        return min(self.brief.construction.min_shelf_clear, needs.shelf_spacing - self.panel)

    @cached_property
    def things(self) -> tuple[Thing, ...]:
        """Things stored by count, each with the length of shelf that it takes."""
        return things_of(self.brief.needs, self.panel, self.brief.units)

    @cached_property
    def mounted(self) -> tuple[Mounted, ...]:
        """Hooks and mirrors, each with the wall that it takes."""
        return mounted_of(self.brief)

    def takes(self, zone: Zone) -> frozenset[int]:
        """Numbers of the things that a shelf zone is high and deep enough for."""
        if zone.kind is not ZoneKind.SHELF:
            return frozenset()
        # By a tolerance more: pitches are sums, and a shelf made for a thing has to take it.
        clear, depth = zone.top - zone.bottom + TOUCH, (zone.depth or 0.0) + TOUCH
        return frozenset(
            number
            for number, thing in enumerate(self.things)
            if thing.clear <= clear and thing.depth <= depth
        )

    def taken(self, zone: Zone) -> float:
        """Length of a shelf that the things stored on it by count take."""
        by_kind = {thing.kind: thing for thing in self.things}
        rows = ((by_kind[kept.kind], kept.count) for kept in zone.stored if kept.kind in by_kind)
        return sum(thing.width * -(-count // thing.together) for thing, count in rows)

    def is_fine(self, zone: Zone) -> bool:
        """Whether a shelf has less clear height than shelves must have.

        Such a shelf is there for things stored by count alone, and counts as shelf for nothing
        else.
        """
        return zone.kind is ZoneKind.SHELF and zone.top - zone.bottom < self.shelf_clear - TOUCH

    @cached_property
    def shelf_wanted(self) -> float:
        """Length of shelf asked for, with what the things stored by count take."""
        return self.brief.needs.shelf_length + sum(thing.length for thing in self.things)

    @cached_property
    def overhead(self) -> float:
        """Height that cleats at the back or a stiffener in front take under a board [brief
        units]."""
        return max(self.brief.construction.cleat_height, self.lip)

    @property
    def lip(self) -> float:
        """Height that a stiffener takes under a board in front, 0 where none is allowed [brief
        units]."""
        construction = self.brief.construction
        return construction.stiffener_height if construction.stiffener_allowed else 0.0

    def item_clear(self, zones: Sequence[Zone], index: int) -> float:
        """Height that an item may have anywhere in zone `index` [brief units].

        Under a board, what hangs there at its edges is taken off.
        """
        clear = zones[index].top - zones[index].bottom
        return clear - self.overhead if self.under_board(zones, index) else clear

    def under_board(self, zones: Sequence[Zone], index: int) -> bool:
        """Whether a board lies right over a zone."""
        top = zones[index].top
        return any(
            other.kind is ZoneKind.SHELF and abs(other.bottom - self.panel - top) < TOUCH
            for other in zones
        )

    @cached_property
    def min_width(self) -> float:
        """Least width of a bay of shelves, on the grid."""
        return ceil_to(self.brief.construction.min_bay_width, self.grid)

    @cached_property
    def min_hang_width(self) -> float:
        """Least width of a bay with a rod, on the grid."""
        return max(self.min_width, ceil_to(self.brief.construction.min_hang_width, self.grid))

    @cached_property
    def max_width(self) -> float:
        """Greatest width of any bay, on the grid."""
        return floor_to(self.brief.construction.max_bay_width, self.grid)

    @cached_property
    def rod_piece(self) -> float:
        """Longest piece of rod between supports."""
        return rod_span_limit(self.brief.construction, self.brief.units)

    def board_piece(self, depth: float, *, stiffened: bool) -> float:
        """Longest piece of a board of `depth` between supports."""
        return shelf_span_limit(
            self.brief.construction, self.brief.units, depth, stiffened=stiffened
        )

    @property
    def level(self) -> bool:
        """Whether the top boards of all bays lie at one height (`top_line` level)."""
        return self.brief.construction.top_line == "level"

    @property
    def walls_carry(self) -> bool:
        """Whether side walls and corners may carry the ends of bays."""
        return self.brief.construction.wall_ends == "cleats"

    @cached_property
    def stud_pitch(self) -> tuple[float, bool]:
        """Largest distance between studs, or from a wall's end to the first one, over all walls
        [brief units].

        The second value tells whether the studs of all walls stand at even distances.
        """
        widest, regular = 0.0, True
        for wall in self.brief.room.walls:
            studs = stud_centres(wall, self.brief.units)
            places = [0.0, *studs, wall.clear_length]
            widest = max(widest, *(high - low for low, high in pairwise(places)))
            regular = regular and (wall.studs is None or wall.studs.positions is None)
        return widest, regular

    @cached_property
    def pieces(self) -> tuple[ItemKind, ...]:
        """Bulky items with their limits."""
        heavy_weight, _ = heavy_limit(self.brief.units)
        found = []
        for item in self.brief.needs.items:
            weight = item_weight(item, self.brief.units)
            found.append(
                ItemKind(
                    id=item.id,
                    width=item.width,
                    depth=item.depth,
                    height=item.height,
                    count=item.count,
                    on_floor=item.place is not Place.SHELF,
                    on_shelf=item.place is not Place.FLOOR,
                    heavy=weight is not None and weight >= heavy_weight - _FINE,
                    daily=item.use is Use.DAILY,
                    weight=weight or 0.0,
                    between=_between(item),
                )
            )
        return tuple(found)

    @cached_property
    def shelf_line_load(self) -> float:
        """Weight that a shelf of the wished depth is meant to carry on each unit of length [lb or
        kg]."""
        construction, needs = self.brief.construction, self.brief.needs
        # Loads are given by the square foot or the square metre, lengths in inches or millimetres.
        per_area = 144.0 if self.brief.units is Units.INCH else 1e6
        return construction.shelf_load * needs.shelf_depth / per_area

    @cached_property
    def heavy_height(self) -> float:
        """Highest shelf for a heavy item."""
        return heavy_limit(self.brief.units)[1]


def _between(item: Item) -> tuple[float, float] | None:
    """The inside widths that a bought unit allows, if the item is one."""
    fits = item.fits_between
    return None if fits is None else (fits.least, fits.most)


def rod_sequences(rules: BayRules) -> list[tuple[Hang, ...]]:
    """Classes of hanging that may hang one above another, the longer one lower, of those wanted.

    Where the brief asks for nothing by amount, all classes are tried; none where hanging has no
    weight, except those that pins keep.
    """
    brief = rules.brief
    free = not brief.needs.amounts and bool(brief.priorities.hanging or brief.pins)
    wanted = [hang for hang in Hang if free or rules.required[hang] > 0]
    singles = [(hang,) for hang in wanted]
    # `Hang` goes from long to short: the longer one is the lower.
    pairs = [(lower, upper) for i, lower in enumerate(wanted) for upper in wanted[i:]]
    triples = [(Hang.SHORT,) * 3] if Hang.SHORT in wanted else []
    return [*singles, *pairs, *triples]

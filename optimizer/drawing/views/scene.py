"""What a drawing reads of a layout: bays by wall, the uprights between them, items in place.

A layout that contradicts its brief is refused with every fault named.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Bay, Carried, Filler, Layout, Mount, Zone, ZoneKind
from optimizer.domain.needs import Item
from optimizer.domain.room import KeepClear, Obstruction, Opening, Wall
from optimizer.drawing.ink.lettering import Rect
from optimizer.drawing.views.ends import Upright
from optimizer.errors import Fault, LayoutError
from optimizer.structure.bay_surroundings import BaySurroundings
from optimizer.structure.members import upright_depth
from optimizer.structure.toplines import top_board
from optimizer.tolerances import TOUCH

Interval = tuple[float, float]


@dataclass(frozen=True, slots=True)
class BoardFront:
    """A board as it is cut: its front as seen from the room, and how deep it is."""

    rect: Rect
    depth: float


@dataclass(frozen=True, slots=True)
class PlacedItem:
    """One piece of an item where it stands: its front as seen from the room."""

    item: Item
    rect: Rect


@dataclass(frozen=True)
class Scene:
    """A brief with one layout of it, as the drawings read them; LayoutError where they disagree."""

    brief: Brief
    layout: Layout

    def __post_init__(self) -> None:
        """Refuse a layout that contradicts the brief: every view after this may look things up
        without asking."""
        faults = list(_faults(self.brief, self.layout))
        if faults:
            raise LayoutError(faults)

    @cached_property
    def walls(self) -> dict[str, WallView]:
        """Views of the walls by id, in the order of the room."""
        return {
            wall.id: WallView(self, wall, index) for index, wall in enumerate(self.brief.room.walls)
        }

    @cached_property
    def structure(self) -> BaySurroundings:
        """The same as strength sees it: top boards over their bays, boards with their cleats."""
        return BaySurroundings(self.brief, self.layout)

    @cached_property
    def used_walls(self) -> tuple[str, ...]:
        """Ids of walls with a bay, hooks or a mirror, in the order of the room."""
        used = {bay.wall for bay in self.layout.bays} | {m.wall for m in self.layout.mounts}
        return tuple(wall.id for wall in self.brief.room.walls if wall.id in used)

    @cached_property
    def items(self) -> dict[str, Item]:
        """Items of the brief by id."""
        return {item.id: item for item in self.brief.needs.items}


@dataclass(frozen=True)
class WallView:
    """One wall with what stands on it, from left to right."""

    scene: Scene
    wall: Wall
    index: int

    @property
    def brief(self) -> Brief:
        """The brief."""
        return self.scene.brief

    @property
    def length(self) -> float:
        """Least reading of the wall's length."""
        return self.wall.clear_length

    @property
    def panel(self) -> float:
        """Panel thickness."""
        return self.brief.construction.panel_thickness

    @cached_property
    def bays(self) -> tuple[Bay, ...]:
        """Bays from left to right."""
        mine = (bay for bay in self.scene.layout.bays if bay.wall == self.wall.id)
        return tuple(sorted(mine, key=lambda bay: (bay.start, bay.id)))

    @cached_property
    def fillers(self) -> tuple[Filler, ...]:
        """Fillers and scribe strips from left to right."""
        mine = (strip for strip in self.scene.layout.fillers if strip.wall == self.wall.id)
        return tuple(sorted(mine, key=lambda strip: strip.start))

    @cached_property
    def mounts(self) -> tuple[Mount, ...]:
        """Hooks and mirrors from left to right."""
        mine = (mount for mount in self.scene.layout.mounts if mount.wall == self.wall.id)
        return tuple(sorted(mine, key=lambda mount: mount.start))

    @cached_property
    def openings(self) -> tuple[Opening, ...]:
        """Openings in this wall."""
        return tuple(o for o in self.brief.room.openings if o.wall == self.wall.id)

    @cached_property
    def obstructions(self) -> tuple[Obstruction, ...]:
        """What is in the way on this wall."""
        return tuple(o for o in self.brief.room.obstructions if o.wall == self.wall.id)

    @cached_property
    def keep_clear(self) -> tuple[KeepClear, ...]:
        """Boxes at this wall that nothing may stand in."""
        return tuple(box for box in self.brief.room.keep_clear if box.wall == self.wall.id)

    def height_at(self, along: float) -> float:
        """Clear height above the floor at `along`."""
        return self.wall.height_at(along, self.brief.room.ceiling_height)

    @cached_property
    def top(self) -> float:
        """Largest clear height."""
        return max(self.height_at(0.0), self.height_at(self.length))

    @cached_property
    def uprights(self) -> tuple[Upright, ...]:
        """Uprights from left to right, none where the wall or a corner carries.

        Neighbours share one where they are its thickness apart.
        """
        found: list[Upright] = []
        for bay in self.bays:
            depth = self.upright_depth(bay)
            for left in self._upright_places(bay):
                top = min(self._upright_top(bay), self._clear(left) - self.upright_clearance)
                _add_upright(found, Upright(left, left + self.panel, top, depth))
        return tuple(sorted(found, key=lambda upright: upright.left))

    def _upright_places(self, bay: Bay) -> Iterable[float]:
        """Left faces of the uprights that carry the bay's ends."""
        if bay.left is Carried.UPRIGHT:
            yield bay.start - self.panel
        if bay.right is Carried.UPRIGHT:
            yield bay.end

    def _top_board(self, bay: Bay) -> Zone | None:
        """The shelf zone whose board lies on the uprights of a bay, under a level line."""
        if self.brief.construction.top_line != "level":
            return None
        return top_board(bay, self.scene.structure.touch)

    def _upright_top(self, bay: Bay) -> float:
        """How high a bay wants its uprights: to its top, or to the underside of its top board."""
        return bay.height if self._top_board(bay) is None else bay.height - self.panel

    @cached_property
    def board_fronts(self) -> tuple[BoardFront, ...]:
        """Every board as it is cut: a top board in one over its bays, to a sheet's length."""
        return (*self._shelves_between(), *self._top_boards())

    def _shelves_between(self) -> Iterable[BoardFront]:
        """Boards that end at the ends of their bay."""
        for bay in self.bays:
            top = self._top_board(bay)
            for zone in bay.zones:
                if zone.kind is ZoneKind.SHELF and zone is not top:
                    rect = Rect(bay.start, zone.bottom - self.panel, bay.end, zone.bottom)
                    yield BoardFront(rect, depth_of(zone, bay))

    def _top_boards(self) -> Iterable[BoardFront]:
        """Fronts of top boards that run over several bays."""
        for run in self.scene.structure.top_runs(self.wall.id):
            first = run.bays[0]
            zone = self._top_board(first)
            if zone is not None:
                rect = Rect(run.start, zone.bottom - self.panel, run.end, zone.bottom)
                yield BoardFront(rect, depth_of(zone, first))

    @property
    def upright_clearance(self) -> float:
        """How far uprights stop short of the ceiling."""
        return self.brief.construction.upright_clearance

    def _clear(self, left: float) -> float:
        """Least clear height over an upright."""
        return min(self.height_at(max(left, 0.0)), self.height_at(left + self.panel))

    def upright_depth(self, bay: Bay) -> float:
        """How deep a bay's uprights are cut: as its deepest board, or past its rods.

        Clothes may reach further out than the upright beside them.
        """
        return upright_depth(self.brief.construction, bay.zones, bay.depth)

    def boards(self, bay: Bay) -> tuple[Rect, ...]:
        """Fronts of the bay's boards over its clear width, from the floor up."""
        shelves = sorted(z.bottom for z in bay.zones if z.kind is ZoneKind.SHELF)
        return tuple(Rect(bay.start, top - self.panel, bay.end, top) for top in shelves)

    def rods(self, bay: Bay) -> tuple[Zone, ...]:
        """Rod zones from the floor up."""
        return tuple(z for z in bay.zones if z.kind is ZoneKind.ROD)

    def standing(self, bay: Bay) -> tuple[PlacedItem, ...]:
        """Items of a bay, side by side with equal air between them; at the left of a shelf that
        things stored by count share."""
        return tuple(piece for zone in bay.zones for piece in self.standing_in(zone, bay))

    def standing_in(self, zone: Zone, bay: Bay) -> tuple[PlacedItem, ...]:
        """Items of one zone of a bay."""
        rules = self.brief.construction
        # Close to the left end, beside its side cleat, so that the free length for what is stored
        # is in one piece, as the checker reckons.
        close = (rules.cleat_thickness, rules.item_clearance) if zone.stored else None
        return tuple(_side_by_side(zone, bay, self.scene.items, self.panel, close))

    def chain_points(self) -> tuple[float, ...]:
        """Where bays, uprights, mounts and fillers begin and end, and the wall, sorted."""
        points = {0.0, self.length}
        for bay in self.bays:
            points |= {bay.start} if bay.left is not Carried.UPRIGHT else set()
            points |= {bay.end} if bay.right is not Carried.UPRIGHT else set()
        # An upright's faces are the ends of its bays; other ends are points of their own.
        for upright in self.uprights:
            points |= {upright.left, upright.right}
        for strip in self.fillers:
            points |= {strip.start, strip.start + strip.width}
        for mount in self.mounts:
            points |= {mount.start, mount.end}
        return tuple(sorted(min(max(point, 0.0), self.length) for point in points))

    def heights(self, bay: Bay) -> tuple[float, ...]:
        """Tops of boards and centres of rods of a bay, sorted."""
        tops = {board.top for board in self.boards(bay)}
        return tuple(sorted(tops | {rod_height(zone) for zone in self.rods(bay)}))


def rod_height(zone: Zone) -> float:
    """Height of a rod's centre; that every rod zone has one was checked before."""
    if zone.rod_height is None:
        raise ValueError("a rod zone without a rod height")
    return zone.rod_height


def depth_of(zone: Zone, bay: Bay) -> float:
    """How far a zone reaches out from the wall."""
    return bay.depth if zone.depth is None else zone.depth


def _add_upright(found: list[Upright], new: Upright) -> None:
    """Add an upright, or let the one already there serve both bays."""
    for index, there in enumerate(found):
        # Two bays a panel apart name the same upright, to within the noise of sums.
        if abs(there.left - new.left) <= TOUCH * (new.right - new.left):
            top, depth = max(there.top, new.top), max(there.depth, new.depth)
            found[index] = Upright(there.left, there.right, top, depth)
            return
    found.append(new)


def _side_by_side(
    zone: Zone, bay: Bay, items: dict[str, Item], panel: float, close: tuple[float, float] | None
) -> Iterable[PlacedItem]:
    """Items of a zone in a row, evenly, or `close` to the left end: so far from it, with so much
    air; between mid supports where they go in between."""
    pieces = [items[name] for name in zone.items]
    clear = [(bay.start, bay.end)]
    if bay.mid_supports:
        # Half a panel is taken off both sides of each edge below: of a mid support that is its
        # thickness, and the ends are moved out so that they lose nothing.
        edges = (bay.start - panel / 2.0, *bay.mid_supports, bay.end + panel / 2.0)
        clear = [(low + panel / 2.0, high - panel / 2.0) for low, high in pairwise(edges)]
    rows = _dealt(pieces, clear) or [((bay.start, bay.end), pieces)]
    for (low, high), row in rows:
        # As much air at both ends as between two pieces.
        even = (high - low - sum(piece.width for piece in row)) / (len(row) + 1)
        away, gap = (0.0, even) if close is None else close
        left = low + away + gap
        for piece in row:
            rect = Rect(left, zone.bottom, left + piece.width, zone.bottom + piece.height)
            yield PlacedItem(piece, rect)
            left += piece.width + gap


def _dealt(
    pieces: Sequence[Item], clear: Sequence[tuple[float, float]]
) -> list[tuple[tuple[float, float], list[Item]]]:
    """Each piece in the roomiest place left, widest first; nothing where one finds no place."""
    rows: list[tuple[tuple[float, float], list[Item]]] = [(place, []) for place in clear]
    for piece in sorted(pieces, key=lambda one: -one.width):
        # The place with the most room left.
        place, row = max(rows, key=lambda r: r[0][1] - r[0][0] - sum(p.width for p in r[1]))
        if place[1] - place[0] - sum(p.width for p in row) < piece.width:
            return []
        row.append(piece)
    return [(place, row) for place, row in rows if row]


def _faults(brief: Brief, layout: Layout) -> Iterable[Fault]:
    """Everything in which a layout contradicts its brief so that it cannot be drawn."""
    walls = {wall.id: wall for wall in brief.room.walls}
    for number, bay in enumerate(layout.bays):
        pointer = f"/bays/{number}"
        if bay.wall not in walls:
            yield Fault(f"{pointer}/wall", f"there is no wall {bay.wall}", "unknown_wall")
            continue
        if bay.end > walls[bay.wall].clear_length + brief.units.grid:
            detail = f"bay {bay.id} ends beyond wall {bay.wall}"
            yield Fault(f"{pointer}/width", detail, "off_the_wall")
        yield from _zone_faults(pointer, bay.zones, brief)
    for number, mount in enumerate(layout.mounts):
        if mount.wall not in walls:
            detail = f"there is no wall {mount.wall}"
            yield Fault(f"/mounts/{number}/wall", detail, "unknown_wall")
    for number, strip in enumerate(layout.fillers):
        if strip.wall not in walls:
            detail = f"there is no wall {strip.wall}"
            yield Fault(f"/fillers/{number}/wall", detail, "unknown_wall")


def _zone_faults(pointer: str, zones: Sequence[Zone], brief: Brief) -> Iterable[Fault]:
    """Rods without a height, and items that the brief does not know."""
    known = {item.id for item in brief.needs.items}
    for number, zone in enumerate(zones):
        where = f"{pointer}/zones/{number}"
        if zone.kind is ZoneKind.ROD and zone.rod_height is None:
            yield Fault(f"{where}/rod_height", "a rod zone needs a rod height", "missing")
        for place, name in enumerate(zone.items):
            if name not in known:
                detail = f"there is no item {name}"
                yield Fault(f"{where}/items/{place}", detail, "unknown_item")

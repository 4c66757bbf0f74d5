"""Top boards of a level line: one board over neighbouring bays, lying on their uprights.

It runs flush to the outer faces of the end uprights, or to the wall or the corner where
that carries it. Boards of unequal height or depth meet over the middle of a shared upright;
one that is lower than its neighbour's butts against the upright between them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from optimizer.domain.layout import Bay, Carried, Zone, ZoneKind

TOUCH = 1e-3
"""Float noise between bays and uprights, in panel thicknesses."""

Side = Literal["left", "right"]


@dataclass(frozen=True, slots=True)
class Upright:
    """A panel on a wall: from `left` to `right` along it, up to `top`, `depth` out."""

    left: float
    right: float
    top: float
    depth: float

    @property
    def centre(self) -> float:
        """Middle of its edge."""
        return (self.left + self.right) / 2


@dataclass(frozen=True, slots=True)
class TopBoard:
    """A board from `left` to `right` along a wall over `bays`, its upper face at `top`."""

    left: float
    right: float
    top: float
    depth: float
    bays: tuple[Bay, ...]


def top_zone(bay: Bay, panel: float) -> Zone | None:
    """The shelf zone whose board is the top of the bay, if there is one."""
    shelves = (zone for zone in bay.zones if zone.kind is ZoneKind.SHELF)
    return next((zone for zone in shelves if abs(zone.bottom - bay.height) <= TOUCH * panel), None)


def carried_at(bay: Bay, side: Side) -> Carried:
    """What carries the bay's end at that side."""
    return bay.left if side == "left" else bay.right


def end_of(bay: Bay, side: Side) -> float:
    """Where the bay's clear space ends at that side."""
    return bay.start if side == "left" else bay.end


def top_boards(
    bays: Sequence[Bay], uprights: Sequence[Upright], panel: float
) -> tuple[TopBoard, ...]:
    """Top boards of a wall from left to right; bays without a board at their top have none."""
    row = _Row(bays, uprights, panel)
    found: list[TopBoard] = []
    for bay in bays:
        board = row.board(bay)
        if board is None:
            continue
        if found and row.one_board(found[-1], board):
            before = found[-1]
            both = (*before.bays, bay)
            found[-1] = TopBoard(before.left, board.right, board.top, board.depth, both)
        else:
            found.append(board)
    return tuple(found)


@dataclass(frozen=True)
class _Row:
    """Bays and uprights of one wall, from left to right."""

    bays: Sequence[Bay]
    uprights: Sequence[Upright]
    panel: float

    def touches(self, one: float, other: float) -> bool:
        return abs(one - other) <= TOUCH * self.panel

    def board(self, bay: Bay) -> TopBoard | None:
        """The top board of one bay by itself."""
        zone = top_zone(bay, self.panel)
        if zone is None:
            return None
        depth = bay.depth if zone.depth is None else zone.depth
        return TopBoard(
            self._reach(bay, "left"), self._reach(bay, "right"), zone.bottom, depth, (bay,)
        )

    def one_board(self, left: TopBoard, right: TopBoard) -> bool:
        """Whether two boards that meet over an upright are cut in one."""
        pairs = ((left.right, right.left), (left.top, right.top), (left.depth, right.depth))
        return all(self.touches(a, b) for a, b in pairs)

    def _reach(self, bay: Bay, side: Side) -> float:
        """How far along the wall the top board goes at one end of its bay."""
        upright = self._upright(bay, side)
        if upright is None or upright.top > bay.height - self.panel + TOUCH * self.panel:
            return end_of(bay, side)
        if any(self.touches(other.height, bay.height) for other in self._beyond(upright, side)):
            return upright.centre
        return upright.left if side == "left" else upright.right

    def _upright(self, bay: Bay, side: Side) -> Upright | None:
        if carried_at(bay, side) is not Carried.UPRIGHT:
            return None
        end = end_of(bay, side)
        near = (
            u for u in self.uprights if self.touches(u.right if side == "left" else u.left, end)
        )
        return next(near, None)

    def _beyond(self, upright: Upright, side: Side) -> Iterable[Bay]:
        """The bay on the upright's other side with a board at its top."""
        other: Side = "right" if side == "left" else "left"
        face = upright.left if side == "left" else upright.right
        for bay in self.bays:
            on_it = carried_at(bay, other) is Carried.UPRIGHT
            if on_it and self.touches(end_of(bay, other), face) and top_zone(bay, self.panel):
                yield bay


def joints(board: TopBoard, carriers: Iterable[float], longest: float) -> tuple[float, ...]:
    """Where a top board longer than a sheet is joined: over `carriers`, as late as may be.

    A piece that no carrier divides stays whole.
    """
    places = sorted(place for place in carriers if board.left < place < board.right)
    found: list[float] = []
    start = board.left
    while board.right - start > longest + TOUCH:
        within = [place for place in places if start < place <= start + longest + TOUCH]
        if not within:
            break
        start = within[-1]
        found.append(start)
    return tuple(found)

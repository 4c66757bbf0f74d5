"""Where the bays of a layout stand: uprights between them, side walls and wrapped corners."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from optimizer.domain.brief import Brief
from optimizer.domain.construction import Construction
from optimizer.domain.layout import Bay, Carried, Layout
from optimizer.domain.room import Room, Wall
from optimizer.domain.studs import stud_centres
from optimizer.structure.fixings import TOUCH_IN
from optimizer.structure.members import Board, boards_in, lies_on_uprights
from optimizer.structure.toplines import TopRun, share_upright, top_runs
from optimizer.units import Units

CLOSING_GAP_IN = 0.5
"""A room closes when its walls end this near to where they began (rules of a layout)."""


def room_closes(room: Room, units: Units) -> bool:
    """Whether the walls go all the way round the room, and do not leave it open.

    They do where four corners more are inside than outside, and the last wall ends at most
    `CLOSING_GAP_IN` from where the first began.
    """
    turns = [1 if wall.corner == "inside" else -1 for wall in room.walls]
    # Four right angles more one way than the other make one full turn.
    if sum(turns) != 4:
        return False
    # Walk along the walls and see whether the walk ends where it began.
    x = y = 0.0
    along, across = 1, 0
    for wall, turn in zip(room.walls, turns, strict=True):
        x, y = x + along * wall.clear_length, y + across * wall.clear_length
        along, across = (across, -along) if turn == 1 else (-across, along)
    return bool(max(abs(x), abs(y)) <= units.from_inch(CLOSING_GAP_IN))


def neighbours(wall_id: str, room: Room, units: Units) -> tuple[Wall | None, Wall | None]:
    """Walls that meet this one at an inside corner, at its left end and at its right end."""
    walls, closed = room.walls, room_closes(room, units)
    index = next(i for i, wall in enumerate(walls) if wall.id == wall_id)
    before = walls[index - 1] if index > 0 or closed else None
    after = walls[(index + 1) % len(walls)] if index + 1 < len(walls) or closed else None
    left = before if before is not None and before.corner == "inside" else None
    right = after if walls[index].corner == "inside" else None
    return left, right


@dataclass(frozen=True, slots=True)
class StandingUpright:
    """An upright in a layout: from `start` a panel's thickness along its wall.

    `left` and `right` are the bays that it bounds, None where there is none; `number` counts
    from the left end of the wall, from 1.
    """

    number: int
    start: float
    left: Bay | None
    right: Bay | None

    @property
    def bays(self) -> tuple[Bay, ...]:
        """Bays that it bounds, from left to right."""
        return tuple(bay for bay in (self.left, self.right) if bay is not None)


def uprights_of(bays: Sequence[Bay], panel: float, touch: float) -> Iterator[StandingUpright]:
    """Uprights of one wall from left to right, one where two bays share it.

    `bays` of the wall are from left to right. `panel` is the thickness of an upright, `touch` how
    far lengths may be off [brief units].
    """
    faces: list[tuple[float, Bay | None, Bay | None]] = []
    for index, bay in enumerate(bays):
        before = bays[index - 1] if index else None
        if bay.left is Carried.UPRIGHT:
            if before is not None and share_upright(before, bay, panel, touch):
                # The right upright of the bay before is this bay's left one as well.
                start, left, _ = faces.pop()
                faces.append((start, left, bay))
            else:
                faces.append((bay.start - panel, None, bay))
        if bay.right is Carried.UPRIGHT:
            faces.append((bay.end, bay, None))
    for number, (start, left, right) in enumerate(faces, 1):
        yield StandingUpright(number, start, left, right)


def pieces_of(bay: Bay) -> tuple[tuple[float, float], ...]:
    """Pieces of a bay between its ends and mid supports, from the left: start and end of each."""
    # A layout drawn by hand may have supports outside their bay: they part nothing.
    within = sorted(at for at in bay.mid_supports if bay.start < at < bay.end)
    return tuple(pairwise((bay.start, *within, bay.end)))


@dataclass(frozen=True)
class BaySurroundings:
    """A brief and a layout, with what strength has to look up around each bay [brief units].

    What is looked up is kept, since every check asks for it again. Bays on walls that the room does
    not have are left out.
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
    def touch(self) -> float:
        """How far two lengths may be apart and count as the same [brief units]."""
        return self.units.from_inch(TOUCH_IN)

    @cached_property
    def walls(self) -> dict[str, Wall]:
        """Walls by id."""
        return {wall.id: wall for wall in self.brief.room.walls}

    @cached_property
    def index(self) -> dict[str, int]:
        """Place of each bay in the layout, by id; the first of several of one id."""
        places: dict[str, int] = {}
        for place, bay in enumerate(self.layout.bays):
            places.setdefault(bay.id, place)
        return places

    @cached_property
    def bays_by_wall(self) -> dict[str, tuple[Bay, ...]]:
        """Bays of each wall from left to right."""
        found: dict[str, list[Bay]] = defaultdict(list)
        for bay in self.layout.bays:
            if bay.wall in self.walls:
                found[bay.wall].append(bay)
        return {
            wall: tuple(sorted(found[wall], key=lambda bay: bay.start))
            for wall in self.walls
            if wall in found
        }

    @cached_property
    def beside(self) -> dict[str, tuple[Wall | None, Wall | None]]:
        """Walls that meet each wall at inside corners, at its left and at its right end."""
        room = self.brief.room
        return {wall: neighbours(wall, room, self.units) for wall in self.walls}

    @cached_property
    def studs(self) -> dict[str, tuple[float, ...]]:
        """Stud centres of each wall."""
        return {name: stud_centres(wall, self.units) for name, wall in self.walls.items()}

    def boards(self, bay: Bay) -> tuple[Board, ...]:
        """Boards of a bay from the floor up."""
        # By identity: hashing a bay with all its zones takes longer than making its boards.
        known = self._boards.get(id(bay))
        if known is None:
            known = boards_in(self.construction, self.units, bay.zones, bay.depth)
            self._boards[id(bay)] = known
        return known

    @cached_property
    def _boards(self) -> dict[int, tuple[Board, ...]]:
        """Boards known so far, by the identity of their bay."""
        return {}

    def top_runs(self, wall: str) -> tuple[TopRun, ...]:
        """Top boards of a wall that lie on uprights; none where lines are free."""
        known = self._runs.get(wall)
        if known is None:
            rules = self.construction
            known = ()
            if rules.top_line == "level":
                # Where the grain does not matter a board may be cut from either side of a sheet.
                turned = rules.sheet if rules.grain == "none" else rules.sheet[:1]
                known = tuple(
                    top_runs(
                        self.bays_by_wall.get(wall, ()),
                        panel=rules.panel_thickness,
                        longest=max(turned) - 2.0 * rules.edge_trim,
                        touch=self.touch,
                    )
                )
            self._runs[wall] = known
        return known

    @cached_property
    def _runs(self) -> dict[str, tuple[TopRun, ...]]:
        """Top boards known so far, by wall."""
        return {}

    @cached_property
    def backed(self) -> dict[tuple[int, int], bool]:
        """Whether a board has a back cleat, as far as known, by its bay's identity and number."""
        return {}

    @cached_property
    def through(self) -> dict[str, tuple[tuple[Bay, ...], ...]]:
        """Rows of bays with one cleat under their top boards, as far as known, by wall."""
        return {}

    def rests(self, bay: Bay, board: Board, *, left: bool) -> bool:
        """Whether a board lies on the edge of its upright at that end, and needs no cleat there.

        A top board that ends at the face of a taller upright, or meets another one over the
        middle of its upright, lies on a cleat.
        """
        if not lies_on_uprights(self.construction, board):
            return False
        if (bay.left if left else bay.right) is not Carried.UPRIGHT:
            return False
        face = bay.start if left else bay.end
        over = [run for run in self.top_runs(bay.wall) if any(b is bay for b in run.bays)]
        for run in over:
            beyond = run.start < face - self.touch if left else run.end > face + self.touch
            # A run covers every upright but its outer ones; on those it may stop short.
            if beyond:
                outer = run.bays[0] is bay if left else run.bays[-1] is bay
                return not outer or (run.rests_left if left else run.rests_right)
        return False

    def spans(self, bay: Bay, board: Board) -> Iterator[tuple[float, float]]:
        """Pieces of a board from the left: the length of each between supports, and its span, from
        the middle of one cleat or triangle to the middle of the next."""
        pieces = pieces_of(bay)
        # A board that lies on the edge of an upright turns about its inner edge.
        ends = [not self.rests(bay, board, left=left) for left in (True, False)]
        on_cleat = [ends[0], *(True for _ in pieces[1:]), ends[1]]
        for place, (low, high) in enumerate(pieces):
            # On packing a board lies in the middle of a piece, too.
            length = high - low if board.cleat else (high - low) / 2.0
            off = self.construction.cleat_thickness / 2.0 * sum(on_cleat[place : place + 2])
            # A piece hardly longer than its cleats is thick would have no span at all.
            yield length, max(length - off, length / 2.0)

    def uprights(self, wall: str) -> tuple[StandingUpright, ...]:
        """Uprights of one wall from left to right."""
        bays = self.bays_by_wall.get(wall, ())
        return tuple(uprights_of(bays, self.construction.panel_thickness, self.touch))

    def studs_beside(self, bay: Bay, *, left: bool) -> tuple[float, ...]:
        """Studs of the side wall at an end of a bay, by their distance from the corner."""
        wall = self.beside[bay.wall][0 if left else 1]
        if wall is None:
            return ()
        centres = self.studs[wall.id]
        length = wall.clear_length
        return tuple(length - at for at in centres) if left else centres

    def runs_through(self, bay: Bay, *, left: bool) -> Bay | None:
        """The next wall's bay on whose boards this one ends in the corner at that end, if any."""
        wall = self.beside[bay.wall][0 if left else 1]
        if (bay.left if left else bay.right) is not Carried.CORNER or wall is None:
            return None
        bays = self.bays_by_wall.get(wall.id, ())
        other = (bays[-1] if left else bays[0]) if bays else None
        return other if other is not None and self.joined(other, left=not left) is bay else None

    def joined(self, bay: Bay, *, left: bool) -> Bay | None:
        """The next wall's bay that ends on this one's boards at that end, if any."""
        wall = self.beside[bay.wall][0 if left else 1]
        if (bay.left if left else bay.right) is not Carried.WALL or wall is None:
            return None
        bays = self.bays_by_wall.get(wall.id, ())
        if not bays:
            return None
        # The bay before the corner ends there with its right end, the one after it begins with its
        # left.
        other = bays[-1] if left else bays[0]
        end = other.right if left else other.left
        return other if end is Carried.CORNER else None

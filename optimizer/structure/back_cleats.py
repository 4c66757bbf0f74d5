"""Which boards have a back cleat, how far each runs, and how it is fastened.

A board between two ends, or an end and a mid support, that are near to each other lies on what is
there alone (common practice), where it holds as a simple beam. Every other board has a back cleat,
and so has the top board of every bay: it ties the bay to the wall. Under a top board that lies on
its uprights the cleat runs through behind several bays, and the uprights between are notched over
it (common practice). In a wrapped corner it runs on to the corner, and is the side cleat of the
boards that run through there (common practice). Lengths are in brief units, loads in pounds.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from optimizer.domain.layout import Bay, Carried
from optimizer.structure.bay_surroundings import BaySurroundings
from optimizer.structure.checks import shelf_check
from optimizer.structure.cleats import Held, back_cleat
from optimizer.structure.fixings import studs_caught
from optimizer.structure.loadings import end_patch, housed_lb, piece_load
from optimizer.structure.members import Board
from optimizer.structure.pieces import raised
from optimizer.structure.toplines import one_board
from optimizer.units import floor_to


@dataclass(frozen=True, slots=True)
class BackCleat:
    """A back cleat under `board`, from `start` to `end` along its wall, fastened to `studs`.

    `bays` are those it runs behind, from the left; `board` is the first one's. `carries` are bays
    of the next walls whose boards end on it; what that takes is no part of `studs` and `held`.
    """

    bays: tuple[Bay, ...]
    board: Board
    start: float
    end: float
    studs: tuple[float, ...]
    held: Held
    carries: tuple[Bay, ...] = ()

    @property
    def part(self) -> str:
        """Id of its part: that of its first bay's board."""
        return f"{self.bays[0].id}-K{self.board.number}"


def is_backed(standing: BaySurroundings, bay: Bay, board: Board) -> bool:
    """Whether a back cleat is under a board of a bay; never where it lies on packing."""
    key = (id(bay), board.number)
    known = standing.backed.get(key)
    if known is None:
        known = bool(board.cleat) and not _on_its_ends(standing, bay, board)
        standing.backed[key] = known
    return known


def _on_its_ends(standing: BaySurroundings, bay: Bay, board: Board) -> bool:
    """Whether a board lies on the cleats at its two ends, and on mid supports between, alone."""
    rules, units = standing.construction, standing.units
    if board.is_top or bay.stiffened:
        return False
    # At a wrapped corner a board gets what the next wall's leaves on it, or ends on that one.
    if Carried.CORNER in (bay.left, bay.right) or any(
        end_patch(standing, bay, board, left=left) for left in (True, False)
    ):
        return False
    loaded = raised(rules, units, board.depth, bay.width, housed_lb(standing, board))
    for length, span in standing.spans(bay, board):
        if length > rules.unbacked_span + standing.touch:
            return False
        # A mid support bears all of its board's load by itself (`designs.mid_supports`).
        check = shelf_check(loaded, units, board.depth, span, backed=False)
        if not check.passes or check.stress_share > 1.0:
            return False
    return True


def back_cleats(standing: BaySurroundings, bay: Bay) -> Iterator[BackCleat]:
    """Back cleats of a bay from the floor up; one behind several bays comes with the first."""
    for board in standing.boards(bay):
        if not is_backed(standing, bay, board):
            continue
        behind = _behind(standing, bay) if board.is_top else (bay,)
        if behind[0] is bay:
            yield _back_cleat(standing, behind, board)


def shared_cleat(standing: BaySurroundings, bay: Bay, board: Board, *, left: bool) -> str:
    """Part of the next wall's back cleat on which a board ends in a wrapped corner; else empty."""
    other = standing.joined(bay, left=left)
    if other is None:
        return ""
    for one in standing.boards(other):
        if abs(one.underside - board.underside) <= standing.touch and is_backed(
            standing, other, one
        ):
            behind = _behind(standing, other) if one.is_top else (other,)
            cleat = _back_cleat(standing, behind, _at(standing, behind[0], one))
            return cleat.part if any(bay is on for on in cleat.carries) else ""
    return ""


def through_cleat(standing: BaySurroundings, bay: Bay) -> BackCleat | None:
    """The cleat under the top board of a bay that runs on behind the next bay to its right."""
    behind = _behind(standing, bay)
    boards = standing.boards(behind[0])
    if len(behind) < 2 or bay is behind[-1] or not boards:
        return None
    return _back_cleat(standing, behind, boards[-1])


def _behind(standing: BaySurroundings, bay: Bay) -> tuple[Bay, ...]:
    """The bays behind which the cleat under a bay's top board runs, itself among them."""
    known = standing.through.get(bay.wall)
    if known is None:
        known = tuple(_rows(standing, standing.bays_by_wall.get(bay.wall, ())))
        standing.through[bay.wall] = known
    return next((row for row in known if any(one is bay for one in row)), (bay,))


def _rows(standing: BaySurroundings, bays: Sequence[Bay]) -> Iterator[tuple[Bay, ...]]:
    """Bays of a wall in rows, each of them with one cleat under its top boards."""
    row: list[Bay] = []
    for bay in bays:
        if row and not _runs_on(standing, row, bay):
            yield tuple(row)
            row = []
        row.append(bay)
    if row:
        yield tuple(row)


def _runs_on(standing: BaySurroundings, row: Sequence[Bay], bay: Bay) -> bool:
    """Whether the cleat behind these bays runs on behind the next: its boards lie on one line,
    a strip is as long, and it holds."""
    rules = standing.construction
    if rules.top_line != "level":
        return False
    if not one_board(row[-1], bay, rules.panel_thickness, standing.touch):
        return False
    if bay.end - row[0].start > max(rules.strip_lengths) + standing.touch:
        return False
    tops = [boards[-1] for boards in map(standing.boards, (*row, bay)) if boards]
    alike = {(board.cleat, board.cleat_back) for board in tops}
    if len(alike) > 1 or not tops[0].cleat:
        return False
    return _back_cleat(standing, (*row, bay), tops[0]).held.share <= 1.0


def _back_cleat(standing: BaySurroundings, behind: Sequence[Bay], board: Board) -> BackCleat:
    """A back cleat behind neighbouring bays with a board at the height of `board`."""
    rules, units = standing.construction, standing.units
    first, last = behind[0], behind[-1]
    width = last.end - first.start
    # Cleats are as long as the shelves, which go in with a little air, and cut on the grid.
    length = round(floor_to(width - rules.shelf_clearance, units.grid), 6)
    start = first.start + (width - length) / 2.0
    studs = studs_caught(standing.walls[first.wall], start, start + length, units)
    # As if all of it were loaded like the bay where it gets the most for its length.
    most = max(
        piece_load(standing, bay, _at(standing, bay, board), bay.width) / bay.width
        for bay in behind
    )
    held = back_cleat(
        rules,
        units,
        most * width / 2.0,
        height=board.cleat,
        start=start,
        end=start + length,
        studs=studs,
        packing=board.cleat_back,
    )
    end = start + length
    found = [_beyond(standing, behind, board, left=left) for left in (True, False)]
    reached = [at if one is None else one[0] for at, one in zip((start, end), found, strict=True)]
    if reached[1] - reached[0] > max(rules.strip_lengths) + standing.touch:
        return BackCleat(tuple(behind), board, start, end, studs, held)
    carries = tuple(one[1] for one in found if one is not None)
    return BackCleat(tuple(behind), board, reached[0], reached[1], studs, held, carries)


def _beyond(
    standing: BaySurroundings, behind: Sequence[Bay], board: Board, *, left: bool
) -> tuple[float, Bay] | None:
    """To where a cleat runs on into a wrapped corner, and the bay whose board ends on it there.

    It stops at the back cleat of that board; None where there is no such corner, or the two boards
    have not the same cleats.
    """
    bay = behind[0] if left else behind[-1]
    through = standing.runs_through(bay, left=left)
    if through is None:
        return None
    for one in standing.boards(through):
        level = abs(one.underside - board.underside) <= standing.touch
        if level and (one.cleat, one.cleat_back) == (board.cleat, board.cleat_back):
            away = one.cleat_back + standing.construction.cleat_thickness
            return (away if left else standing.walls[bay.wall].clear_length - away), through
    return None


def _at(standing: BaySurroundings, bay: Bay, board: Board) -> Board:
    """The board of a bay at the height of another bay's."""
    boards = standing.boards(bay)
    return min(boards, key=lambda one: abs(one.underside - board.underside))

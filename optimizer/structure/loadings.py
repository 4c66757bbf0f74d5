"""What loads the boards of a layout: the brief's load, heavier items, the next wall's boards."""

from __future__ import annotations

from optimizer.domain.layout import Bay
from optimizer.reference.weights import item_weight
from optimizer.structure.bay_surroundings import BaySurroundings, pieces_of
from optimizer.structure.checks import Patch
from optimizer.structure.loads import board_load_lb
from optimizer.structure.members import Board
from optimizer.units import KG_PER_LB, Units


def housed_lb(standing: BaySurroundings, board: Board) -> float:
    """Weight [lb] of the items on a board, those of unknown weight left out."""
    units = standing.units
    items = {item.id: item for item in standing.brief.needs.items}
    # An item without a weight counts with the shelf's planned load, which is there anyway.
    known = (item_weight(items[name], units) for name in board.zone.items if name in items)
    total = sum(weight for weight in known if weight is not None)
    return total if units is Units.INCH else total / KG_PER_LB


def end_piece(bay: Bay, *, left: bool) -> float:
    """Length of the piece at an end of a bay, up to its first mid support."""
    low, high = pieces_of(bay)[0 if left else -1]
    return high - low


def piece_load(standing: BaySurroundings, bay: Bay, board: Board, length: float) -> float:
    """Load [lb] of `length` of a board, its own weight and heavy items counted."""
    # Items are not told where on the board they stand: each length gets its part of them.
    share = min(1.0, length / bay.width)
    housed = housed_lb(standing, board) * share
    return board_load_lb(standing.construction, standing.units, board.depth, length, housed)


def end_patch(standing: BaySurroundings, bay: Bay, board: Board, *, left: bool) -> Patch | None:
    """What the next wall's board at the same height brings to this one, at that end."""
    other = standing.joined(bay, left=left)
    if other is None:
        return None
    for joined in standing.boards(other):
        if abs(joined.zone.bottom - board.zone.bottom) <= standing.touch:
            piece = end_piece(other, left=not left)
            load = piece_load(standing, other, joined, piece) / 2.0
            return Patch(joined.depth, load)
    return None

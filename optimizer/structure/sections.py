"""Cross-sections of boards, plain and built up of several pieces of one material [in]."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Section:
    """A cross-section bending in the vertical plane.

    `area` [sq in], `inertia` [in4] about its own centroid, `below` and `above` the distances
    [in] from the centroid to its lowest and highest point.
    """

    area: float
    inertia: float
    below: float
    above: float

    @property
    def height(self) -> float:
        """Height over all [in]."""
        return self.below + self.above

    @property
    def modulus(self) -> float:
        """Section modulus at the face farther from the centroid [cu in]."""
        return self.inertia / max(self.below, self.above)


def rectangle(width: float, height: float) -> Section:
    """A solid rectangle; `height` is in the plane of bending."""
    return Section(width * height, width * height**3 / 12.0, height / 2.0, height / 2.0)


def built_up(pieces: Sequence[tuple[Section, float]]) -> Section:
    """Sections joined so that they bend as one, by the parallel axis theorem.

    Each piece comes with the height [in] of its centroid above any common line.
    """
    area = sum(piece.area for piece, _ in pieces)
    centroid = sum(piece.area * height for piece, height in pieces) / area
    inertia = sum(piece.inertia + piece.area * (height - centroid) ** 2 for piece, height in pieces)
    lowest = min(height - piece.below for piece, height in pieces)
    highest = max(height + piece.above for piece, height in pieces)
    return Section(area, inertia, centroid - lowest, highest - centroid)


def stiffened_board(board: Section, stiffener: Section) -> Section:
    """A board with a stiffener fixed under it, taken to bend in the vertical plane.

    The stiffener stands under the front edge only; the uprights and the cleat hold the board
    from twisting, so bending in the vertical plane is what is left.
    """
    return built_up(((stiffener, stiffener.below), (board, stiffener.height + board.below)))

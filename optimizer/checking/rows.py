"""R10 with mid supports: things of a zone stand in the pieces between the supports above them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from optimizer.checking.shapes import Interval

MOST_STEPS = 20_000
"""Steps of the search before it gives up: far more than rows that people ask for take."""


def pieces_between(clear: Interval, supports: Sequence[float], thickness: float) -> list[float]:
    """Clear lengths between the ends of a bay and the supports in it."""
    half = thickness / 2.0
    # Both ends are moved out by half a support, so that every piece loses a whole one below.
    ends = [clear[0] - half, *sorted(supports), clear[1] + half]
    return [max(0.0, high - low - 2.0 * half) for low, high in pairwise(ends)]


def fit_between(widths: Sequence[float], pieces: Sequence[float], air: float) -> bool:
    """Whether things of these widths can stand in pieces of these lengths, with air around each.

    An exact depth-first search (bin packing), the widest things first; one that needs more than
    `MOST_STEPS` steps counts as not fitting.
    """
    # Each thing with one gap, each piece less one: n things in a piece have n + 1 gaps.
    search = _Search(sorted((width + air for width in widths), reverse=True))
    return search.fits(0, tuple(sorted(piece - air for piece in pieces)))


class _Search:
    """Depth-first search over the things in order; remembers what led nowhere."""

    def __init__(self, sizes: list[float]) -> None:
        """`sizes`, widest first: what is hardest to place fails soonest."""
        self.sizes = sizes
        self.left = [sum(sizes[place:]) for place in range(len(sizes))]
        self.failed: set[tuple[int, tuple[float, ...]]] = set()

    def fits(self, place: int, room: tuple[float, ...]) -> bool:
        """Whether the things from `place` on go into the room left, narrowest piece first."""
        if place == len(self.sizes):
            return True
        key = (place, room)
        # Pieces that the air around things has used up are negative; they take nothing.
        usable = sum(piece for piece in room if piece > 0)
        if key in self.failed or len(self.failed) > MOST_STEPS or usable < self.left[place]:
            return False
        size, tried = self.sizes[place], set[float]()
        for index, piece in enumerate(room):
            if piece < size or piece in tried:
                continue
            # Two pieces of one length are alike: one try speaks for both.
            tried.add(piece)
            rest = tuple(sorted((*room[:index], piece - size, *room[index + 1 :])))
            if self.fits(place + 1, rest):
                return True
        self.failed.add(key)
        return False

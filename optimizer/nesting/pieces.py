"""Parts of one size put together into kinds, and handed out again piece by piece."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable
from dataclasses import dataclass

from optimizer.nesting.cutting_problem import Item, Kind


@dataclass(frozen=True, slots=True)
class Piece:
    """A part in steps of the grid, without kerf."""

    part: str
    length: int
    width: int
    count: int
    can_turn: bool

    @property
    def size(self) -> tuple[int, int, bool]:
        """Size that its kind shares: long side first for parts that may turn."""
        if self.can_turn:
            return max(self.length, self.width), min(self.length, self.width), True
        return self.length, self.width, False


@dataclass(frozen=True, slots=True)
class Handed:
    """One piece of a part: which copy it is, and whether it lies turned."""

    part: str
    copy_number: int
    turned: bool


class Pieces:
    """Pieces of all parts by kind (size, and whether they may turn), handed out in turn."""

    def __init__(self, pieces: Iterable[Piece]) -> None:
        """Each piece is handed out once; parts of one size come in the order of `pieces`."""
        self._groups: dict[tuple[int, int, bool], list[Piece]] = defaultdict(list)
        for piece in pieces:
            self._groups[piece.size].append(piece)
        self._waiting = [
            deque(piece for piece in group for _ in range(piece.count))
            for group in self._groups.values()
        ]
        self._copies: dict[str, int] = defaultdict(int)

    def kinds(self, kerf_along: int, kerf_across: int) -> tuple[Kind, ...]:
        """The kinds, each with its kerf."""
        return tuple(
            Kind(length + kerf_along, width + kerf_across, sum(p.count for p in group), can_turn)
            for (length, width, can_turn), group in self._groups.items()
        )

    def hand_out(self, item: Item) -> Handed:
        """The next piece of an item."""
        piece = self._waiting[item.kind].popleft()
        self._copies[piece.part] += 1
        # An item is turned against its kind, whose long side comes first; the part itself may lie
        # the other way in its kind.
        swapped = (piece.length, piece.width) != piece.size[:2]
        turned = item.turned != swapped and piece.length != piece.width
        return Handed(piece.part, self._copies[piece.part], turned)

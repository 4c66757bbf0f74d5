"""Groups of bulky items that stand side by side in one zone."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, combinations_with_replacement

from optimizer.patterns.bay_rules import BayRules, ItemKind
from optimizer.tolerances import FINE
from optimizer.units import ceil_to, floor_to

MAX_PIECES_TOGETHER = 3
"""Most different pieces enumerated for one zone; more of one kind may stand together."""
MAX_GROUPS = 80
"""Beyond this many groups, pairs and then single pieces only are enumerated."""
MAX_HEIGHT_CLASSES = 4
"""Distinct heights of floor zones made for items."""


@dataclass(frozen=True, slots=True)
class Group:
    """Items side by side in one zone: how many of each, and the size they need with air around
    them.

    Lengths in brief units. A bought unit is a group of its own, in a bay from `width` to `most`
    wide; for other groups `most` is infinite.
    """

    counts: tuple[tuple[str, int], ...]
    width: float
    height: float
    depth: float
    heavy: bool
    daily: bool
    most: float = math.inf

    @property
    def unit(self) -> bool:
        """Whether it is a bought unit."""
        return self.most < math.inf

    @property
    def items(self) -> tuple[str, ...]:
        """Item ids, one for each piece."""
        return tuple(name for name, count in self.counts for _ in range(count))


def _group(pieces: Sequence[ItemKind], rules: BayRules) -> Group:
    """Pieces that stand side by side, as one thing to be placed."""
    air = rules.brief.construction.item_clearance
    names = [piece.id for piece in pieces]
    width = sum(piece.width for piece in pieces) + (len(pieces) + 1) * air
    most, between = math.inf, pieces[0].between
    # A bought unit brings the inside width that it asks for, and stands alone.
    if between is not None:
        width, most = between[0], floor_to(between[1], rules.grid)
    return Group(
        counts=tuple((name, names.count(name)) for name in dict.fromkeys(names)),
        width=ceil_to(width, rules.grid),
        height=max(piece.height for piece in pieces) + air,
        depth=max(piece.depth for piece in pieces),
        heavy=any(piece.heavy for piece in pieces),
        daily=any(piece.daily for piece in pieces),
        most=most,
    )


def _combinations(kinds: Sequence[ItemKind], most: int) -> Iterator[tuple[ItemKind, ...]]:
    """Choices of up to `most` pieces, and longer rows of one kind."""
    for size in range(1, most + 1):
        for chosen in combinations_with_replacement(kinds, size):
            alone = size == 1 or not any(piece.between for piece in chosen)
            if alone and all(chosen.count(piece) <= piece.count for piece in set(chosen)):
                yield chosen
    for piece in (kind for kind in kinds if not kind.between):
        # A long row of one kind is worth a bay; long rows of several are too many to list.
        for size in range(most + 1, piece.count + 1):
            yield (piece,) * size


def groups_of(kinds: Sequence[ItemKind], rules: BayRules, widest: float) -> tuple[Group, ...]:
    """All groups of `kinds` up to `widest`; only smaller groups where there would be too many."""
    found: list[Group] = []
    for most in range(MAX_PIECES_TOGETHER, 0, -1):
        found = [
            group
            for chosen in _combinations(kinds, most)
            if (group := _group(chosen, rules)).width <= widest + FINE
        ]
        if len(found) <= MAX_GROUPS:
            break
    return tuple(found)


def rows_of(
    kinds: Sequence[ItemKind], rules: BayRules, plain: float, widest: float
) -> tuple[Group, ...]:
    """Rows of one kind of item on a shelf: a single piece, and as many as a plain bay takes.

    Rows of mixed kinds are not needed, since a bay has many shelves. A row that weighs more than
    the shelf is meant to carry on its width is taken to be wider, in proportion.
    """
    found: dict[tuple[tuple[str, int], ...], Group] = {}
    for piece in kinds:
        full = max(
            (n for n in range(1, piece.count + 1) if _group((piece,) * n, rules).width <= plain),
            default=1,
        )
        # A bought unit fills its bay alone.
        full = 1 if piece.between else full
        for size in (1, full):
            group = _group((piece,) * size, rules)
            carried = ceil_to(size * piece.weight / rules.shelf_line_load, rules.grid)
            group = replace(group, width=max(group.width, carried))
            if group.width <= widest + FINE:
                found[group.counts] = group
    return tuple(found.values())


def height_classes(groups: Sequence[Group]) -> tuple[float, ...]:
    """Heights of floor zones worth building for `groups`, at most `MAX_HEIGHT_CLASSES`.

    Where there are more distinct heights, those that waste least height over all groups are taken.
    """
    heights = sorted({round(group.height, 6) for group in groups})
    if len(heights) <= MAX_HEIGHT_CLASSES:
        return tuple(heights)
    lower, top = heights[:-1], heights[-1]

    def waste(chosen: tuple[float, ...]) -> float:
        """Height that is lost in all where each piece is given the next class above it."""
        return sum(min(c for c in chosen if c >= height) - height for height in heights)

    # The highest class is needed in any case; some of the others are chosen.
    choices = ((*chosen, top) for chosen in combinations(lower[:16], MAX_HEIGHT_CLASSES - 1))
    return min(choices, key=waste)

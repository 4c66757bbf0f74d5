"""Whether one stack of shelves can take the items that another one can."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import networkx as nx

from optimizer.domain.layout import Zone, ZoneKind
from optimizer.patterns.bay_rules import BayRules
from optimizer.patterns.groups import Group
from optimizer.patterns.pattern import Pattern
from optimizer.tolerances import FINE


@dataclass(frozen=True)
class Housing:
    """The rows of items that shelves may have to take; lengths in the units of the brief."""

    rules: BayRules
    rows: Sequence[Group]

    def as_well(self, rival: Pattern, pattern: Pattern) -> bool:
        """Whether `rival` has a shelf in place of each one of `pattern` that takes any row: no
        higher, and for the same rows.

        Lower is no worse: heavy things and things in daily use have a highest height only. A shelf
        that takes none needs nothing in its place.
        """
        needed = [i for i in _shelves(pattern) if any(self._may(pattern, i, r) for r in self.rows)]
        replaced = {zone: self._instead(rival, pattern, zone) for zone in needed}
        if not all(replaced.values()):
            return False
        # A shelf of the rival stands in for one alone, or the rows of two would not go in.
        graph = nx.Graph(
            (("pattern", zone), ("rival", board))
            for zone, boards in replaced.items()
            for board in boards
        )
        matched = nx.bipartite.maximum_matching(graph, [("pattern", zone) for zone in needed])
        return len(matched) == 2 * len(needed)

    def _instead(self, rival: Pattern, pattern: Pattern, index: int) -> list[int]:
        """The shelves of `rival` that do in place of one of `pattern`."""
        zone = pattern.zones[index]
        rows = [row for row in self.rows if self._may(pattern, index, row)]
        return [
            board
            for board in _shelves(rival)
            if rival.zones[board].bottom <= zone.bottom + FINE
            and (
                _as_large(rival.zones[board], zone)
                or all(self._takes(rival, board, row) for row in rows)
            )
        ]

    def _takes(self, pattern: Pattern, index: int, row: Group) -> bool:
        """Whether a row may stand anywhere on a shelf, under cleats and stiffeners too."""
        clear = self.rules.item_clear(pattern.zones, index)
        return row.height <= clear + FINE and row.depth <= (pattern.zones[index].depth or 0.0)

    def _may(self, pattern: Pattern, index: int, row: Group) -> bool:
        """Whether a row may stand on a shelf in any manner, in front of its cleats as well."""
        zone = pattern.zones[index]
        high = row.height <= zone.top - zone.bottom + FINE
        return high and row.depth <= (zone.depth or 0.0) + FINE


def _shelves(pattern: Pattern) -> list[int]:
    """Indexes of the shelf zones of a pattern."""
    return [index for index, zone in enumerate(pattern.zones) if zone.kind is ZoneKind.SHELF]


def _as_large(board: Zone, zone: Zone) -> bool:
    """Whether a shelf is as high and as deep as another one."""
    return (
        board.top - board.bottom >= zone.top - zone.bottom - FINE
        and (board.depth or 0.0) >= (zone.depth or 0.0) - FINE
    )

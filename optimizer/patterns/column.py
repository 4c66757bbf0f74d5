"""The clear space over a piece of wall: which heights and depths are free in it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from optimizer.geometry.obstacles import Block
from optimizer.geometry.stretches import Stretch
from optimizer.tolerances import FINE


@dataclass(frozen=True, slots=True)
class Column:
    """Clear height and depth over a piece of wall, and the blocks that stand in it [brief
    units]."""

    height: float
    depth: float
    blocks: tuple[Block, ...]

    def free(self, bottom: float, top: float, depth: float) -> bool:
        """Whether the range [bottom, top] out to `depth` is below the ceiling and free of
        blocks."""
        if top > self.height + FINE or depth > self.depth + FINE:
            return False
        return not any(self._meets(block, bottom, top, depth) for block in self.blocks)

    @staticmethod
    def _meets(block: Block, bottom: float, top: float, depth: float) -> bool:
        """Whether a blocked box reaches into a zone of that height and depth."""
        overlaps = block.bottom < top - FINE and bottom < block.top - FINE
        # What stands further out than the zone is deep is none of its business: `depth` is free
        # depth.
        return overlaps and block.depth < depth - FINE

    def lifted(self, bottom: float, size: float, depth: float) -> float | None:
        """Lowest height at or above `bottom` at which a range of `size` is free out to `depth`;
        None if none."""
        start = bottom
        # Each round passes at least one block, or ends.
        for _ in range(len(self.blocks) + 1):
            hits = [b.top for b in self.blocks if self._meets(b, start, start + size, depth)]
            if not hits:
                return start if self.free(start, start + size, depth) else None
            start = max(hits)
        return None

    def ceiling_over(self, bottom: float, limit: float, depth: float) -> float:
        """Height up to which it is free above `bottom`, at most `limit`."""
        tops = [
            block.bottom
            for block in self.blocks
            if block.depth < depth - FINE and block.bottom >= bottom - FINE
        ]
        return min([limit, self.height, *tops])


def column_of(stretches: Iterable[Stretch]) -> Column:
    """The clear space that all of these stretches have in common."""
    pieces = list(stretches)
    blocks = {block for piece in pieces for block in piece.blocks}
    return Column(
        height=min(piece.height for piece in pieces),
        depth=min(piece.depth for piece in pieces),
        blocks=tuple(sorted(blocks, key=lambda b: (b.bottom, b.top, b.depth))),
    )

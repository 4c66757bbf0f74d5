"""Bays and zones drawn the way a builder sets them out: down from one line.

Everything is plain data in the units of the room. `Line` knows the spacing and the stock;
`k` counts spacings down from the top board, which is board 0.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from optimizer.domain.layout import Zone
from optimizer.patterns.pattern import label_of
from optimizer.units import Units

Data = dict[str, Any]


@dataclass(frozen=True)
class Line:
    """The line of a room: `top` of the top board, boards every `spacing` under it.

    `ceiling` is the clear height over the bays; `drops` how far clothes hang under a rod.
    """

    top: float = 84.0
    spacing: float = 12.0
    ceiling: float = 96.0
    panel: float = 0.75
    rod_clearance: float = 3.0
    board_depth: float = 12.0
    hang_depth: float = 24.0
    drops: tuple[float, float, float] = (63.0, 51.0, 37.0)
    units: Units = Units.INCH

    def board(self, k: int) -> float:
        """Top of board `k`."""
        return self.top - k * self.spacing

    def under(self, k: int) -> float:
        """Underside of board `k`."""
        return self.board(k) - self.panel

    def shelves(self, last: int, first: int = 0, **items: list[str]) -> list[Data]:
        """Boards `last` up to `first`, bottom to top, each clear up to the next board.

        The top board of the line is clear up to the ceiling; `on_3=[...]` puts items on board 3.
        """
        zones = []
        for k in range(last, first - 1, -1):
            top = self.ceiling if k == 0 else self.under(k - 1)
            zones.append(
                {
                    "kind": "shelf",
                    "bottom": self.board(k),
                    "top": top,
                    "depth": self.board_depth,
                    "items": items.get(f"on_{k}", []),
                }
            )
        return zones

    def rod(self, hang: str, k: int, at: float | None = None) -> Data:
        """A rod one clearance under board `k`, or lower at `at`; clothes as deep as they hang."""
        height = self.under(k) - self.rod_clearance if at is None else at
        return self._rod(hang, height, self.under(k))

    def double(self, k: int = 0) -> list[Data]:
        """Two rods of short hang under board `k`, the lower one a clearance under the clothes."""
        upper = self.rod("short", k)
        lower = self._rod("short", upper["bottom"] - self.rod_clearance, upper["bottom"])
        return [lower, upper]

    def floor(self, top: float, *items: str, depth: float | None = None) -> Data:
        """Floor left open, or housing items, up to `top`."""
        deep = self.hang_depth if depth is None else depth
        return {"kind": "floor", "bottom": 0.0, "top": top, "depth": deep, "items": list(items)}

    def _rod(self, hang: str, height: float, top: float) -> Data:
        drop = dict(zip(("long", "medium", "short"), self.drops, strict=True))[hang]
        return {
            "kind": "rod",
            "hang": hang,
            "rod_height": height,
            "bottom": height - drop,
            "top": top,
            "depth": self.hang_depth,
        }

    def bay(
        self, name: str, wall: str, start: float, width: float, zones: list[Data], **more: Any
    ) -> Data:
        """A bay between `start` and `start + width`, as deep as its deepest zone."""
        label = label_of([Zone.model_validate(zone, context=self.units) for zone in zones])
        return {
            "id": name,
            "wall": wall,
            "start": start,
            "width": width,
            "depth": max(zone["depth"] for zone in zones),
            "pattern": label,
            "zones": zones,
            "height": max(zone["bottom"] for zone in zones if zone["kind"] == "shelf"),
            "left": "upright",
            "right": "upright",
            **more,
        }


def closed(sides: dict[str, Any], openings: list[Data], **more: Any) -> Data:
    """A room of walls by name and length, 96 in high unless told, with openings in it."""
    walls = [
        {"id": name, **(size if isinstance(size, dict) else {"length": size})}
        for name, size in sides.items()
    ]
    return {"ceiling_height": 96, "walls": walls, "openings": openings, **more}

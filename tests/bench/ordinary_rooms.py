"""Rooms as people measure them, at random: reach-ins, closets, alcoves, walk-ins, ells, eaves.

The strategies of `tests.strategies` look for what is odd; these are what is ordinary, with sizes
to the quarter inch, a door where doors are, and the needs of a household.
"""

from __future__ import annotations

import random
from typing import Any

Raw = dict[str, Any]

KINDS = ("reach-in", "small", "alcove", "walk-in", "ell", "eaves")
CASING_IN = 2.25
MATERIALS = ("plywood", "particleboard", "mdf", "white_pine")


def ordinary_brief(seed: int) -> Raw:
    """A brief as JSON data, the same for one seed; now and then it breaks a rule and is refused."""
    return _Room(random.Random(seed)).brief(f"room {seed}")


class _Room:
    """One room being drawn up."""

    def __init__(self, rng: random.Random) -> None:
        self.rng = rng
        self.kind = rng.choice(KINDS)

    def size(self, low: float, high: float, step: float = 0.25) -> float:
        """A length [in] to the quarter inch."""
        return round(self.rng.uniform(low, high) / step) * step

    def may(self, share: float) -> bool:
        """True in that share of rooms."""
        return self.rng.random() < share

    def brief(self, name: str) -> Raw:
        """The whole brief."""
        closed = self.kind in ("reach-in", "small", "alcove")
        room = self._closet() if closed else self._walk_in()
        room["obstructions"] = self._things(room["walls"])
        if self.may(0.4):
            room["measuring_tolerance"] = self.rng.choice([0.25, 0.5, 1])
        options = {"time_limit_s": 4.0, "alternatives": self.rng.choice([2, 3, 5])}
        return {
            "name": name,
            "units": "in",
            "room": room,
            "needs": self._needs(),
            "construction": self._construction(),
            "options": options,
        }

    def _construction(self) -> Raw:
        found: Raw = {}
        if self.may(0.3):
            found["material"] = self.rng.choice(MATERIALS)
        if self.may(0.2):
            found["top_line"] = "free"
        if self.may(0.2):
            found["wall_ends"] = "uprights"
        return found

    def _studs(self) -> Raw:
        spaced = {"studs": {"spacing": 16, "first": self.size(1, 15)}}
        return spaced if self.may(0.6) else {}

    def _closet(self) -> Raw:
        """A back wall between two side walls, behind a door or open."""
        width = self.size(28, 54) if self.kind == "small" else self.size(36, 120)
        deep = self.size(22, 30)
        wide = width - 1 if self.kind == "alcove" else min(width - 2, self.size(24, width))
        start = (width - wide) / 2 if self.may(0.5) else self.size(0.5, width - wide - 0.5)
        door = "cased" if self.kind == "alcove" else self.rng.choice(["bifold", "sliding", "cased"])
        return {
            "ceiling_height": self.rng.choice([96, self.size(84, 108)]),
            "walls": [
                {"id": "left", "length": deep},
                {"id": "back", "length": width, **self._studs()},
                {"id": "right", "length": deep},
                {"id": "front", "length": width},
            ],
            "openings": [
                {"wall": "front", "start": start, "width": wide, "height": 80, "kind": door}
            ],
        }

    def _walk_in(self) -> Raw:
        """Four walls or six with a door in the front one, under a slope where it is in the
        eaves."""
        width, deep, high = self.size(60, 110), self.size(60, 130), self.size(90, 108)
        wide = self.rng.choice([24, 28, 30, 32])
        start = self.size(CASING_IN, width - wide - CASING_IN)
        walls: list[Raw] = [
            {"id": "north", "length": width, **self._studs()},
            {"id": "east", "length": deep, **self._studs()},
            {"id": "front", "length": width},
            {"id": "west", "length": deep, **self._studs()},
        ]
        if self.kind == "ell":
            walls[1:3] = self._bitten(width, deep)
            start = min(start, walls[-2]["length"] - wide - CASING_IN)
        if self.kind == "eaves":
            low = self.size(44, 80)
            walls[0]["height"] = {"left": low, "right": high}
            walls[2]["height"] = {"left": high, "right": low}
            walls[3]["height"] = low
            start = CASING_IN
        kind = self.rng.choice(["hinged_out", "hinged_in", "cased", "sliding"])
        door = {"wall": "front", "start": start, "width": wide, "height": 78, "kind": kind}
        return {
            "ceiling_height": high,
            "walls": walls,
            "openings": [{**door, "casing": CASING_IN}],
        }

    def _bitten(self, width: float, deep: float) -> list[Raw]:
        """The east and front walls of a room with a corner taken out between them."""
        across, along = self.size(16, 22), self.size(18, 40)
        return [
            {"id": "east", "length": deep - along, **self._studs()},
            {"id": "step", "length": across, "corner": "outside"},
            {"id": "side", "length": along},
            {"id": "front", "length": width - across},
        ]

    def _things(self, walls: list[Raw]) -> list[Raw]:
        """Outlets and switches, and now and then a window."""
        found: list[Raw] = []
        for wall in walls:
            room = wall["length"] - 24
            if wall["id"] == "front" or room < 4:
                continue
            place = {"wall": wall["id"], "start": self.size(2, room)}
            if self.may(0.3):
                small = {"width": 3, "bottom": self.size(12, 48), "height": 5}
                found.append({**place, **small, "kind": self.rng.choice(["outlet", "switch"])})
            elif self.kind in ("walk-in", "ell") and self.may(0.15):
                pane = {"width": self.size(12, 20), "bottom": self.size(30, 44), "height": 30}
                found.append({**place, **pane, "kind": "window"})
        return found

    def _needs(self) -> Raw:
        needs: Raw = {
            "shelf_spacing": self.rng.choice([10, 12, 13, 14]),
            "shelf_depth": self.rng.choice([12, 14, 16]),
            "users": [{"stature": self.size(60, 75, 1)}],
        }
        for name, most in (("long_hang", 40), ("medium_hang", 30), ("short_hang", 110)):
            if self.may(0.6):
                needs[name] = self.size(6, most)
        if self.may(0.7):
            needs["shelf_length"] = self.size(30, 260)
        if self.may(0.5):
            needs["items"] = [self._item(number) for number in range(self.rng.randint(1, 3))]
        if self.may(0.35):
            kind = self.rng.choice(["shoes", "boots", "hats", "folded"])
            needs["stored"] = [{"kind": kind, "count": self.rng.randint(2, 24)}]
        if self.may(0.2):
            needs["hooks"] = [{"id": "robes", "count": self.rng.randint(2, 4)}]
        return needs

    def _item(self, number: int) -> Raw:
        return {
            "id": f"item {number}",
            "width": self.size(10, 24),
            "depth": self.size(8, 18),
            "height": self.size(8, 50),
            "count": self.rng.choice([1, 1, 2]),
            "place": self.rng.choice(["floor", "shelf", "any"]),
            "weight_lb": self.size(4, 30, 1),
            "use": self.rng.choice(["daily", "weekly", "seldom"]),
        }

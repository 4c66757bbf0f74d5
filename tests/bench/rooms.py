"""Rooms of our own invention: a seeded family of one to six walls and no item to ten, walk-ins
from 5 by 6-1/2 ft to 8 by 10 ft, and the scenarios."""

from __future__ import annotations

import random
from typing import Any

from optimizer.briefs.reader import read_brief
from optimizer.briefs.scenarios import scenario_names
from optimizer.domain.brief import Brief
from tests.ready_briefs import load_scenario

Raw = dict[str, Any]
SIZES = ((1, 0), (1, 3), (2, 2), (3, 3), (4, 5), (5, 8), (6, 10))
"""Walls and items of the family's members."""


def family(seed: int) -> dict[str, Brief]:
    """Rooms by name, the same for one seed."""
    return {
        f"{walls} walls, {items} items": _room(walls, items, random.Random(f"{seed} {walls}"))
        for walls, items in SIZES
    }


WALK_INS = ((58, 78, -5), (62, 90, 4), (70, 72, -8), (66, 84, 6), (78, 96, 3), (96, 120, 0))
"""Width, depth [in] and how far off its wall's middle the door is."""


def walk_ins() -> dict[str, Brief]:
    """Walk-ins with a door in one wall, an outlet in another and two things for the floor: in the
    narrow ones deep bays stand on one of two facing walls at most."""
    return {
        f"walk-in {width} x {depth}": _walk_in(width, depth, off) for width, depth, off in WALK_INS
    }


def _walk_in(width: int, depth: int, off: int) -> Brief:
    lengths = dict(zip("ABCD", (width, depth, width, depth), strict=True))
    room: Raw = {
        "ceiling_height": 96,
        "walls": [{"id": wall, "length": length} for wall, length in lengths.items()],
        "openings": [{"wall": "C", "start": width / 2 - 14 + off, "width": 28, "height": 80}],
        "obstructions": [
            {"wall": "B", "start": 30, "width": 4, "bottom": 14, "height": 5, "kind": "outlet"}
        ],
    }
    around = 2 * (width + depth)
    needs: Raw = {
        "long_hang": round(0.07 * around),
        "short_hang": round(0.2 * around),
        "shelf_length": round(0.35 * around),
        "items": [
            {"id": "hamper", "width": 18, "depth": 14, "height": 26},
            {"id": "trunk", "width": 30, "depth": 18, "height": 18},
        ],
    }
    return read_brief({"room": room, "needs": needs})[0]


def scenarios() -> dict[str, Brief]:
    """Every scenario by name."""
    return {name: load_scenario(name) for name in scenario_names()}


def _room(walls: int, items: int, rng: random.Random) -> Brief:
    lengths, outside = _lengths(walls, rng)
    room: Raw = {
        "ceiling_height": 96,
        "walls": [
            {
                "id": "ABCDEF"[number],
                "length": length,
                **({"corner": "outside"} if number in outside else {}),
            }
            for number, length in enumerate(lengths)
        ],
        "obstructions": [
            {
                "wall": "A",
                "start": lengths[0] / 2,
                "width": 4,
                "bottom": 14,
                "height": 5,
                "kind": "outlet",
            }
        ],
    }
    if walls in (4, 6):
        # A door in the wall before the last, near its middle.
        door = walls - 2
        room["openings"] = [
            {"wall": "ABCDEF"[door], "start": lengths[door] / 2 - 14, "width": 28, "height": 80}
        ]
    total = sum(lengths)
    needs: Raw = {
        "long_hang": round(0.1 * total),
        "short_hang": round(0.35 * total),
        "shelf_length": round(0.6 * total),
        "items": [_item(number, rng) for number in range(items)],
    }
    return read_brief({"room": room, "needs": needs})[0]


def _lengths(walls: int, rng: random.Random) -> tuple[list[float], set[int]]:
    """Wall lengths and which corners are outside ones."""
    if walls <= 3:
        return [float(rng.randint(70, 110)) for _ in range(walls)], set()
    if walls == 4:
        width, depth = float(rng.randint(96, 120)), float(rng.randint(96, 130))
        return [width, depth, width, depth], set()
    if walls == 5:
        out = float(rng.randint(5, 10))
        return [float(rng.randint(50, 80)), out, 14.0, out, float(rng.randint(50, 80))], {1, 2}
    a, b, c, d = (float(rng.randint(60, 80)) for _ in range(4))
    return [a + c, b, c, d, a, b + d], {2}


def _item(number: int, rng: random.Random) -> Raw:
    return {
        "id": f"item {number}",
        "width": rng.randint(8, 24),
        "depth": rng.randint(8, 18),
        "height": rng.randint(8, 28),
        "place": rng.choice(["floor", "shelf", "any"]),
        "use": rng.choice(["daily", "weekly", "seldom"]),
    }

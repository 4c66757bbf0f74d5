"""Closed rooms drawn by a number: pins, millimetres, boxes kept clear, priorities at an extreme."""

from __future__ import annotations

import random
from typing import Any

from optimizer.briefs.reader import read_brief
from optimizer.domain.brief import Brief

Raw = dict[str, Any]
PRIORITIES = ("hanging", "shelving", "open_floor", "easy_reach", "low_cost", "simple_build")
PER_INCH = {"in": 1.0, "mm": 25.4}


def closed_room(number: int) -> Brief:
    """Room `number`, with no pin yet: every second one in millimetres, every third a walk-in."""
    draw = random.Random(number)
    units = ("in", "mm")[number % 2]
    walk_in = number % 3 == 0

    def size(low: int, high: int) -> float:
        return float(round(draw.randint(low, high) * PER_INCH[units]))

    across = size(48, 66) if walk_in else size(40, 84)
    deep = size(60, 72) if walk_in else size(24, 30)
    door = size(28, 32) if walk_in else across - size(4, 8)
    lengths = {"A": across, "B": deep, "C": across, "D": deep}
    wide = size(4, 20)
    room: Raw = {
        "ceiling_height": size(84, 100),
        "walls": [{"id": name, "length": length} for name, length in lengths.items()],
        "openings": [{"wall": "C", "start": size(2, 4), "width": door, "height": size(76, 80)}],
        "keep_clear": [
            {
                "wall": "A",
                "start": draw.random() * (across - wide),
                "width": wide,
                "bottom": size(0, 50),
                "height": size(6, 40),
                "depth": size(3, 18),
            }
        ],
    }
    needs: Raw = {"shelf_length": size(20, 120), "aisle": size(22, 30)}
    hang = draw.choice(["long_hang", "medium_hang", "short_hang"])
    needs[hang] = size(20, 60)
    if draw.random() < 0.5:
        needs["items"] = [
            {"id": "box", "width": size(8, 18), "depth": size(8, 14), "height": size(8, 26)}
        ]
    # One priority that is all, or nearly nothing beside the others.
    alone, chosen = draw.random() < 0.5, draw.choice(PRIORITIES)
    priorities = dict.fromkeys(PRIORITIES, 0.0 if alone else 100.0)
    priorities[chosen] = 100.0 if alone else 0.01
    raw = {"units": units, "room": room, "needs": needs, "priorities": priorities}
    return read_brief({**raw, "options": {"alternatives": 1, "time_limit_s": 120.0}})[0]

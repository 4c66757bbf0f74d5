"""Diminishing returns: concave piecewise-linear utilities of a length.

The slopes are our own choice: what is needed counts in full, half as much again counts at less than
a third, and everything beyond at a tenth. Since the slopes fall, a maximising linear program fills
the segments in order by itself.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

NEEDED_SLOPE = 1.0
USEFUL_SLOPE = 0.3
SURPLUS_SLOPE = 0.1
USEFUL_SHARE = 0.5
OPEN_FLOOR_IN = 36.0
"""Open floor that counts in full [in]; beyond it counts a quarter (our own choice)."""
OPEN_FLOOR_SURPLUS = 0.25


@dataclass(frozen=True, slots=True)
class Segment:
    """A piece of a utility: up to `length` more [brief units], each unit worth `slope`."""

    length: float
    slope: float


def need_segments(required: float) -> tuple[Segment, ...]:
    """Utility of a length of which `required` is needed [brief units]."""
    needed = [
        Segment(required, NEEDED_SLOPE),
        Segment(required * USEFUL_SHARE, USEFUL_SLOPE),
    ]
    return (*(needed if required > 0 else ()), Segment(math.inf, SURPLUS_SLOPE))


def floor_segments(full: float) -> tuple[Segment, ...]:
    """Utility of open floor of which `full` counts in full [brief units]."""
    return (Segment(full, 1.0), Segment(math.inf, OPEN_FLOOR_SURPLUS))


def utility(amount: float, segments: tuple[Segment, ...]) -> float:
    """The utility of `amount`: its segments filled in order."""
    total, left = 0.0, amount
    for segment in segments:
        part = min(left, segment.length)
        total += part * segment.slope
        left -= part
        if left <= 0:
            break
    return total

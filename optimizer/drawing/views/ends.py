"""The two ends of a bay, and the uprights that carry them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from optimizer.domain.layout import Bay, Carried

Side = Literal["left", "right"]

SIDES: tuple[Side, Side] = ("left", "right")


@dataclass(frozen=True, slots=True)
class Upright:
    """A panel on a wall: from `left` to `right` along it, up to `top`, `depth` out."""

    left: float
    right: float
    top: float
    depth: float

    @property
    def centre(self) -> float:
        """Middle of its edge."""
        return (self.left + self.right) / 2


def carried_at(bay: Bay, side: Side) -> Carried:
    """What carries the bay's end at that side."""
    return bay.left if side == "left" else bay.right


def end_of(bay: Bay, side: Side) -> float:
    """Where the bay's clear space ends at that side."""
    return bay.start if side == "left" else bay.end

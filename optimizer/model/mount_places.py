"""Places in the model at which hooks or a mirror may hang."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from optimizer.geometry.mount_space import Interval

At = Literal["left", "right", "middle", "across"]


@dataclass(frozen=True)
class MountPlace:
    """One place of mount number `mount`: in stretch `first`, or `across` boundaries up to `last`.

    `within` is the interval of wall that it stays in [brief units], `takes` the length that it
    takes of each stretch, `chosen` the binary variable. A `shifted` one keeps off the end of the
    stretch, where something is in its way.
    """

    mount: int
    at: At
    first: int
    last: int
    within: Interval
    chosen: Any
    takes: dict[int, Any]
    shifted: bool = False

"""Places in the model where hooks or a mirror may hang."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from optimizer.geometry.mount_space import Interval

At = Literal["left", "right", "middle", "across"]


@dataclass(frozen=True)
class MountPlace:
    """A place of mount number `mount`: in stretch `first`, or `across` boundaries up to `last`.

    `within` is the wall that it stays in; `takes` what it takes of each stretch, `chosen` its
    binary. One that is `shifted` keeps off the stretch's end.
    """

    mount: int
    at: At
    first: int
    last: int
    within: Interval
    chosen: Any
    takes: dict[int, Any]
    shifted: bool = False

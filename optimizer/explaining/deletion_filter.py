"""The deletion filter: a smallest set of demands that cannot be had together.

Chinneck and Dravnieks, "Locating minimal infeasible constraint sets in linear programs",
ORSA Journal on Computing 3, 1991; it works for any demands of which more are never easier.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from typing import TypeVar

Demand = TypeVar("Demand")


def smallest(
    demands: Sequence[Demand],
    possible: Callable[[Sequence[Demand]], bool | None],
    deadline: float,
) -> tuple[list[Demand], bool]:
    """Of demands that are impossible together, some that still are; whether none can be left
    out.

    `possible` says None where it cannot tell; `deadline` in monotonic seconds.
    """
    kept, settled = list(demands), True
    for demand in demands:
        if time.monotonic() >= deadline:
            return kept, False
        rest = [other for other in kept if other is not demand]
        can_be = possible(rest)
        settled = settled and can_be is not None
        # Still impossible without it: it is not needed for the conflict.
        if can_be is False:
            kept = rest
    return kept, settled

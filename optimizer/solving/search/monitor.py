"""The time limit, the request to stop and the progress of one search.

A search asks `over` between two steps and ends as soon as it says so, with the best solution and
the bound that it has by then. Progress is reported only where it is worth telling.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from typing import Literal

PAUSE = 0.05
"""Seconds between two questions whether to stop."""
NEWS = 0.02
"""Share of the distance between incumbent and bound worth telling of."""


class SearchMonitor:
    """Ends a search when its time is up or someone asks it to stop, and reports its progress.

    `should_stop` is asked at most every `PAUSE` seconds; `on_progress` gets the objective of the
    incumbent (the best solution so far) and the proved bound. `ended` says why the search ended,
    None while it runs; `raised` holds an exception out of a callback of the solver, to be raised
    again.
    """

    def __init__(
        self,
        time_limit: float | None,
        should_stop: Callable[[], bool] | None = None,
        on_progress: Callable[[float, float], None] | None = None,
    ) -> None:
        """`time_limit` [s] from now, None for none."""
        self.started = time.monotonic()
        self.time_limit = math.inf if time_limit is None else time_limit
        self.should_stop = should_stop
        self.on_progress = on_progress
        self.ended: Literal["time_limit", "cancelled"] | None = None
        self.raised: BaseException | None = None
        self._asked = -math.inf
        self._told: tuple[float, float] | None = None

    @property
    def seconds(self) -> float:
        """Seconds since the start."""
        return time.monotonic() - self.started

    @property
    def left(self) -> float:
        """Seconds that are left, at least 0."""
        return max(0.0, self.time_limit - self.seconds)

    def over(self) -> bool:
        """Whether the search has to end now. Once true, it stays true."""
        if self.ended is None:
            now = self.seconds
            if now >= self.time_limit:
                self.ended = "time_limit"
            # Whoever is asked may look into a database: not at every node of a tree.
            elif self.should_stop is not None and now - self._asked >= PAUSE:
                self._asked = now
                if self.should_stop():
                    self.ended = "cancelled"
        return self.ended is not None

    def tell(self, incumbent: float, bound: float) -> None:
        """Report the incumbent and the bound, unless they have hardly changed since the last
        report."""
        if self.on_progress is None or not math.isfinite(incumbent):
            return
        if self._told is not None:
            before, ceiling = self._told
            moved = abs(ceiling - bound)
            if incumbent == before and moved <= NEWS * abs(ceiling - before):
                return
        self._told = (incumbent, bound)
        self.on_progress(incumbent, bound)

"""The clock and the people watching a search that runs in this process."""

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
    """Tells when time is over and passes progress on."""

    def __init__(
        self,
        time_limit: float | None,
        should_stop: Callable[[], bool] | None = None,
        on_progress: Callable[[float, float], None] | None = None,
    ) -> None:
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
        """Whether to end now; once true it stays so."""
        if self.ended is None:
            now = self.seconds
            if now >= self.time_limit:
                self.ended = "time_limit"
            elif self.should_stop is not None and now - self._asked >= PAUSE:
                self._asked = now
                if self.should_stop():
                    self.ended = "cancelled"
        return self.ended is not None

    def tell(self, incumbent: float, bound: float) -> None:
        """Pass on an incumbent and a bound where they are news."""
        if self.on_progress is None or not math.isfinite(incumbent):
            return
        if self._told is not None:
            before, ceiling = self._told
            moved = abs(ceiling - bound)
            if incumbent == before and moved <= NEWS * abs(ceiling - before):
                return
        self._told = (incumbent, bound)
        self.on_progress(incumbent, bound)

"""Layouts as a search finds them: what one takes to build is worked out beside the search for the
next."""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from types import TracebackType

from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.proposing.assembly import costed


class Findings:
    """Layouts found so far, in order.

    To lay out the sheets of a large room takes a second, in which the solver looks for the next
    layout. A context: what is still being worked out when it is left with an error is waited for.
    """

    def __init__(self, brief: Brief, found: list[Layout], tell: Callable[[Layout], None]) -> None:
        """Each layout is added to `found` as soon as its cost is known, and then told."""
        self._brief = brief
        self._found = found
        self._tell = tell
        self._pending: deque[tuple[Layout, Future[Layout]]] = deque()
        self.slowest = 0.0
        """Seconds that the dearest of the costs took."""
        self._began: float | None = None
        """When the one that is worked out now was begun [monotonic seconds]."""
        # One thread: costs come in the order of the layouts.
        self._pool = ThreadPoolExecutor(1)

    def __enter__(self) -> Findings:
        """The findings themselves."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """All that was added is found."""
        try:
            if error is None:
                self._take(wait=True)
        finally:
            self._pool.shutdown(cancel_futures=True)

    @property
    def layouts(self) -> tuple[Layout, ...]:
        """All that were added, those whose cost is still worked out as well."""
        return (*self._found, *(layout for layout, _ in self._pending))

    @property
    def owed(self) -> float:
        """Seconds until all costs are known if one more layout is added, by what they took so
        far, the one that is still worked out included."""
        begun = 0.0 if self._began is None else time.monotonic() - self._began
        return max(self.slowest, begun) * (len(self._pending) + 1)

    def add(self, layout: Layout, *, known: bool) -> None:
        """Add a checked layout; `known` where its cost is."""
        if known:
            self._take(wait=True)
            self._have(layout)
        else:
            self._pending.append((layout, self._pool.submit(self._cost, layout)))

    def look(self) -> None:
        """Take those whose cost is known by now."""
        self._take(wait=False)

    def _cost(self, layout: Layout) -> Layout:
        """The layout with its cost."""
        self._began = began = time.monotonic()
        costly = costed(self._brief, layout)
        self._began, self.slowest = None, max(self.slowest, time.monotonic() - began)
        return costly

    def _take(self, *, wait: bool) -> None:
        """Take layouts with their costs, in order; whatever working them out raised is raised."""
        while self._pending and (wait or self._pending[0][1].done()):
            _, cost = self._pending.popleft()
            self._have(cost.result())

    def _have(self, layout: Layout) -> None:
        """Add a layout whose cost is known, and tell of it."""
        self._found.append(layout)
        self._tell(layout)

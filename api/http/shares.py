"""How many of something each client, or each key, holds at the moment."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager


class Shares:
    """Counts what is held, by holder; who holds nothing any more leaves no trace."""

    def __init__(self) -> None:
        """Nobody holds anything yet."""
        self._held: Counter[str] = Counter()

    def of(self, holder: str) -> int:
        """How many `holder` holds."""
        return self._held[holder]

    def total(self) -> int:
        """How many are held in all."""
        return self._held.total()

    @contextmanager
    def one_more(self, holder: str) -> Iterator[None]:
        """Count one more for `holder` as long as the block runs."""
        self._held[holder] += 1
        try:
            yield
        finally:
            self._held[holder] -= 1
            # Holders are addresses of callers: without this there would be more of them every day.
            if not self._held[holder]:
                del self._held[holder]

"""A few answers that never change again, kept in memory."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable


class AnswerCache:
    """The answers used last, by key, up to a size in bytes."""

    def __init__(self, most_bytes: int) -> None:
        """Holds at most so many bytes of answers; keys and upkeep are not counted."""
        self._most_bytes = most_bytes
        self._bytes = 0
        self._kept: OrderedDict[str, bytes] = OrderedDict()
        self._turn = threading.Lock()

    def get(self, key: str, make: Callable[[], bytes]) -> bytes:
        """The answer of that key; `make` makes it where it is not kept."""
        with self._turn:
            found = self._kept.get(key)
            if found is not None:
                self._kept.move_to_end(key)
                return found
        # Made outside the lock: it may take long, and to make it twice does no harm.
        made = make()
        with self._turn:
            if key not in self._kept and len(made) <= self._most_bytes:
                self._kept[key] = made
                self._bytes += len(made)
            while self._bytes > self._most_bytes:
                _, dropped = self._kept.popitem(last=False)
                self._bytes -= len(dropped)
        return made

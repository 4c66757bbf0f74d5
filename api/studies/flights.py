"""Calculations under way: equal ones are one, and no client has more than its share."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Iterator
from contextlib import contextmanager

from api.http.errors import ServiceError
from api.http.shares import Shares


class Flights:
    """Calculations under way that several callers may wait for."""

    def __init__(self) -> None:
        """Nothing is under way yet."""
        self._tasks: dict[str, asyncio.Task[bytes]] = {}
        self._waiting = Shares()
        self._of_clients = Shares()

    async def share(self, key: str, make: Callable[[], Awaitable[bytes]]) -> bytes:
        """What `make` gives, made once for all who ask for it meanwhile."""
        task = self._tasks.get(key)
        if task is None:
            task = asyncio.ensure_future(make())
            self._tasks[key] = task
            task.add_done_callback(lambda _: self._tasks.pop(key, None))
        try:
            with self._waiting.one_more(key):
                # One caller that goes away must not end what others wait for.
                return await asyncio.shield(task)
        finally:
            # The last one has gone: nobody wants it any more.
            if not self._waiting.of(key):
                task.cancel()

    @contextmanager
    def place(self, client: str, most: int) -> Iterator[None]:
        """A place for one more calculation of a client; 429 when it has `most` already."""
        if self._of_clients.of(client) >= most:
            raise ServiceError(
                "too_many_calculations",
                f"{most} drawings, packs and checks of yours are under way",
                limit=most,
                retry_after=2,
            )
        with self._of_clients.one_more(client):
            yield

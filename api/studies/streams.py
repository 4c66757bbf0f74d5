"""A study's events as a stream of server-sent events."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncGenerator, Iterator
from contextlib import contextmanager
from weakref import WeakKeyDictionary

from anyio import CapacityLimiter, to_thread

from api.http.errors import ServiceError
from api.http.shares import Shares
from api.store.database import Database
from api.studies.events import END, Event, events_after
from api.studies.watcher import Watcher

THREADS = 4
"""Threads that read events, apart from those that answer requests."""
RETRY_MS = 1000
"""When a client should come back after the stream broke."""


class Streams:
    """Counts the open streams of each client."""

    def __init__(self) -> None:
        """No stream is open yet."""
        self._open = Shares()

    @contextmanager
    def place(self, client: str, most: int, in_all: int) -> Iterator[None]:
        """A place for one more stream of a client; 429 when it has `most` already, 503 when
        there are `in_all` of all clients."""
        # The total first: a client within its share is refused for the server's sake, with 503.
        if self._open.total() >= in_all:
            raise ServiceError(
                "too_many_requests",
                f"{in_all} event streams are open already",
                limit=in_all,
                retry_after=5,
            )
        if self._open.of(client) >= most:
            raise ServiceError(
                "too_many_streams",
                f"{most} event streams are open already",
                limit=most,
                retry_after=5,
            )
        with self._open.one_more(client):
            yield


_limiters: WeakKeyDictionary[asyncio.AbstractEventLoop, CapacityLimiter] = WeakKeyDictionary()


def _threads() -> CapacityLimiter:
    """The threads of streams, of the event loop at hand."""
    loop = asyncio.get_running_loop()
    if loop not in _limiters:
        _limiters[loop] = CapacityLimiter(THREADS)
    return _limiters[loop]


async def stream_events(
    database: Database, watcher: Watcher, study_id: str, after: int, keepalive_s: float
) -> AsyncGenerator[bytes]:
    """Events numbered above `after`, as they come, up to the one that ends the study.

    The stream also ends when the study is deleted or the service stops; a client that
    comes back with its Last-Event-ID misses nothing.
    """

    def read() -> list[Event]:
        """The events that the client has not had yet."""
        with database.reading() as session:
            return events_after(session, study_id, after)

    limiter = _threads()
    yield f"retry: {RETRY_MS}\n\n".encode()
    async with watcher.watching(study_id):
        while True:
            events = await to_thread.run_sync(read, limiter=limiter)
            for event in events:
                yield _written(event)
                after = event.seq
                if event.kind == END:
                    return
            # More may have come while these were sent.
            if events:
                continue
            standing = await watcher.change(study_id, after, keepalive_s)
            # Below zero: the study is gone.
            if watcher.stopping.is_set() or (standing is not None and standing.seq < 0):
                return
            if standing is None:
                # A comment of the format: it keeps the connection from being closed as idle.
                yield b": still here\n\n"


def _written(event: Event) -> bytes:
    """One event as the HTML standard's event stream format has it."""
    return f"id: {event.seq}\nevent: {event.kind}\ndata: {event.data}\n\n".encode()

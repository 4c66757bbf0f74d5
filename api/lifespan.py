"""Putting a server together, starting it and stopping it cleanly."""

from __future__ import annotations

import asyncio
import logging
import signal
import threading
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from types import FrameType
from typing import Any

from fastapi import FastAPI
from starlette.concurrency import run_in_threadpool

from api.metrics import ServiceMetrics
from api.settings import Settings
from api.state import State
from api.store.database import Database
from api.store.migrate import migrate
from api.studies.flights import Flights
from api.studies.service import Studies
from api.studies.streams import Streams
from api.studies.watcher import Watcher
from api.worker.calculators import Calculators
from api.worker.supervisor import Supervisor
from api.worker.template import Template

_LOG = logging.getLogger("api")


def build_state(
    settings: Settings, metrics: ServiceMetrics, template: Template | None = None
) -> State:
    """The parts of a server, not started yet; their children come from `template`."""
    database = Database(settings.database_url, timeout_s=settings.store_timeout_s)
    watcher = Watcher(database)
    supervisor = Supervisor(settings, database, metrics, watcher.poke, template)
    return State(
        settings=settings,
        database=database,
        metrics=metrics,
        supervisor=supervisor,
        calculators=Calculators(settings, metrics, template),
        studies=Studies(settings, database, metrics, supervisor.wake),
        watcher=watcher,
        streams=Streams(),
        flights=Flights(),
    )


@asynccontextmanager
async def lifespan(app: FastAPI) -> AsyncIterator[None]:
    """Migrate, start the workers, serve, and stop everything in the opposite order."""
    state: State = app.state.closet
    await run_in_threadpool(migrate, state.database)
    state.calculators.start()
    state.supervisor.start()
    state.watcher.start()
    restore = _hear_of_the_stop(state)
    _LOG.info("started with %d workers", state.settings.workers)
    try:
        yield
    finally:
        restore()
        await state.watcher.stop()
        # Workers need the store to hand studies back: it is closed after them.
        await run_in_threadpool(state.supervisor.stop)
        await run_in_threadpool(state.calculators.stop)
        state.database.close()
        _LOG.info("stopped")


def _hear_of_the_stop(state: State) -> Callable[[], None]:
    """Let waiting requests and streams go as soon as a signal asks for the stop.

    The server below waits for open requests before it tells the application; event streams
    would keep it waiting for ever.
    """
    # Python sets signal handlers from the main thread only.
    if threading.current_thread() is not threading.main_thread():
        return lambda: None
    loop = asyncio.get_running_loop()
    earlier: dict[int, Any] = {}

    def heard(number: int, frame: FrameType | None) -> None:
        """Release who waits, then do what the signal did before."""
        # A handler interrupts whatever runs: the work is left to the event loop.
        loop.call_soon_threadsafe(lambda: loop.create_task(state.watcher.release()))
        before = earlier.get(number)
        if callable(before):
            before(number, frame)

    for number in (signal.SIGINT, signal.SIGTERM):
        earlier[number] = signal.signal(number, heard)

    def restore() -> None:
        """Put the handlers back that were there before."""
        for number, handler in earlier.items():
            signal.signal(number, handler)

    return restore

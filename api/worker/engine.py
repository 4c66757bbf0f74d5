"""The job engine's workers in this process: one for each slot, and one for upkeep.

They run on an event loop of their own. Each slot has an engine worker to itself, so that after
an accident of the database every slot goes on by itself, whatever the others are busy with. A
worker that ends, as it does when the database goes away, is started again.
"""

from __future__ import annotations

import asyncio
import contextlib
import logging
import threading
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, Protocol

import psycopg
from procrastinate import App, PsycopgConnector
from procrastinate.exceptions import ConnectorException

from api.settings import Settings
from api.store.database import Database
from api.store.jobs import STUDIES, UPKEEP
from api.worker.engine_tasks import MAILBOX, slot_app, upkeep_app
from api.worker.feeds import Mailbox
from api.worker.upkeep import Upkeep

_POLL_S = 2.0
"""Time between looks for jobs that no notification told of: those tried again."""
_FIRST_PAUSE_S = 0.25
_LONGEST_PAUSE_S = 2.0
_LOOK_S = 0.05
_MOST_CONNECTIONS = 4
"""Connections of the pool that all workers of a process share; their statements are short."""
_LOG = logging.getLogger("api.worker.engine")


class Ready(Protocol):
    """What is ready for work, or is not yet."""

    ready: bool


@dataclass(frozen=True, slots=True)
class Lane:
    """A slot as the engine sees it."""

    name: str
    mailbox: Mailbox
    slot: Ready


class Engine(threading.Thread):
    """Takes jobs off the engine's queues and hands them on, until told to stop."""

    def __init__(
        self, settings: Settings, database: Database, upkeep: Upkeep, lanes: Iterable[Lane]
    ) -> None:
        """`lanes` are the slots that get studies from here; nothing connects before the thread
        runs."""
        super().__init__(name="engine", daemon=True)
        self._settings = settings
        self._lanes = list(lanes)
        self._connector = _connector(database, len(self._lanes))
        self._slot_app = slot_app(self._connector, settings, upkeep)
        self._upkeep_app = upkeep_app(self._connector, settings, upkeep)
        self._loop: asyncio.AbstractEventLoop | None = None
        self._told_to_stop = False
        self._stopping = asyncio.Event()

    def stop(self) -> None:
        """Take no more jobs; the thread ends when those at hand are done."""
        self._told_to_stop = True
        if self._loop is not None:
            with contextlib.suppress(RuntimeError):  # the loop is closed: it has ended
                self._loop.call_soon_threadsafe(self._stopping.set)

    def run(self) -> None:
        """Run every worker on a loop of this thread."""
        asyncio.run(self._work())

    async def _work(self) -> None:
        """Open the pool of connections and run all workers until told to stop."""
        self._loop = asyncio.get_running_loop()
        self._loop.set_exception_handler(_note)
        if self._told_to_stop:
            return
        with contextlib.suppress(psycopg.Error):  # the pool opens later, once it can
            await self._connector.open_async()
        try:
            await asyncio.gather(self._keep_in_order(), *map(self._keep_feeding, self._lanes))
        finally:
            with contextlib.suppress(ConnectorException):
                await self._connector.close_async()

    async def _keep_in_order(self) -> None:
        """Run the worker for upkeep."""
        await self._keep_running(lambda: True, self._upkeep_app, UPKEEP, "upkeep", {})

    async def _keep_feeding(self, lane: Lane) -> None:
        """Run the worker of one slot."""
        context = {MAILBOX: lane.mailbox}
        await self._keep_running(
            lambda: lane.slot.ready, self._slot_app, STUDIES, lane.name, context
        )

    async def _keep_running(self, ready: Callable[[], bool], app: App, *worker: Any) -> None:
        """Run a worker once its slot is ready, and again whenever it ends by an accident."""
        pause = _FIRST_PAUSE_S
        while not self._stopping.is_set():
            if not ready():
                await self._rest(_LOOK_S)
                continue
            began = time.monotonic()
            await self._run_once(app, *worker)
            lasted = time.monotonic() - began
            # Only what ends at once is given longer rests: a database that is away.
            pause = _FIRST_PAUSE_S if lasted > pause else min(2 * pause, _LONGEST_PAUSE_S)
            await self._rest(pause)

    async def _rest(self, seconds: float) -> None:
        """Wait for so long, or until told to stop."""
        with contextlib.suppress(TimeoutError):
            await asyncio.wait_for(self._stopping.wait(), seconds)

    async def _run_once(self, app: App, queue: str, name: str, context: dict[str, Any]) -> None:
        """Run a worker until it ends or the engine is told to stop."""
        worker = asyncio.create_task(
            app.run_worker_async(
                queues=[queue],
                name=name,
                concurrency=1,
                fetch_job_polling_interval=_POLL_S,
                # Signals are for the server: procrastinate's own handlers would stop the workers
                # alone.
                install_signal_handlers=False,
                listen_notify=True,
                # The study is the record; a job that is over says nothing more.
                delete_jobs="always",
                additional_context=context,
                update_heartbeat_interval=self._settings.heartbeat_s,
                stalled_worker_timeout=self._settings.lease_s,
            )
        )
        stop = asyncio.create_task(self._stopping.wait())
        await asyncio.wait([worker, stop], return_when=asyncio.FIRST_COMPLETED)
        stop.cancel()
        worker.cancel()  # it finishes the job at hand first
        try:
            await worker
        except asyncio.CancelledError:
            pass
        except ConnectorException as error:
            _LOG.warning("the store does not serve: %s", error.__cause__ or error)
        except Exception:
            _LOG.exception("an engine worker stumbled")


def _connector(database: Database, lanes: int) -> PsycopgConnector:
    """A pool for that many workers; a connection that cannot be made is soon given up, since
    the workers come again."""
    return PsycopgConnector(
        conninfo=database.server_address,
        kwargs=database.server_limits,
        min_size=1,
        max_size=min(_MOST_CONNECTIONS, 1 + lanes),
        timeout=database.timeout_s,
        reconnect_timeout=1.0,
    )


def _note(_loop: asyncio.AbstractEventLoop, context: dict[str, Any]) -> None:
    """Note what no one waits for: a job whose end could not be written is offered again."""
    _LOG.warning("%s: %s", context.get("message"), context.get("exception"))

"""What the job engine's workers do: hand a study to a slot, and keep the store in order."""

from __future__ import annotations

import asyncio
import logging

from procrastinate import App, JobContext, RetryStrategy
from procrastinate.connector import BaseConnector
from procrastinate.jobs import Status
from procrastinate.manager import JobManager

from api.http.errors import ServiceError
from api.settings import Settings
from api.store.jobs import SOLVE, STUDIES, UPKEEP
from api.worker.feeds import Mailbox, NotTakenError
from api.worker.upkeep import Upkeep

MAILBOX = "mailbox"
"""Key of the context under which a worker finds its slot's mailbox."""
TAKE_UP = "closet:take_up"
CLEAR = "closet:clear"
_EVERY_MINUTE = "* * * * *"
_LOG = logging.getLogger("api.worker.engine")


def slot_app(connector: BaseConnector, settings: Settings, upkeep: Upkeep) -> App:
    """The engine as the slots' workers see it; they see to it that the old is cleared out."""
    app = App(connector=connector)
    _add_solve(app)
    _add_clear(app, settings, upkeep)
    return app


def upkeep_app(connector: BaseConnector, settings: Settings, upkeep: Upkeep) -> App:
    """The engine as the worker for upkeep sees it; it asks for all of it at its times."""
    app = App(connector=connector)
    _add_clear(app, settings, upkeep)
    _add_take_up(app, settings, upkeep)
    return app


def _add_solve(app: App) -> None:
    """The task that hands a study to a slot."""
    # A job that no slot could even claim is offered again; every other end is the study's own.
    again = RetryStrategy(wait=1, retry_exceptions=[ServiceError, NotTakenError])

    @app.task(name=SOLVE, queue=STUDIES, pass_context=True, retry=again)
    async def solve(context: JobContext, *, study_id: str) -> None:
        """Leave the study in the slot's mailbox, and wait until the slot has done with it."""
        mailbox: Mailbox = context.additional_context[MAILBOX]
        await asyncio.wrap_future(mailbox.put(study_id))


def _add_take_up(app: App, settings: Settings, upkeep: Upkeep) -> None:
    """The task that finds lost leases, jobs of silent workers, and studies without a job."""

    @app.periodic(cron=_every(settings.reap_s))
    @app.task(name=TAKE_UP, queue=UPKEEP, queueing_lock=TAKE_UP)
    async def take_up(timestamp: int) -> None:  # noqa: ARG001 - every periodic task is told
        """Look for all three, in this order."""
        # In a thread, since the store's statements would hold up every worker on this loop.
        await asyncio.to_thread(upkeep.take_up)
        await _offer_stalled(app.job_manager, settings.lease_s)
        await asyncio.to_thread(upkeep.find_forgotten)


def _add_clear(app: App, settings: Settings, upkeep: Upkeep) -> None:
    """The task that clears out what is past its time."""

    @app.periodic(cron=_EVERY_MINUTE)
    @app.task(name=CLEAR, queue=UPKEEP, queueing_lock=CLEAR)
    async def clear(timestamp: int) -> None:  # noqa: ARG001 - every periodic task is told
        """Clear out studies and keys, then workers that are gone."""
        await asyncio.to_thread(upkeep.clear)
        await app.job_manager.prune_stalled_workers(settings.lease_s)


async def _offer_stalled(manager: JobManager, silence_s: float) -> None:
    """Offer again the jobs of workers that gave no sign of life for so long [s].

    Most are of studies that have been put back already, or have ended: whoever takes such a
    job up finds that out. Jobs of upkeep come again by themselves.
    """
    for job in await manager.get_stalled_jobs(queue=STUDIES, seconds_since_heartbeat=silence_s):
        _LOG.info("job of a lost worker is offered again", extra=job.log_context())
        await manager.retry_job(job)
    for job in await manager.get_stalled_jobs(queue=UPKEEP, seconds_since_heartbeat=silence_s):
        await manager.finish_job(job, status=Status.ABORTED, delete_job=True)


def _every(seconds: float) -> str:
    """That often, in whole seconds, as the engine's six-field cron has it."""
    return f"* * * * * */{min(59, max(1, round(seconds)))}"

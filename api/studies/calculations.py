"""Calculations from stored layouts: done once by a child process, then kept.

Equal ones asked for at once are one calculation; what nobody waits for any more is dropped
before it begins; no client has more than its share of them.
"""

from __future__ import annotations

import asyncio
import hashlib
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from starlette.concurrency import run_in_threadpool

from api.http.clients import caller
from api.http.conditional import canonical, json_bytes
from api.http.errors import ServiceError
from api.http.wire import JsonObject
from api.state import State
from api.studies import repository
from api.studies.lookup import Chosen
from optimizer.versions import versions

if TYPE_CHECKING:
    from api.worker.calculators import Result

_T = TypeVar("_T")

GLANCE_S = 0.5
"""Time between looks at whether a caller who waits is still there [s]."""


async def calculated(state: State, name: str, **arguments: Any) -> Result:
    """What the calculation of that name gives; given up when the caller goes away."""
    # The server itself asks, too (examples of its page): it has no connection and no share.
    who = caller.get()
    if who is None:
        return await asyncio.wrap_future(state.calculators.submit(name, **arguments))
    with state.flights.place(who[0], state.settings.max_calculations_per_client):
        asked = asyncio.wrap_future(state.calculators.submit(name, **arguments))
        return await while_there(who[1], asked)


class Present(Protocol):
    """A caller whose connection can be looked at."""

    async def is_disconnected(self) -> bool:
        """Whether it has gone away."""


async def while_there(request: Present, asked: asyncio.Future[_T]) -> _T:
    """The answer, unless the caller has gone: then it is not begun, or not waited for."""
    while True:
        done, _ = await asyncio.wait({asked}, timeout=GLANCE_S)
        if done:
            return asked.result()
        if await request.is_disconnected():
            # Cancels it where it waits; one under way goes on, and its answer is dropped.
            asked.cancel()
            raise ServiceError("calculators_busy", "the caller has gone")


async def kept(state: State, chosen: Chosen, name: str, **arguments: Any) -> bytes:
    """As `calculated`, from the store where it was done before: the bytes, or JSON text."""
    key = _key(chosen, name, arguments)

    def find() -> bytes | None:
        """What is in the store already."""
        with state.database.reading() as session:
            return repository.artifact(session, chosen.study_id, key)

    def keep(made: bytes) -> None:
        """Put what was made into the store."""
        with state.database.writing() as session:
            repository.keep_artifact(session, chosen.study_id, key, made)

    async def make() -> bytes:
        """Have a child process make it, and keep it."""
        # Several may wait for it: that one of them goes away must not end it.
        caller.set(None)
        result = await calculated(
            state, name, brief=chosen.brief, layout=chosen.layouts[0], **arguments
        )
        made = result.body if result.body is not None else json_bytes(result.value)
        await run_in_threadpool(keep, made)
        return made

    body = await run_in_threadpool(find)
    if body is not None:
        return body
    flight, who = f"{chosen.study_id}:{key}", caller.get()
    if who is None:
        return await state.flights.share(flight, make)
    with state.flights.place(who[0], state.settings.max_calculations_per_client):
        shared = asyncio.ensure_future(state.flights.share(flight, make))
        return await while_there(who[1], shared)


def _key(chosen: Chosen, name: str, arguments: JsonObject) -> str:
    """Name of what is kept: it changes with the layout, the arguments and the program."""
    digest = hashlib.sha256(canonical([chosen.brief, chosen.layouts, arguments, versions()]))
    return f"{name}:{digest.hexdigest()}"

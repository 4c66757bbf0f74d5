"""Calculations from stored layouts: done once by a child process, then kept."""

from __future__ import annotations

import asyncio
import hashlib
from typing import TYPE_CHECKING, Any

from starlette.concurrency import run_in_threadpool

from api.http.conditional import canonical, json_bytes
from api.state import State
from api.studies import repository
from api.studies.reading import Chosen
from api.versions import versions

if TYPE_CHECKING:
    from api.worker.calculators import Result


async def calculated(state: State, name: str, **arguments: Any) -> Result:
    """What the calculation of that name gives."""
    return await asyncio.wrap_future(state.calculators.submit(name, **arguments))


async def kept(state: State, chosen: Chosen, name: str, **arguments: Any) -> bytes:
    """As `calculated`, from the store where it was done before: the bytes, or JSON text."""
    key = _key(chosen, name, arguments)

    def find() -> bytes | None:
        with state.database.reading() as session:
            return repository.artifact(session, chosen.study_id, key)

    body = await run_in_threadpool(find)
    if body is not None:
        return body
    result = await calculated(
        state, name, brief=chosen.brief, layout=chosen.layouts[0], **arguments
    )
    body = result.body if result.body is not None else json_bytes(result.value)

    def keep(made: bytes = body) -> None:
        with state.database.writing() as session:
            repository.keep_artifact(session, chosen.study_id, key, made)

    await run_in_threadpool(keep)
    return body


def _key(chosen: Chosen, name: str, arguments: dict[str, Any]) -> str:
    """Name of what is kept: it changes with the layout, the arguments and the program."""
    digest = hashlib.sha256(canonical([chosen.brief, chosen.layouts, arguments, versions()]))
    return f"{name}:{digest.hexdigest()}"

"""What endpoints ask for: the server's parts, the caller, the body, conditions."""

from __future__ import annotations

import re
from typing import Annotated, Any

from fastapi import Depends, Header, Request
from fastapi.dependencies.utils import get_flat_params
from fastapi.params import ParamTypes

from api.http.bodies import read_json, require_json
from api.http.clients import Client, caller, identify
from api.http.conditional import request_digest
from api.http.errors import InvalidBodyError
from api.http.preferences import Key, WaitPreference
from api.http.threads import read_in_turn
from api.state import State
from optimizer.errors import Fault

_WAIT = re.compile(r"wait\s*=\s*\"?(\d{1,9})\"?")


async def state_of(request: Request) -> State:
    """The parts of the running server."""
    state: State = request.app.state.closet
    return state


StateDep = Annotated[State, Depends(state_of)]


async def client_of(request: Request, state: StateDep) -> Client:
    """The caller, by key or by address."""
    address = request.client.host if request.client else "local"
    client = identify(state.settings, request.headers, address)
    caller.set((client.name, request))
    return client


ClientDep = Annotated[Client, Depends(client_of)]


async def known_parameters(request: Request) -> None:
    """Refuse query parameters that the endpoint does not know."""
    route = request.scope["route"]
    # FastAPI drops what it does not know; a misspelt limit must not pass for no limit.
    known = {
        field.alias
        for field in get_flat_params(route.dependant)
        if getattr(field.field_info, "in_", None) is ParamTypes.query
    }
    unknown = [name for name in dict.fromkeys(request.query_params) if name not in known]
    if unknown:
        raise InvalidBodyError(
            "invalid_parameter",
            [
                Fault(
                    f"/query/{_escaped(name[:60])}", f"unknown parameter {name[:60]!r}", "unknown"
                )
                for name in unknown[:20]
            ],
        )
    twice = [name for name in known if len(request.query_params.getlist(name)) > 1]
    if twice:
        raise InvalidBodyError(
            "invalid_parameter", [Fault(f"/query/{twice[0]}", "given twice", "given_twice")]
        )


def _escaped(name: str) -> str:
    """A name as a step of a JSON Pointer (RFC 6901)."""
    return name.replace("~", "~0").replace("/", "~1")


async def json_body(request: Request) -> Any:
    """The request's JSON body."""
    require_json(
        request.headers.get("content-type", ""), request.headers.get("content-encoding", "")
    )
    # Off the event loop: a megabyte of JSON takes the processor for a while.
    return await read_in_turn(read_json, await request.body())


JsonBody = Annotated[Any, Depends(json_body)]


async def wait_of(
    state: StateDep,
    prefer: Annotated[
        str | None,
        Header(
            description="`wait=SECONDS` to wait for the result (RFC 7240), `respond-async` not to.",
            examples=["wait=5"],
        ),
    ] = None,
) -> WaitPreference:
    """The wait asked for in `Prefer`, at most the longest that is granted."""
    asked = [part.strip().lower() for part in re.split(r"[,;]", prefer or "")]
    for match in filter(None, map(_WAIT.fullmatch, asked)):
        # A preference is granted in part rather than refused (RFC 7240).
        granted = min(int(match[1]), int(state.settings.max_wait_s))
        return WaitPreference(granted, f"wait={granted}")
    return WaitPreference(0.0, "respond-async" if "respond-async" in asked else None)


WaitDep = Annotated[WaitPreference, Depends(wait_of)]


async def key_of(
    request: Request,
    body: JsonBody,
    idempotency_key: Annotated[
        str | None,
        Header(
            description="A text of the caller's own: a repetition under it makes no second study.",
            min_length=1,
            max_length=255,
            pattern=r"^[\x21-\x7e]+$",
            examples=["8f14e45f-ceea-467f-9575-5f3f6a1c2b3d"],
        ),
    ] = None,
) -> Key | None:
    """The Idempotency-Key, tied to what it came with."""
    if idempotency_key is None:
        return None
    digest = request_digest(request.method, request.url.path, request.url.query, body)
    return Key(idempotency_key, digest)


KeyDep = Annotated[Key | None, Depends(key_of)]

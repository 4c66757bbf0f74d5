"""Who calls: by API key where keys are set, else by address."""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Mapping
from contextvars import ContextVar
from dataclasses import dataclass

from starlette.requests import Request

from api.http.errors import ServiceError
from api.settings import Settings

PUBLIC = "public"
"""Owner of every study while the service is open to all."""


caller: ContextVar[tuple[str, Request] | None] = ContextVar("caller", default=None)
"""Name of the client whose request is being answered, and the request."""


@dataclass(frozen=True, slots=True)
class Client:
    """A caller: whose studies it sees, and whom its limits are counted for."""

    owner: str
    name: str


def identify(settings: Settings, headers: Mapping[str, str], address: str) -> Client:
    """The caller behind a request; 401 where keys are set and none of them is given."""
    if not settings.api_keys:
        # Limits need to tell addresses apart; logs and store need not know them.
        digest = hashlib.sha256(address.encode()).hexdigest()[:16]
        return Client(PUBLIC, f"address:{digest}")
    names = {_owner_of(settings, key) for key in _given_keys(headers)}
    # Two keys of one client will do; two of different clients, or one unknown key, will not.
    name = names.pop() if len(names) == 1 else None
    if name is None:
        raise unauthorized("send an API key as Authorization: Bearer KEY or as X-API-Key: KEY")
    return client_of_key(name)


def client_of_key(name: str) -> Client:
    """The caller whose key has that name."""
    short = _short(f"key:{name}")
    return Client(short, short)


def unauthorized(detail: str) -> ServiceError:
    """401, with how to show a key."""
    headers = {"WWW-Authenticate": 'Bearer realm="closet layouts"'}
    return ServiceError("unauthorized", detail, headers=headers)


def _short(name: str) -> str:
    """A name of at most 64 characters; of a longer one the beginning and its digest."""
    if len(name) <= 64:
        return name
    return f"{name[:31]}~{hashlib.sha256(name.encode()).hexdigest()[:32]}"


def _owner_of(settings: Settings, given: str) -> str | None:
    """Whose key it is; None when it is nobody's."""
    found = None
    for name, key in settings.api_keys.items():
        # Every key is compared, in constant time, so that timing tells nothing.
        if hmac.compare_digest(key.get_secret_value().encode(), given.encode()):
            found = name
    return found


def _given_keys(headers: Mapping[str, str]) -> list[str]:
    """Every key that the request gives: if there are two, both must be good."""
    keys = []
    if "authorization" in headers:
        scheme, _, token = headers["authorization"].partition(" ")
        keys.append(token.strip() if scheme.lower() == "bearer" else "")
    if "x-api-key" in headers:
        keys.append(headers["x-api-key"].strip())
    return keys
